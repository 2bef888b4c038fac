//! The list before a tenotomy: what the record has, what is missing, and blanks to fill in by hand.

use super::ceiling::{CeilingView, ceiling};
use crate::{Frame, HelpTopic, frame, parts, parts::Who, words};
use guidance::before_tenotomy::{CheckItem, CheckState, FootCheck, TenotomyChecklist};
use maud::{Markup, html};
use record::Right;

/// The list of one child.
#[derive(Debug, Clone)]
pub struct TenotomyView {
    /// The child.
    pub who: Who,
    /// What the record says.
    pub list: TenotomyChecklist,
    /// The ceilings of local anaesthetics.
    pub ceiling: CeilingView,
}

/// What can be recorded from the page: the key of the form, and its words.
const FORMS: [(&str, &str); 5] = [
    ("weighed", "Record a weight"),
    ("allergies", "Record allergies"),
    ("medicines", "Record medicines"),
    ("consent", "Record consent"),
    ("tenotomy-booked", "Book a tenotomy"),
];

/// The page.
#[must_use]
pub fn tenotomy(frame: &Frame, view: &TenotomyView) -> Markup {
    let TenotomyView { who, list, .. } = view;
    let body = html! {
        (parts::band(who, "tenotomy checklist", frame.today))
        p.checklist-day { "For " strong { (words::weekday(list.on)) } " " span.rel { (words::relative(list.on, frame.today)) } }
        (sides(list))
        (verdict(list))
        section.card aria-labelledby="before-head" {
            h2 id="before-head" { "Before the operation" }
            (points(who, list))
            p.hint { "“In the record” says only what was entered. Fasting is not recorded in this program: ask." }
            @if frame.may(Right::RecordClinical) {
                p.actions { @for (key, text) in FORMS { a.button href={ (who.href()) "/add/" (key) } { (text) } " " } }
            }
        }
        section.card aria-labelledby="breathing-head" {
            h2 id="breathing-head" { "Age and breathing" }
            ul.plain { @for text in &list.breathing { li { (text) } } }
        }
        (ceiling(who, list.on, &view.ceiling))
        @for foot in &list.feet { (by_hand(foot)) }
        @if list.feet.is_empty() { p.message.warning { "No foot is booked for this day: nothing can be filled in for a foot. Book the tenotomy first." } }
        (other_day(who, list))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::TenotomyChecklist, "Tenotomy checklist", &body)
}

/// The feet in words, as large as anything on the page.
fn sides(list: &TenotomyChecklist) -> Markup {
    let named: Vec<String> =
        list.feet.iter().map(|foot| format!("{} foot", foot.side.title().to_uppercase())).collect();
    html! {
        p.checklist-sides {
            @if named.is_empty() { "Which foot? None is booked." }
            @else { (named.join(" and ")) }
        }
        @for text in &list.other_days { p.message.warning { (text) " Not on this list." } }
    }
}

fn verdict(list: &TenotomyChecklist) -> Markup {
    let count = |state| list.open().filter(|(_, item)| item.state == state).count();
    let (stops, missing) = (count(CheckState::Stops), count(CheckState::Missing));
    html! {
        @if stops > 0 {
            p.message.warning role="status" { strong { "Stop: " } (words::count(stops as i64, "point has", "points have")) " to be settled first." @if missing > 0 { " " (words::count(missing as i64, "point is", "points are")) " missing." } }
        } @else if missing > 0 {
            p.message.warning role="status" { strong { "Not complete: " } (words::count(missing as i64, "point is", "points are")) " missing in the record." }
        } @else {
            p.message.note role="status" { "The record has every point of this list. What it cannot show is filled in by hand below; the licensed clinician decides." }
        }
    }
}

fn points(who: &Who, list: &TenotomyChecklist) -> Markup {
    let of_feet =
        list.feet.iter().flat_map(|foot| foot.items.iter().map(move |item| (Some(foot.side), item)));
    let all = list.child.iter().map(|item| (None, item)).chain(of_feet);
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: points before the operation" {
            table.checklist {
                thead { tr { th scope="col" { "Point" } th scope="col" { "In the record" } th scope="col" { "Checked" } } }
                tbody { @for (side, item) in all {
                    tr class=(state_class(item)) {
                        th scope="row" { @if let Some(side) = side { (side.title()) " foot: " } (item.what) }
                        td { (state_words(item)) @if let Some(entry) = item.entry { a href={ (who.href()) "/entry/" (entry) } { (item.words) } } @else { (item.words) } }
                        td.tick { "☐" }
                    }
                } }
            }
        }
    }
}

const fn state_class(item: &CheckItem) -> &'static str {
    match item.state {
        CheckState::Recorded => "",
        CheckState::Missing => "missing",
        CheckState::Stops => "stops",
    }
}

fn state_words(item: &CheckItem) -> Markup {
    html! {
        @match item.state {
            CheckState::Recorded => {},
            CheckState::Missing => { strong.state { "Missing. " } },
            CheckState::Stops => { strong.state { "Stop. " } },
        }
    }
}

/// The blanks of one foot.
fn by_hand(foot: &FootCheck) -> Markup {
    let side = foot.side.title().to_uppercase();
    let id = format!("hand-{}", foot.side);
    html! {
        section.card.by-hand aria-labelledby=(id) {
            h2 id=(id) { (side) " foot: at the operation" }
            ul.plain.blanks {
                li { "☐ Name, date of birth and " strong { (side) " foot" } " confirmed with the family, and the foot marked" }
                li { "Local anaesthetic: product " (blank()) " concentration " (blank()) " mL " (blank()) " at " (blank()) }
                li { "Cream or gel: product " (blank()) " amount " (blank()) " on at " (blank()) " off at " (blank()) }
                li { "Dorsiflexion after the cut: " @match foot.dorsiflexion_after_deg {
                    Some(deg) => { strong { (words::degrees(deg)) } " (recorded)" },
                    None => { (blank()) "°" },
                } }
                li { @if foot.is_cast_after { "☐ Cast applied (recorded for this day)" } @else { "☐ Cast applied: abduction " (blank()) "° dorsiflexion " (blank()) "°" } }
                li { "☐ Toes checked: all in sight, pink, warm, colour back after a pinch, at " (blank()) }
                li { "Done by " (blank()) " Checked by " (blank()) }
            }
            @if foot.is_done { p.hint { "A tenotomy of this foot is recorded for this day." } }
        }
    }
}

/// Room to write.
fn blank() -> Markup {
    html! { span.blank aria-hidden="true" {} span.sr { "(to fill in) " } }
}

fn other_day(who: &Who, list: &TenotomyChecklist) -> Markup {
    html! {
        form.as-of method="get" action={ (who.href()) "/tenotomy" } {
            label for="list-day" { "Make this list for another day" }
            input id="list-day" type="date" name="on" value=(list.on);
            button type="submit" { "Show" }
        }
    }
}
