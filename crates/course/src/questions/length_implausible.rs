//! A length that does not fit the one before it: a foot that has become shorter, a foot that has grown
//! faster than any foot grows, shoulders that have become narrower.
//!
//! Two measurements of one foot differ by up to about 5 mm each way (limits of agreement of raters: −4.5 to
//! 5.9 mm in 19 children, Manousaki 2022, BMC Musculoskelet Disord 23:506), so
//! that 8 mm between them is beyond error. Growth is fastest after birth, 3 mm a month on average
//! (Snyder 1977); twice that, beside the 8 mm of error, is asked about. A length is held against the last
//! one of that foot that was itself not asked about.

use super::question;
use crate::{Course, FootLength, Question, QuestionKind, ShoulderMeasured};
use record::{Day, Side};

/// Beyond this two measurements of one foot do not differ by error.
const FOOT_ERROR_MM: i32 = 8;
/// No foot grows faster than this, in hundredths of a millimetre a day: 6 mm a month.
const FOOT_FASTEST: i32 = 20;
/// Beyond this two measurements of one shoulder width do not differ by error (common practice, no source).
const SHOULDER_ERROR_MM: i32 = 25;

pub(super) fn ask(open: &mut Vec<Question>, course: &Course) {
    for side in Side::BOTH {
        let lengths = course.foot_lengths.iter().filter(|length| length.side == side);
        feet(open, side, lengths);
    }
    shoulders(open, &course.shoulders);
}

fn feet<'a>(open: &mut Vec<Question>, side: Side, lengths: impl Iterator<Item = &'a FootLength>) {
    let mut held: Option<&FootLength> = None;
    for length in lengths {
        let Some(before) = held else {
            held = Some(length);
            continue;
        };
        let (change, days) = (i32::from(length.mm) - i32::from(before.mm), length.on - before.on);
        let faster = change > FOOT_ERROR_MM + days.max(0) * FOOT_FASTEST / 100;
        if change > -FOOT_ERROR_MM && !faster {
            held = Some(length);
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
