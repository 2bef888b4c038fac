//! A withdrawal of another entry, which should not have been written. It stays readable.

use super::correction::judge_reason;
use crate::{Day, EntryId, Finding};
use crate::field::{KindHooks, KindSpec, field, line};

entry! {
    with hooks;
    /// A withdrawal.
    #[derive(Eq)]
    Withdrawal = KindSpec::new("withdrawal", "withdrawal").amends();

    /// The entry withdrawn.
    required entry: EntryId => field("Entry");
    /// Why.
    required reason: String => line("Reason");
}

impl KindHooks for Withdrawal {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        judge_reason(&self.reason, findings);
    }

    fn sentence(&self) -> Option<String> {
        Some(format!("withdrawal: {}", self.reason))
    }
}
