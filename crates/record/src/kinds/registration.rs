//! Registration: who the child is.

use super::Inspect;
use crate::bounds::{BIRTH_WEIGHT, Finding, GESTATION, LINE_CHARS, Severity, judge_list, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// Sex as registered.
    Sex {
        /// Female.
        Female = "female", "girl";
        /// Male.
        Male = "male", "boy";
        /// Not determined at birth.
        Undetermined = "undetermined", "sex undetermined";
    }
}

/// Someone who looks after the child and can be reached.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Carer {
    /// Name as they give it.
    pub name: String,
    /// "mother", "uncle" …
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relation: Option<String>,
    /// Telephone number as written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phone: Option<String>,
    /// Language they read or speak best.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
}

/// Who the child is. A later registration replaces an earlier one whole.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Registration {
    /// Family name; may be empty where a child has one name only.
    pub family_name: String,
    /// Given name or names.
    pub given_name: String,
    /// Hospital numbers, the current one first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<String>,
    /// Day of birth, where known. Never guessed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub born: Option<Day>,
    /// Sex, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
    /// Whole weeks of gestation at birth, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gestation_weeks: Option<u8>,
    /// Birth weight, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub birth_weight_g: Option<u16>,
    /// Who looks after the child, the first to call first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carers: Vec<Carer>,
    /// Where the family lives, as they say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
}

impl Registration {
    /// "Given Family", or what there is of it.
    #[must_use]
    pub fn full_name(&self) -> String {
        format!("{} {}", self.given_name, self.family_name).trim().to_owned()
    }
}

impl Inspect for Registration {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        if self.full_name().is_empty() && self.numbers.iter().all(|number| number.trim().is_empty()) {
            let text = "A child needs a name or a hospital number.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "name", text });
        }
        if self.born.is_some_and(|born| born > on) {
            let text = "The day of birth lies after the day of registration.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "born", text });
        }
        findings.extend(judge_text("family_name", &self.family_name, LINE_CHARS));
        findings.extend(judge_text("given_name", &self.given_name, LINE_CHARS));
        findings.extend(self.address.iter().filter_map(|text| judge_text("address", text, LINE_CHARS)));
        findings.extend(self.numbers.iter().filter_map(|text| judge_text("numbers", text, 60)));
        findings.extend(judge_list("numbers", self.numbers.len()));
        findings.extend(judge_list("carers", self.carers.len()));
        for carer in &self.carers {
            let texts = [Some(&carer.name), carer.relation.as_ref(), carer.phone.as_ref(), carer.language.as_ref()];
            findings.extend(texts.into_iter().flatten().filter_map(|text| judge_text("carers", text, LINE_CHARS)));
        }
        findings.extend(self.gestation_weeks.and_then(|weeks| GESTATION.judge("gestation_weeks", weeks.into())));
        findings.extend(self.birth_weight_g.and_then(|grams| BIRTH_WEIGHT.judge("birth_weight_g", grams.into())));
    }
}
