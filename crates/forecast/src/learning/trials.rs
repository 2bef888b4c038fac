//! The trials of the forecasts of a foot: what they stated, and where the outcomes lay.

use super::calibration::Mark;
use super::experts::Opinions;

/// The forecasts at each visit of a foot, compared with the outcome.
#[derive(Debug, Clone, Default)]
pub(crate) struct Trials {
    /// The chances of the visit of the decision, by the signs and by the clinic's own counts.
    pub(crate) cast_visits: Vec<(f64, f64)>,
    /// The opinions of the experts on tenotomy.
    pub(crate) opinions: Vec<Opinions>,
    /// The places of outcomes in their forecasts.
    pub(crate) marks: Vec<Mark>,
}

impl Trials {
    pub(crate) fn take(&mut self, more: Self) {
        self.cast_visits.extend(more.cast_visits);
        self.opinions.extend(more.opinions);
        self.marks.extend(more.marks);
    }
}
