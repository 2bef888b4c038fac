//! A weight that is not plausible for the age, or after the weight before: usually another unit, a digit too many
//! or another child. A dose rests on it, so it is asked about before it is saved, and a note answers it.
//!
//! - Above the highest plausible weight of the age. The limits lie above the third standard deviation of the
//!   growth standards for healthy children (about 5 kg at birth, 9 kg at 3 months, 11 kg at 6, 13.5 kg at 12,
//!   17 kg at 24, 28 kg at 60; from memory), with some margin, so that a weight typed in pounds or twice too high
//!   is found in an infant. There is no lower limit: a dose from a weight that is too low is low.
//! - More than 60 g a day and 500 g above the weight before, or above the weight at birth: infants gain some 30 g a
//!   day (from memory), and scales and clothes differ.
//! - More than 15 % and 300 g below the weight before (common practice, no source).
//!
//! A weight is compared with the last one that was not itself in question, or was confirmed.

use super::question;
use crate::{Course, Question, QuestionKind, WeightSeen};
use record::Day;

/// Age in months and the highest plausible weight at that age, grams; between two rows in a straight line.
const HIGHEST: [(i32, i32); 7] =
    [(0, 6_000), (3, 9_500), (6, 12_000), (12, 15_000), (24, 19_000), (60, 32_000), (144, 60_000)];
/// No child gains more than this, grams a day.
const MOST_GAIN_G: i32 = 60;
/// Two weights differ by no more than this through scales and clothes, grams.
const SCALES_G: i32 = 500;
/// A loss is asked about from this share of the weight, per cent, and from this size, grams.
const LOSS: (i32, i32) = (15, 300);

pub(super) fn ask(open: &mut Vec<Question>, course: &Course) {
    let at_birth = course.about.born.zip(course.about.birth_weight_g);
    let mut before: Option<(Day, u16)> = at_birth;
    for weight in &course.preparation.weights {
        let doubt = for_age(course, weight).or_else(|| after(before?, weight));
        if doubt.is_none() || course.confirmed.contains(&weight.entry) {
            before = Some((weight.on, weight.grams));
        }
        if let Some(text) = doubt {
            // Only the later entry: a note that confirms a weight must not answer a question about the next one.
            open.push(question(QuestionKind::WeightImplausible, None, weight.on, text, vec![weight.entry]));
        }
    }
}

fn for_age(course: &Course, weight: &WeightSeen) -> Option<String> {
    let highest = highest(course.about.born?, weight.on)?;
    (i32::from(weight.grams) > highest).then(|| {
        format!(
            "Weight {} g on {}: more than {highest} g is not expected at this age. Check unit, digits and child, and weigh again.",
            weight.grams,
            weight.on.words()
        )
    })
}

/// The highest plausible weight on a day, grams; `None` before birth and after the twelfth birthday.
fn highest(born: Day, on: Day) -> Option<i32> {
    let months = born.months_to(on);
    let rows = HIGHEST.iter().zip(HIGHEST.iter().skip(1));
    let mut around = rows.filter(|((from, _), (to, _))| (*from..*to).contains(&months));
    let ((from, low), (to, high)) = around.next()?;
    Some(low + (high - low) * (months + 1 - from).min(to - from) / (to - from))
}

fn after((day, grams): (Day, u16), weight: &WeightSeen) -> Option<String> {
    let (was, is) = (i32::from(grams), i32::from(weight.grams));
    let days = (weight.on - day).max(0);
    let gained = is - was > SCALES_G + days.saturating_mul(MOST_GAIN_G);
    let lost = was - is > LOSS.1 && (was - is) * 100 > was * LOSS.0;
    (gained || lost).then(|| {
        format!(
            "Weight {is} g on {} after {was} g on {}: one of the two cannot be right. Check unit, digits and child, and weigh again.",
            weight.on.words(),
            day.words()
        )
    })
}
