//! A cast on for longer than any protocol allows, with no removal recorded.
//!
//! Asked if no removal is recorded and the next cast or brace came more than [`LONGEST_WORN_DAYS`] days
//! later, or the child was seen that long after it, or was discharged with it on. The protocol's own,
//! shorter limit is applied by the attention rules.

use super::question;
use crate::{CastWorn, Course, FootCourse, Question, QuestionKind, Standing};

/// Longest time for which any protocol leaves one cast on: six weeks, after tenotomy in a child over
/// two years in one series (Indian series in the collected evidence on correction, section 5).
pub(crate) const LONGEST_WORN_DAYS: i32 = 42;

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse, course: &Course) {
    for cast in &foot.casts {
        if let Some(how) = overdue(cast, course) {
            let text = format!(
                "No removal of the cast applied to the {} foot on {} is recorded; {how}.",
                foot.side,
                cast.on.words()
            );
            open.push(question(QuestionKind::CastNeverRemoved, foot.side, cast.on, text, vec![cast.entry]));
        }
    }
}

/// How the entries show that it was on too long.
fn overdue(cast: &CastWorn, course: &Course) -> Option<String> {
    let limit = cast.on + LONGEST_WORN_DAYS;
    match (cast.off, course.standing) {
        (Some((day, None)), _) if day > limit => {
            Some(format!("the next cast or brace came {} days later", day - cast.on))
        }
        (Some(_), _) => None,
        (None, Standing::Discharged(day)) => Some(format!("the child was discharged on {}", day.words())),
        (None, _) => {
            let later = course.seen_on.partition_point(|&day| day <= limit);
            let seen = *course.seen_on.get(later)?;
            Some(format!("the child was seen {} days later, on {}", seen - cast.on, seen.words()))
        }
    }
}
