//! Eight invented clinics whose feet follow other laws than the program's own natural history.
//!
//! They share nothing with it: a foot has continuous stiffness in each sign instead of classes and levels,
//! casts act by other dynamics, and clinics decide by other rules. Every number is invented; none was
//! fitted to a source, nor chosen by what a forecast makes of it. The worlds and the seeds were fixed before
//! the recalibration of forecasts was written: [`TUNING`] may be looked at while a method is chosen,
//! [`REPORTED`] only to report what the chosen method does.

mod clinic;
mod laws;

use forecast::SeenChild;
use std::ops::RangeInclusive;

/// Feet that a clinic sees.
pub const FEET: usize = 300;
/// Seeds that a method may be chosen by.
pub const TUNING: RangeInclusive<u64> = 1..=20;
/// Seeds that are only reported.
pub const REPORTED: RangeInclusive<u64> = 101..=120;

/// A clinic of another law.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum World {
    /// Each sign yields at a rate of its own, exponentially.
    SignsApart,
    /// Linear decline with plateaus, at speeds with heavy tails.
    HeavyTails,
    /// Tenotomy by age and number of casts, not by score; a theatre list every second week.
    OtherTenotomy,
    /// Visits, tenotomy and readiness change at the 150th foot.
    Drift,
    /// Every visit is scored by one of two raters: one severe and coarse, one mild.
    TwoRaters,
    /// One foot in ten is complex and slow; half of these are recorded as complex. Casts slip often.
    ComplexTenth,
    /// Visits every two to four weeks, slow feet, long waits for theatre and brace.
    Slow,
    /// Two casts a week, quick feet, tenotomy for nearly all on the same day.
    Fast,
}

impl World {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::SignsApart,
        Self::HeavyTails,
        Self::OtherTenotomy,
        Self::Drift,
        Self::TwoRaters,
        Self::ComplexTenth,
        Self::Slow,
        Self::Fast,
    ];

    /// A short name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SignsApart => "signs apart",
            Self::HeavyTails => "heavy tails",
            Self::OtherTenotomy => "other tenotomy",
            Self::Drift => "drift",
            Self::TwoRaters => "two raters",
            Self::ComplexTenth => "complex tenth",
            Self::Slow => "slow",
            Self::Fast => "fast",
        }
    }

    /// The children of a clinic with [`FEET`] feet or one more, all of them in the brace by [`LAST_DAY`].
    pub fn clinic(self, seed: u64) -> Vec<SeenChild> {
        clinic::children(&laws::law(self), seed)
    }
}

/// A day after everything.
pub const LAST_DAY: i32 = 20_000;
