//! "None known" after an allergy was named: the newer answer does not make the older one untrue. It is asked
//! about before it is saved; a note that follows the newer entry answers it.

use super::question;
use crate::{AllergiesSeen, Course, Question, QuestionKind};

pub(super) fn ask(open: &mut Vec<Question>, course: &Course) {
    let mut named: Option<&AllergiesSeen> = None;
    for answer in &course.preparation.allergies {
        if answer.are_named() {
            named = Some(answer);
            continue;
        }
        let Some(before) = named else { continue };
        if course.confirmed.contains(&answer.entry) {
            named = None;
            continue;
        }
        let text = format!(
            "Allergies “none known” on {}, after {} on {}: say why the earlier answer no longer holds, or correct one of the two.",
            answer.on.words(),
            before
                .said
                .which
                .as_deref()
                .map_or("an allergy".to_owned(), |which| format!("“{}”", which.trim())),
            before.on.words()
        );
        open.push(question(QuestionKind::AllergyGone, None, answer.on, text, vec![answer.entry]));
    }
}
