//! The day of birth is not known, so no age can be calculated. It is never guessed.

use super::question;
use crate::events::Event;
use crate::{Course, Question, QuestionKind};

pub(super) fn ask(open: &mut Vec<Question>, course: &Course, events: &[Event<'_>]) {
    let Some(first) = events.first() else { return };
    if course.about.born.is_some() {
        return;
    }
    let on = course.referred_on.unwrap_or(first.on);
    let entries = vec![course.registered.unwrap_or(first.id())];
    let text = "The day of birth is not recorded, so the age is not known.".to_owned();
    open.push(question(QuestionKind::NoBirthDay, None, on, text, entries));
}
