//! The parameters of the natural history, with the basis of each.
//!
//! [`Parameters::published`] is the published average foot in an unknown clinic; [`Parameters::notes`] gives
//! the source of every value, or states that it is assumed. For values that were fitted so that the whole model
//! agrees with published totals the notes name the totals.

use super::signs::{LEVELS, Levels};
use statistics::special::normal_cdf;

/// Days in a year, to convert rates per year to days.
pub const DAYS_PER_YEAR: f64 = 365.25;

/// The oldest age at the first cast with published evidence, years.
pub const OLDEST_YEARS: f64 = 3.0;

/// Values that describe feet wherever they are treated.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameters {
    /// Mean true level of each sign (order of [`record::Sign::ALL`]) before the first cast, points.
    pub initial_mean: [f64; 6],
    /// Fall in points of every sign's mean per standard deviation of severity.
    pub initial_by_severity: f64,
    /// Standard deviation of a sign's true level given severity, points.
    pub initial_sd: f64,
    /// Correlation of severity between two feet of one child.
    pub severity_correlation: f64,
    /// Half the mean number of quarters by which a cast takes each sign down ([`super::signs::step`]),
    /// average foot.
    pub fall: [f64; 6],
    /// Standard deviation of the logarithm of pace between feet of one clinic.
    pub pace_sd: f64,
    /// Correlation of pace between two feet of one child.
    pub pace_correlation: f64,
    /// Shift of log pace per year of age at the first cast.
    pub pace_by_age_year: f64,
    /// Shift of log pace per standard deviation of severity.
    pub pace_by_severity: f64,
    /// Shift of log pace of a complex foot.
    pub pace_complex: f64,
    /// Chance of writing the neighbouring answer for a sign whose true value is one of the answers.
    pub rating_slip: f64,
    /// Chance that a cast slips and corrects nothing.
    pub cast_slip: f64,
    /// Dorsiflexion, degrees, of a foot whose rigid equinus is truly 0, before tenotomy.
    pub dorsiflexion_free_deg: f64,
    /// Degrees by which a full point of rigid equinus lowers dorsiflexion.
    pub dorsiflexion_by_equinus_deg: f64,
    /// Standard deviation between feet of dorsiflexion given the true equinus, degrees. The deviation of a foot
    /// is the same at every visit, so only its first measurement adds information.
    pub dorsiflexion_sd_deg: f64,
    /// Standard deviation of reading the angle, independent at every visit, degrees.
    pub dorsiflexion_reading_sd_deg: f64,
    /// The largest value of each hindfoot sign (crease, equinus, heel) after the tenotomy and its cast, points: the
    /// mean of the two levels next to it.
    pub left_after_tenotomy: [f64; 3],
    /// Logit of tenotomy per written hindfoot point above 2 at the decision.
    pub tenotomy_by_hindfoot: f64,
    /// Logit of tenotomy for rigid equinus written 1 at the decision; subtracted for 0.
    pub tenotomy_by_equinus: f64,
    /// Share of children with an adherent family.
    pub adherent: f64,
    /// Ratio of relapse hazards, not adherent to adherent.
    pub relapse_ratio: f64,
    /// Relapse hazard of an adherent foot per year, at ages 0–2, 2–4 and from 4 years.
    pub relapse_per_year: [f64; 3],
    /// Hazard of leaving care per year, in casting and in bracing.
    pub leave_per_year: [f64; 2],
    /// Mean hours a day worn by an adherent family in quarters of a year of bracing, 1 to 6.
    pub wear_hours: [f64; 6],
    /// Hours worn by a family that is not adherent, as a share of those of one that is.
    pub wear_share_not_adherent: f64,
    /// Standard deviation of a family's mean hours in a quarter of a year of bracing, hours; spans
    /// within one quarter share their deviation.
    pub wear_sd_hours: f64,
    /// Hours reported by the family for an hour logged.
    pub wear_over_report: f64,
}

/// The signs by which a clinic decides on tenotomy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TenotomyBy {
    /// Those at the decision, when casting has ended.
    Decision,
    /// Those of the first visit.
    FirstScore,
}

/// The values that differ between clinics. The forecast learns them from the clinic's own feet.
#[derive(Debug, Clone, PartialEq)]
pub struct ClinicHabits {
    /// Logit of tenotomy at a written hindfoot score of 2 with rigid equinus 0.5.
    pub tenotomy_intercept: f64,
    /// The signs by which the clinic decides on tenotomy.
    pub tenotomy_by: TenotomyBy,
    /// Factor on the slopes of tenotomy, [`Parameters::tenotomy_by_hindfoot`] and
    /// [`Parameters::tenotomy_by_equinus`]: how much the clinic follows the signs.
    pub tenotomy_slope: f64,
    /// Shift of log pace of the whole clinic (counting rules, hands).
    pub pace_shift: f64,
    /// Chance that casting ends (followed by tenotomy or brace), by the written midfoot score in half
    /// points, 0 to 6.
    pub go_on: [f64; 7],
    /// Chances of the days between casts, index = days.
    pub interval_days: Vec<f64>,
    /// Days from the decision to the tenotomy.
    pub tenotomy_wait_days: Vec<f64>,
    /// Days from the tenotomy to the brace.
    pub tenotomy_to_brace_days: Vec<f64>,
    /// Days from the decision to the brace without a tenotomy.
    pub ready_to_brace_days: Vec<f64>,
    /// Days of full-time bracing.
    pub full_time_days: Vec<f64>,
    /// Factor on the relapse hazard.
    pub relapse_factor: f64,
}

