//! The list of one day for the theatre, to print: who, which foot, when, what the record has and what is missing.

use crate::{Frame, HelpTopic, frame, parts, parts::Who, words};
use guidance::before_tenotomy::{CheckState, TenotomyChecklist, points};
use maud::{Markup, html};
use record::{Day, Right};

/// The tenotomies of a day.
#[derive(Debug, Clone)]
pub struct TheatreDayView {
    /// The day.
    pub on: Day,
    /// In order of time; without a time last.
    pub rows: Vec<TheatreDayRow>,
}

/// One child of the day.
#[derive(Debug, Clone)]
pub struct TheatreDayRow {
    /// The child.
    pub who: Who,
    /// The time as written.
    pub time: Option<String>,
    /// Where, as recorded.
    pub place: Option<String>,
    /// What the record says; `None` where the record is closed to the reader.
    pub list: Option<TenotomyChecklist>,
    /// What matters for anaesthesia and for the cut beside the list, one sentence each.
    pub cautions: Vec<String>,
}

/// The page.
#[must_use]
pub fn theatre_day(frame: &Frame, view: &TheatreDayView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Tenotomies on " (words::weekday(view.on)) }
            p.tally { (frame.clinic_name) " · " (words::count(view.rows.len() as i64, "child", "children")) }
        } }
        p { "Fasting is not recorded in this program: ask. Check name, date of birth and foot with the family before the cut." }
        @if view.rows.is_empty() { (parts::empty("No tenotomy is booked for this day.", &html! { p { a href="/theatre" { "All booked tenotomies" } } })) }
        @else { (table(frame, view)) }
        form.as-of method="get" action="/theatre/day" {
            label for="theatre-day" { "Another day" }
            input id="theatre-day" type="date" name="on" value=(view.on);
            button type="submit" { "Show" }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::TenotomyChecklist, "Tenotomies of a day", &body)
}

fn table(frame: &Frame, view: &TheatreDayView) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: tenotomies of the day" {
            table.checklist.theatre-day {
                thead { tr { th scope="col" { "Time" } th scope="col" { "Child" } th scope="col" { "Foot" } th scope="col" { "Weight" } th scope="col" { "Allergies, medicines" } th scope="col" { "Consent" } th scope="col" { "Missing, and to know" } } }
                tbody { @for row in &view.rows { (row_of(frame, view.on, row)) } }
            }
        }
    }
}

fn row_of(frame: &Frame, on: Day, row: &TheatreDayRow) -> Markup {
    let who = &row.who;
    html! {
        tr.theatre-row {
            td { (row.time.as_deref().unwrap_or("no time")) @if let Some(place) = &row.place { br; (place) } }
            th scope="row" {
                strong { (who.shown_name()) } br;
                @if who.restricted { (who.number()) } @else { "born " (parts::born_words(who)) " · " (who.age(on)) " · " (who.number()) }
                @if let Some(twin) = who.twin_words() { br; (twin) }
                @if frame.may(Right::SeeClinical) && !who.restricted { br; a.no-print href={ (who.href()) "/tenotomy?on=" (on) } { "Checklist" span.sr { ": " (who.shown_name()) } } }
            }
            @match &row.list {
                Some(list) => { (cells(list, &row.cautions, frame.may(Right::SeeClinical))) },
                None => td colspan="5" { @for caution in &row.cautions { p { (caution) } } },
            }
        }
    }
}

/// `clinical`: whether the reader may see why a point stops the list, which can tell of scores and casts.
fn cells(list: &TenotomyChecklist, cautions: &[String], clinical: bool) -> Markup {
    let feet: Vec<String> = list.feet.iter().map(|foot| foot.side.title().to_uppercase()).collect();
    html! {
        td.theatre-foot { @if feet.is_empty() { strong { "No foot is booked" } } @else { strong { (feet.join(" and ")) } } }
        td { (point(list, points::WEIGHT)) }
        td { "Allergies: " (point(list, points::ALLERGIES)) br; "Medicines: " (point(list, points::MEDICINES)) }
        td { (point(list, points::CONSENT)) }
        td {
            @let open: Vec<_> = list.open().collect();
            @if open.is_empty() { "Nothing is missing in the record." }
            @else { ul.plain { @for (side, item) in open { li {
                strong { @if item.state == CheckState::Stops { "Stop: " } @else { "Missing: " } }
                @if let Some(side) = side { (side.title()) " foot: " } (item.what)
                @if item.state == CheckState::Stops { @if clinical { ": " (item.words) } @else { ": ask the treating clinician" } }
            } } } }
            @if !cautions.is_empty() { ul.plain { @for caution in cautions { li { (caution) } } } }
        }
    }
}

fn point(list: &TenotomyChecklist, what: &str) -> Markup {
    html! { @match list.item(what) {
        Some(item) if item.state == CheckState::Recorded => { (item.words) },
        Some(item) if item.entry.is_some() => { strong { (item.words) } },
        _ => { strong { "not recorded" } },
    } }
}
