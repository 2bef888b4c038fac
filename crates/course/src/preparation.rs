//! What has to be known of a child before an operation: weights, allergies, medicines, consent.
//!
//! The last answer of each holds. Earlier weights and allergies stay in the list, because what an answer
//! contradicts is a question.

use record::{
    Allergies, AllergyAnswer, Body, Consent, ConsentAnswer, ConsentMatter, Day, EntryId, Medicines, Weighed,
};

/// What is recorded about a child that matters before an operation, in order of day.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Preparation {
    /// Weights. The weight at birth is not among them.
    pub weights: Vec<WeightSeen>,
    /// Answers about allergies.
    pub allergies: Vec<AllergiesSeen>,
    /// The last answer about medicines.
    pub medicines: Option<MedicinesSeen>,
    /// The last answer on each matter of consent.
    pub consents: Vec<ConsentSeen>,
}

/// A weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WeightSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// In grams.
    pub grams: u16,
}

/// An answer about allergies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllergiesSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// What was answered.
    pub said: Allergies,
}

/// An answer about medicines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MedicinesSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// What was answered.
    pub said: Medicines,
}

/// An answer on a matter of consent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ConsentSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// What was answered.
    pub said: Consent,
}

impl Preparation {
    pub(crate) fn learn(&mut self, on: Day, entry: EntryId, body: &Body) {
        match body {
            Body::Weighed(Weighed { weight_g, .. }) => {
                self.weights.push(WeightSeen { entry, on, grams: *weight_g });
            }
            Body::Allergies(said) => self.allergies.push(AllergiesSeen { entry, on, said: said.clone() }),
            Body::Medicines(said) => self.medicines = Some(MedicinesSeen { entry, on, said: said.clone() }),
            Body::Consent(said) => {
                self.consents.retain(|before| before.said.matter != said.matter);
                self.consents.push(ConsentSeen { entry, on, said: said.clone() });
            }
            _ => {}
        }
    }

    /// The latest weight up to a day. Of several of one day the lowest counts, because a dose must not be too high.
    #[must_use]
    pub fn weight_by(&self, day: Day) -> Option<&WeightSeen> {
        let last = self.weights.iter().rfind(|weight| weight.on <= day)?.on;
        self.weights.iter().filter(|weight| weight.on == last).min_by_key(|weight| weight.grams)
    }

    /// The last answer about allergies.
    #[must_use]
    pub fn allergies(&self) -> Option<&AllergiesSeen> {
        self.allergies.last()
    }

    /// The last answer on a matter of consent.
    #[must_use]
    pub fn consent(&self, matter: ConsentMatter) -> Option<&ConsentSeen> {
        self.consents.iter().find(|consent| consent.said.matter == matter)
    }
}

impl AllergiesSeen {
    /// Whether allergies are named.
    #[must_use]
    pub fn are_named(&self) -> bool {
        self.said.answer == AllergyAnswer::Named
    }
}

impl ConsentSeen {
    /// Whether consent is given and holds on a day.
    #[must_use]
    pub fn holds_on(&self, day: Day) -> bool {
        self.said.answer == ConsentAnswer::Given && self.said.until.is_none_or(|until| day <= until)
    }
}
