//! What the forecasts of a foot were worth.

use super::calibration::Mark;
use super::experts::Voices;

/// What was said at each sitting of a foot, beside what happened.
#[derive(Debug, Clone, Default)]
pub(crate) struct Trials {
    /// What the signs and the clinic's own counts gave to the sitting of the decision.
    pub(crate) sittings: Vec<(f64, f64)>,
    /// What the experts on tenotomy had said.
    pub(crate) voices: Vec<Voices>,
    /// Where outcomes fell in their forecasts.
    pub(crate) marks: Vec<Mark>,
}

impl Trials {
    pub(crate) fn take(&mut self, more: Self) {
        self.sittings.extend(more.sittings);
        self.voices.extend(more.voices);
        self.marks.extend(more.marks);
    }
}
