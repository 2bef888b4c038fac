//! Open questions in the log, one kind of question per file.
//!
//! A question names the entries concerned, so that a person can correct or withdraw one of them. Its
//! sentence contains no interval up to today, so that it stays true.

pub(crate) mod after_the_end;
mod allergy_gone;
mod already_cut;
mod amends_nothing;
mod before_birth;
mod cast_never_removed;
mod cast_number;
pub(crate) mod clash;
pub(crate) mod confirmed;
mod foot_not_on_record;
mod incomplete_score;
mod length_implausible;
mod no_birth_day;
pub(crate) mod out_of_order;
mod relapse_other_foot;
mod sides_swapped;
mod total_disagrees;
pub(crate) mod two_braces;
mod unusual;
mod wear_overlaps;
mod weight_implausible;

use crate::events::Event;
use crate::feet::FootKnown;
use crate::{CorrectedLog, Course, Question, QuestionKind};
use record::{Day, EntryId, Side};

/// The questions raised by the finished course and its entries.
pub(crate) fn of_course(
    open: &mut Vec<Question>,
    course: &Course,
    log: &CorrectedLog<'_>,
    events: &[Event<'_>],
    known: &[FootKnown; 2],
) {
    amends_nothing::ask(open, log);
    out_of_order::ask(open, course, log);
    no_birth_day::ask(open, course, events);
    before_birth::ask(open, course, events);
    clash::ask(open, events);
    unusual::ask(open, events);
    wear_overlaps::ask(open, course, events);
    length_implausible::ask(open, course);
    weight_implausible::ask(open, course);
    allergy_gone::ask(open, course);
    sides_swapped::ask(open, course, events, known);
    foot_not_on_record::ask(open, events, known);
    relapse_other_foot::ask(open, course);
    for foot in &course.feet {
        already_cut::ask(open, foot);
        total_disagrees::ask(open, foot);
        incomplete_score::ask(open, foot);
        cast_number::ask(open, foot);
        cast_never_removed::ask(open, foot, course);
    }
    confirmed::remove_answered(open, &course.confirmed);
}

/// By day, then kind, foot and entry, so that the order of the input has no effect.
pub(crate) fn in_order(open: &mut [Question]) {
    open.sort_by(|a, b| {
        let key = |question: &Question| (question.on, question.kind, question.side);
        key(a).cmp(&key(b)).then_with(|| a.entries.cmp(&b.entries)).then_with(|| a.text.cmp(&b.text))
    });
}

/// Makes a question.
fn question(
    kind: QuestionKind,
    side: impl Into<Option<Side>>,
    on: Day,
    text: String,
    entries: Vec<EntryId>,
) -> Question {
    Question { kind, side: side.into(), on, text, entries }
}
