//! The day of the clinic: who is expected and who came.

use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Who},
    words,
};
use course::{AppointmentState, Phase};
use guidance::{NextStep, Scope, Urgency};
use maud::{Markup, html};
use record::{Day, EntryId, Purpose, Right, Side};

/// One day of the clinic.
#[derive(Debug, Clone)]
pub struct DayView {
    /// The day shown.
    pub on: Day,
    /// The children expected on that day or seen on it, in order of time.
    pub rows: Vec<DayRow>,
    /// Nearby days with appointments, each with the number of children.
    pub near: Vec<(Day, usize)>,
    /// Places of the clinic on that day, if the clinic has saved them.
    pub places: Option<u32>,
    /// "closed: Eid", on a day on which the clinic is closed.
    pub closed: Option<String>,
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
                p.tally { (tally(&view.rows)) @if let (Some(places), None) = (view.places, &view.closed) { " · " (places) " places" } }
                @if let Some(closed) = &view.closed { p.message.warning { "The clinic is " (closed) "." } }
            }
            (turn(frame.today, view, frame.may(Right::SeeTheatreList) && view.rows.iter().any(is_for_tenotomy)))
        }
        @if view.rows.is_empty() {
            (parts::empty("Nobody is expected on this day.", &html! {
                p { "Appointments are made on each child's page. " a href="/find" { "Find a child" } " to record one who came without an appointment." }
            }))
        }
        @for (state, title) in GROUPS { (group(frame, view, state, title)) }
        @if view.rows.iter().any(|row| !row.steps.is_empty()) { (parts::caution()) }
    };
    frame::page(frame, HelpTopic::Day, &title, &body)
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

/// Whether a child comes for a tenotomy, or waits for one.
fn is_for_tenotomy(row: &DayRow) -> bool {
    row.purpose == Some(Purpose::Tenotomy)
        || row.feet.iter().any(|(_, phase)| *phase == Phase::WaitingForTenotomy)
}

fn turn(today: Day, view: &DayView, theatre: bool) -> Markup {
    let link = |day: Day| format!("/day?on={day}");
    html! {
        div.turn {
            nav.turn-links aria-label="Days" {
                a.button href=(link(view.on - 1)) { "Previous day" }
                @if view.on != today { a.button href="/day" { "Today" } }
                a.button href=(link(view.on + 1)) { "Next day" }
                @if view.on <= today && !view.rows.is_empty() { a.button href={ "/calls?on=" (view.on) } { "Call list" } }
                @if theatre { a.button href={ "/theatre/day?on=" (view.on) } { "Tenotomies of the day" } }
                @if !view.rows.is_empty() { (parts::print_button()) }
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
            div.day-feet { (feet_at_a_glance(row, frame.today)) }
            div.day-do { (buttons(frame, on, row)) }
        }
    }
}

/// Phase and next step of each foot; once for both where they are alike.
fn feet_at_a_glance(row: &DayRow, today: Day) -> Markup {
    let same_phase = matches!(row.feet.as_slice(), [(_, one), (_, two)] if one == two);
    let steps = guidance::without_echo(&row.steps);
    let alike = |one: &NextStep, two: &NextStep| {
        one.scope != Scope::Child
            && two.scope != Scope::Child
            && one.words == two.words
            && one.window == two.window
    };
    let shown: Vec<(&NextStep, bool)> = match steps.as_slice() {
        [one, two, rest @ ..] if alike(one, two) => {
            std::iter::once((*one, true)).chain(rest.iter().map(|step| (*step, false))).collect()
        }
        steps => steps.iter().map(|step| (*step, false)).collect(),
    };
    html! {
        ul.feet-lines {
            @if same_phase { @for (_, phase) in row.feet.iter().take(1) { li { span.scope { "Both feet:" } " " (phase.words()) } } }
            @else { @for (side, phase) in &row.feet { li { span.scope { (side.title()) " foot:" } " " (phase.words()) } } }
        }
        @if !shown.is_empty() {
            ul.day-steps aria-label="Next steps" {
                @for (step, both) in &shown { li {
                    @if *both {
                        span.step-line { span.scope { "Both feet:" } " " strong { (step.words) } @if let Some(window) = step.window { " " (words::window(window, today)) } }
                    } @else { (parts::step_line(step, today)) }
                } }
            }
        }
    }
}

fn buttons(frame: &Frame, on: Day, row: &DayRow) -> Markup {
    let may = frame.may(Right::RecordClinical);
    let open =
        |word: &str, class: &str| html! { @if may { (link(row, word, class, &format!("/visit?on={on}"))) } };
    let due = on <= frame.today;
    html! {
        @match row.state {
            AppointmentState::Here => {
                (open("Record visit", "primary"))
                @if row.can_be_undone { (mark(frame, on, row, "/day/undo", "Undo: not here", "")) }
            },
            AppointmentState::Expected => {
                @if due {
                    (mark(frame, on, row, "/day/arrived", "Arrived", "primary"))
                    (mark(frame, on, row, "/day/missed", "Did not come", ""))
                }
            },
            AppointmentState::Seen => { (open("Add to visit", "")) },
            AppointmentState::Missed => {
                (call(on, row))
                (mark(frame, on, row, "/day/arrived", "Came after all", ""))
                @if row.can_be_undone { (mark(frame, on, row, "/day/undo", "Undo: still expected", "")) }
            },
            AppointmentState::Ended => {},
            AppointmentState::Cancelled => { (link(row, "New appointment", "", "/add/appointment-made")) },
        }
        @if is_for_tenotomy(row) && frame.may(Right::SeeClinical) && !row.who.restricted && expects(row.state) {
            (link(row, "Tenotomy checklist", "", &format!("/tenotomy?on={on}")))
        }
        (more(frame, on, row, due))
    }
}

/// Whether the child is still to be treated on the day.
const fn expects(state: AppointmentState) -> bool {
    matches!(state, AppointmentState::Expected | AppointmentState::Here)
}

/// What is needed less often, one tap away.
fn more(frame: &Frame, on: Day, row: &DayRow, due: bool) -> Markup {
    let expected = row.state == AppointmentState::Expected;
    let open = || html! { @if frame.may(Right::RecordClinical) { (link(row, "Open visit", "", &format!("/visit?on={on}"))) } };
    html! {
        @if expected && !due { (moved(row)) (open()) }
        @if (expected && due) || !row.scored.is_empty() {
            details.row-more {
                summary { "More" span.sr { ": " (row.who.shown_name()) } }
                @if expected {
                    (open())
                    (moved(row))
                    (call(on, row))
                }
                @for (side, entry) in &row.scored {
                    (link(row, &format!("Second score, {side} foot"), "", &format!("/second-score/{entry}")))
                }
            }
        }
    }
}

fn moved(row: &DayRow) -> Markup {
    html! { @if let Some(entry) = row.appointment { (link(row, "Move to another day", "", &format!("/appointment/{entry}/move"))) } }
}

fn call(on: Day, row: &DayRow) -> Markup {
    let follows = row.appointment.map(|entry| format!("&follows={entry}")).unwrap_or_default();
    let class = if row.state == AppointmentState::Missed { "primary" } else { "" };
    link(row, "Call the family", class, &format!("/call?back=day-{on}{follows}"))
}

fn link(row: &DayRow, word: &str, class: &str, path: &str) -> Markup {
    html! { a class={ "button " (class) } href={ (row.who.href()) (path) } { (word) span.sr { ": " (row.who.shown_name()) } } }
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
