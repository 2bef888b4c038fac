//! Agreement of a person with the drawn answer, sign by sign and over time.
//!
//! Weighted kappa with linear weights and its large-sample interval ([`statistics::agreement::kappa`]), over all feet
//! and over blocks of [`BLOCK`] feet in the order in which they were scored. Every drawn foot is a foot of its own, so
//! the feet are independent. Below [`FEWEST_FEET`] feet nothing is said.

use crate::answer::PracticeAnswer;
use record::{Day, HalfPoint, Sign, UserId};
use statistics::{
    agreement::{Weights, kappa},
    special::normal_quantile,
};
use std::fmt;

/// Feet in a block: as many as those for which Flynn, Donohoe and Mackenzie 1998 found agreement much lower.
pub const BLOCK: usize = 15;
/// With fewer feet than this agreement cannot be told. Our own choice: one block. The interval is still wide then.
pub const FEWEST_FEET: usize = 15;

/// A published finding beside which the own progress is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PublishedLearning {
    /// What was found.
    pub found: &'static str,
    /// Where.
    pub source: &'static str,
}

/// What is published on learning to score. None of it is a pass mark.
pub const PUBLISHED_LEARNING: [PublishedLearning; 3] = [
    PublishedLearning {
        found: "The scores of two raters correlated much less over the first 15 feet that they scored than later (totals of an older form of 10 points). No other number of feet was found.",
        source: "Flynn, Donohoe and Mackenzie 1998, J Pediatr Orthop, read in abstract",
    },
    PublishedLearning {
        found: "Two trained surgeons reached a kappa above 0.60, which the authors considered adequate, on two of the six signs only: rigid equinus and curved lateral border (56 feet).",
        source: "Lampasi and others 2019, 10.1302/1863-2548.13.190010, read in abstract",
    },
    PublishedLearning {
        found: "Scores from photographs agreed fully with the examination in 38 of 79 feet (48 %).",
        source: "Smythe and others 2020, PLoS One 15:e0232878, read in abstract",
    },
];

/// Why agreement cannot be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AgreementUnknown {
    /// Fewer feet than [`FEWEST_FEET`].
    TooFew {
        /// Feet so far.
        n: usize,
    },
    /// Person and drawings used one and the same level throughout, so that agreement beyond chance is not defined.
    OneLevel,
}

impl fmt::Display for AgreementUnknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { n } => {
                write!(f, "cannot be told from {n} of at least {FEWEST_FEET} feet")
            }
            Self::OneLevel => f.write_str("cannot be told: all feet were of one level"),
        }
    }
}

/// Kappa with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KappaWithInterval {
    /// Weighted kappa.
    pub value: f64,
    /// The 95 % interval; `None` if every foot agreed, because the large-sample interval then has no width and would
    /// look certain.
    pub limits: Option<(f64, f64)>,
}

/// Agreement with the drawn answer over some feet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceAgreement {
    /// Feet.
    pub n: usize,
    /// Feet for which the level given was the one drawn.
    pub same: usize,
    /// The 95 % interval of the share of such feet (Wilson 1927); `None` without feet.
    pub same_limits: Option<(f64, f64)>,
    /// Weighted kappa.
    pub kappa: Result<KappaWithInterval, AgreementUnknown>,
    /// Mean of given minus drawn, in points: above zero the person gives higher levels than are drawn; `None` for
    /// fewer than [`FEWEST_FEET`] feet.
    pub mean_difference: Option<f64>,
}

impl ReferenceAgreement {
    /// Over answers.
    #[must_use]
    pub fn of(answers: &[&PracticeAnswer]) -> Self {
        let levels: Vec<(HalfPoint, HalfPoint)> =
            answers.iter().map(|answer| (answer.given, answer.reference)).collect();
        Self::of_levels(&levels)
    }

    /// Over levels: the one given and the one that was right.
    #[must_use]
    pub fn of_levels(levels: &[(HalfPoint, HalfPoint)]) -> Self {
        let n = levels.len();
        let same = levels.iter().filter(|(given, right)| given == right).count();
        let sum: f64 =
            levels.iter().map(|(given, right)| given.halves().value() - right.halves().value()).sum();
        Self {
            n,
            same,
            same_limits: wilson(same, n),
            kappa: kappa_of(levels, same),
            mean_difference: (n >= FEWEST_FEET).then(|| sum / n as f64),
        }
    }
}

