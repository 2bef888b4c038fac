//! A second clinician's score of a foot that was scored at the same visit, made without seeing the first.
//!
//! It tells how well two people agree and nothing about the foot: the course never reads it.

use super::{Inspect, assessment::inspect_dimeglio};
use crate::bounds::{Finding, LINE_CHARS, NOTE_CHARS, judge_text};
use crate::{Day, Dimeglio, EntryId, Pirani, Severity, Side};
use serde::{Deserialize, Serialize};

/// A score made blind beside another. What was not assessed is absent, never zero.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SecondScore {
    /// Which foot.
    pub side: Side,
    /// The assessment it is paired with; where absent, the only one of that foot on that day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first: Option<EntryId>,
    /// The six signs.
    #[serde(default, skip_serializing_if = "Pirani::is_empty")]
    pub pirani: Pirani,
    /// Dimeglio's items.
    #[serde(default, skip_serializing_if = "Dimeglio::is_empty")]
    pub dimeglio: Dimeglio,
    /// Who scored, where a sheet names somebody who is not the writer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scored_by: Option<String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl SecondScore {
    /// A second score of a foot with nothing assessed yet.
    #[must_use]
    pub fn of(side: Side, first: Option<EntryId>) -> Self {
        Self {
            side,
            first,
            pirani: Pirani::default(),
            dimeglio: Dimeglio::default(),
            scored_by: None,
            note: None,
        }
    }
}

impl Inspect for SecondScore {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        inspect_dimeglio(&self.dimeglio, findings);
        if self.pirani.is_empty() && self.dimeglio.is_empty() {
            let text = "No sign was scored.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "pirani", text });
        }
        findings.extend(self.scored_by.iter().filter_map(|text| judge_text("scored_by", text, LINE_CHARS)));
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
