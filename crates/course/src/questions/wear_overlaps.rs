//! Wear recorded twice for the same days: the hours of those days would count twice, or one span has a wrong
//! day.
//!
//! Reported and logged hours are two separate accounts of the same days and may overlap. Spans from visit to
//! visit share the day of the visit, so one shared day raises no question.

use super::question;
use crate::events::Event;
use crate::{Course, Question, QuestionKind, WearKind, WearSpan};

pub(super) fn ask(open: &mut Vec<Question>, course: &Course, events: &[Event<'_>]) {
    for kind in [WearKind::Reported, WearKind::Logged] {
        // In order of the first day; the span that reaches furthest so far is the one the next may overlap.
        let mut spans = course.wear.iter().filter(|span| span.kind == kind && span.from <= span.to);
        let Some(mut furthest) = spans.next() else { continue };
        for span in spans {
            if span.from < furthest.to || (span.from, span.to) == (furthest.from, furthest.to) {
                open.push(overlap(furthest, span, events));
            }
            if span.to > furthest.to {
                furthest = span;
            }
        }
    }
}

fn overlap(one: &WearSpan, other: &WearSpan, events: &[Event<'_>]) -> Question {
    let recorded_on =
        |span: &WearSpan| events.iter().find(|event| event.id() == span.entry).map(|event| event.on);
    let on = recorded_on(one).max(recorded_on(other)).unwrap_or(other.to);
    let how = match one.kind {
        WearKind::Reported => "reported",
        WearKind::Logged => "logged",
    };
    let days = |span: &WearSpan| format!("{} to {}", span.from.words(), span.to.words());
    let text = format!("Wear is {how} twice for the same days: {} and {}.", days(one), days(other));
    question(QuestionKind::WearOverlaps, None, on, text, vec![one.entry, other.entry])
}
