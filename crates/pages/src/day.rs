//! The day of the clinic: who is expected and who came.

use crate::{
    Frame, frame,
    parts::{self, Who},
    words,
};
use course::{AppointmentState, Phase};
use guidance::{NextStep, Urgency};
use maud::{Markup, html};
use record::{Day, EntryId, Purpose, Side};

/// One day of the clinic.
#[derive(Debug, Clone)]
pub struct DayView {
    /// The day shown.
    pub on: Day,
    /// The children expected on that day or seen on it, in order of time.
    pub rows: Vec<DayRow>,
    /// Nearby days with appointments, each with the number of children.
    pub near: Vec<(Day, usize)>,
    /// Places of the clinic on that weekday, if the clinic has saved them.
    pub places: Option<u32>,
}

/// One child of the day.
#[derive(Debug, Clone)]
pub struct DayRow {
    /// The child.
    pub who: Who,
    /// The appointment; `None` for a child who came without one.
    pub appointment: Option<EntryId>,
    /// The time as written.
    pub time: Option<String>,
    /// The purpose.
    pub purpose: Option<Purpose>,
    /// Whether the child came.
    pub state: AppointmentState,
    /// Whether the mark "here" or "did not come" can be taken back.
    pub can_be_undone: bool,
    /// The phase of each affected foot.
    pub feet: Vec<(Side, Phase)>,
    /// Next steps.
    pub steps: Vec<NextStep>,
    /// Feet scored that day that a colleague may score again, with the entry of the score.
    pub scored: Vec<(Side, EntryId)>,
    /// The most urgent call for attention that applies, and the number that apply.
    pub attention: Option<(Urgency, usize)>,
}

const GROUPS: [(AppointmentState, &str); 5] = [
    (AppointmentState::Here, "Here now"),
    (AppointmentState::Expected, "Expected"),
    (AppointmentState::Seen, "Seen"),
    (AppointmentState::Missed, "Missed"),
    (AppointmentState::Cancelled, "Cancelled"),
];

/// The page of a day: who is here, expected, seen or missed, with the phase and next step of each foot.
#[must_use]
pub fn day(frame: &Frame, view: &DayView) -> Markup {
    let title = if view.on == frame.today { "The day".to_owned() } else { view.on.words() };
    let body = html! {
        header.page-head {
            div {
                h1 { (words::weekday(view.on)) @if view.on != frame.today { " " span.rel { "(" (words::relative(view.on, frame.today)) ")" } } }
                p.tally { (tally(&view.rows)) @if let Some(places) = view.places { " · " (places) " places" } }
                @if view.on <= frame.today && !view.rows.is_empty() { p { a.button href={ "/calls?on=" (view.on) } { "Call list" } } }
            }
            (turn(frame.today, view))
        }
        @if view.rows.is_empty() {
            (parts::empty("Nobody is expected on this day.", &html! {
                p { "Appointments are made on each child's page. " a href="/find" { "Find a child" } " to record one who came without an appointment." }
            }))
        }
        @for (state, title) in GROUPS { (group(frame, view, state, title)) }
        @if view.rows.iter().any(|row| !row.steps.is_empty()) { (parts::caution()) }
    };
    frame::page(frame, &title, &body)
}

fn tally(rows: &[DayRow]) -> String {
    let parts: Vec<String> = GROUPS
        .iter()
        .map(|(state, title)| (rows.iter().filter(|row| row.state == *state).count(), title.to_lowercase()))
        .filter(|(n, _)| *n > 0)
        .map(|(n, title)| format!("{n} {title}"))
        .collect();
    parts.join(" · ")
}

fn turn(today: Day, view: &DayView) -> Markup {
    let link = |day: Day| format!("/day?on={day}");
    html! {
        div.turn {
            nav.turn-links aria-label="Days" {
                a.button href=(link(view.on - 1)) { "Day before" }
                @if view.on != today { a.button href="/day" { "Today" } }
                a.button href=(link(view.on + 1)) { "Next day" }
            }
            form.inline method="get" action="/day" {
                label.sr for="on" { "Go to a day" }
                input id="on" name="on" type="date" value=(view.on);
                button type="submit" { "Go" }
            }
            @if !view.near.is_empty() {
                p.near { "Clinics near this day: "
                    @for (n, (day, count)) in view.near.iter().enumerate() {
                        @if n > 0 { ", " }
                        a href=(link(*day)) { (day.weekday_word()) " " (day.words()) } " (" (count) ")"
                    }
                }
            }
        }
    }
}

