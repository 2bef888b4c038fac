//! One answer of a person about one sign of one drawn foot, and what is said about it.

use crate::{
    case::{CaseKey, DrawnByOtherVersion, DrawnCase},
    geometry::{GeometryItem, SignGeometry},
};
use record::{Day, HalfPoint, Sign, UserId};
use std::fmt;

/// An answer as it is stored.
///
/// The level that was right is stored with it: agreement over time must not change when the drawings do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PracticeAnswer {
    /// Who answered.
    pub person: UserId,
    /// On which day.
    pub on: Day,
    /// Which foot was drawn.
    pub case: CaseKey,
    /// Which sign was asked.
    pub sign: Sign,
    /// The level that was given.
    pub given: HalfPoint,
    /// The level at which the sign was drawn.
    pub reference: HalfPoint,
}

/// Why an answer cannot be shown with its drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CannotShowAnswer {
    /// Another version of the drawings drew the foot.
    OtherVersion(DrawnByOtherVersion),
    /// The level stored with the answer is not the one at which the foot is drawn. One of them is wrong.
    Contradicts {
        /// The level stored as right.
        stored: HalfPoint,
        /// The level at which the foot is drawn.
        drawn: HalfPoint,
    },
}

impl fmt::Display for CannotShowAnswer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherVersion(version) => version.fmt(f),
            Self::Contradicts { stored, drawn } => write!(
                f,
                "the stored answer says that {} is right, and the foot is drawn at {}: which of them is wrong cannot be told",
                stored.text(),
                drawn.text()
            ),
        }
    }
}

impl std::error::Error for CannotShowAnswer {}

impl PracticeAnswer {
    /// An answer to a case.
    #[must_use]
    pub fn of(person: UserId, on: Day, case: &DrawnCase, sign: Sign, given: HalfPoint) -> Self {
        Self { person, on, case: case.key, sign, given, reference: case.level(sign) }
    }

    /// Whether the level given is the one drawn.
    #[must_use]
    pub fn is_right(&self) -> bool {
        self.given == self.reference
    }

    /// Given minus drawn, in points.
    #[must_use]
    pub fn difference(&self) -> f64 {
        self.given.halves().value() - self.reference.halves().value()
    }

    /// The case and what is said about the answer.
    ///
    /// # Errors
    /// When the foot cannot be drawn as it was, or the stored answer contradicts the drawing.
    pub fn explained(&self) -> Result<(DrawnCase, AnswerExplained), CannotShowAnswer> {
        let case = DrawnCase::of(self.case).map_err(CannotShowAnswer::OtherVersion)?;
        let drawn = case.level(self.sign);
        if drawn != self.reference {
            return Err(CannotShowAnswer::Contradicts { stored: self.reference, drawn });
        }
        Ok((case, AnswerExplained::of(&case, self.sign, self.given)))
    }
}

/// What is said once a sign is scored: what was given, what is right, and what to look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnswerExplained {
    /// The sign.
    pub sign: Sign,
    /// The level given.
    pub given: HalfPoint,
    /// The level drawn.
    pub right: HalfPoint,
    /// How the sign is examined, from memory.
    pub how: &'static str,
    /// What is drawn at the right level.
    pub drawn: &'static str,
    /// What is drawn at the level given, if that is another.
    pub given_would_be: Option<&'static str>,
    /// What was measured in the drawing.
    pub item: GeometryItem,
    /// Its value in this drawing.
    pub value: f64,
    /// Between which values the right level is drawn.
    pub range: (f64, f64),
}

impl AnswerExplained {
    /// What is said about a level given for a sign of a case.
    #[must_use]
    pub fn of(case: &DrawnCase, sign: Sign, given: HalfPoint) -> Self {
        let table = SignGeometry::of(sign);
        let right = case.level(sign);
        let level = table.level(right);
        let given_would_be = (given != right).then(|| table.level(given).drawn);
        let (a, b) = level.range;
        let range = (a.min(b), a.max(b));
        let (drawn, value) = (level.drawn, case.value(sign));
        Self { sign, given, right, how: sign.how(), drawn, given_would_be, item: table.item, value, range }
    }
}
