//! A correction of another entry. The old contents stay readable.

use super::Body;
use crate::{
    Day, EntryId, Finding, Side,
    field::{FieldSpec, FieldType, FieldValue, KindHooks, KindSpec, ShownValues, field, line},
};

entry! {
    with hooks;
    /// A correction. The corrected entry keeps its place and takes its contents from here. If an entry has
    /// several corrections, the last one written applies.
    Correction = KindSpec::new("correction", "correction").amends();

    /// The entry that was wrong.
    required entry: EntryId => field("Entry");
    /// The correct contents.
    required body: Box<Body> => field("");
    /// The correct clinical day, if that was wrong.
    optional on: Option<Day> => field("Day");
    /// Why.
    required reason: String => line("Reason");
}

impl Body {
    /// The entry that this one corrects or withdraws; `None` for any other kind.
    #[must_use]
    pub const fn amends(&self) -> Option<EntryId> {
        match self {
            Self::Correction(body) => Some(body.entry),
            Self::Withdrawal(body) => Some(body.entry),
            _ => None,
        }
    }
}

/// Refuses an empty reason.
pub(crate) fn judge_reason(reason: &str, findings: &mut Vec<Finding>) {
    if reason.trim().is_empty() {
        let text = "A reason is needed, so that others can follow what happened.";
        findings.push(Finding::refuse("reason", text));
    }
}

impl KindHooks for Correction {
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        if self.body.kind().spec().amends {
            let text = "A correction cannot itself hold a correction or a withdrawal.";
            findings.push(Finding::refuse("body", text));
        } else {
            Body::inspect(&self.body, self.on.unwrap_or(on), findings);
        }
        judge_reason(&self.reason, findings);
    }

    fn sentence(&self) -> Option<String> {
        Some(format!("correction of {}: {}", self.body.kind().words(), self.reason))
    }
}

/// Its findings depend on the day, so the rules of the correction add them.
impl FieldValue for Box<Body> {
    const TAKES: FieldType = FieldType::Body;

    fn version(&self) -> u16 {
        Body::version(self)
    }

    fn side(&self) -> Option<Side> {
        Body::side(self)
    }

    fn show(&self, _spec: &'static FieldSpec, _shown: &mut ShownValues) {}
}
