//! The concentration of a solution, as typed from the ampoule.

use super::products::LocalAnaesthetic;

/// The unit in which a concentration is written on an ampoule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ConcentrationUnit {
    /// Milligrams in a millilitre.
    MgPerMl,
    /// Per cent: grams in 100 millilitres. 1 % is 10 mg/mL.
    Percent,
}

/// A concentration.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Concentration {
    /// Micrograms in a millilitre; never 0.
    ug_per_ml: u32,
}

/// A concentration that cannot be used, one sentence each.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadConcentration {
    /// Nothing is typed.
    #[error("The concentration of {0} is missing: copy it from the ampoule, with its unit.")]
    Missing(&'static str),
    /// No unit is chosen.
    #[error("The unit of the concentration of {0} is missing: mg/mL or %. 1 % is 10 mg/mL.")]
    NoUnit(&'static str),
    /// It is not a number.
    #[error("“{0}” is not a concentration: a number is expected, such as 1 or 0.25.")]
    NotANumber(String),
    /// It is outside what is sold for injection.
    #[error(
        "{typed} of {drug} is not a usual solution for injection ({usual}; common practice, no source): check number and unit. 1 % is 10 mg/mL."
    )]
    NotUsual {
        /// As typed, with its unit.
        typed: String,
        /// The drug.
        drug: &'static str,
        /// What is usual.
        usual: &'static str,
    },
}

impl ConcentrationUnit {
    /// Both.
    pub const ALL: [Self; 2] = [Self::MgPerMl, Self::Percent];

    /// Its key in forms.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::MgPerMl => "mg-ml",
            Self::Percent => "percent",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.key() == key)
    }

    /// As written on an ampoule.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MgPerMl => "mg/mL",
            Self::Percent => "%",
        }
    }

    /// Micrograms in a millilitre for one thousandth of the unit.
    const fn ug_per_ml_of_a_thousandth(self) -> u64 {
        match self {
            Self::MgPerMl => 1,
            Self::Percent => 10,
        }
    }
}

impl Concentration {
    /// Reads a concentration of a drug. A number outside what is sold for injection is refused: it is nearly always
    /// the other unit, which would make the dose wrong ten times.
    ///
    /// # Errors
    /// When number or unit are missing, cannot be read or are not usual.
    pub fn read(
        text: Option<&str>,
        unit: Option<ConcentrationUnit>,
        drug: LocalAnaesthetic,
    ) -> Result<Self, BadConcentration> {
        let text = text.ok_or(BadConcentration::Missing(drug.words()))?;
        let unit = unit.ok_or(BadConcentration::NoUnit(drug.words()))?;
        let short = || text.chars().take(20).collect::<String>();
        let thousandths = scaled(text).ok_or_else(|| BadConcentration::NotANumber(short()))?;
        let ug_per_ml = thousandths.saturating_mul(unit.ug_per_ml_of_a_thousandth());
        let (low, high, usual) = drug.usual_ug_per_ml();
        match u32::try_from(ug_per_ml) {
            Ok(ug_per_ml) if (low..=high).contains(&ug_per_ml) => Ok(Self { ug_per_ml }),
            _ => {
                let typed = format!("{} {}", short(), unit.words());
                Err(BadConcentration::NotUsual { typed, drug: drug.words(), usual })
            }
        }
    }

    /// Micrograms in a millilitre; never 0.
    #[must_use]
    pub const fn ug_per_ml(self) -> u32 {
        self.ug_per_ml
    }

    /// In both units, such as "1 % = 10 mg/mL".
    #[must_use]
    pub fn words(self) -> String {
        let mg = f64::from(self.ug_per_ml) / 1000.0;
        let percent = f64::from(self.ug_per_ml) / 10_000.0;
        format!("{} % = {} mg/mL", record::bounds::number_words(percent), record::bounds::number_words(mg))
    }
}

/// A number with at most three decimals, in thousandths; a decimal comma is allowed. `None` for anything else, for
/// a number below zero, and for one of more than a million.
#[must_use]
pub fn scaled(text: &str) -> Option<u64> {
    let text = text.trim();
    let (whole, fraction) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 6 || fraction.len() > 3 || !digits(whole) || !digits(fraction) {
        return None;
    }
    let fraction = format!("{fraction:0<3}");
    Some(whole.parse::<u64>().ok()? * 1000 + fraction.parse::<u64>().ok()?)
}
