//! Two plain chances of a tenotomy: the published rule of thumb, and the clinic's running average.
//!
//! The rule: a hindfoot score of 2.5–3 has a tenotomy in 72 % (Dyer & Davis 2006, 70 feet,
//! 10.1302/0301-620X.88B8.17482). It does not cover lower scores, which have the share of the published low
//! bands, 25 of 62 (40 %: 13 of 23 below a total of 5, Scher 2004; 12 of 39 below 3, Calabar), nor feet
//! without a hindfoot score, which have the mean of the ten published rates, 67.7 %. The last recorded
//! hindfoot score counts.
//!
//! Two feet with the published rate are added to the running average, so that there is one from the first day
//! and no chance is 0 or 1.

use crate::{SeenFoot, halves};
use record::Sign;

/// Mean of ten published rates of tenotomy: 22, 52, 61, 66, 72, 74, 74, 84, 86 and 86 %.
pub(crate) const PUBLISHED_RATE: f64 = 0.677;
/// Weight of the published rate, feet; assumed.
const RATE_WEIGHT: f64 = 2.0;
const HIGH_HINDFOOT: f64 = 0.72;
const LOW_HINDFOOT: f64 = 25.0 / 62.0;
/// Two and a half points.
const HIGH_HALVES: u8 = 5;

/// The last hindfoot score recorded by a day, half points.
pub(crate) fn last_hindfoot(foot: &SeenFoot, as_of: i32) -> Option<u8> {
    let known = foot.visits.iter().rev().filter(|visit| visit.day <= as_of);
    known.map(|visit| halves(&visit.signs, &Sign::ALL[3..])).find_map(|score| score)
}

/// The rule's chance of a tenotomy, as of a day.
pub(crate) fn rule_of_thumb(foot: &SeenFoot, as_of: i32) -> f64 {
    match last_hindfoot(foot, as_of) {
        Some(HIGH_HALVES..) => HIGH_HINDFOOT,
        Some(_) => LOW_HINDFOOT,
        None => PUBLISHED_RATE,
    }
}

/// The share of finished feet with a tenotomy.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RunningRate {
    cut: f64,
    feet: f64,
}

impl RunningRate {
    pub(crate) const START: Self = Self { cut: RATE_WEIGHT * PUBLISHED_RATE, feet: RATE_WEIGHT };

    pub(crate) fn learn(&mut self, cut: bool) {
        self.cut += f64::from(u8::from(cut));
        self.feet += 1.0;
    }

    /// As [`Self::learn`], after reducing the weight of the earlier counts.
    pub(crate) fn learn_fading(&mut self, cut: bool, fade: f64) {
        self.cut *= fade;
        self.feet *= fade;
        self.learn(cut);
    }

    pub(crate) fn rate(&self) -> f64 {
        self.cut / self.feet
    }

    /// The rate after adding `weight` feet with another rate.
    pub(crate) fn shrunk_to(&self, other: f64, weight: f64) -> f64 {
        (self.cut + weight * other) / (self.feet + weight)
    }

    /// No foot at all.
    pub(crate) const EMPTY: Self = Self { cut: 0.0, feet: 0.0 };

    /// About the 5 % and 95 % points of the rate.
    pub(crate) fn interval(&self) -> (f64, f64) {
        let rate = self.rate();
        let spread = 1.645 * (rate * (1.0 - rate) / (self.feet + 1.0)).sqrt();
        ((rate - spread).max(0.0), (rate + spread).min(1.0))
    }
}
