//! The brace. It belongs to the child, not to a foot, because one bar holds both feet.

use super::{VisitView, pointers::Pointers};
use crate::{
    fields::{Field, What, visit as names},
    parts::{self, Stepper, Tile},
    words,
};
use course::Phase;
use maud::{Markup, html};
use record::{BraceChange, Regime, Side};

/// The section on the brace. It is open during bracing or if the next step concerns the brace.
pub(super) fn brace(view: &VisitView<'_>, pointers: &Pointers) -> Markup {
    let course = &view.outlook.course;
    let current = course.braces.last().filter(|spell| spell.until.is_none());
    let braced =
        course.feet.iter().any(|foot| matches!(foot.phase, Phase::FullTimeBracing | Phase::NightTimeBracing));
    let open = current.is_some() || braced || pointers.about_brace() || view.filled.any_under(names::BRACE);
    html! {
        details.panel open[open] {
            summary { h2 { "Brace" } }
            p.actions { a.button href={ (view.who.href()) "/brace" } { "Brace fitting: measurements and suggested settings" } }
            @if let Some(spell) = current {
                p.foot-so-far { (words::capital(spell.regime.words())) " since " (words::day_and_relative(spell.from, view.now.on))
                    @if let Some(hours) = spell.hours_prescribed { ", " (hours) " hours a day prescribed" } "." }
            }
            (wear(view))
            (change(view, pointers))
            (new_regime(view, pointers))
            details.more open[settings_given(view)] { summary { "Settings on the bar" } (settings(view)) }
        }
    }
}

/// The hours that the family reports, in the brace years only.
fn wear(view: &VisitView<'_>) -> Markup {
    let Some(since) = view.outlook.wear_to_report_since(view.now.on) else { return html! {} };
    let mut filled = view.filled.clone();
    if filled.given(names::WEAR_FROM).is_none() && !filled.has_error(names::WEAR_FROM) {
        filled = filled.with(names::WEAR_FROM, since.to_string());
    }
    let hours = What::Decimal { min: 0, max: 24, unit: "h" };
    let hours = Field::new(names::WEAR_HOURS, "Hours a day, as the family reports", hours)
        .hint("Average from the day given under “Since” to this visit. Blank: not recorded.");
    html! {
        div.two.wear-said role="group" aria-label="Brace wear reported by the family" {
            (parts::field(&filled, &hours))
            (parts::field(&filled, &Field::new(names::WEAR_FROM, "Since", What::Day)))
            (parts::field(&filled, &Field::new(names::WEAR_REASON, "Why it was worn less", What::Text)))
        }
    }
}

fn settings_given(view: &VisitView<'_>) -> bool {
    Side::BOTH.iter().any(|side| view.filled.any_under(&format!("brace.{side}.")))
        || view.filled.any_under(names::BRACE_BAR_MM)
        || view.filled.any_under(names::BRACE_BAR_PER_SIDE)
        || view.filled.any_under(names::STOCK_BAR)
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
    // Fitting and a change of hours are frequent; the other answers are one tap away.
    tiles.sort_by_key(|tile| !(tile.value.is_empty() || tile.value == "fitted" || tile.value == "hours"));
    let legend = html! { "What was done with the brace today" };
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

fn new_regime(view: &VisitView<'_>, pointers: &Pointers) -> Markup {
    let mut tiles = vec![Tile::none("unchanged or not recorded")];
    tiles.extend(
        Regime::ALL
            .iter()
            .map(|each| Tile::new(each.key(), each.words()).proposed(pointers.regime(each.key()))),
    );
    html! {
        div.two {
            (parts::tiles(&view.filled, names::BRACE_REGIME, "words", &html! { "Wear from now on" }, &tiles))
            (parts::stepper(&view.filled, Stepper { name: names::BRACE_HOURS, label: "Hours a day prescribed", unit: "h", step: 1, bounds: (0, 24), last: None }))
        }
    }
}

fn settings(view: &VisitView<'_>) -> Markup {
    let last_brace = view.outlook.course.braces.last().map(|spell| &spell.brace);
    let boot = |side: Side| last_brace.and_then(|brace| brace.boots.iter().find(|boot| boot.side == side));
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
                    (size(view, side))
                }
            }
        }
        (parts::stepper(&view.filled, Stepper { name: names::BRACE_BAR_MM, label: "Bar, heel to heel", unit: "mm", step: 5, bounds: (100, 450), last: last_brace.and_then(|brace| brace.bar_mm).map(i32::from) }))
        (parts::tiles(&view.filled, names::BRACE_BAR_PER_SIDE, "words", &html! { "Can each boot be set to its own angle on this bar?" }, &[Tile::none("not recorded"), Tile::new("yes", "yes"), Tile::new("no", "no")]))
        (parts::bar_choice(&view.filled, view.stock, None))
        @if !view.stock.is_empty() {
            datalist id=(SIZES) { @for boot in &view.stock.boots { option value=(boot.label) {} } }
            // A form that was not sent yet has no values at all.
            (parts::take_choice(view.filled.is_untouched() || view.filled.value(names::STOCK_TAKE) == "yes"))
        }
    }
}

/// The sizes of the clinic's list, once for both boots.
const SIZES: &str = "stock-sizes";

/// The size of a boot. It is typed, or taken from the clinic's list.
fn size(view: &VisitView<'_>, side: Side) -> Markup {
    let name = names::boot(side, "size");
    let (id, bad) = (parts::field_id(&name), view.filled.has_error(&name));
    html! {
        div.field {
            label for=(id) { "Size, as the clinic labels it" }
            input id=(id) name=(name) type="text" value=(view.filled.value(&name)) autocomplete="off" list=[(!view.stock.boots.is_empty()).then_some(SIZES)]
                aria-invalid=[bad.then_some("true")] aria-describedby=[bad.then(|| format!("{id}-error"))];
            (parts::field_error(&view.filled, &name))
        }
    }
}
