//! A whole visit that was withdrawn or put right in one step.

use super::{WrittenTogether, correction::judge_reason};
use crate::{
    Day, Finding,
    field::{KindHooks, KindSpec, field, line},
};

choice! {
    /// What was done with the visit, as seen from the log that holds the entry.
    VisitChange {
        /// Its entries were withdrawn.
        Withdrawn = "withdrawn", "withdrawn";
        /// Its entries were withdrawn here and recorded in the record of another child.
        MovedAway = "moved_away", "moved to another child";
        /// Its entries were recorded here; they had been written in the record of another child.
        MovedHere = "moved_here", "moved here from another child";
        /// What was recorded for one foot was recorded for the other.
        FeetExchanged = "feet_exchanged", "recorded for the other foot";
        /// It was moved to another day.
        DayChanged = "day_changed", "moved to another day";
    }
}

entry! {
    with hooks;
    /// What was done with a whole visit, with the entries that did it. It changes nothing itself: the
    /// withdrawals and corrections it lists do.
    #[derive(Eq)]
    VisitAmended = KindSpec::new("visit_amended", "visit amended").since(7).amends();

    /// What was done.
    required change: VisitChange => field("What was done");
    /// The day under which the visit was recorded before.
    required visit_on: Day => field("Visit of");
    /// The day to which it was moved, if it was.
    optional moved_to: Option<Day> => field("Moved to");
    /// Why.
    required reason: String => line("Reason");
    /// The entries written with this one.
    required together: WrittenTogether => field("");
}

impl KindHooks for VisitAmended {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        judge_reason(&self.reason, findings);
        if (self.change == VisitChange::DayChanged) != self.moved_to.is_some() {
            let text = "The day to which a visit is moved belongs to a change of its day, and to nothing else.";
            findings.push(Finding::refuse("moved_to", text));
        }
    }

    fn sentence(&self) -> Option<String> {
        let what = match self.moved_to {
            Some(day) => format!("moved to {}", day.words()),
            None => self.change.words().to_owned(),
        };
        Some(format!("whole visit of {} {what}: {}", self.visit_on.words(), self.reason))
    }
}
