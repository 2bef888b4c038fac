//! The suggested settings with their reasons, and the form that saves the settings made.

use super::BraceFittingView;
use crate::{
    Frame,
    fields::{self, Field, Filled, What, visit as visit_names},
    parts::{self, Stepper, Tile},
    visit::next_days,
    words,
};
use guidance::brace::{AngleSetting, BootFit, FootFit, sizes::range_words};
use maud::{Markup, html};
use record::{Day, Purpose, Regime, Side, bounds};

pub(super) fn fit(view: &BraceFittingView<'_>, today: Day) -> Markup {
    let fit = view.fit;
    let missing: Vec<&str> = fit.missing().collect();
    html! {
        section.bench-fit aria-labelledby="fit-head" {
            h2 id="fit-head" { "Suggested settings" }
            @if !missing.is_empty() {
                div.message.warning role="status" {
                    strong { "Measurements missing. " } "Missing values are not guessed."
                    ul.plain-list { @for text in &missing { li { (text) } } }
                }
            }
            div.feet { @for foot in &fit.feet { (of_foot(view, foot, today)) } }
            (bar(view))
            ul.plain-list.bench-hours { @for hours in &fit.hours { li { (hours.words) span.rel { " (" (hours.source) ")" } } } }
            ul.plain-list { @for text in &fit.cautions { li { (text) } } }
        }
    }
}

fn of_foot(view: &BraceFittingView<'_>, foot: &FootFit, today: Day) -> Markup {
    let child = view.course.child;
    html! {
        div.card.bench-foot role="group" aria-labelledby={ "fit-" (foot.side) } {
            h3 id={ "fit-" (foot.side) } { (foot.side.title()) " foot " span.rel { (foot.kind.words()) } }
            @for text in &foot.warnings { p.message.warning { strong { "Check this: " } (text) } }
            dl.facts {
                div { dt { "Turned out" } dd { (degrees(&foot.outward)) } }
                div { dt { "Bend up" } dd { (degrees(&foot.bend)) } }
                @match &foot.boot {
                    Some(boot) => (of_boot(boot, !view.stock.is_empty(), today)),
                    None => div { dt { "Boot" } dd { "measure the foot first" } },
                }
            }
            details.why { summary { "Why" } (parts::reason_list(child, &foot.because)) }
            @if !foot.otherwise.is_empty() {
                details.why open { summary { "Published rules disagree" } (parts::reason_list(child, &foot.otherwise)) }
            }
        }
    }
}

fn degrees(setting: &AngleSetting) -> Markup {
    html! {
        @match setting.set {
            Some(span) if span.low == span.high => { strong { (span.high) "°" } },
            Some(span) => { strong { (span) "°" } },
            None => "measure first",
        }
        span.rel { " protocol: " (setting.wanted) "°" }
    }
}

fn of_boot(boot: &BootFit, has_stock: bool, today: Day) -> Markup {
    let (short, long) = boot.inside_mm;
    let sizes = &boot.sizes;
    html! {
        div { dt { "Foot" } dd { (boot.foot_mm) " mm" span.rel { " on " (words::day_and_relative(boot.on, today)) } } }
        div { dt { "Boot, inside" } dd { strong { (short) "–" (long) " mm" } } }
        div { dt { "From the list" } dd {
            @match &boot.matched {
                Some(found) => { strong { (found.boot.label) } ", " (found.boot.inner_mm) " mm inside" @if let Some(count) = found.boot.in_store { ", " (count) " in stock" } },
                None if has_stock => "none long enough",
                None => { a href="/stock" { "the clinic has no list yet" } },
            }
        } }
        div { dt { "As shoe sizes" } dd {
            details.why { summary { "Sizes of shoe shops" }
                "Mondopoint " (sizes.mondopoint_mm) "; Paris points " (range_words(sizes.paris)) "; UK child " (range_words(sizes.uk_child)) "; US child about " (range_words(sizes.us_child))
                span.rel { " US and Mondopoint from memory; sizes differ by maker, so go by the inside length" }
            }
        } }
    }
}

