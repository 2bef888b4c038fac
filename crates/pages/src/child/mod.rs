//! The page of one child: the next steps with their reasons, calls for attention, the course of both feet as
//! a picture, open questions, and all entries.

mod feet;
mod timeline;

use crate::{
    Frame,
    add::AddKind,
    frame, ink, likely,
    parts::{self, Who},
    words,
};
use course::{Appointment, AppointmentState, CorrectedLog, Fate, Line, Standing};
use guidance::{Action, Attention, NextStep, Outlook};
use maud::{Markup, html};
use record::{Day, Entry, Kind, UserId};
use std::collections::BTreeMap;

/// One child as of a day.
#[derive(Debug, Clone)]
pub struct ChildView<'a> {
    /// The course and the next steps; the course holds the day as of which the page is shown.
    pub outlook: &'a Outlook,
    /// All entries of the child; the page leaves out those after the day shown.
    pub entries: &'a [Entry],
    /// The forecast of each foot; empty where nothing was forecast.
    pub forecasts: &'a [forecast::foot::FootForecast],
    /// Names of the writers of the entries.
    pub writers: &'a BTreeMap<UserId, String>,
}

/// Estimated size of a page without its entries, and of each entry, in bytes. Generous, so that the buffer is
/// not reallocated while the page is written.
const PAGE_BYTES: usize = 24_000;
const ENTRY_BYTES: usize = 1_300;

/// The page of one child.
#[must_use]
pub fn child(frame: &Frame, view: &ChildView<'_>) -> Markup {
    let who = Who::of(&view.outlook.course);
    let bytes = PAGE_BYTES + ENTRY_BYTES * view.entries.len();
    let body = ink::markup_of(bytes, |ink| {
        ink.markup(&above(frame, view, &who));
        feet::feet(ink, view.outlook, view.forecasts);
        ink.markup(&below(view));
        ink.tag("<section class=\"timeline\" aria-labelledby=\"timeline-head\">");
        timeline::timeline(ink, view);
        ink.tag("</section>");
        ink.markup(&other_day(&who, view.outlook.course.as_of, frame.today));
    });
    frame::page(frame, &who.shown_name(), &body)
}

fn above(frame: &Frame, view: &ChildView<'_>, who: &Who) -> Markup {
    let as_of = view.outlook.course.as_of;
    html! {
        (parts::band(who, "", as_of))
        @if as_of != frame.today { (shown_as_of(who, as_of)) }
        @if as_of == frame.today { (actions(view.outlook, who)) (second_scores(frame, view, who)) }
        div.child-top {
            (next(view.outlook))
            div {
                (attention(view.outlook))
                (likely::likely(view.outlook.course.child, view.forecasts))
            }
        }
    }
}

fn below(view: &ChildView<'_>) -> Markup {
    html! {
        div.child-below {
            (questions(view.outlook))
            (appointments(view.outlook))
            (people(view.outlook))
            (listed(view))
        }
    }
}

/// A short list for each kind that declares one: what holds, newest first.
fn listed(view: &ChildView<'_>) -> Markup {
    let recorded = |kind: Kind| view.entries.iter().any(|entry| entry.kind() == kind);
    let kinds = Kind::ALL.iter().filter_map(|kind| Some((*kind, kind.spec().list?)));
    let kinds: Vec<(Kind, &str)> = kinds.filter(|(kind, _)| recorded(*kind)).collect();
    if kinds.is_empty() {
        return html! {};
    }
    let (course, reading) = (&view.outlook.course, CorrectedLog::of(view.entries, view.outlook.course.as_of));
    let holds = |line: &&Line<'_>| matches!(line.fate, Fate::Unchanged | Fate::Corrected { .. });
    html! {
        @for (kind, heading) in kinds {
            @let id = format!("{}-head", kind.wire());
            section.card aria-labelledby=(id) {
                h2 id=(id) { (heading) }
                ul.plain { @for line in reading.lines.iter().rev().filter(holds).filter(|line| line.body.kind() == kind) {
                    li { (words::day(line.on)) ": " a href={ "/child/" (course.child) "/entry/" (line.entry.id) } { (line.body.sentence()) } }
                } }
            }
        }
    }
}

fn shown_as_of(who: &Who, as_of: Day) -> Markup {
    html! {
        p.message.warning role="status" {
            strong { "Shown as known on " (words::day(as_of)) ". " }
            "Later entries are left out. " a href=(who.href()) { "Show today" }
        }
    }
}

