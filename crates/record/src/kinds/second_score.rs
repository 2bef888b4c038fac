//! A second clinician's score of a foot that was scored at the same visit, made without seeing the first.
//!
//! It measures how well two raters agree; the course of the foot never reads it.

use super::{Assessment, assessment::sums_of};
use crate::{Day, Dimeglio, EntryId, Finding, Pirani, Side};
use crate::field::{KindHooks, KindSpec, field, line, long};

entry! {
    with hooks;
    /// A score made blind to the first one. A sign that was not assessed is absent, never zero.
    #[derive(Eq)]
    SecondScore = KindSpec::new("second_score", "second score").since(3);

    /// Which foot.
    required side: Side => field("Which foot");
    /// The assessment that it is paired with; if absent, the only one of that foot on that day.
    optional first: Option<EntryId> => field("First score");
    /// The six signs.
    optional pirani: Pirani => field("");
    /// Dimeglio's items.
    optional dimeglio: Dimeglio => field("Dimeglio: ");
    /// Who scored, if it was not the writer.
    optional scored_by: Option<String> => line("Scored by (if not the writer)");
    /// Anything else.
    optional note: Option<String> => long("Anything else");
}

impl KindHooks for SecondScore {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.pirani.is_empty() && self.dimeglio.is_empty() {
            findings.push(Finding::refuse("pirani", "No sign was scored."));
        }
    }

    fn sentence(&self) -> Option<String> {
        let seen = Assessment {
            pirani: self.pirani,
            dimeglio: self.dimeglio,
            note: self.note.clone(),
            ..Assessment::of(self.side)
        };
        Some(format!("second score, blind: {}", seen.found()))
    }

    fn sums(&self) -> Vec<(&'static str, String)> {
        sums_of(&self.pirani, &self.dimeglio)
    }
}
