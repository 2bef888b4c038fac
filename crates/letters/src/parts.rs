//! Parts that several documents share.

use crate::{
    document::{Block, SignPicture},
    facts::FamilyFacts,
    sentence::Sentence,
};

/// Whose the document is: the whole name, day of birth and number, and the day on which it was made.
pub(crate) fn whose(facts: &FamilyFacts<'_>) -> Vec<Sentence> {
    let about = &facts.course.about;
    let mut whose = vec![Sentence::new("whose-name").with("name", about.full_name().as_str())];
    if let Some(born) = about.born {
        whose.push(Sentence::new("whose-born").with("day", born));
    }
    if let Some(number) = about.numbers.first() {
        whose.push(Sentence::new("whose-number").with("number", number.as_str()));
    }
    let made = Sentence::new("whose-made").with("day", facts.today);
    whose.push(made.with("clinic", facts.clinic.name.as_str()));
    whose
}

/// The signs for which the child is brought in today, as far as they can occur in its stage.
pub(crate) fn emergency(facts: &FamilyFacts<'_>) -> Block {
    let casts = !facts.feet_where(|stage| stage.is_cast()).is_empty();
    let brace = !facts.feet_where(|stage| stage.is_brace()).is_empty();
    let mut signs = Vec::new();
    if casts || brace {
        signs.push((SignPicture::Toes, Sentence::new("emergency-toes")));
    }
    if casts {
        signs.push((SignPicture::HiddenToes, Sentence::new("emergency-hidden-toes")));
    }
    if brace {
        signs.push((SignPicture::Skin, Sentence::new("emergency-skin")));
    }
    signs.push((SignPicture::Fever, Sentence::new("emergency-fever")));
    if facts.after_cut() || !facts.feet_where(|stage| stage == crate::FamilyStage::HeelCord).is_empty() {
        signs.push((SignPicture::Blood, Sentence::new("emergency-blood")));
    }
    signs.push((SignPicture::Crying, Sentence::new("emergency-crying")));
    Block::Emergency(signs)
}

/// The telephone of the clinic.
pub(crate) fn telephone(facts: &FamilyFacts<'_>) -> Block {
    Block::Telephone(facts.clinic.telephone.clone())
}

/// The sentences of these messages.
pub(crate) fn messages(ids: &[&'static str]) -> Vec<Sentence> {
    ids.iter().map(|id| Sentence::new(id)).collect()
}
