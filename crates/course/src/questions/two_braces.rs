//! Two braces at the same time.
//!
//! Asked if fittings of one day contradict each other (in regime, hours, bar, or the boot of one foot), and
//! if another clinic fits a brace while one is worn, with no transfer, stop or cast between. A second fitting
//! by the same clinic is a refit.

use super::question;
use crate::events::Event;
use crate::{Question, QuestionKind};
use record::EntryId;

/// A fitting that contradicts the one of the same day; `first` is the entry of the spell.
pub(crate) fn same_day(open: &mut Vec<Question>, first: Option<EntryId>, event: &Event<'_>) {
    let first = first.unwrap_or(event.id());
    let asked = |question: &&mut Question| {
        question.kind == QuestionKind::TwoBraces && question.on == event.on && question.entries[0] == first
    };
    if let Some(question) = open.iter_mut().rev().find(asked) {
        question.entries.push(event.id());
        return;
    }
    let text = format!(
        "Two braces are recorded for {} with different settings or hours; the one recorded last is shown.",
        event.on.words()
    );
    open.push(question(QuestionKind::TwoBraces, None, event.on, text, vec![first, event.id()]));
}

/// A fitting at another clinic while a brace was worn.
pub(crate) fn elsewhere(before: Option<EntryId>, event: &Event<'_>) -> Question {
    let text = format!(
        "A brace was fitted at another clinic on {} while one was worn, with no transfer or stop between.",
        event.on.words()
    );
    let entries = before.into_iter().chain([event.id()]).collect();
    question(QuestionKind::TwoBraces, None, event.on, text, entries)
}
