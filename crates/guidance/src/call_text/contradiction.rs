//! Findings that contradict each other.

use crate::words::{degrees, score_words};
use record::{Day, HalfPoint, Halves, Pirani, Sign};

/// Findings of one foot that contradict each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ContradictionText {
    /// A score and dorsiflexion.
    ScoreAndDorsiflexion {
        /// The signs of the score.
        pirani: Pirani,
        /// The day of the score.
        on: Day,
        /// Degrees of dorsiflexion.
        deg: i16,
    },
    /// A score and abduction.
    ScoreAndAbduction {
        /// The signs of the score.
        pirani: Pirani,
        /// The day of the score.
        on: Day,
        /// Degrees of abduction.
        deg: i16,
    },
    /// The sign of rigid equinus and dorsiflexion.
    EquinusAndDorsiflexion {
        /// The points of the sign.
        sign: HalfPoint,
        /// The day of the score.
        on: Day,
        /// Degrees of dorsiflexion.
        deg: i16,
    },
    /// A total that was recorded, and its signs.
    TotalAndSigns {
        /// The total as recorded.
        stated: Halves,
        /// The day of the score.
        on: Day,
        /// The sum of the signs.
        sum: Halves,
    },
}

impl ContradictionText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::ScoreAndDorsiflexion { pirani, on, deg } => {
                format!("{} Dorsiflexion {}.", score_words(pirani, *on), degrees(*deg))
            }
            Self::ScoreAndAbduction { pirani, on, deg } => {
                format!("{} Abduction {}.", score_words(pirani, *on), degrees(*deg))
            }
            Self::EquinusAndDorsiflexion { sign, on, deg } => format!(
                "Rigid equinus {} ({}) and dorsiflexion {} on {}.",
                sign.halves(),
                Sign::RigidEquinus.meaning(*sign),
                degrees(*deg),
                on.words()
            ),
            Self::TotalAndSigns { stated, on, sum } => {
                format!("Total {stated} recorded on {}; the six signs add up to {sum}.", on.words())
            }
        }
    }
}