fn bar(view: &BraceFittingView<'_>) -> Markup {
    let bar = &view.fit.bar;
    html! {
        div.card role="group" aria-labelledby="fit-bar" {
            h3 id="fit-bar" { "Bar" }
            dl.facts {
                div { dt { "Heel to heel" } dd { @match bar.length { Some((mm, _)) => strong { (mm) " mm" }, None => "measure first" } } }
                @if !bar.matched.is_empty() {
                    div { dt { "From the list" } dd { @for (n, one) in bar.matched.iter().enumerate() { @if n > 0 { "; " } (one.label) " (" (one.from_mm) "–" (one.to_mm) " mm)" } } }
                } @else if !view.stock.is_empty() && bar.length.is_some() {
                    div { dt { "From the list" } dd { "none reaches this length" } }
                }
            }
            @if !bar.because.is_empty() { details.why { summary { "Why" } (parts::reason_list(view.course.child, &bar.because)) } }
        }
    }
}

/// The name of the day of the settings, which differs from that of the day of the measurements on the same page.
const DAY: &str = "settings.on";

/// The form of settings, with an error of its day under the name that the day has on this page.
pub(super) fn with_own_day(filled: &Filled) -> Filled {
    let mut renamed = filled.clone();
    for error in renamed.errors.iter_mut().filter(|error| error.field == fields::ON) {
        DAY.clone_into(&mut error.field);
    }
    renamed
}

/// The form that records the settings: filled with the suggested settings, to be changed where the
/// clinician chose others.
pub(super) fn save(frame: &Frame, view: &BraceFittingView<'_>, name: &str) -> Markup {
    let filled = &view.settings;
    let has_brace = view.course.brace_now().is_some();
    let (id, renamed) = (parts::field_id(DAY), with_own_day(filled));
    html! {
        section.panel.bench-save aria-labelledby="save-head" {
            h2 id="save-head" { "Record the settings" }
            p.hint { "Filled with the suggested settings above where they could be calculated. Change any value that you set differently: record the settings actually made." }
            form method="post" action={ (view.who.href()) "/brace/fit" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once[1]))
                (parts::draft(filled))
                (parts::confirmation(filled))
                div.field {
                    label for=(id) { "Day" }
                    input id=(id) name=(fields::ON) type="date" required max=(frame.today) value=(filled.given(fields::ON).map_or_else(|| frame.today.to_string(), str::to_owned))
                        aria-invalid=[renamed.has_error(DAY).then_some("true")]
                        aria-describedby=[renamed.has_error(DAY).then(|| format!("{id}-error"))];
                    (parts::field_error(&renamed, DAY))
                }
                (change_made(view, has_brace))
                div.feet.boots { @for side in Side::BOTH { (boot(view, side)) } }
                (parts::stepper(filled, Stepper { name: visit_names::BRACE_BAR_MM, label: "Bar, heel to heel", unit: "mm", step: 5, bounds: super::ends(&bounds::BAR_LENGTH), last: None }))
                (parts::bar_choice(filled, view.stock, view.fit.bar.length.map(|(mm, _)| mm)))
                (parts::tiles(filled, visit_names::BRACE_BAR_PER_SIDE, "words", &html! { "Can each boot be set to its own angle on this bar?" }, &[Tile::none("not recorded"), Tile::new("yes", "yes"), Tile::new("no", "no")]))
                (parts::tiles(filled, visit_names::BRACE_REGIME, "words", &html! { "Wear" }, &regimes()))
                (parts::stepper(filled, Stepper { name: visit_names::BRACE_HOURS, label: "Hours a day", unit: "h", step: 1, bounds: (0, 24), last: None }))
                (next_appointment(view, frame.today))
                @if !view.stock.is_empty() { (parts::take_choice(filled.value(visit_names::STOCK_TAKE) == "yes")) }
                button.primary type="submit" { "Save the settings of " (name) }
            }
        }
    }
}

