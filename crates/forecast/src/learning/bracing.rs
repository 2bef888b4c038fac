//! Relapse and wear in this clinic: a factor on the published hazard, a share of adherent families.

use crate::bracing::{Family, cumulative_hazard};
use crate::natural_history::{ClinicHabits, Parameters};
use crate::{SeenChild, SeenFoot};

/// Weight of the published prior, in relapses. Assumed.
const RELAPSES: f64 = 4.0;
/// Weight of the published share of adherent families, in children. Assumed.
const FAMILIES: f64 = 10.0;

/// The posterior of relapse and wear.
#[derive(Debug, Clone)]
pub(crate) struct BracingHabit {
    /// Shape and rate of the Gamma of the factor.
    pub(crate) shape: f64,
    pub(crate) rate: f64,
    adherent: f64,
    families: f64,
    pub(crate) children: usize,
}

impl BracingHabit {
    pub(crate) fn new(foot: &Parameters, habits: &ClinicHabits) -> Self {
        Self {
            shape: RELAPSES,
            rate: RELAPSES / habits.relapse_factor.max(1e-3),
            adherent: FAMILIES * foot.adherent,
            families: FAMILIES,
            children: 0,
        }
    }

    pub(crate) fn factor(&self) -> f64 {
        self.shape / self.rate
    }

    pub(crate) fn adherent(&self) -> f64 {
        (self.adherent / self.families).clamp(0.01, 0.99)
    }

    /// 5 % and 95 % points of the factor (Wilson & Hilferty 1931), of half the weight for a foot unlike
    /// the published ones.
    pub(crate) fn interval(&self, unlike: bool) -> (f64, f64) {
        let share = if unlike { 0.5 } else { 1.0 };
        let (shape, rate) = (self.shape * share, self.rate * share);
        let spread = 1.0 / (9.0 * shape);
        let at = |z: f64| shape / rate * (1.0 - spread + z * spread.sqrt()).max(0.0).powi(3);
        (at(-1.644_853_6), at(1.644_853_6))
    }

    /// Learns from a child in the brace, followed until a day.
    pub(crate) fn learn(&mut self, foot: &Parameters, child: &SeenChild, until: i32) {
        let braced: Vec<&SeenFoot> = child.feet.iter().filter(|foot| foot.brace_day.is_some()).collect();
        let Some(born) = child.born_day.filter(|_| !braced.is_empty()) else { return };
        let family = Family::of(foot, child, self.adherent(), self.factor(), until);
        self.children += 1;
        self.adherent += family.adherent;
        self.families += 1.0;
        let seen_until = child.left_day.unwrap_or(until).min(until);
        for seen in braced {
            let Some(brace) = seen.brace_day else { continue };
            let end = seen.relapse_day.unwrap_or(seen_until).min(seen_until);
            let plain = cumulative_hazard(foot, brace - born, end - born);
            self.rate += plain * (family.adherent + (1.0 - family.adherent) * foot.relapse_ratio);
            self.shape += f64::from(u8::from(seen.relapse_day.is_some_and(|day| day <= until)));
        }
    }
}
