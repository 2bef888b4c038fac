//! What calls about findings in a foot say.

use super::ContradictionText;
use crate::{relapse::RelapseSignKind, words::degrees};
use record::{Day, Halves, RelapseGrade};

/// What a call about findings in a foot says, after the name of the foot and a colon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FindingCallText {
    /// Findings that contradict each other.
    Contradiction(ContradictionText),
    /// Signs of a complex foot.
    MaybeComplex(ComplexHint),
    /// A score that casts did not change.
    Unchanged {
        /// Which score.
        what: UnchangedScore,
        /// The number of casts.
        casts: usize,
        /// The day of the last score.
        until: Day,
    },
    /// Dorsiflexion after the tenotomy is less than expected.
    ShortAfterTenotomy {
        /// Degrees.
        deg: i16,
        /// The day it was measured.
        on: Day,
        /// The day of the tenotomy.
        cut: Day,
    },
    /// A Pirani total higher than the one before.
    ScoreWorse {
        /// The last total.
        now: Halves,
        /// Its day.
        on: Day,
        /// The total before it.
        was: Halves,
        /// Its day.
        before: Day,
    },
    /// Little dorsiflexion in bracing.
    Dorsiflexion {
        /// Degrees.
        deg: i16,
        /// The day it was measured.
        on: Day,
        /// The best since bracing began, in degrees and with its day, where that was more.
        best: Option<(i16, Day)>,
    },
    /// Signs of relapse, with the grade that they make up.
    RelapseSigns {
        /// The signs.
        signs: Vec<RelapseSignKind>,
        /// The grade.
        grade: Option<RelapseGrade>,
    },
    /// A low walking-age score.
    WalkingScoreLow {
        /// The total, of 12.
        total: u8,
        /// The day.
        on: Day,
    },
}

/// What suggests a complex foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ComplexHint {
    /// Casts have slipped.
    CastsSlipped {
        /// Their number.
        casts: usize,
        /// The day of the last slip.
        last: Day,
    },
    /// Both creases and equinus still score 1.
    SignsUnchanged {
        /// After this number of casts.
        casts: usize,
        /// The day of the score.
        on: Day,
    },
}

/// A score that casts did not change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnchangedScore {
    /// The midfoot score.
    Midfoot,
    /// The Pirani total.
    Total,
}

impl FindingCallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Contradiction(what) => format!("findings contradict each other. {}", what.words()),
            Self::MaybeComplex(hint) => format!("{}. It may be a complex foot.", hint.words()),
            Self::Unchanged { what, casts, until } => {
                format!("{} unchanged over {casts} casts, until {}.", what.words(), until.words())
            }
            Self::ShortAfterTenotomy { deg, on, cut } => format!(
                "{} Incomplete tenotomy, or stiffness that more casts may stretch?",
                short_after_tenotomy_words(*deg, *on, *cut)
            ),
            Self::ScoreWorse { now, on, was, before } => {
                format!("Pirani total {now} on {}, {was} on {}.", on.words(), before.words())
            }
            Self::Dorsiflexion { deg, on, best } => {
                let before = best.map(|(deg, on)| format!(", {} on {}", degrees(deg), on.words()));
                format!("dorsiflexion {} on {}{}.", degrees(*deg), on.words(), before.unwrap_or_default())
            }
            Self::RelapseSigns { signs, grade } => {
                let names: Vec<&str> = signs.iter().map(|sign| sign.words()).collect();
                let grade = grade.map(|grade| format!(" Together: grade {}.", grade.words()));
                format!("{}.{}", names.join(", "), grade.unwrap_or_default())
            }
            Self::WalkingScoreLow { total, on } => {
                format!("walking-age score {total} of 12 on {}.", on.words())
            }
        }
    }
}

impl ComplexHint {
    /// In English, without a full stop.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::CastsSlipped { casts, last } => {
                format!("{casts} casts have slipped, the last on {}", last.words())
            }
            Self::SignsUnchanged { casts, on } => format!(
                "medial crease, posterior crease and equinus still score 1 after {casts} casts, on {}",
                on.words()
            ),
        }
    }

    /// The day of the last slip or of the score.
    pub(crate) const fn on(self) -> Day {
        match self {
            Self::CastsSlipped { last, .. } => last,
            Self::SignsUnchanged { on, .. } => on,
        }
    }
}

impl UnchangedScore {
    /// In English.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Midfoot => "midfoot score",
            Self::Total => "Pirani total",
        }
    }
}

/// "Dorsiflexion 0° on 3 May 2024, after the tenotomy of 12 April 2024."
pub(crate) fn short_after_tenotomy_words(deg: i16, on: Day, cut: Day) -> String {
    format!("Dorsiflexion {} on {}, after the tenotomy of {}.", degrees(deg), on.words(), cut.words())
}
