//! The children whom the clinic has today, as plain input.

use record::Day;

/// A child in treatment today. The caller fills it from the record; nothing is guessed.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentChild {
    /// Day of birth; `None` if it is not recorded. Then the age is drawn, and the summary counts the child among those
    /// with a drawn age.
    pub born: Option<Day>,
    /// The phase of treatment.
    pub phase: CurrentPhase,
    /// Whether a foot is recorded as complex.
    pub complex: bool,
    /// Episodes of correction so far, from 1.
    pub episode: u8,
    /// The last measured length of the longer foot, with the day; `None` if none was measured.
    pub foot_length_mm: Option<(f64, Day)>,
}

/// The phase of treatment of a child.
#[derive(Debug, Clone, PartialEq)]
pub enum CurrentPhase {
    /// Referred, without a cast (or relapsed, without a new cast).
    WaitingForFirstCast {
        /// The first day of waiting.
        since: Day,
        /// The day booked, if one is.
        booked: Option<Day>,
        /// Casts to come, as in `InCasts`; empty if a path is to be drawn as for a new child.
        remaining: Vec<f64>,
        /// Chance of a tenotomy in this episode; not used if a path is drawn.
        tenotomy: f64,
    },
    /// In a correcting cast.
    InCasts {
        /// Day the cast went on.
        cast_on: Day,
        /// The day booked for its change, if one is.
        booked: Option<Day>,
        /// Chances of 0, 1, 2 … more correcting casts after this one; they need not sum to 1.
        remaining: Vec<f64>,
        /// Chance of a tenotomy in this episode.
        tenotomy: f64,
    },
    /// In a cast, ready, waiting for a tenotomy.
    WaitingForTenotomy {
        /// The first day of waiting.
        since: Day,
        /// Day the cast went on.
        cast_on: Day,
        /// The day booked, if one is.
        booked: Option<Day>,
    },
    /// In the cast after a tenotomy, or corrected without one: the brace is next.
    WaitingForBrace {
        /// Day the cast went on.
        cast_on: Day,
        /// Whether it is the cast after a tenotomy.
        after_tenotomy: bool,
        /// The day booked for the fitting, if one is.
        booked: Option<Day>,
    },
    /// In the brace.
    InBrace {
        /// Day it was fitted.
        since: Day,
        /// The day booked for the next review, if one is.
        booked: Option<Day>,
        /// The last time the child was seen in the brace.
        last_seen: Option<Day>,
    },
}
