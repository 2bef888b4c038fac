//! The ceiling of one drug that is injected.

use super::{
    basis::DoseBasis,
    concentration::Concentration,
    products::LocalAnaesthetic,
    rows::{CeilingRow, CutRow, EvidenceStatus, ceiling_rows, cut_rows},
};
use crate::protocol::InfantCutRule;

/// An amount for a child of a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CeilingAmount {
    /// Micrograms.
    pub ug: u64,
    /// Micrograms for each kilogram.
    pub ug_per_kg: u32,
}

/// The ceiling of a drug for a child on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ceiling {
    /// The drug.
    pub drug: LocalAnaesthetic,
    /// The lowest of the rows that were read for that age.
    pub full: CeilingAmount,
    /// The same cut for a young infant, where a row that was read says so.
    pub cut: Option<(CeilingAmount, &'static CutRow)>,
    /// What the clinic has settled about the cut.
    pub rule: InfantCutRule,
    /// Every row that was read for that drug and age, the lowest first.
    pub rows: Vec<&'static CeilingRow>,
}

/// Why there is no ceiling.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoCeiling {
    /// No row that was read speaks of that drug and age.
    #[error("No ceiling is known here for {0} at this age: use your formulary.")]
    NoneRead(&'static str),
}

impl CeilingAmount {
    /// For a weight in grams, rounded down to a microgram.
    fn of(ug_per_kg: u32, grams: u16) -> Self {
        Self { ug: u64::from(ug_per_kg) * u64::from(grams) / 1000, ug_per_kg }
    }

    /// In milligrams, rounded down to a tenth: "15.6 mg".
    #[must_use]
    pub fn mg_words(self) -> String {
        let tenths = self.ug / 100;
        format!("{}.{} mg", tenths / 10, tenths % 10)
    }

    /// In millilitres of a solution, rounded down to a hundredth: "1.56 mL".
    #[must_use]
    pub fn ml_words(self, solution: Concentration) -> String {
        ml_words(self.ug, solution)
    }

    /// "3 mg/kg".
    #[must_use]
    pub fn per_kg_words(self) -> String {
        format!("{} mg/kg", record::bounds::number_words(f64::from(self.ug_per_kg) / 1000.0))
    }
}

/// An amount in millilitres of a solution, rounded down to a hundredth.
pub(super) fn ml_words(ug: u64, solution: Concentration) -> String {
    let hundredths = ug * 100 / u64::from(solution.ug_per_ml());
    format!("{}.{:02} mL", hundredths / 100, hundredths % 100)
}

impl Ceiling {
    /// The ceiling of a drug on the basis of a weight and an age.
    ///
    /// # Errors
    /// When no row that was read speaks of that drug and age.
    pub fn of(drug: LocalAnaesthetic, basis: &DoseBasis, rule: InfantCutRule) -> Result<Self, NoCeiling> {
        let months = basis.age.months;
        let speaks = |row: &&CeilingRow| {
            row.drug == drug
                && row.status == EvidenceStatus::Read
                && (row.from_months..row.until_months).contains(&months)
        };
        let mut rows: Vec<_> = ceiling_rows().iter().filter(speaks).collect();
        rows.sort_by_key(|row| row.ug_per_kg);
        let lowest = rows.first().ok_or(NoCeiling::NoneRead(drug.words()))?.ug_per_kg;
        let grams = basis.weight.grams;
        let cuts = |row: &&CutRow| row.status == EvidenceStatus::Read && months < row.until_months;
        let cut = cut_rows().iter().filter(cuts).min_by_key(|row| row.keep_percent);
        let cut = cut.map(|row| (CeilingAmount::of(lowest * row.keep_percent / 100, grams), row));
        Ok(Self { drug, full: CeilingAmount::of(lowest, grams), cut, rule, rows })
    }

    /// The amount to go by: what the clinic has settled, and the lower one until it has.
    #[must_use]
    pub fn to_go_by(&self) -> CeilingAmount {
        match (self.rule, self.cut) {
            (InfantCutRule::NoCut, _) | (_, None) => self.full,
            (InfantCutRule::Cut | InfantCutRule::NotSettled, Some((cut, _))) => cut.min(self.full),
        }
    }
}
