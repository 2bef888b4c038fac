//! Parts that several documents share.

use crate::{
    document::{Block, SignPicture},
    facts::{ClinicContact, FamilyFacts},
    stage::FamilyStage,
};
use messages::{Arg, Sentence};
use record::{Day, Registration, Side};

/// Whose the document is: the whole name, day of birth and number, and the day on which it was made.
pub(crate) fn whose(facts: &FamilyFacts<'_>) -> Vec<Sentence> {
    whose_of(&facts.course.about, facts.today, &facts.clinic.name)
}

/// The same from the registration, for a document made on a day by a clinic.
pub(crate) fn whose_of(about: &Registration, today: Day, clinic: &str) -> Vec<Sentence> {
    let mut whose = vec![Sentence::new("whose-name").with("name", about.full_name().as_str())];
    if let Some(born) = about.born {
        whose.push(Sentence::new("whose-born").with("day", born));
    }
    if let Some(number) = about.numbers.first() {
        whose.push(Sentence::new("whose-number").with("number", number.as_str()));
    }
    let made = Sentence::new("whose-made").with("day", today);
    whose.push(made.with("clinic", clinic));
    whose
}

/// The key of one or both feet: "left", "right" or "both".
pub(crate) fn feet_key(feet: &[Side]) -> Arg {
    Arg::Key(match feet {
        [side] => side.word(),
        _ => "both",
    })
}

/// What of the treatment is going on, as far as the signs depend on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Going {
    /// A cast is on a leg, or soon will be.
    pub casts: bool,
    /// The brace is worn, or soon will be.
    pub brace: bool,
    /// The heel cord was cut and its cast is on, or it soon will be.
    pub cut: bool,
}

impl Going {
    /// What is going on with a child.
    pub(crate) fn of(facts: &FamilyFacts<'_>) -> Self {
        let any = |is: fn(FamilyStage) -> bool| !facts.feet_where(is).is_empty();
        Self {
            casts: any(FamilyStage::is_cast),
            brace: any(FamilyStage::is_brace),
            cut: any(|stage| matches!(stage, FamilyStage::HeelCord | FamilyStage::LastCast)),
        }
    }

    /// With what a sheet is about, whatever the child's own stage.
    pub(crate) const fn and(self, other: Self) -> Self {
        Self {
            casts: self.casts || other.casts,
            brace: self.brace || other.brace,
            cut: self.cut || other.cut,
        }
    }

    /// The signs for which the child is brought in today.
    pub(crate) fn emergency(self) -> Block {
        let signs = [
            (self.casts || self.brace, SignPicture::Toes, "emergency-toes"),
            (self.casts, SignPicture::HiddenToes, "emergency-hidden-toes"),
            (self.brace, SignPicture::Skin, "emergency-skin"),
            (true, SignPicture::Fever, "emergency-fever"),
            (self.cut, SignPicture::Blood, "emergency-blood"),
            (true, SignPicture::Crying, "emergency-crying"),
        ];
        let there = signs.into_iter().filter(|(there, _, _)| *there);
        Block::Emergency(there.map(|(_, picture, id)| (picture, Sentence::new(id))).collect())
    }
}

/// The telephone of the clinic.
pub(crate) fn telephone(facts: &FamilyFacts<'_>) -> Block {
    telephone_of(facts.clinic)
}

/// The same where only the clinic is known.
pub(crate) fn telephone_of(clinic: &ClinicContact) -> Block {
    Block::Telephone(clinic.telephone.clone())
}

/// The sentences of these messages.
pub(crate) fn messages(ids: &[&'static str]) -> Vec<Sentence> {
    ids.iter().map(|id| Sentence::new(id)).collect()
}