/// Buttons for what can be recorded. After a death only notes and contacts are offered; after discharge or
/// transfer a new referral comes first.
fn actions(outlook: &Outlook, who: &Who) -> Markup {
    match outlook.course.standing {
        Standing::Died(_) => few_actions(who, &[Kind::Note, Kind::ContactAttempt]),
        Standing::Discharged(_) | Standing::Transferred(_) => {
            few_actions(who, &[Kind::Referral, Kind::Note, Kind::ContactAttempt])
        }
        Standing::Active | Standing::Lost(_) => every_action(who),
    }
}

fn few_actions(who: &Who, kinds: &[Kind]) -> Markup {
    let offered = AddKind::all().iter().filter(|kind| kinds.contains(&kind.kind()));
    html! {
        nav.child-actions aria-label={ "Record something about " (who.shown_name()) } {
            @for kind in offered { (add_button(who, *kind)) }
        }
    }
}

fn add_button(who: &Who, kind: AddKind) -> Markup {
    html! { a.button href={ (who.href()) "/add/" (kind.key()) } { (kind.title()) } }
}

/// How many small forms are offered at once; the rest folds.
const OFFERED_FIRST: usize = 4;

fn every_action(who: &Who) -> Markup {
    let add = |kind: AddKind| add_button(who, kind);
    let kinds = AddKind::all();
    let (first, rest) = kinds.split_at(kinds.len().min(OFFERED_FIRST));
    html! {
        nav.child-actions aria-label={ "Record something about " (who.shown_name()) } {
            a.button.primary href={ (who.href()) "/visit" } { "Record a visit" }
            a.button href={ (who.href()) "/brace" } { "Brace fitting" }
            a.button href={ (who.href()) "/trouble" } { "Brace problems" }
            @for kind in first { (add(*kind)) }
            a.button href={ (who.href()) "/wear" } { "Wear" }
            details.more {
                summary { "Other entries" }
                div.more-list { @for kind in rest { (add(*kind)) } }
            }
        }
    }
}

/// Links for a colleague to score again the feet scored today.
fn second_scores(frame: &Frame, view: &ChildView<'_>, who: &Who) -> Markup {
    let course = &view.outlook.course;
    let today = |scored: &&course::AssessmentSeen| {
        scored.on == course.as_of && !(scored.pirani.is_empty() && scored.dimeglio.is_empty())
    };
    let scored: Vec<_> = course
        .feet
        .iter()
        .filter_map(|foot| Some((foot.side, foot.scores.iter().rev().find(today)?.entry)))
        .filter(|(_, entry)| !is_own(frame, view, *entry))
        .collect();
    html! {
        @if !scored.is_empty() {
            p.second-scores {
                "Scored today. A colleague can score again without seeing the first score: "
                @for (n, (side, entry)) in scored.iter().enumerate() {
                    @if n > 0 { ", " }
                    a href={ (who.href()) "/second-score/" (entry) } { "second score, " (side) " foot" }
                }
                ". " span.hint { "The second rater should not read this page first; the page of the day has the same link." }
            }
        }
    }
}

/// Whether the person who is signed in wrote an entry: who scored a foot cannot score it again blindly.
fn is_own(frame: &Frame, view: &ChildView<'_>, entry: record::EntryId) -> bool {
    let by = view.entries.iter().find(|each| each.id == entry).map(|each| each.by);
    by.and_then(|by| view.writers.get(&by)).is_some_and(|name| Some(name) == frame.user.as_ref())
}

/// The next steps of the child and of each foot, with their reasons folded.
fn next(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let every = outlook.steps_on(course.as_of);
    let due = parts::without_echo(&every).into_iter();
    let steps: Vec<&NextStep> = due.filter(|step| step.action != Action::Nothing).collect();
    html! {
        section.card.child-next aria-labelledby="next-head" {
            h2 id="next-head" { "What comes next" }
            @for step in &steps { (parts::step_card(course.child, step, course.as_of, false)) }
            @if steps.is_empty() { (nothing_due(outlook)) }
            (parts::caution())
        }
    }
}

fn nothing_due(outlook: &Outlook) -> Markup {
    html! {
        @if outlook.steps.is_empty() && outlook.course.feet.is_empty() {
            p { "No affected foot is recorded yet. Record a diagnosis or a visit to see the next step." }
        } @else {
            p { "Nothing is due." }
            @for step in &outlook.steps { (parts::reason_list(outlook.course.child, &step.because)) }
        }
    }
}

