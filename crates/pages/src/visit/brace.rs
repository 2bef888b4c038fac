//! The brace: it belongs to the child, one bar holds both feet.

use super::{VisitView, pointers::Pointers};
use crate::{
    fields::visit as names,
    parts::{self, Stepper, Tile},
    words,
};
use course::Phase;
use maud::{Markup, html};
use record::{BraceChange, Regime, Side};

/// What was done about the brace. Open where bracing is under way or the next step is about it.
pub(super) fn brace(view: &VisitView<'_>, pointers: &Pointers) -> Markup {
    let course = &view.outlook.course;
    let worn = course.braces.last().filter(|spell| spell.until.is_none());
    let braced =
        course.feet.iter().any(|foot| matches!(foot.phase, Phase::FullTimeBracing | Phase::NightTimeBracing));
    let open = worn.is_some() || braced || pointers.about_brace() || view.filled.any_under(names::BRACE);
    html! {
        details.panel open[open] {
            summary { h2 { "Brace" } }
            p.actions { a.button href={ (view.who.href()) "/brace" } { "Brace bench: measure, and see the fit" } }
            @if let Some(spell) = worn {
                p.foot-so-far { (words::capital(spell.regime.words())) " since " (words::day_and_relative(spell.from, view.on))
                    @if let Some(hours) = spell.hours_prescribed { ", " (hours) " hours a day prescribed" } "." }
            }
            (change(view, pointers))
            (worn_from_now_on(view, pointers))
            details.more open[settings_given(view)] { summary { "Settings on the bar" } (settings(view)) }
        }
    }
}

fn settings_given(view: &VisitView<'_>) -> bool {
    Side::BOTH.iter().any(|side| view.filled.any_under(&format!("brace.{side}.")))
        || view.filled.any_under(names::BRACE_BAR_MM)
        || view.filled.any_under(names::BRACE_BAR_PER_SIDE)
}

fn change(view: &VisitView<'_>, pointers: &Pointers) -> Markup {
    let mut tiles = vec![
        Tile::none("nothing changed"),
        Tile::new("fitted", "brace fitted").proposed(pointers.brace("fitted")),
    ];
    tiles.extend(
        BraceChange::ALL
            .iter()
            .map(|each| Tile::new(each.key(), each.words()).proposed(pointers.brace(each.key()))),
    );
    // Fitting and the hours come often; the rest waits behind one tap.
    tiles.sort_by_key(|tile| !(tile.value.is_empty() || tile.value == "fitted" || tile.value == "hours"));
    let legend = html! { "Done about the brace today" };
    parts::tiles_with_more(
        &view.filled,
        names::BRACE,
        "words wide",
        &legend,
        &tiles,
        3,
        "Something else about the brace",
    )
}

fn worn_from_now_on(view: &VisitView<'_>, pointers: &Pointers) -> Markup {
    let mut tiles = vec![Tile::none("as before, or not said")];
    tiles.extend(
        Regime::ALL
            .iter()
            .map(|each| Tile::new(each.key(), each.words()).proposed(pointers.regime(each.key()))),
    );
    html! {
        div.two {
            (parts::tiles(&view.filled, names::BRACE_REGIME, "words", &html! { "To be worn from now on" }, &tiles))
            (parts::stepper(&view.filled, Stepper { name: names::BRACE_HOURS, label: "Hours a day prescribed", unit: "h", step: 1, bounds: (0, 24), last: None }))
        }
    }
}

fn settings(view: &VisitView<'_>) -> Markup {
    let held = view.outlook.course.braces.last().map(|spell| &spell.brace);
    let boot = |side: Side| held.and_then(|brace| brace.boots.iter().find(|boot| boot.side == side));
    html! {
        div.feet.boots {
            @for side in Side::BOTH {
                div role="group" aria-labelledby={ (side) "-boot" } {
                    h3 id={ (side) "-boot" } { (side.title()) " boot" }
                    @for (what, label, unit, step, bounds) in [("abduction_deg", "Turned out", "°", 5, (0, 90)), ("dorsiflexion_deg", "Bend up", "°", 5, (-5, 30)), ("length_mm", "Inner length", "mm", 1, (50, 260))] {
                        @let name = names::boot(side, what);
                        @let last = boot(side).and_then(|boot| match what { "abduction_deg" => boot.abduction_deg.map(i32::from), "dorsiflexion_deg" => boot.dorsiflexion_deg.map(i32::from), _ => boot.length_mm.map(i32::from) });
                        (parts::stepper(&view.filled, Stepper { name: &name, label, unit, step, bounds, last }))
                    }
                }
            }
        }
        (parts::stepper(&view.filled, Stepper { name: names::BRACE_BAR_MM, label: "Bar, heel to heel", unit: "mm", step: 5, bounds: (100, 450), last: held.and_then(|brace| brace.bar_mm).map(i32::from) }))
        (parts::tiles(&view.filled, names::BRACE_BAR_PER_SIDE, "words", &html! { "Can each boot be set to its own angle on this bar?" }, &[Tile::none("not said"), Tile::new("yes", "yes"), Tile::new("no", "no")]))
    }
}