impl Parameters {
    /// Distribution of each sign's true level before the first cast, for a foot of this severity.
    ///
    /// A normal of the sign's mean, shifted by severity, cut at the mid-points between the levels.
    #[must_use]
    pub fn initial(&self, severity: f64) -> [Levels; 6] {
        self.initial_mean.map(|mean| {
            let mean = mean + self.initial_by_severity * severity;
            let below = |edge: f64| normal_cdf((edge - mean) / self.initial_sd);
            let mut levels = [0.0; LEVELS];
            let mut before = 0.0;
            for (number, level) in levels.iter_mut().enumerate() {
                let edge = 0.25 * number as f64 + 0.125;
                let until = if number + 1 == LEVELS { 1.0 } else { below(edge) };
                *level = until - before;
                before = until;
            }
            levels
        })
    }

    /// Mean of the log pace of feet of this clinic, severity and age at the first cast; `hard` is a
    /// complex foot, or one whose clubfoot has another cause. An unknown age counts as newborn; beyond
    /// [`OLDEST_YEARS`] age makes no further difference, for lack of evidence.
    #[must_use]
    pub fn pace_mean(&self, habits: &ClinicHabits, severity: f64, age_days: Option<i32>, hard: bool) -> f64 {
        let years = (f64::from(age_days.unwrap_or(0)) / DAYS_PER_YEAR).clamp(0.0, OLDEST_YEARS);
        let hard = if hard { self.pace_complex } else { 0.0 };
        habits.pace_shift + self.pace_by_age_year * years + self.pace_by_severity * severity + hard
    }

    /// Half the mean fall of each sign over a cast, in quarters, in a foot of this log pace.
    #[must_use]
    pub fn falls(&self, log_pace: f64) -> [f64; 6] {
        self.fall.map(|fall| 1.0 - (1.0 - fall).powf(log_pace.exp()))
    }
}

impl Parameters {
    /// The published average foot. The basis of each value: [`Self::notes`].
    #[must_use]
    pub const fn published() -> Self {
        Self {
            initial_mean: [0.89, 0.91, 0.93, 0.63, 0.74, 0.63],
            initial_by_severity: 0.165,
            initial_sd: 0.115,
            severity_correlation: 0.85,
            fall: [0.34, 0.43, 0.42, 0.09, 0.15, 0.10],
            pace_sd: 0.16,
            pace_correlation: 0.9,
            pace_by_age_year: -0.175,
            pace_by_severity: 0.04,
            pace_complex: -0.25,
            rating_slip: 0.05,
            cast_slip: 0.017,
            dorsiflexion_free_deg: 14.0,
            dorsiflexion_by_equinus_deg: 74.0,
            dorsiflexion_sd_deg: 16.0,
            dorsiflexion_reading_sd_deg: 3.0,
            left_after_tenotomy: [0.5, 0.02, 0.46],
            tenotomy_by_hindfoot: 3.0,
            tenotomy_by_equinus: 3.0,
            adherent: 0.62,
            relapse_ratio: 7.0,
            relapse_per_year: [0.060, 0.047, 0.040],
            leave_per_year: [0.16, 0.060],
            wear_hours: [22.0, 13.3, 10.6, 9.4, 8.8, 8.6],
            wear_share_not_adherent: 0.5,
            wear_sd_hours: 2.4,
            wear_over_report: 1.3,
        }
    }
}

impl ClinicHabits {
    /// An unknown clinic: the middle of the published ones.
    #[must_use]
    pub fn published() -> Self {
        Self {
            tenotomy_intercept: 4.3,
            tenotomy_by: TenotomyBy::Decision,
            tenotomy_slope: 1.0,
            pace_shift: 0.0,
            go_on: [0.99, 0.55, 0.025, 0.02, 0.005, 0.002, 0.001],
            interval_days: peaked(&[(5, 0.03), (6, 0.10), (7, 0.66), (8, 0.10), (9, 0.03), (14, 0.06)], 29),
            tenotomy_wait_days: peaked(&[(0, 0.80), (3, 0.03), (7, 0.15), (14, 0.02)], 43),
            tenotomy_to_brace_days: peaked(&[(14, 0.05), (20, 0.08), (21, 0.60), (22, 0.12), (28, 0.15)], 64),
            ready_to_brace_days: peaked(&[(0, 0.30), (7, 0.65), (14, 0.05)], 43),
            full_time_days: peaked(&[(84, 0.70), (91, 0.20), (98, 0.10)], 183),
            relapse_factor: 1.0,
        }
    }
}

/// A distribution over days 0 to `len - 1` with chances on these days.
pub(super) fn peaked(days: &[(usize, f64)], len: usize) -> Vec<f64> {
    let mut chances = vec![0.0; len];
    for (day, chance) in days {
        chances[*day] += chance;
    }
    chances
}
