//! Two records of one child that were joined.

use super::{WrittenTogether, correction::judge_reason};
use crate::{
    Day, Finding,
    field::{KindHooks, KindSpec, field, line},
};

choice! {
    /// Which of the two records holds the entry.
    JoinedPart {
        /// The record that is used from then on.
        Kept = "kept", "kept";
        /// The record whose entries were recorded again in the other.
        Closed = "closed", "closed";
    }
}

entry! {
    with hooks;
    /// Two records of one child were joined: one entry in each log. It changes nothing itself: the entries
    /// and withdrawals it lists do.
    #[derive(Eq)]
    RecordsJoined = KindSpec::new("records_joined", "records joined").since(7).amends();

    /// Which of the two records this is.
    required part: JoinedPart => field("This record");
    /// Why they are of the same child.
    required reason: String => line("Reason");
    /// The entries written with this one, and the other record.
    required together: WrittenTogether => field("");
}

impl KindHooks for RecordsJoined {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        judge_reason(&self.reason, findings);
        if self.together.other.is_none() {
            findings.push(Finding::refuse("other", "The other record is missing."));
        }
    }

    fn sentence(&self) -> Option<String> {
        let what = match self.part {
            JoinedPart::Kept => "another record of the same child was joined to this one",
            JoinedPart::Closed => "this record was joined to another record of the same child",
        };
        Some(format!("{what}: {}", self.reason))
    }
}
