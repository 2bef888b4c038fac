//! Clinical entries before the day of birth: usually one date is wrong, so one question names them all.
//!
//! Referral, registration, diagnosis, appointments and notes may come before birth (a clubfoot seen on
//! a scan); entries that need the child to be present may not.

use super::question;
use crate::events::{Event, is_clinical_visit};
use crate::{Course, Question, QuestionKind};
use record::Body;

fn needs_a_child(event: &Event<'_>) -> bool {
    is_clinical_visit(event.body)
        || matches!(
            event.body,
            Body::CastRemoved(_)
                | Body::BraceChanged(_)
                | Body::Screening(_)
                | Body::Weighed(_)
                | Body::WearReported(_)
                | Body::WearLogged(_)
        )
}

pub(super) fn ask(open: &mut Vec<Question>, course: &Course, events: &[Event<'_>]) {
    let Some(born) = course.about.born else { return };
    let before = &events[..events.partition_point(|event| event.on < born)];
    let mut early = before.iter().filter(|event| needs_a_child(event));
    let Some(first) = early.next() else { return };
    let (on, side) = (first.on, first.body.side());
    let rest: Vec<_> = early.collect();
    let side = side.filter(|_| rest.iter().all(|event| event.body.side() == side));
    let mut entries = vec![first.id()];
    entries.extend(rest.iter().map(|event| event.id()));
    let what = match entries.len() {
        1 => format!("The {} of {} is", first.body.kind().words(), on.words()),
        n => format!("{n} entries from {} on are", on.words()),
    };
    let text = format!("{what} before the day of birth, {}.", born.words());
    open.push(question(QuestionKind::BeforeBirth, side, on, text, entries));
}
