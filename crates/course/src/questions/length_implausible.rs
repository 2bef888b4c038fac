//! A length that is not plausible after the previous one: a foot that has become shorter, a foot that has
//! grown faster than any foot grows, shoulders that have become narrower.
//!
//! Two measurements of one foot differ by up to about 5 mm each way (limits of agreement of raters: −4.5 to
//! 5.9 mm in 19 children, Manousaki 2022, BMC Musculoskelet Disord 23:506), so a difference of 8 mm is beyond
//! error. Growth is fastest after birth, 3 mm a month on average (Snyder 1977); the question is asked from
//! twice that plus the error of 8 mm. A length is compared with the last length of that foot that was not
//! itself in question.

use super::question;
use crate::{Course, FootLength, Question, QuestionKind, ShoulderMeasured};
use record::{Day, Side};

/// Two measurements of one foot do not differ by more than this through error.
const FOOT_ERROR_MM: i32 = 8;
/// No foot grows faster than this, in hundredths of a millimetre a day: 6 mm a month.
const FOOT_FASTEST: i32 = 20;
/// Two measurements of one shoulder width do not differ by more than this through error (common practice, no
/// source).
const SHOULDER_ERROR_MM: i32 = 25;

pub(super) fn ask(open: &mut Vec<Question>, course: &Course) {
    for side in Side::BOTH {
        let lengths = course.foot_lengths.iter().filter(|length| length.side == side);
        feet(open, side, lengths);
    }
    shoulders(open, &course.shoulders);
}

fn feet<'a>(open: &mut Vec<Question>, side: Side, lengths: impl Iterator<Item = &'a FootLength>) {
    let mut compared_with: Option<&FootLength> = None;
    for length in lengths {
        let Some(before) = compared_with else {
            compared_with = Some(length);
            continue;
        };
        let (change, days) = (i32::from(length.mm) - i32::from(before.mm), length.on - before.on);
        let faster = change > FOOT_ERROR_MM + days.max(0) * FOOT_FASTEST / 100;
        if change > -FOOT_ERROR_MM && !faster {
            compared_with = Some(length);
            continue;
        }
        let text = words(side.title(), "foot", (before.mm, before.on), (length.mm, length.on));
        let entries = vec![before.entry, length.entry];
        open.push(question(QuestionKind::LengthImplausible, side, length.on, text, entries));
    }
}

fn shoulders(open: &mut Vec<Question>, measured: &[ShoulderMeasured]) {
    for (n, width) in measured.iter().enumerate() {
        let before = measured[..n].iter().rev().find(|before| before.width == width.width);
        let Some(before) = before.filter(|before| {
            width.width.is_some() && i32::from(before.mm) - i32::from(width.mm) >= SHOULDER_ERROR_MM
        }) else {
            continue;
        };
        let text = words("The", "shoulder width", (before.mm, before.on), (width.mm, width.on));
        let entries = vec![before.entry, width.entry];
        open.push(question(QuestionKind::LengthImplausible, None, width.on, text, entries));
    }
}

fn words(whose: &str, what: &str, before: (u16, Day), now: (u16, Day)) -> String {
    format!(
        "{whose} {what}: {} mm on {} after {} mm on {}. One of the two cannot be right: measure again, and correct the one that is wrong.",
        now.0,
        now.1.words(),
        before.0,
        before.1.words()
    )
}
