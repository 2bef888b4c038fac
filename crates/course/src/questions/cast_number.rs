//! The clinic's own cast number differs from the count.
//!
//! Asked only if the first number recorded in an episode agrees with the count: a clinic may continue
//! counting from casts applied elsewhere, or through episodes. One slip shifts every number after it, so
//! the question comes where the difference changes, not at every cast.

use super::question;
use crate::{FootCourse, Question, QuestionKind};

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse) {
    for episode in foot.casts.chunk_by(|one, next| one.episode == next.episode) {
        let mut difference = 0;
        let numbered = episode.iter().filter_map(|cast| Some((cast, cast.stated_number?)));
        for (i, (cast, stated)) in numbered.enumerate() {
            let now = i32::from(stated) - i32::from(cast.number);
            if i == 0 && now != 0 {
                break;
            }
            if now != 0 && now != difference {
                let text = format!(
                    "The {} foot's cast of {} is recorded as number {stated}; according to the entries it is number {}.",
                    foot.side,
                    cast.on.words(),
                    cast.number
                );
                open.push(question(QuestionKind::CastNumber, foot.side, cast.on, text, vec![cast.entry]));
            }
            difference = now;
        }
    }
}
