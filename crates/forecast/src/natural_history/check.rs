//! Impossible numbers of a simulation are refused with a message.

use super::{ClinicHabits, Cohort, Parameters};

/// The longest wait, days.
const MOST_DAYS: usize = 2_000;

/// The oldest age at the first cast, days.
const OLDEST_DAYS: i32 = 7_305;

/// The days of a calendar, some 2,700 years either way.
const CALENDAR: std::ops::RangeInclusive<i32> = -1_000_000..=1_000_000;

/// The reason why a simulation is not possible.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// No child.
    #[error("there are no children to simulate: at least one child is expected")]
    NoChildren,
    /// A number out of range.
    #[error("{name} is {value}: {expected} is expected")]
    Number {
        /// Which.
        name: &'static str,
        /// As given.
        value: f64,
        /// The expected range.
        expected: &'static str,
    },
    /// Chances without any day.
    #[error(
        "{name} gives no day a chance: chances of 0 or more for at most {MOST_DAYS} days are expected, one of \
         them above 0"
    )]
    NoDay {
        /// Which.
        name: &'static str,
    },
    /// Days out of order.
    #[error("the last referral (day {last}) is before the first (day {first})")]
    Calendar {
        /// First referral.
        first: i32,
        /// Last referral.
        last: i32,
    },
}

/// The permitted range of a number.
#[derive(Clone, Copy)]
enum Kind {
    Share,
    Correlation,
    Positive,
    NotNegative,
    Any,
}

impl Kind {
    fn permits(self, value: f64) -> bool {
        value.is_finite()
            && match self {
                Self::Share => (0.0..=1.0).contains(&value),
                Self::Correlation => value > -1.0 && value < 1.0,
                Self::Positive => value > 0.0,
                Self::NotNegative => value >= 0.0,
                Self::Any => true,
            }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Share => "a share from 0 to 1",
            Self::Correlation => "a correlation between -1 and 1",
            Self::Positive => "a number above 0",
            Self::NotNegative => "a number of 0 or more",
            Self::Any => "a number",
        }
    }
}

fn demand(name: &'static str, kind: Kind, values: &[f64]) -> Result<(), ModelError> {
    match values.iter().find(|value| !kind.permits(**value)) {
        Some(value) => Err(ModelError::Number { name, value: *value, expected: kind.words() }),
        None => Ok(()),
    }
}

fn days(name: &'static str, chances: &[f64]) -> Result<(), ModelError> {
    let good = chances.iter().all(|chance| Kind::NotNegative.permits(*chance));
    let some = chances.iter().sum::<f64>() > 0.0 && chances.len() <= MOST_DAYS;
    if good && some { Ok(()) } else { Err(ModelError::NoDay { name }) }
}

impl Parameters {
    /// Checks that a foot can be simulated with these numbers.
    ///
    /// # Errors
    /// Names the first number that is out of range.
    pub fn check(&self) -> Result<(), ModelError> {
        use Kind::{Any, Correlation, NotNegative, Positive, Share};
        demand("initial_mean", Any, &self.initial_mean)?;
        demand("initial_by_severity", Any, &[self.initial_by_severity])?;
        demand("initial_sd", Positive, &[self.initial_sd])?;
        demand("severity_correlation", Correlation, &[self.severity_correlation])?;
        demand("fall", Share, &self.fall)?;
        demand("pace_sd", Positive, &[self.pace_sd])?;
        demand("pace_correlation", Correlation, &[self.pace_correlation])?;
        let shifts = [self.pace_by_age_year, self.pace_by_severity, self.pace_complex];
        demand("a shift of pace", Any, &shifts)?;
        demand("rating_slip", Share, &[self.rating_slip])?;
        demand("cast_slip", Share, &[self.cast_slip])?;
        demand("left_after_tenotomy", Share, &self.left_after_tenotomy)?;
        demand("dorsiflexion", Any, &[self.dorsiflexion_free_deg, self.dorsiflexion_by_equinus_deg])?;
        let spreads = [self.dorsiflexion_sd_deg, self.dorsiflexion_reading_sd_deg];
        demand("spread of dorsiflexion", NotNegative, &spreads)?;
        demand("tenotomy", Any, &[self.tenotomy_by_hindfoot, self.tenotomy_by_equinus])?;
        demand("adherent", Share, &[self.adherent])?;
        demand("relapse_ratio", NotNegative, &[self.relapse_ratio])?;
        demand("relapse_per_year", NotNegative, &self.relapse_per_year)?;
        demand("leave_per_year", NotNegative, &self.leave_per_year)?;
        demand("wear_hours", NotNegative, &self.wear_hours)?;
        demand("wear_share_not_adherent", Share, &[self.wear_share_not_adherent])?;
        demand("wear_sd_hours", NotNegative, &[self.wear_sd_hours])?;
        demand("wear_over_report", Positive, &[self.wear_over_report])
    }
}

impl ClinicHabits {
    /// Checks that a clinic can be simulated with these numbers.
    ///
    /// # Errors
    /// Names the first number that is out of range.
    pub fn check(&self) -> Result<(), ModelError> {
        demand("tenotomy_intercept", Kind::Any, &[self.tenotomy_intercept])?;
        demand("tenotomy_slope", Kind::NotNegative, &[self.tenotomy_slope])?;
        demand("pace_shift", Kind::Any, &[self.pace_shift])?;
        demand("go_on", Kind::Share, &self.go_on)?;
        demand("relapse_factor", Kind::NotNegative, &[self.relapse_factor])?;
        if self.interval_days.first().is_some_and(|chance| *chance > 0.0) {
            return Err(ModelError::Number {
                name: "the interval between casts",
                value: 0.0,
                expected: "a day or more",
            });
        }
        days("interval_days", &self.interval_days)?;
        days("tenotomy_wait_days", &self.tenotomy_wait_days)?;
        days("tenotomy_to_brace_days", &self.tenotomy_to_brace_days)?;
        days("ready_to_brace_days", &self.ready_to_brace_days)?;
        days("full_time_days", &self.full_time_days)
    }
}

impl Cohort {
    /// Checks that children can be simulated with these options.
    ///
    /// # Errors
    /// Names the first that is out of range.
    pub fn check(&self) -> Result<(), ModelError> {
        if self.children == 0 {
            return Err(ModelError::NoChildren);
        }
        for (name, share) in self.shares() {
            demand(name, Kind::Share, &[share])?;
        }
        demand("first_cast_age_days", Kind::Positive, &[self.first_cast_age_days])?;
        demand("first_cast_age_log_sd", Kind::NotNegative, &[self.first_cast_age_log_sd])?;
        demand("oldest_days", Kind::Positive, &[f64::from(self.oldest_days)])?;
        if self.oldest_days > OLDEST_DAYS {
            let expected = "an age up to 20 years";
            return Err(ModelError::Number { name: "oldest_days", value: self.oldest_days.into(), expected });
        }
        let (first, last) = (self.calendar.first_referral, self.calendar.last_referral);
        for day in [first, last, self.calendar.as_of] {
            if !CALENDAR.contains(&day) {
                let expected = "a day within a million of the origin";
                return Err(ModelError::Number {
                    name: "a day of the calendar",
                    value: f64::from(day),
                    expected,
                });
            }
        }
        if last < first { Err(ModelError::Calendar { first, last }) } else { Ok(()) }
    }
}
