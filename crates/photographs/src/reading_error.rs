//! How far two readings lie apart by error alone, and whether a change is more than that.
//!
//! The standard error of measurement is the within-subject standard deviation of readings of the same thing, by one-way
//! analysis of variance (Bland and Altman 1996, BMJ 312:1654; Weir 2005, J Strength Cond Res 19:231). It holds what was
//! repeated, and no more: readings of one picture have the error of the taps, pictures taken anew have that of holding
//! the foot too.

use statistics::{StatError, agreement::WithinSubject};

/// The error of one reading, from things that were read more than once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingError {
    /// Things that were read more than once.
    pub subjects: usize,
    /// Their readings.
    pub readings: usize,
    /// Degrees of freedom: readings less things.
    pub df: usize,
    /// The standard error of measurement, in the unit of the readings.
    pub sem: f64,
    /// Its 95 % interval.
    pub sem_limits: (f64, f64),
    /// The minimal detectable change, 1.96·√2·SEM: of two readings of one thing that has not changed, 95 % differ by
    /// less.
    pub detectable_change: f64,
    /// The detectable change at either end of the interval of the SEM.
    pub detectable_change_limits: (f64, f64),
}

/// Whether a change is more than the error of two readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChangeVerdict {
    /// More than the error explains, also if the error is as large as its interval allows.
    BeyondError,
    /// Error alone explains it, also if the error is as small as its interval allows.
    WithinError,
    /// It depends on where in its interval the error lies: too few readings were repeated.
    CannotBeTold,
}

impl ReadingError {
    /// The error from readings, one list for each thing that was read. A thing that was read once says nothing.
    ///
    /// # Errors
    /// If nothing was read twice, or a reading is not a number.
    pub fn of<S: AsRef<[f64]>>(readings: &[S]) -> Result<Self, StatError> {
        const CONFIDENCE: f64 = 0.95;
        let within = WithinSubject::of(readings, CONFIDENCE)?;
        let detectable_change = within.detectable_change(CONFIDENCE)?;
        let change = |sem: f64| if within.sd > 0.0 { detectable_change * sem / within.sd } else { 0.0 };
        Ok(Self {
            subjects: within.subjects,
            readings: within.measurements,
            df: within.df,
            sem: within.sd,
            sem_limits: (within.lower, within.upper),
            detectable_change,
            detectable_change_limits: (change(within.lower), change(within.upper)),
        })
    }

    /// Whether the change from one reading to another is more than their error.
    #[must_use]
    pub fn change_is_beyond(&self, earlier: f64, later: f64) -> ChangeVerdict {
        let change = (later - earlier).abs();
        let (least, most) = self.detectable_change_limits;
        if change > most {
            ChangeVerdict::BeyondError
        } else if change <= least {
            ChangeVerdict::WithinError
        } else {
            ChangeVerdict::CannotBeTold
        }
    }

    /// What was found, as a sentence with its numbers; `unit` is written behind each number, "°" or " mm".
    #[must_use]
    pub fn sentence(&self, unit: &str) -> String {
        let Self { sem, sem_limits: (low, high), detectable_change: change, subjects, readings, df, .. } =
            self;
        format!(
            "One reading has a standard error of {sem:.1}{unit} (95 % interval {low:.1} to {high:.1}{unit}), so two readings of the same thing differ by less than {change:.1}{unit} in 95 of 100; from {readings} readings of {subjects}, {df} degrees of freedom."
        )
    }
}
