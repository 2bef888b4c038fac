//! The list of booked tenotomies, for who comes to do them. It names the child, the foot, the day and what matters
//! for anaesthesia as far as it is recorded, and leads to no other page about the child.

use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::{Day, Side};

/// The booked tenotomies.
#[derive(Debug, Clone)]
pub struct TheatreView {
    /// The soonest first; those without a day last.
    pub rows: Vec<TheatreRow>,
}

/// One child with the feet that are booked for one day.
#[derive(Debug, Clone)]
pub struct TheatreRow {
    /// The child.
    pub who: Who,
    /// The day, if it is fixed.
    pub planned_on: Option<Day>,
    /// Which feet, with the day of each booking.
    pub feet: Vec<(Side, Day)>,
    /// Where, as recorded.
    pub place: Option<String>,
    /// What matters for anaesthesia and for the cut, as far as it is recorded, one sentence each.
    pub cautions: Vec<String>,
    /// What is recorded before the operation, one sentence each.
    pub known: Vec<String>,
    /// What is missing in the record or has to be settled, in a word each.
    pub open: Vec<String>,
}

/// The page.
#[must_use]
pub fn theatre(frame: &Frame, view: &TheatreView) -> Markup {
    let (fixed, open): (Vec<_>, Vec<_>) = view.rows.iter().partition(|row| row.planned_on.is_some());
    let (past, ahead): (Vec<&TheatreRow>, Vec<&TheatreRow>) =
        fixed.into_iter().partition(|row| row.planned_on.is_some_and(|day| day < frame.today));
    let body = html! {
        header.page-head { div {
            h1 { "Booked tenotomies" }
            p.tally { (words::count(view.rows.len() as i64, "child", "children")) }
        } }
        p { "Fasting is not recorded in this program: ask. Check name, date of birth and foot with the family before the cut." }
        @if view.rows.is_empty() { (parts::empty("No tenotomy is booked.", &html! {})) }
        (day_lists(&ahead))
        (group("Booked", &ahead, frame.today))
        (group("The day has passed; nothing is recorded", &past, frame.today))
        (group("No day is fixed", &open, frame.today))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Tenotomy, "Booked tenotomies", &body)
}

/// Links to the lists of single days.
fn day_lists(ahead: &[&TheatreRow]) -> Markup {
    let mut days: Vec<Day> = ahead.iter().filter_map(|row| row.planned_on).collect();
    days.dedup();
    html! {
        @if !days.is_empty() {
            nav.near aria-label="Lists of single days" { "Lists to print: "
                @for (n, day) in days.iter().enumerate() { @if n > 0 { ", " } a href={ "/theatre/day?on=" (day) } { (words::weekday(*day)) } }
            }
        }
    }
}

fn group(title: &str, rows: &[&TheatreRow], today: Day) -> Markup {
    html! {
        @if !rows.is_empty() {
            section.day-group {
                h2 { (title) " " span.count { (rows.len()) } }
                ul.call-list { @for row in rows { (theatre_row(row, today)) } }
            }
        }
    }
}

fn theatre_row(row: &TheatreRow, today: Day) -> Markup {
    let who = &row.who;
    let side = match row.feet.as_slice() {
        [(side, _)] => format!("{} foot", side.title()),
        [] => "Which foot is not shown to you".to_owned(),
        _ => "Both feet".to_owned(),
    };
    html! {
        li.call.theatre-row {
            div.call-who { span.who {
                strong.who-name { (who.shown_name()) }
                @if who.restricted { span.who-facts { (who.number()) } }
                @else { span.who-facts { (who.age(today)) " · born " (parts::born_words(who)) " · " (who.number()) } }
                @if let Some(twin) = who.twin_words() { span.who-twin { (twin) } }
            } }
            div.call-what {
                p.call-text { strong { (side) } @if let Some(place) = &row.place { ", " (place) } }
                @if row.cautions.is_empty() { p { "No caution is recorded." } }
                @else { ul.plain { @for caution in &row.cautions { li { (caution) } } } }
                @if !row.known.is_empty() { ul.plain { @for text in &row.known { li { (text) } } } }
                @if !row.open.is_empty() { p { strong { "Missing or to be settled: " } (row.open.join(", ")) "." } }
            }
            div.call-when {
                @match row.planned_on {
                    Some(day) => { strong { (words::weekday(day)) } " " span.rel { (words::relative(day, today)) } },
                    None => "no day fixed",
                }
                @for (side, on) in &row.feet { span.call-from { (side) " foot booked on " (words::day(*on)) } }
            }
        }
    }
}
