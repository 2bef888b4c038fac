//! The children whom the clinic has today, as plain input.

use record::Day;

/// A child in treatment today. Whoever knows the record fills it; nothing here is guessed.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentChild {
    /// Day of birth; `None` where it is not recorded, then the age is drawn and the child is counted
    /// among those whose age was.
    pub born: Option<Day>,
    /// Where the child is.
    pub phase: CurrentPhase,
    /// Whether a foot is called complex.
    pub complex: bool,
    /// Episodes of correction so far, from 1.
    pub episode: u8,
    /// The longer foot as last measured, with the day; `None` where it was not.
    pub foot_length_mm: Option<(f64, Day)>,
}

/// Where a child is in treatment.
#[derive(Debug, Clone, PartialEq)]
pub enum CurrentPhase {
    /// Referred, no cast yet (or noted as relapsed, none again yet).
    WaitingForFirstCast {
        /// Since when.
        since: Day,
        /// The day booked, if one is.
        booked: Option<Day>,
        /// Casts to come, as in `InCasts`; empty where a path is to be drawn as for a new child.
        remaining: Vec<f64>,
        /// Chance of a tenotomy in this episode; not read where a path is drawn.
        tenotomy: f64,
    },
    /// In a correcting cast.
    InCasts {
        /// Day the cast went on.
        cast_on: Day,
        /// The day booked for its change, if one is.
        booked: Option<Day>,
        /// Chances of 0, 1, 2 … more correcting casts after this one; taken in proportion.
        remaining: Vec<f64>,
        /// Chance of a tenotomy in this episode.
        tenotomy: f64,
    },
    /// In a cast, ready, waiting for a tenotomy.
    WaitingForTenotomy {
        /// Since when.
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