fn attention(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let (now, later): (Vec<&Attention>, Vec<&Attention>) = outlook
        .attention
        .iter()
        .filter(|call| call.lasts_to(course.as_of))
        .partition(|call| call.from <= course.as_of);
    html! {
        section.card.child-attention aria-labelledby="attention-head" {
            h2 id="attention-head" { "Needs attention" }
            @if now.is_empty() { p { "Nothing on " (course.as_of.words()) "." } }
            ul.calls { @for call in &now { (parts::attention_row(course.child, call, None, course.as_of)) } }
            @if !later.is_empty() {
                details.later {
                    summary { "Later, if nothing more is recorded (" (later.len()) ")" }
                    ul.calls { @for call in &later { (parts::attention_row(course.child, call, None, course.as_of)) } }
                }
            }
        }
    }
}

fn questions(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    html! {
        section.card aria-labelledby="questions-head" {
            h2 id="questions-head" { "Open questions" }
            @if course.questions.is_empty() { p { "None: the entries are consistent." } }
            @else {
                p.hint { "Contradictions and gaps in the entries. Correct or withdraw the entry that is wrong; a question that needs no change may stay open." }
                ul.questions { @for question in &course.questions { (parts::question_row(course.child, question)) } }
            }
        }
    }
}

const fn state_words(state: AppointmentState) -> &'static str {
    match state {
        AppointmentState::Expected => "expected",
        AppointmentState::Here => "came",
        AppointmentState::Seen => "seen",
        AppointmentState::Missed => "did not come",
        AppointmentState::Cancelled => "cancelled",
        AppointmentState::Ended => "ended with the child's care here",
    }
}

fn appointments(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let (ahead, past): (Vec<&Appointment>, Vec<&Appointment>) =
        course.appointments.iter().partition(|appointment| appointment.for_day >= course.as_of);
    html! {
        section.card aria-labelledby="appointments-head" {
            h2 id="appointments-head" { "Appointments" }
            @if ahead.is_empty() { p { "No future appointments." } }
            ul.plain { @for appointment in &ahead { (appointment_row(course.child, appointment, course.as_of)) } }
            @if !past.is_empty() {
                details {
                    summary { "Earlier (" (past.len()) ")" }
                    ul.plain { @for appointment in past.iter().rev() { (appointment_row(course.child, appointment, course.as_of)) } }
                }
            }
        }
    }
}

fn appointment_row(child: record::ChildId, appointment: &Appointment, today: Day) -> Markup {
    html! {
        li {
            a href={ "/child/" (child) "/entry/" (appointment.entry) } { (words::day_and_relative(appointment.for_day, today)) }
            @if let Some(time) = &appointment.time { ", " (time) }
            @if let Some(purpose) = appointment.purpose { ": " (purpose.words()) }
            " – " (state_words(appointment.state))
        }
    }
}

fn people(outlook: &Outlook) -> Markup {
    let about = &outlook.course.about;
    html! {
        section.card aria-labelledby="people-head" {
            h2 id="people-head" { "The family" }
            @if about.carers.is_empty() { p { "No contact person is recorded." } }
            ul.plain {
                @for carer in &about.carers {
                    li { (parts::carer_line(carer)) }
                }
            }
            p.actions { a.button href={ "/child/" (outlook.course.child) "/call" } { "Call the family" } " " a.button href={ "/child/" (outlook.course.child) "/join" } { "Registered twice?" } }
            @if let Some(address) = &about.address { p { (address) } }
            @if !outlook.course.contacts.is_empty() {
                details {
                    summary { "Attempts to reach the family (" (outlook.course.contacts.len()) ")" }
                    ul.plain {
                        @for contact in outlook.course.contacts.iter().rev() {
                            li { (words::day(contact.on)) ": " (contact.way.words()) ", " @if contact.reached { "reached" } @else { "not reached" } }
                        }
                    }
                }
            }
        }
    }
}

fn other_day(who: &Who, as_of: Day, today: Day) -> Markup {
    html! {
        form.as-of method="get" action=(who.href()) {
            label for="as-of" { "Show this page as of another day" }
            input id="as-of" type="date" name="as_of" value=(as_of) max=(today);
            button type="submit" { "Show" }
        }
    }
}
