//! What everybody must know about the records before trusting or saving anything: shown on every page.

use crate::{app::App, clock::Clock, clock::local_words, request::Visitor};
use clinic::{ArchiveError, ClinicRecords};
use pages::StandingNotice;

/// The page that says more, and where something can be done about it.
pub const RECORDS_PAGE: &str = "/records";

/// A sentence with both times, where the clock is earlier than the last entry and nobody has confirmed that.
///
/// # Errors
/// When the records cannot be read.
pub fn clock_behind(records: &ClinicRecords, clock: Clock) -> Result<Option<String>, ArchiveError> {
    let last = records.last_written_at()?;
    Ok(last.filter(|last| clock.is_behind(*last)).map(|last| {
        format!(
            "The clock of this computer shows {}, but the last entry was written on {}.",
            local_words(clock.now()),
            local_words(last)
        )
    }))
}

/// A sentence, where the records were copied or moved here without their witness and nobody has confirmed them.
///
/// # Errors
/// When the records cannot be read.
pub fn copied_here(records: &ClinicRecords) -> Result<Option<String>, ArchiveError> {
    Ok(records.place_to_confirm()?.map(|at| {
        format!(
            "On {} these records were opened where nothing is known of their witness: they were copied or moved, or the witness was deleted. Whether entries were missing at their end cannot be told.",
            local_words(at)
        )
    }))
}

impl App {
    /// Why nothing can be saved at present, one or two sentences; `None` where all is well.
    #[must_use]
    pub fn saving_refused(&self) -> Option<String> {
        if let Some(held) = &self.held {
            return Some(held.sentence());
        }
        if let Some(damage) = self.records.damage() {
            return Some(format!(
                "The records file is damaged ({damage}). Start the program again: it then shows what can be read."
            ));
        }
        // Where the records cannot be read, that is found and said by whoever reads them.
        clock_behind(&self.records, self.clock).unwrap_or_default()
    }

    /// What is shown at the top of the page that a visitor asked for.
    #[must_use]
    pub fn standing_for(&self, visitor: &Visitor) -> Vec<StandingNotice> {
        visitor.standing.get_or_init(|| self.standing_notices()).clone()
    }

    /// What is shown at the top of every page.
    #[must_use]
    pub fn standing_notices(&self) -> Vec<StandingNotice> {
        let notice = |text: String| StandingNotice { text, href: RECORDS_PAGE };
        let refused =
            self.saving_refused().map(|why| format!("{why} Nothing can be saved until this is settled."));
        let witness = self.records.witness_warning().map(|why| {
            format!("The witness of the records cannot be written ({why}). Entries are saved, but a loss of the last ones would not be noticed.")
        });
        let copied = copied_here(&self.records).unwrap_or_default().map(|why| {
            format!("{why} Look whether the last visits are there. A lead can then confirm the records.")
        });
        refused.into_iter().chain(copied).chain(witness).chain(self.failed_check()).map(notice).collect()
    }
}