fn kappa_of(levels: &[(HalfPoint, HalfPoint)], same: usize) -> Result<KappaWithInterval, AgreementUnknown> {
    let n = levels.len();
    if n < FEWEST_FEET {
        return Err(AgreementUnknown::TooFew { n });
    }
    let given: Vec<u32> = levels.iter().map(|(given, _)| u32::from(given.halves().0)).collect();
    let drawn: Vec<u32> = levels.iter().map(|(_, right)| u32::from(right.halves().0)).collect();
    let found =
        kappa(&given, &drawn, 3, Weights::Linear, 0.95).map_err(|_| AgreementUnknown::OneLevel)?.kappa;
    let limits = (same < n).then_some((found.lower.max(-1.0), found.upper));
    Ok(KappaWithInterval { value: found.value, limits })
}

/// Wilson's interval of a share (Wilson 1927, J Am Stat Assoc 22:209), at 95 %.
fn wilson(hits: usize, n: usize) -> Option<(f64, f64)> {
    if n == 0 {
        return None;
    }
    let (z, p, n) = (normal_quantile(0.975), hits as f64 / n as f64, n as f64);
    let centre = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    Some(((centre - half).max(0.0), (centre + half).min(1.0)))
}

/// Some feet in the order in which they were scored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PracticeBlock {
    /// The first and the last foot, counted from 1.
    pub feet: (usize, usize),
    /// The days of the first and the last.
    pub days: (Day, Day),
    /// Agreement over the block.
    pub agreement: ReferenceAgreement,
}

/// How a person agrees with the drawn answer on one sign.
#[derive(Debug, Clone, PartialEq)]
pub struct SignProgress {
    /// The sign.
    pub sign: Sign,
    /// Over all feet.
    pub all: ReferenceAgreement,
    /// Block by block; the last may be incomplete, and then its kappa cannot be told.
    pub blocks: Vec<PracticeBlock>,
}

/// How a person agrees with the drawn answers.
#[derive(Debug, Clone, PartialEq)]
pub struct PracticeProgress {
    /// Whose.
    pub person: UserId,
    /// As of this day.
    pub as_of: Day,
    /// The days of the first and of the last answer.
    pub days: Option<(Day, Day)>,
    /// Sign by sign, in the order of [`Sign::ALL`].
    pub signs: Vec<SignProgress>,
}

impl PracticeProgress {
    /// From all answers, in the order in which they were saved. Those of other people and of later days are left out.
    #[must_use]
    pub fn of(answers: &[PracticeAnswer], person: UserId, as_of: Day) -> Self {
        let mut own: Vec<&PracticeAnswer> =
            answers.iter().filter(|answer| answer.person == person && answer.on <= as_of).collect();
        own.sort_by_key(|answer| answer.on);
        let signs = Sign::ALL.map(|sign| of_sign(sign, &own)).to_vec();
        Self { person, as_of, days: days(&own), signs }
    }

    /// Answers to all signs.
    #[must_use]
    pub fn answered(&self) -> usize {
        self.signs.iter().map(|sign| sign.all.n).sum()
    }
}

fn days(answers: &[&PracticeAnswer]) -> Option<(Day, Day)> {
    Some((answers.first()?.on, answers.last()?.on))
}

fn of_sign(sign: Sign, own: &[&PracticeAnswer]) -> SignProgress {
    let answers: Vec<&PracticeAnswer> = own.iter().copied().filter(|answer| answer.sign == sign).collect();
    let block = |(number, block): (usize, &[&PracticeAnswer])| {
        let first = number * BLOCK + 1;
        let feet = (first, first + block.len() - 1);
        days(block).map(|days| PracticeBlock { feet, days, agreement: ReferenceAgreement::of(block) })
    };
    let blocks = answers.chunks(BLOCK).enumerate().filter_map(block).collect();
    SignProgress { sign, all: ReferenceAgreement::of(&answers), blocks }
}
