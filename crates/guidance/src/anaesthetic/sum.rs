//! Several products together: each as a share of its ceiling, and the shares added up.
//!
//! Local anaesthetics add to each other's toxicity, creams and gels included, so that two products at half their
//! ceiling make one whole (common practice, no source). Shares are rounded up.

use super::{
    basis::DoseBasis,
    ceiling::{Ceiling, NoCeiling, ml_words},
    concentration::{BadConcentration, Concentration, ConcentrationUnit, scaled},
    products::{LocalAnaesthetic, TopicalProduct},
    topical::{NoTopical, TopicalLimit},
};
use crate::protocol::InfantCutRule;
use course::Course;

/// Shares are counted in hundredths of one per cent.
const WHOLE: u64 = 10_000;

/// A product that somebody means to use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlannedProduct {
    /// A drug that is injected.
    Injected {
        /// The drug.
        drug: LocalAnaesthetic,
        /// Its solution, or what is wrong with it.
        solution: Result<Concentration, BadConcentration>,
        /// Microlitres; `None` if the amount is not yet chosen.
        microlitres: Result<Option<u32>, BadAmount>,
    },
    /// A cream or gel.
    Topical {
        /// The product.
        product: TopicalProduct,
        /// Thousandths of a gram of cream, or of a tube of gel.
        amount: Result<u32, BadAmount>,
    },
}

/// An amount that cannot be read, as typed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not an amount: a number above 0 is expected, such as 0.5.")]
pub struct BadAmount(String);

/// The most millilitres, grams or tubes that are read: more is a typing error.
const MOST_UNITS: u32 = 200;

impl BadAmount {
    /// Reads an amount in thousandths of its unit.
    fn read(text: &str) -> Result<u32, Self> {
        let read = scaled(text).and_then(|thousandths| u32::try_from(thousandths).ok());
        read.filter(|thousandths| (1..=MOST_UNITS * 1000).contains(thousandths))
            .ok_or_else(|| Self(text.chars().take(20).collect()))
    }
}

/// A product with its share of its ceiling.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoseShare {
    /// The product and the amount, "1.2 mL of lidocaine without adrenaline, 1 % = 10 mg/mL".
    pub words: String,
    /// Hundredths of one per cent of its ceiling, rounded up.
    pub share: u64,
}

/// Why a product cannot be added, one sentence each.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoShare {
    /// No ceiling is known.
    #[error(transparent)]
    Ceiling(#[from] NoCeiling),
    /// No limit is known, or the product is not to be used.
    #[error(transparent)]
    Topical(#[from] NoTopical),
    /// The solution cannot be used.
    #[error(transparent)]
    Solution(#[from] BadConcentration),
    /// The amount cannot be read.
    #[error(transparent)]
    Amount(#[from] BadAmount),
}

/// Several products added up.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AddedUp {
    /// Each product whose amount is chosen.
    pub shares: Vec<DoseShare>,
    /// What cannot be added: then the sum says nothing.
    pub unknown: Vec<NoShare>,
}

impl AddedUp {
    /// Adds up what is planned.
    #[must_use]
    pub fn of(planned: &[PlannedProduct], basis: &DoseBasis, course: &Course, rule: InfantCutRule) -> Self {
        let mut sum = Self::default();
        for product in planned {
            match product.share(basis, course, rule) {
                Ok(share) => sum.shares.extend(share),
                Err(why) => sum.unknown.push(why),
            }
        }
        sum
    }

    /// The sum of the shares, hundredths of one per cent.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.shares.iter().fold(0, |sum, share| sum.saturating_add(share.share))
    }

    /// Whether the sum is above the whole.
    #[must_use]
    pub fn is_too_much(&self) -> bool {
        self.total() > WHOLE
    }

    /// The verdict in one sentence; `None` if nothing is planned.
    #[must_use]
    pub fn verdict(&self) -> Option<String> {
        let total = percent_words(self.total());
        Some(match (self.shares.len(), self.is_too_much(), self.unknown.is_empty()) {
            (0, _, true) => return None,
            (_, true, _) => format!("Too much: {total} of the ceiling together. Do not give this; give less, or leave a product out."),
            (_, false, false) => "It cannot be told whether this is too much: for one of the products no ceiling is known here, or something about it is missing. Use your formulary.".to_owned(),
            (_, false, true) => format!("{total} of the ceiling together."),
        })
    }

    /// What is left of a ceiling beside everything planned, in millilitres of a solution, rounded down.
    #[must_use]
    pub fn left_words(&self, ceiling: &Ceiling, solution: Concentration) -> String {
        let left = WHOLE.saturating_sub(self.total());
        ml_words(ceiling.to_go_by().ug.saturating_mul(left) / WHOLE, solution)
    }
}

impl PlannedProduct {
    /// A drug that is injected, as typed; `None` if neither concentration nor amount is.
    #[must_use]
    pub fn injected(
        drug: LocalAnaesthetic,
        concentration: Option<&str>,
        unit: Option<ConcentrationUnit>,
        millilitres: Option<&str>,
    ) -> Option<Self> {
        let typed = concentration.is_some() || millilitres.is_some();
        typed.then(|| Self::Injected {
            drug,
            solution: Concentration::read(concentration, unit, drug),
            microlitres: millilitres.map(BadAmount::read).transpose(),
        })
    }

    /// A cream or gel, as typed, in its unit.
    #[must_use]
    pub fn topical(product: TopicalProduct, amount: &str) -> Self {
        Self::Topical { product, amount: BadAmount::read(amount) }
    }

    /// Its share; nothing where the amount is not chosen.
    fn share(
        &self,
        basis: &DoseBasis,
        course: &Course,
        rule: InfantCutRule,
    ) -> Result<Option<DoseShare>, NoShare> {
        match self {
            Self::Injected { drug, solution, microlitres } => {
                let ceiling = Ceiling::of(*drug, basis, rule)?;
                let solution = solution.clone()?;
                Ok(microlitres.clone()?.map(|microlitres| {
                    // Thousandths of a microgram, so that nothing is rounded before the share.
                    let given = u64::from(microlitres).saturating_mul(solution.ug_per_ml().into());
                    let millilitres = record::bounds::number_words(f64::from(microlitres) / 1000.0);
                    let words = format!("{millilitres} mL of {}, {}", drug.words(), solution.words());
                    DoseShare { words, share: share(given, ceiling.to_go_by().ug.saturating_mul(1000)) }
                }))
            }
            Self::Topical { product, amount } => {
                let limit = TopicalLimit::of(*product, basis, course)?;
                let amount = amount.clone()?;
                let words = format!("{} of {}", product.amount_words(amount), product.words());
                Ok(Some(DoseShare { words, share: share(amount.into(), limit.most.into()) }))
            }
        }
    }
}

/// A share in hundredths of one per cent, rounded up.
fn share(given: u64, most: u64) -> u64 {
    given.saturating_mul(WHOLE).div_ceil(most.max(1))
}

/// "83.4 %", rounded up to a tenth.
#[must_use]
pub fn percent_words(share: u64) -> String {
    let tenths = share.div_ceil(10);
    format!("{}.{} %", tenths / 10, tenths % 10)
}
