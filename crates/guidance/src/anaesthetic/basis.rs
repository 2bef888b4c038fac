//! What a ceiling rests on: the weight and the age on the day.

use crate::step::LEAST_GESTATION_WEEKS;
use course::{Age, Course, QuestionKind, TERM_WEEKS, WeightSeen};
use record::Day;

/// A weight older than this many days is not used for a dose (common practice, no source).
pub const WEIGHT_HOLDS_DAYS: i32 = 7;

/// The weight and the age from which ceilings are computed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoseBasis {
    /// The day of the operation.
    pub on: Day,
    /// The weight.
    pub weight: WeightSeen,
    /// The age.
    pub age: RuleAge,
}

/// The age that the rules use: the younger of the age since birth and the age corrected for prematurity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleAge {
    /// The age since birth, with the corrected one for a child born before 37 weeks.
    pub age: Age,
    /// Weeks of gestation, if recorded.
    pub gestation_weeks: Option<u8>,
    /// Whole calendar months that the rules use.
    pub months: i32,
}

/// Why no ceiling can be computed for a child, one sentence each.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoDoseBasis {
    /// No weight is recorded.
    #[error("No weight is recorded: weigh the child. The weight at birth is never used for a dose.")]
    NoWeight,
    /// The weight is too old.
    #[error(
        "The last weight, {grams} g, is of {}: more than {WEIGHT_HOLDS_DAYS} days before {}. Weigh the child again.",
        .weighed.words(),
        .on.words()
    )]
    OldWeight {
        /// In grams.
        grams: u16,
        /// Its day.
        weighed: Day,
        /// The day of the operation.
        on: Day,
    },
    /// The day of birth is not recorded.
    #[error(
        "The day of birth is not recorded, and every ceiling depends on the age: enter it in the details of the child."
    )]
    NoBirthDay,
    /// The day of the operation lies before birth.
    #[error("The day lies before the day of birth: check both.")]
    BeforeBirth,
    /// The child has not reached the corrected age of term.
    #[error(
        "The child has not yet reached 40 weeks from conception: no ceiling that was read speaks of that age. Ask the anaesthetist."
    )]
    BeforeTerm,
    /// Something that a dose rests on is in doubt.
    #[error("In doubt: {0} No ceiling is given until this is settled.")]
    InDoubt(String),
}

impl DoseBasis {
    /// The basis for an operation on a day.
    ///
    /// # Errors
    /// Everything that is missing or in doubt; never an empty list.
    pub fn of(course: &Course, on: Day) -> Result<Self, Vec<NoDoseBasis>> {
        let (weight, age) = (weight(course, on), RuleAge::of(course, on));
        let doubts: Vec<NoDoseBasis> = doubts(course).collect();
        match (weight, age) {
            (Ok(weight), Ok(age)) if doubts.is_empty() => Ok(Self { on, weight, age }),
            (weight, age) => Err(weight.err().into_iter().chain(age.err()).chain(doubts).collect()),
        }
    }
}

fn weight(course: &Course, on: Day) -> Result<WeightSeen, NoDoseBasis> {
    let weight = *course.preparation.weight_by(on).ok_or(NoDoseBasis::NoWeight)?;
    if on - weight.on > WEIGHT_HOLDS_DAYS {
        return Err(NoDoseBasis::OldWeight { grams: weight.grams, weighed: weight.on, on });
    }
    Ok(weight)
}

/// The open questions about weight, birth or identity.
fn doubts(course: &Course) -> impl Iterator<Item = NoDoseBasis> {
    let concerned = |kind: QuestionKind| {
        matches!(kind, QuestionKind::WeightImplausible | QuestionKind::BeforeBirth | QuestionKind::Clash)
    };
    let asked = course.questions.iter().filter(move |asked| asked.side.is_none() && concerned(asked.kind));
    asked.map(|asked| NoDoseBasis::InDoubt(asked.text.clone()))
}

impl RuleAge {
    /// The age on a day.
    ///
    /// # Errors
    /// When the day of birth is missing or later, or the child has not reached term.
    pub fn of(course: &Course, on: Day) -> Result<Self, NoDoseBasis> {
        let born = course.about.born.ok_or(NoDoseBasis::NoBirthDay)?;
        if on < born {
            return Err(NoDoseBasis::BeforeBirth);
        }
        let gestation_weeks = course.about.gestation_weeks;
        let age = Age::on(on, born, gestation_weeks);
        if age.corrected_days.is_some_and(|days| days < 0) {
            return Err(NoDoseBasis::BeforeTerm);
        }
        let early = match (gestation_weeks, age.corrected_days) {
            // As young as a child can be.
            (None, _) => (i32::from(TERM_WEEKS) - LEAST_GESTATION_WEEKS) * 7,
            (Some(_), corrected) => corrected.map_or(0, |corrected| age.days - corrected),
        };
        let months = (born + early).months_to(on).max(0);
        Ok(Self { age, gestation_weeks, months })
    }

    /// Weeks from conception, if the weeks of gestation are recorded.
    #[must_use]
    pub fn weeks_from_conception(&self) -> Option<i32> {
        self.gestation_weeks.map(|weeks| i32::from(weeks) + self.age.days / 7)
    }

    /// Whether the child was born before 37 weeks; `None` if that is not recorded.
    #[must_use]
    pub fn is_premature(&self) -> Option<bool> {
        self.gestation_weeks.map(|_| self.age.corrected_days.is_some())
    }

    /// Which age the rules use and why, as one or two sentences.
    #[must_use]
    pub fn words(&self) -> String {
        let since_birth = format!("Age {}", self.age.words());
        match (self.gestation_weeks, self.age.corrected_days) {
            (Some(weeks), Some(corrected)) => format!(
                "{since_birth}, born at {weeks} weeks; corrected to term {} weeks. Rules by age use the corrected age, the younger of the two.",
                corrected / 7
            ),
            (Some(weeks), None) => {
                format!("{since_birth}, born at {weeks} weeks. Rules by age use the age since birth.")
            }
            (None, _) => format!(
                "{since_birth}; weeks of gestation are not recorded. Rules by age take the child as born at {LEAST_GESTATION_WEEKS} weeks, as young as it can be: enter the weeks of gestation."
            ),
        }
    }
}
