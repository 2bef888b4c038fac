//! What calls about casts and tenotomy say.

use course::Phase;
use record::{Day, RemovalReason, Side};

/// What a call about casts or tenotomy of a foot says, after the name of the foot and a colon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TreatmentCallText {
    /// A cast is on for too long.
    CastOnTooLong {
        /// The number of the cast.
        number: u16,
        /// The day it was applied.
        since: Day,
        /// The last day on which it may be on.
        due_off: Day,
    },
    /// The last cast came off unplanned, and there is none since.
    NoCastSince {
        /// The day it came off.
        off: Day,
        /// Why.
        why: RemovalReason,
    },
    /// Casts in a row without a score.
    CastsUnscored {
        /// Their number.
        casts: usize,
        /// The day of the last score.
        scored: Option<Day>,
    },
    /// Neither cast nor brace since the cast came off, on this day.
    NotHeld(Day),
    /// A clubfoot without treatment.
    Untreated {
        /// The other foot.
        other: Side,
        /// The day since which the other foot has been treated.
        since: Day,
    },
    /// No cast is recorded since the tenotomy of this day.
    NoCastAfterTenotomy(Day),
    /// In casts while the other foot is ready for bracing.
    OtherInBrace {
        /// The phase of the foot.
        phase: Phase,
        /// Since when.
        since: Day,
        /// The other foot.
        other: Side,
        /// Its phase.
        other_phase: Phase,
    },
    /// Still in correction after many casts.
    StillInCorrection {
        /// The number of casts.
        casts: u16,
        /// The day of the last of them.
        on: Day,
    },
    /// Still in correction after several casts for a relapse.
    RelapseStillInCorrection {
        /// The number of casts.
        casts: u16,
        /// The day of the last of them.
        on: Day,
    },
    /// Ready for tenotomy on this day, with none booked.
    ReadyForTenotomy(Day),
    /// A tenotomy booked for this day is not recorded as done.
    TenotomyNotDone(Day),
    /// A tenotomy was booked on this day, without a day for it.
    TenotomyWithoutDay(Day),
    /// A long wait for the tenotomy.
    TenotomyWaits {
        /// Whether a score shows since when the foot is ready; otherwise the wait counts from the booking.
        ready: bool,
        /// Since when it waits.
        since: Day,
        /// The day of the tenotomy.
        planned: Day,
        /// Casts since then.
        casts: usize,
    },
}

impl TreatmentCallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::CastOnTooLong { number, since, due_off } => {
                format!("cast {number} on since {}; it was due off by {}.", since.words(), due_off.words())
            }
            Self::NoCastSince { off, why } => {
                format!("no cast since the last one came off on {} ({}).", off.words(), why.words())
            }
            Self::CastsUnscored { casts, scored } => {
                format!("{casts} casts without a score; {}.", last_scored_words(scored))
            }
            Self::NotHeld(off) => {
                format!("cast off on {}, with neither cast nor brace since.", off.words())
            }
            Self::Untreated { other, since } => format!(
                "on record as a clubfoot but not treated, while the {other} foot has been treated since {}.",
                since.words()
            ),
            Self::NoCastAfterTenotomy(on) => {
                format!("tenotomy on {}; no cast is recorded on that day or since.", on.words())
            }
            Self::OtherInBrace { phase, since, other, other_phase } => format!(
                "{} since {}, while the {other} foot is in {}.",
                phase.words(),
                since.words(),
                other_phase.words()
            ),
            Self::StillInCorrection { casts, on } => {
                format!("still in correction after {casts} casts, on {}.", on.words())
            }
            Self::RelapseStillInCorrection { casts, on } => {
                format!("still in correction after {casts} casts for a relapse, on {}.", on.words())
            }
            Self::ReadyForTenotomy(on) => format!("ready for tenotomy on {}; none is booked.", on.words()),
            Self::TenotomyNotDone(on) => {
                format!("tenotomy booked for {}; not recorded as done.", on.words())
            }
            Self::TenotomyWithoutDay(on) => format!("tenotomy booked on {} without a day.", on.words()),
            Self::TenotomyWaits { ready, since, planned, casts } => format!(
                "{} for tenotomy since {}, booked for {}; {casts} casts since then.",
                if ready { "ready" } else { "booked" },
                since.words(),
                planned.words()
            ),
        }
    }
}

/// "last scored on 3 May 2024", "never scored".
pub(crate) fn last_scored_words(scored: Option<Day>) -> String {
    match scored {
        Some(day) => format!("last scored on {}", day.words()),
        None => "never scored".to_owned(),
    }
}