/// The next appointment, in the same form: the proposed days, none taken until tapped.
fn next_appointment(view: &BraceFittingView<'_>, today: Day) -> Markup {
    let filled = &view.settings;
    let open = filled.given(visit_names::NEXT_DAY) == Some(visit_names::NEXT_OTHER)
        || [visit_names::NEXT_OTHER_DAY, visit_names::NEXT_TIME, visit_names::NEXT_PURPOSE]
            .into_iter()
            .any(|name| filled.given(name).is_some() || filled.has_error(name));
    let mut purposes = vec![Tile::none("that of the proposed day")];
    purposes.extend(Purpose::ALL.iter().map(|each| Tile::new(each.key(), each.words())));
    html! {
        h3 { "Next appointment" }
        @if let Some(made) = view.course.next_appointment(today) { p.hint { "On record already: " (words::day_and_relative(made.for_day, today)) "." } }
        (next_days(filled, &view.days, today))
        details.more open[open] {
            summary { "Another day, the time or the purpose" }
            div.two {
                (parts::field(filled, &Field::new(visit_names::NEXT_OTHER_DAY, "Another day", What::Day)))
                (parts::field(filled, &Field::new(visit_names::NEXT_TIME, "Time", What::Time)))
            }
            (parts::tiles(filled, visit_names::NEXT_PURPOSE, "words wide", &html! { "Purpose" }, &purposes))
        }
    }
}

fn change_made(view: &BraceFittingView<'_>, has_brace: bool) -> Markup {
    let mut tiles = vec![Tile::new("fitted", "a brace fitted")];
    if has_brace {
        tiles.extend([
            Tile::new("size", "larger boots or a longer bar"),
            Tile::new("settings", "angles changed"),
        ]);
    }
    parts::tiles(&view.settings, visit_names::BRACE, "words", &html! { "Change made" }, &tiles)
}

fn regimes() -> Vec<Tile<'static>> {
    std::iter::once(Tile::none("unchanged"))
        .chain(Regime::ALL.iter().map(|one| Tile::new(one.key(), one.words())))
        .collect()
}

fn boot(view: &BraceFittingView<'_>, side: Side) -> Markup {
    let filled = &view.settings;
    let rows = [
        ("abduction_deg", "Turned out", "°", 5, bounds::BAR_ANGLE),
        ("dorsiflexion_deg", "Bend up", "°", 5, bounds::BAR_BEND),
        ("length_mm", "Inner length", "mm", 1, bounds::FOOT_LENGTH),
    ];
    let (listed, inside) = (!view.stock.boots.is_empty(), view.fit.foot(side).boot.as_ref());
    let inside = inside.map(|boot| boot.inside_mm);
    let size = if listed { parts::other_size(side) } else { visit_names::boot(side, "size") };
    let label = if listed { "Another size, not on the list" } else { "Size, as the clinic labels it" };
    let id = parts::field_id(&size);
    html! {
        div role="group" aria-labelledby={ "save-" (side) } {
            h3 id={ "save-" (side) } { (side.title()) " boot" }
            @if listed { (parts::size_choice(filled, view.stock, side, inside)) }
            @for (key, label, unit, step, bound) in rows {
                @let name = visit_names::boot(side, key);
                (parts::stepper(filled, Stepper { name: &name, label, unit, step, bounds: super::ends(&bound), last: None }))
            }
            @if listed { p.hint { "Inner length blank: as on the list, if a size of the list is chosen." } }
            div.field {
                label for=(id) { (label) }
                input id=(id) name=(size) type="text" value=(filled.value(&size)) autocomplete="off"
                    aria-invalid=[filled.has_error(&size).then_some("true")] aria-describedby=[filled.has_error(&size).then(|| format!("{id}-error"))];
                (parts::field_error(filled, &size))
            }
        }
    }
}
