//! Opens the records to serve them, whatever state they are in.

use crate::{
    app::{self, App, Mode},
    clock::Clock,
    exit::{Exit, Failure},
    folder_key,
    held::{HeldRecords, HoldReason},
    logging::without_contents,
    settings::Settings,
};
use clinic::{
    ArchiveError, ClinicRecords, FILE_NAME, PartlyRead, RecordsOptions, WitnessFinding, WitnessPlace, salvage,
};
use std::path::Path;
use tempfile::TempDir;

impl App {
    /// Opens the records to serve them: compared with their witness and with a check of the file's structure. If
    /// something is wrong with them they are served for reading only.
    ///
    /// # Errors
    /// When the protocol, the settings or the records cannot be used at all.
    pub fn open_to_serve(dir: &Path, clock: Clock, mode: Mode) -> Result<Self, Failure> {
        let witness = app::witness_to_write(dir)?;
        if witness.is_none() {
            tracing::warn!("there is no place for a witness of the records");
        }
        Self::open_with_witness(dir, clock, mode, witness)
    }

    /// The same with the witness in a certain place.
    ///
    /// # Errors
    /// As [`App::open_to_serve`].
    pub fn open_with_witness(
        dir: &Path,
        clock: Clock,
        mode: Mode,
        witness: Option<WitnessPlace>,
    ) -> Result<Self, Failure> {
        let settings = Settings::read(dir)?;
        let protocol = app::protocol(dir)?;
        let how = RecordsOptions {
            witness,
            quick_check: true,
            key: folder_key::database_key(dir)?,
            ..RecordsOptions::default()
        };
        match ClinicRecords::open_here(dir, protocol, how, clock.now()) {
            Ok(records) => match records.finding().cloned() {
                None => Self::over(records, dir, settings, clock, mode, None),
                Some(finding) => Self::over_a_copy(records, finding, dir, settings, clock, mode),
            },
            Err(error) if is_damage(&error) => Self::over_what_is_left(error, dir, settings, clock, mode),
            Err(error) => Err(error.into()),
        }
    }

    fn over_a_copy(
        records: ClinicRecords,
        finding: WitnessFinding,
        dir: &Path,
        settings: Settings,
        clock: Clock,
        mode: Mode,
    ) -> Result<Self, Failure> {
        let copy = temporary()?;
        match records.copy_to_show(&copy.path().join(FILE_NAME)) {
            Ok(()) => {}
            Err(error) if is_damage(&error) => {
                // Another process may open them meanwhile, and finds the same.
                drop(records);
                return Self::over_what_is_left(error, dir, settings, clock, mode);
            }
            Err(error) => return Err(error.into()),
        }
        let shown = opened_copy(copy.path(), dir)?;
        let why = HoldReason::NotThoseSaved(records, finding);
        Self::over(shown, dir, settings, clock, mode, Some(HeldRecords { why, copy }))
    }

    fn over_what_is_left(
        error: ArchiveError,
        dir: &Path,
        settings: Settings,
        clock: Clock,
        mode: Mode,
    ) -> Result<Self, Failure> {
        let copy = temporary()?;
        let salvaged =
            salvage(dir, copy.path(), PartlyRead::LeaveOut, None, folder_key::database_key(dir)?.as_ref())?;
        // A file of which nothing can be read may be none of this program.
        if salvaged.entries == 0 && salvaged.accounts == 0 {
            return Err(error.into());
        }
        // Without them a record that only some may open would be open to everybody.
        if salvaged.incomplete.contains(&"restrictions") {
            return Err(Failure {
                exit: Exit::Damaged,
                sentence: "The records file is damaged, and which records are restricted cannot be read: nothing is shown. Put back the latest copy, or write what can be read into a new folder: plantigrade salvage --to FOLDER".to_owned(),
            });
        }
        tracing::error!("{}", without_contents(&error));
        let shown = opened_copy(copy.path(), dir)?;
        let why = HoldReason::Damaged(error.to_string(), Box::new(salvaged));
        Self::over(shown, dir, settings, clock, mode, Some(HeldRecords { why, copy }))
    }
}

/// Opens a copy of the records of `dir`, encrypted as they are.
fn opened_copy(copy: &Path, dir: &Path) -> Result<ClinicRecords, Failure> {
    let how = RecordsOptions { key: folder_key::database_key(dir)?, ..RecordsOptions::default() };
    Ok(ClinicRecords::open(copy, app::protocol(dir)?, how)?)
}

/// Errors after which the rest of the file is read page by page.
const fn is_damage(error: &ArchiveError) -> bool {
    matches!(error, ArchiveError::Damaged(_) | ArchiveError::NotRecords(_) | ArchiveError::Unreadable { .. })
}

/// Only the owner may read it.
fn temporary() -> Result<TempDir, Failure> {
    tempfile::Builder::new().prefix("plantigrade-reading-").tempdir().map_err(|error| {
        Failure::failed(format!("A folder to read the records in could not be made: {error}."))
    })
}
