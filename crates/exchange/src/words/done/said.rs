//! What a cell says was done, and why it is not understood.

use record::{CastMaterial, CastPurpose, ProblemKind, Procedure, Regime, RemovalReason, Side};

/// A cast as a cell names it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct CastSaid {
    pub(crate) number: Option<u8>,
    pub(crate) material: Option<CastMaterial>,
    pub(crate) purpose: Option<CastPurpose>,
}

/// One thing a cell says was done.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Act {
    Cast(CastSaid),
    CastOff(RemovalReason),
    Tenotomy,
    /// A tenotomy with no cast after it on the same day.
    TenotomyOnly,
    TenotomyBooked,
    /// Brace: whether the cell says it was fitted, the regime and hours it names.
    Brace {
        fitted: bool,
        regime: Option<Regime>,
        hours: Option<u8>,
    },
    BraceStopped,
    NewSize,
    Review,
    Missed,
    Relapse,
    Discharged(bool),
    Transferred,
    Died,
    Lost,
    Surgery(Procedure),
    Problem(ProblemKind),
}

/// Why a cell is not understood, with the words it hangs on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NotUnderstood {
    /// Words that are not known.
    Words(Vec<String>),
    /// A part of the cell that names one thing, which is not known.
    Thing(String),
    /// Words that deny, plan or doubt.
    Doubt(Vec<String>),
    /// A letter or short form that may be a foot.
    Foot(String),
    /// Which foot each of several acts was done to.
    WhichFoot,
    /// A number that belongs to nothing, or two numbers for one cast.
    Number(String),
    /// The tendon, and not what was done to it.
    Tendon,
    /// Longer than any list of what was done.
    Long,
}

impl NotUnderstood {
    /// What is not understood, as the beginning of a sentence.
    pub(crate) fn words(&self) -> String {
        let quoted = |words: &[String]| {
            let words: Vec<String> = words.iter().take(5).map(|word| format!("“{word}”")).collect();
            words.join(", ")
        };
        match self {
            Self::Thing(words) => format!("“{words}” is not known"),
            Self::Words(words) if words.is_empty() => "These words name nothing that was done".to_owned(),
            Self::Words(words) if words.len() == 1 => format!("{} is not known", quoted(words)),
            Self::Words(words) => format!("{} are not known", quoted(words)),
            Self::Doubt(words) => format!("{} leaves open whether it was done", quoted(words)),
            Self::Foot(word) => format!("“{word}” may name a foot, and the file does not settle which"),
            Self::WhichFoot => "The words leave open which foot each thing was done to".to_owned(),
            Self::Number(number) => format!("It is not clear what the number {number} counts"),
            Self::Tendon => "A tenotomy may be meant, and the words do not say so for certain".to_owned(),
            Self::Long => "This is too long for a list of what was done".to_owned(),
        }
    }
}

/// What one part of a cell says, and the feet it names.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct SaidPart {
    /// Whether it names the right and the left foot.
    pub(crate) named: (bool, bool),
    /// Whether it says "each": on every foot that the row is about.
    pub(crate) every: bool,
    /// What was done.
    pub(crate) acts: Vec<Act>,
}

impl SaidPart {
    /// Whether it names a foot and nothing that was done.
    pub(crate) const fn is_bare(&self) -> bool {
        self.acts.is_empty() && (self.named.0 || self.named.1)
    }

    pub(super) fn name(&mut self, feet: &[Side]) {
        self.named.0 |= feet.contains(&Side::Right);
        self.named.1 |= feet.contains(&Side::Left);
    }
}

/// The parts of a cell, each with its feet.
pub(crate) type SaidParts = Vec<SaidPart>;
