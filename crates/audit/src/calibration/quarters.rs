//! How one person scores compared with the others, on the whole, sign by sign and quarter by quarter.
//!
//! The mean of the person's value minus the other's over the feet that both scored, with a variance clustered by child
//! and Student's t ([`crate::ratio`]). A quarter of the calendar with fewer than [`FEWEST_IN_QUARTER`] children has no
//! mean. The method of drift over a year is that of [`crate::raters`]; quarters show when a change began, and are not
//! tested one by one.

use crate::{
    figure::Estimate,
    raters::{ItemDifference, NumberedPair, RatedItem, from_others},
    ratio::Ratio,
};
use record::{Day, Sign};

/// With fewer children than this in a quarter no mean is given. Our own choice: the interval of four is wider than the
/// scale of most differences.
pub const FEWEST_IN_QUARTER: usize = 5;

/// A rater in one quarter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RaterQuarter {
    /// The first day of the quarter.
    pub from: Day,
    /// Feet also scored by another rater.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Mean total minus the other's, in points; `None` if there are too few children.
    pub mean: Option<Estimate>,
}

/// A rater on one sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SignLean {
    /// The sign.
    pub sign: Sign,
    /// Feet for which both gave a level.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Mean level minus the other's, in points; `None` if there are too few children.
    pub mean: Option<Estimate>,
}

/// A rater beside the others.
#[derive(Debug, Clone, PartialEq)]
pub struct RaterQuarters {
    /// The number of the rater.
    pub rater: u16,
    /// Feet also scored by another rater.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Mean total minus the other's over all feet, in points; `None` if there are too few children.
    pub bias: Option<Estimate>,
    /// Sign by sign.
    pub signs: Vec<SignLean>,
    /// Quarter by quarter, those with feet only.
    pub quarters: Vec<RaterQuarter>,
}

impl RaterQuarters {
    /// From pairs that come child by child; `None` for a person who scored none of them.
    #[must_use]
    pub fn of(rater: u16, pairs: &[NumberedPair]) -> Option<Self> {
        pairs.iter().any(|(_, pair)| pair.raters.contains(&rater)).then_some(())?;
        let totals = from_others(RatedItem::Total, rater, pairs);
        let all = mean_of(&totals);
        let sign = |sign: Sign| {
            let found = mean_of(&from_others(RatedItem::Sign(sign), rater, pairs));
            SignLean { sign, n: found.n, children: found.children, mean: told(&found) }
        };
        Some(Self {
            rater,
            n: all.n,
            children: all.children,
            bias: told(&all),
            signs: Sign::ALL.map(sign).to_vec(),
            quarters: quarters(&totals),
        })
    }
}

fn mean_of<'a>(differences: impl IntoIterator<Item = &'a ItemDifference>) -> Ratio {
    let mut ratio = Ratio::default();
    differences.into_iter().for_each(|(child, _, value)| ratio.add(*child, *value, 1.0));
    ratio.done()
}

fn told(found: &Ratio) -> Option<Estimate> {
    let value = found.value().filter(|_| found.children >= FEWEST_IN_QUARTER)?;
    Some(Estimate::new(value, found.mean_limits()))
}

fn quarters(totals: &[ItemDifference]) -> Vec<RaterQuarter> {
    let mut begins: Vec<Day> = totals.iter().map(|(_, on, _)| begin(*on)).collect();
    begins.sort_unstable();
    begins.dedup();
    let of = |from: Day| {
        let found = mean_of(totals.iter().filter(|(_, on, _)| begin(*on) == from));
        RaterQuarter { from, n: found.n, children: found.children, mean: told(&found) }
    };
    begins.into_iter().map(of).collect()
}

/// The first day of the quarter of a day.
pub(super) fn begin(day: Day) -> Day {
    let (year, month, _) = day.parts();
    Day::new(year, (month - 1) / 3 * 3 + 1, 1).unwrap_or(day)
}
