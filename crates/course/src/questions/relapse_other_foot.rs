//! A relapse of one foot is noted, and the other foot is cast.
//!
//! After bracing, one foot was noted as relapsed and has been neither cast, cut, operated on, booked nor
//! braced since, while a new episode of casts was begun on the other foot within [`WITHIN_DAYS`] of the
//! note and no relapse of that foot is recorded. Either one of the two sides is wrong, or an entry is missing.

use super::question;
use crate::{CastWorn, Course, FootCourse, Question, QuestionKind};
use record::Day;

/// Days after the relapse was noted within which casts on the other foot count as its treatment.
/// Judgement; no source.
const WITHIN_DAYS: i32 = 60;

pub(super) fn ask(open: &mut Vec<Question>, course: &Course) {
    let [right, left] = course.feet.as_slice() else { return };
    open.extend(pair(course, right, left).or_else(|| pair(course, left, right)));
}

fn pair(course: &Course, relapsed: &FootCourse, cast: &FootCourse) -> Option<Question> {
    let relapse = course.untreated_relapse(relapsed)?;
    let first = begun(cast, relapse.on)?;
    let noted = cast.relapses.iter().any(|other| other.episode == first.episode);
    if noted {
        return None;
    }
    let text = format!(
        "A relapse of the {} foot was noted on {}, and casts were begun on the {} foot on {}: check the side.",
        relapsed.side,
        relapse.on.words(),
        cast.side,
        first.on.words()
    );
    Some(question(QuestionKind::RelapseOtherFoot, None, first.on, text, vec![relapse.entry, first.entry]))
}

/// The first cast of a later episode, if it began on a day or soon after it.
fn begun(foot: &FootCourse, from: Day) -> Option<&CastWorn> {
    let first = foot.casts.iter().find(|cast| cast.episode == foot.episode)?;
    (foot.episode > 1 && (0..=WITHIN_DAYS).contains(&(first.on - from))).then_some(first)
}
