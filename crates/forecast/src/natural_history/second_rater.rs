//! The same signs judged once more, for studies of how far raters agree.

use super::casting::Rules;
use super::chance::Chance;
use super::{ClinicHabits, Cohort, Parameters};
use crate::SignsSeen;

/// Judges feet of a simulated cohort again, with draws of its own: nothing else of the cohort depends on them.
pub struct SecondRater<'a> {
    rules: Rules<'a>,
    chance: Chance,
}

impl<'a> SecondRater<'a> {
    /// A rater with the same error as those of the cohort.
    #[must_use]
    pub fn of(parameters: &'a Parameters, habits: &'a ClinicHabits, cohort: &'a Cohort) -> Self {
        Self {
            rules: Rules::of(parameters, habits, cohort),
            chance: Chance::of(cohort.seed ^ 0x5EC0_4D0A, 0),
        }
    }

    /// Turns to the child of this number: it gets the same draws whatever was drawn before.
    pub fn turn_to(&mut self, child: usize) {
        self.chance = Chance::of(self.rules.cohort.seed ^ 0x5EC0_4D0A, child as u64);
    }

    /// The signs at these levels as this rater judges them.
    pub fn judge(&mut self, levels: &[u8; 6]) -> SignsSeen {
        self.rules.judge(levels, &mut self.chance)
    }

    /// A number from 0 to 1, for what else a study draws by child.
    pub fn unit(&mut self) -> f64 {
        self.chance.unit()
    }
}
