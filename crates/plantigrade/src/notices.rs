//! What everybody must know about the records before trusting or saving anything: shown on every page.

use crate::{
    app::App, backing_up, backup_trouble::BackupTrouble, clock::Clock, clock::local_words,
    door::RestoreOutcome, request::Visitor,
};
use clinic::{ArchiveError, ClinicRecords};
use pages::StandingNotice;
use record::Right;
use std::sync::PoisonError;

/// The page that says more, and where something can be done about it.
pub const RECORDS_PAGE: &str = "/records";
/// The page of backups.
pub const BACKUPS_PAGE: &str = "/backups";

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

/// For how many seconds it is remembered whether there is a recent backup.
const BACKUP_STATE_SECONDS: i64 = 60;

impl App {
    /// Whether everybody is to be told that there is no recent backup of this clinic.
    pub(crate) fn backup_trouble(&self) -> Option<BackupTrouble> {
        if self.mode.invented || self.held.is_some() {
            return None;
        }
        let now = self.clock.now();
        let mut state = self.backup_state.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, trouble)) =
            state.filter(|(at, _)| (0..BACKUP_STATE_SECONDS).contains(&(now.seconds() - at)))
        {
            return trouble;
        }
        // Where the records cannot be read, that is found and said by whoever reads them.
        let trouble = backing_up::trouble(&self.dir, &self.records, &self.settings().backups.folders, now)
            .unwrap_or_default();
        *state = Some((now.seconds(), trouble));
        trouble
    }

    /// Has it looked up anew, after a backup was made.
    pub(crate) fn forget_backup_state(&self) {
        *self.backup_state.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }

    /// The same in words, one sentence.
    pub(crate) fn backup_trouble_words(&self) -> Option<String> {
        self.backup_trouble().map(|trouble| match trouble {
            BackupTrouble::Never => "No backup of these records was ever made.".to_owned(),
            BackupTrouble::DrillFailed(at) => {
                format!("The drill of {} found something wrong with the newest backup.", local_words(at))
            }
            BackupTrouble::Old(at) => {
                format!("The last good backup of these records was made on {}.", local_words(at))
            }
        })
    }

    /// What a visitor is told about it: leads where to go, others whom to tell.
    pub(crate) fn backup_notice(&self, visitor: &Visitor) -> Option<StandingNotice> {
        visitor.who.as_ref()?;
        let what = self.backup_trouble_words()?;
        let lead = visitor.rights().has(Right::CareForRecords);
        Some(if lead {
            let text = format!(
                "{what} If this computer is lost, what was recorded since the last good one is lost."
            );
            StandingNotice { text, href: BACKUPS_PAGE }
        } else {
            StandingNotice { text: format!("{what} Tell a lead of the clinic."), href: RECORDS_PAGE }
        })
    }

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
        let restored = self.restore_outcome().and_then(|outcome| match outcome {
            RestoreOutcome::Restored(text) => Some(text),
            RestoreOutcome::Failed(_) => None,
        });
        refused
            .into_iter()
            .chain(restored)
            .chain(copied)
            .chain(witness)
            .chain(self.failed_check())
            .map(notice)
            .collect()
    }
}
