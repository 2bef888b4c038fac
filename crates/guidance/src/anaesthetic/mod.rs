//! The ceiling of a local anaesthetic for one child on one day: published rows, never a dose to give.
//!
//! - [`DoseBasis`]: the weight (at most seven days old, never the weight at birth) and the age that the rules use,
//!   the younger of the age since birth and the age corrected for prematurity.
//! - [`Ceiling`]: of a drug that is injected, in milligrams and in millilitres of a concentration, rounded down.
//! - [`TopicalLimit`]: of creams and gels, with their limits of age.
//! - [`AddedUp`]: several products together, as shares of their ceilings.
//!
//! A number is given only where a row whose source was read speaks of that drug and that age (`rows.toml`). Where
//! rows differ, the lowest counts. Everywhere else the answer is that no ceiling is known.

mod basis;
mod ceiling;
mod concentration;
mod products;
mod rows;
mod sum;
mod topical;

pub use basis::{DoseBasis, NoDoseBasis, RuleAge, WEIGHT_HOLDS_DAYS};
pub use ceiling::{Ceiling, CeilingAmount, NoCeiling};
pub use concentration::{BadConcentration, Concentration, ConcentrationUnit, scaled};
pub use products::{LocalAnaesthetic, TopicalProduct};
pub use rows::{CeilingRow, CutRow, EvidenceStatus, TopicalRow, ceiling_rows, cut_rows, topical_rows};
pub use sum::{AddedUp, BadAmount, DoseShare, NoShare, PlannedProduct, percent_words};
pub use topical::{NoTopical, TopicalLimit};

/// Stands wherever a ceiling is shown.
pub const FORMULARY_RULES: &str = "Your local formulary rules, and the licensed clinician who gives the anaesthetic decides. This is a ceiling from published rows, not a dose to give.";

/// What else was read about infants and local anaesthetics: each sentence with its source.
pub const INFANT_NOTES: [(&str, &str); 4] = [
    (
        "Toxicity was reported most often under 6 months of age and after a dose given at once.",
        "Boretsky 2019, Pediatr Drugs 21:439, abstract",
    ),
    (
        "Some advise not to exceed 80 % of a ceiling in children under 8 years.",
        "UMEM Educational Pearls 2023",
    ),
    (
        "Children under 44 weeks from conception, and infants under 8 months, are named as vulnerable.",
        "Royal Children’s Hospital Melbourne, guideline on regional infusions",
    ),
    ("Not more often than every 4 hours; what was given earlier counts too.", "BNF for Children 2018–2019"),
];
