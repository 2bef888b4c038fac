//! Two plain forecasts for comparison.
//!
//! **The published rule of thumb.** A first total of 4 or more takes at least four casts, one below 4
//! three or fewer (Dyer & Davis 2006, 70 feet, 10.1302/0301-620X.88B8.17482). Here it is used as 4 casts
//! in all, or 3, and 4 if the first score is incomplete; the casts to come are the rest of that, at least
//! one as long as the foot is in casts.
//!
//! **The clinic's running average.** The mean number of casts of the feet finished before the day, minus
//! the casts of this foot so far, at least one; five feet with the published mean of 5.6 casts are added, so that
//! there is an average from the first day.
//!
//! Both also have a chance of a tenotomy, which is one of the experts of the forecast: see `learning::rule`.

use crate::learning::RunningRate;
use crate::{SeenFoot, halves};
use record::Sign;

const PUBLISHED_CASTS: f64 = 5.6;

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
    cut: RunningRate,
}

impl Running {
    pub(super) const fn new() -> Self {
        Self { casts: 5.0 * PUBLISHED_CASTS, feet: 5.0, cut: RunningRate::START }
    }

    pub(super) fn learn(&mut self, foot: &SeenFoot) {
        self.casts += f64::from(foot.casts);
        self.feet += 1.0;
        self.cut.learn(foot.tenotomy_day.is_some());
    }

    pub(super) fn tenotomy(&self) -> f64 {
        self.cut.rate()
    }

    pub(super) fn casts(&self, foot: &SeenFoot) -> f64 {
        (self.casts / self.feet - f64::from(foot.casts)).max(1.0)
    }
}
