//! Creams and gels: how much, and from which age.

use super::{
    basis::DoseBasis,
    products::TopicalProduct,
    rows::{EvidenceStatus, TopicalRow, topical_rows},
};
use course::{Course, MedicinesSeen};
use record::MedicineAnswer;

/// The limit of a product for a child on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TopicalLimit {
    /// The product.
    pub product: TopicalProduct,
    /// Thousandths of a gram of cream, or of a tube of gel; never 0.
    pub most: u32,
    /// The row.
    pub row: &'static TopicalRow,
    /// What has to be looked at before, one sentence each.
    pub cautions: Vec<String>,
}

/// Why there is no limit, or why the product is not to be used; one sentence each.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoTopical {
    /// No row that was read speaks of that age.
    #[error("No limit is known here for {0} at this age: use your formulary.")]
    NoneRead(&'static str),
    /// Less than 37 weeks from conception.
    #[error(
        "Lidocaine–prilocaine cream is not used before 37 weeks of gestation (Medsafe; product information)."
    )]
    BeforeThirtySevenWeeks,
    /// Born before 37 weeks and still young.
    #[error(
        "The child was born at {0} weeks. Lidocaine–prilocaine cream is to be avoided under 37 weeks of gestation (Medsafe; product information); whether that ends once 37 weeks have passed since conception was not read. No amount is given here under 3 months of corrected age: ask the pharmacist."
    )]
    BornEarly(u8),
    /// The weeks of gestation are not recorded.
    #[error(
        "Weeks of gestation are not recorded, and lidocaine–prilocaine cream is not used before 37 weeks: enter them in the details of the child."
    )]
    GestationUnknown,
    /// A medicine that can cause methaemoglobinaemia.
    #[error(
        "The child takes a medicine that can cause methaemoglobinaemia: lidocaine–prilocaine cream is not used with it under 12 months (Medsafe; product information)."
    )]
    Methaemoglobin,
    /// Tetracaine gel under one month of age.
    #[error(
        "Tetracaine gel under 1 month: one source calls it unlicensed (Medscape UK 2023), another contraindicated (MIMS). No amount is given here."
    )]
    TetracaineUnderOneMonth,
}

/// Corrected age in months under which a child born early gets no amount of the cream here.
const YOUNG_MONTHS: i32 = 3;
/// Age in months under which the cream is not used with certain medicines.
const METHAEMOGLOBIN_MONTHS: i32 = 12;
/// Completed weeks from conception before which the cream is not used.
const CREAM_FROM_WEEKS: i32 = 37;

impl TopicalLimit {
    /// The limit of a product for a child.
    ///
    /// # Errors
    /// When the product is not to be used at that age or with those medicines, when what decides that is not
    /// recorded, or when no row that was read speaks of that age.
    pub fn of(product: TopicalProduct, basis: &DoseBasis, course: &Course) -> Result<Self, NoTopical> {
        let months = basis.age.months;
        let cautions = match product {
            TopicalProduct::LidocainePrilocaine => cream(basis, course)?,
            TopicalProduct::TetracaineGel if months < 1 => return Err(NoTopical::TetracaineUnderOneMonth),
            TopicalProduct::TetracaineGel => Vec::new(),
        };
        let speaks = |row: &&TopicalRow| {
            row.product == product
                && row.status == EvidenceStatus::Read
                && (row.from_months..row.until_months).contains(&months)
        };
        let row = topical_rows().iter().filter(speaks).min_by_key(|row| row.most);
        let row = row.ok_or(NoTopical::NoneRead(product.words()))?;
        Ok(Self { product, most: row.most, row, cautions })
    }
}

/// What speaks against the cream, and what has to be looked at before it is used.
fn cream(basis: &DoseBasis, course: &Course) -> Result<Vec<String>, NoTopical> {
    let age = &basis.age;
    if age.weeks_from_conception().is_some_and(|weeks| weeks < CREAM_FROM_WEEKS) {
        return Err(NoTopical::BeforeThirtySevenWeeks);
    }
    if age.months < YOUNG_MONTHS {
        let weeks = age.gestation_weeks.ok_or(NoTopical::GestationUnknown)?;
        if age.is_premature() == Some(true) {
            return Err(NoTopical::BornEarly(weeks));
        }
    }
    let mut cautions = Vec::new();
    if age.months < METHAEMOGLOBIN_MONTHS {
        cautions.extend(medicines(course.preparation.medicines.as_ref())?);
    }
    cautions.push("Not with a deficiency of glucose-6-phosphate dehydrogenase (Medsafe; product information): the program does not record it, ask.".to_owned());
    Ok(cautions)
}

fn medicines(seen: Option<&MedicinesSeen>) -> Result<Option<String>, NoTopical> {
    let Some(seen) = seen else {
        return Ok(Some(
            "Medicines are not recorded: under 12 months the cream is not used with those that can cause methaemoglobinaemia. Ask, and look each one up.".to_owned(),
        ));
    };
    match (seen.said.answer, seen.said.methaemoglobin) {
        (_, Some(true)) => Err(NoTopical::Methaemoglobin),
        (MedicineAnswer::None, _) | (MedicineAnswer::Named, Some(false)) => Ok(None),
        (MedicineAnswer::Named, None) => Ok(Some(format!(
            "Medicines: {}. Nobody has recorded whether one of them can cause methaemoglobinaemia: look each one up before the cream is used.",
            seen.said.which.as_deref().unwrap_or("named").trim()
        ))),
    }
}