fn group(frame: &Frame, view: &DayView, state: AppointmentState, title: &str) -> Markup {
    let rows: Vec<&DayRow> = view.rows.iter().filter(|row| row.state == state).collect();
    html! {
        @if !rows.is_empty() {
            section.day-group {
                h2 { (title) " " span.count { (rows.len()) } }
                ul.day-list { @for row in rows { (day_row(frame, view.on, row)) } }
            }
        }
    }
}

fn day_row(frame: &Frame, on: Day, row: &DayRow) -> Markup {
    html! {
        li.day-row {
            div.day-time {
                span.clock { (row.time.as_deref().unwrap_or("no time")) }
                span.purpose { (row.purpose.map_or("purpose not recorded", Purpose::words)) }
                @if row.appointment.is_none() { span.purpose { "without appointment" } }
            }
            div.day-who {
                (parts::who_line(&row.who, frame.today))
                @if let Some((urgency, n)) = row.attention {
                    a class={ "day-call day-call-" (urgency.rank()) } href=(row.who.href()) {
                        (words::count(n as i64, "call for attention", "calls for attention")) ": " (urgency.words())
                    }
                }
            }
            div.day-feet { (parts::feet_lines(&row.feet, &row.steps, frame.today)) }
            div.day-do {
                (buttons(frame, on, row))
                (second_scores(row))
            }
        }
    }
}

/// The feet that a colleague may score again, folded so that who scored them first is not asked again.
fn second_scores(row: &DayRow) -> Markup {
    html! {
        @if !row.scored.is_empty() {
            details.more {
                summary { "Second score by a colleague" span.sr { ": " (row.who.shown_name()) } }
                @for (side, entry) in &row.scored {
                    a.button href={ (row.who.href()) "/second-score/" (entry) } { (side) " foot" span.sr { ": " (row.who.shown_name()) } }
                }
            }
        }
    }
}

fn buttons(frame: &Frame, on: Day, row: &DayRow) -> Markup {
    let name = row.who.shown_name();
    let link = |word: &str, class: &str, path: String| {
        html! { a class={ "button " (class) } href={ (row.who.href()) (path) } { (word) span.sr { ": " (name) } } }
    };
    let open = |word: &str, class: &str| link(word, class, format!("/visit?on={on}"));
    let move_to = || row.appointment.map(|entry| link("Move", "", format!("/appointment/{entry}/move")));
    let call = |word: &str, class: &str| {
        let follows = row.appointment.map(|entry| format!("&follows={entry}")).unwrap_or_default();
        link(word, class, format!("/call?back=day-{on}{follows}"))
    };
    let undo = |word: &str| mark(frame, on, row, "/day/undo", word, "quiet");
    html! {
        @match row.state {
            AppointmentState::Here => {
                (open("Record visit", "primary"))
                @if row.can_be_undone { (undo("Undo: not here")) }
            },
            AppointmentState::Expected => {
                @if on <= frame.today {
                    (mark(frame, on, row, "/day/arrived", "Arrived", "primary"))
                    (mark(frame, on, row, "/day/missed", "Did not come", ""))
                }
                (open("Open visit", ""))
                @if let Some(link) = move_to() { (link) }
            },
            AppointmentState::Seen => { (open("Add to visit", "")) },
            AppointmentState::Missed => {
                (call("Call the family", "primary"))
                (mark(frame, on, row, "/day/arrived", "Came after all", ""))
                @if row.can_be_undone { (undo("Undo: still expected")) }
            },
            AppointmentState::Ended => {},
            AppointmentState::Cancelled => { (link("New appointment", "", "/add/appointment-made".to_owned())) },
        }
    }
}

fn mark(frame: &Frame, on: Day, row: &DayRow, action: &str, word: &str, class: &str) -> Markup {
    html! {
        form.inline method="post" action=(action) {
            (parts::csrf(&frame.csrf))
            (parts::hidden("child", &row.who.id.to_string()))
            @if let Some(appointment) = row.appointment { (parts::hidden("appointment", &appointment.to_string())) }
            (parts::hidden("on", &on.to_string()))
            button class=(class) type="submit" { (word) span.sr { ": " (row.who.shown_name()) } }
        }
    }
}
