//! Two plain forecasts to be beaten.
//!
//! **The published rule of thumb.** A total of 4 or more at first takes at least four casts, one below 4
//! three or fewer (Dyer & Davis 2006, 70 feet, 10.1302/0301-620X.88B8.17482). It is completed so: 4 casts
//! in all, or 3; 4 where the first score is incomplete; still to come is what is left of that, at least
//! one as long as the foot is in casts. A hindfoot score of 2.5–3 has a tenotomy in 72 % (the same
//! paper). It is silent on lower scores, which get the share of the published low bands, 25 of 62
//! (40 %: 13 of 23 below a total of 5, Scher 2004; 12 of 39 below 3, Calabar), and on feet without a
//! hindfoot score, which get the mean of the ten published rates, 67.7 %. The last hindfoot score written
//! counts.
//!
//! **The clinic's running average.** Of the feet finished before the day: the mean of their casts less
//! those this foot has had, at least one; the share that had a tenotomy. Both are shrunk so that there
//! is one from the first day and no chance is 0 or 1: five feet with the published mean of 5.6 casts, two
//! feet with the published rate of 67.7 %.

use crate::learning::PUBLISHED_RATE;
use crate::{SeenFoot, halves};
use record::Sign;

const HIGH_HINDFOOT: f64 = 0.72;
const LOW_HINDFOOT: f64 = 25.0 / 62.0;
const PUBLISHED_CASTS: f64 = 5.6;
/// Two and a half points.
const HIGH_HALVES: u8 = 5;

/// The rule's chance of a tenotomy.
pub(super) fn rule_tenotomy(foot: &SeenFoot) -> f64 {
    let last = foot.visits.iter().rev().find_map(|visit| halves(&visit.signs, &Sign::ALL[3..]));
    match last {
        Some(HIGH_HALVES..) => HIGH_HINDFOOT,
        Some(_) => LOW_HINDFOOT,
        None => PUBLISHED_RATE,
    }
}

/// The rule's casts still to come.
pub(super) fn rule_casts(foot: &SeenFoot) -> f64 {
    let first = foot.visits.first().and_then(|visit| halves(&visit.signs, &Sign::ALL));
    let whole = if first.is_some_and(|total| total < 8) { 3.0 } else { 4.0 };
    (whole - f64::from(foot.casts)).max(1.0)
}

/// The clinic's averages so far.
#[derive(Debug, Clone, Copy)]
pub(super) struct Running {
    casts: f64,
    feet: f64,
    cut: f64,
    decided: f64,
}

impl Running {
    pub(super) const fn new() -> Self {
        Self { casts: 5.0 * PUBLISHED_CASTS, feet: 5.0, cut: 2.0 * PUBLISHED_RATE, decided: 2.0 }
    }

    pub(super) fn learn(&mut self, foot: &SeenFoot) {
        self.casts += f64::from(foot.casts);
        self.feet += 1.0;
        self.cut += f64::from(u8::from(foot.tenotomy_day.is_some()));
        self.decided += 1.0;
    }

    pub(super) fn tenotomy(&self) -> f64 {
        self.cut / self.decided
    }

    pub(super) fn casts(&self, foot: &SeenFoot) -> f64 {
        (self.casts / self.feet - f64::from(foot.casts)).max(1.0)
    }
}
