//! The commands, one file each.

mod accept_records;
mod access_log;
mod agreement;
mod audit;
mod audit_agreement;
mod audit_year;
mod backtest;
mod backups;
mod capacity;
mod child;
mod child_forecast;
mod completions;
mod due;
mod encryption;
mod erasure;
mod export;
mod family_copy;
mod import;
mod import_undo;
mod people;
mod salvage;
mod survival;
mod verify;
mod wear;

pub use self::audit::audit;
pub use self::wear::wear;
pub use accept_records::accept_records;
pub use access_log::access_log;
pub use agreement::agreement;
pub use backtest::backtest;
pub use backups::{backup, drill, restore, take_back_upgrade};
pub use capacity::capacity;
pub use child::child;
pub use completions::completions;
pub use due::due;
pub use encryption::{change_key, encrypt, recovery_sheet};
pub use erasure::{erasure, retention};
pub use export::export;
pub use family_copy::family_copy;
pub use import::import;
pub use people::people;
pub use salvage::salvage;
pub use survival::survival;
pub use verify::verify;

use crate::{
    app,
    cli::DataArgs,
    clock::{Clock, local_words},
    exit::{Exit, Failure},
    folder_key, notices,
    restricted::{ClosedRecords, closed_to_command},
};
use clinic::{ClinicRecords, RecordsOptions, WitnessFinding};
use record::UserId;
use serde::Serialize;
use std::{io::Write, path::Path, sync::Arc};

/// Printed with results in which small numbers are not withheld.
#[derive(Debug, Serialize)]
struct SmallNumbersNotice {
    version: &'static str,
    not_for_outside: &'static str,
    small_numbers: &'static str,
}

impl Default for SmallNumbersNotice {
    fn default() -> Self {
        Self {
            version: ::audit::VERSION,
            not_for_outside: "Small numbers are included. Use --csv for a table that may leave the clinic.",
            small_numbers: ::audit::small::RULE,
        }
    }
}

/// What is printed in place of a restricted record.
const RESTRICTED: &str = "This record is restricted, and you are not named. If you need it now for care, open it on the pages: they ask for the reason.";

/// The records opened for reading, which also works while a server writes.
struct Reading {
    records: ClinicRecords,
    clock: Clock,
}

impl Reading {
    /// The records that are closed to whoever runs the command.
    fn closed_to(&self, person: Option<UserId>) -> Result<Arc<ClosedRecords>, Failure> {
        Ok(closed_to_command(&self.records, person, self.clock.now())?)
    }

    fn open(data: &DataArgs) -> Result<Self, Failure> {
        let reading = Self::open_whatever(data)?;
        match reading.records.finding() {
            // A copy elsewhere has no witness. That is said, and nothing else speaks against it.
            Some(finding @ WitnessFinding::NoKey(_)) => {
                eprintln!("{}", finding.sentence(&local_words));
                Ok(reading)
            }
            // A child's course without its last visits would be taken for the whole.
            Some(finding) => Err(not_those_saved(finding)),
            None => Ok(reading),
        }
    }

    /// Also records that are not those the witness knows, for a command that says so.
    fn open_whatever(data: &DataArgs) -> Result<Self, Failure> {
        let dir = data.dir()?;
        let protocol = app::protocol(&dir)?;
        let how = RecordsOptions {
            witness: app::witness_of(&dir)?,
            key: folder_key::database_key(&dir)?,
            ..RecordsOptions::default()
        };
        let records = ClinicRecords::open_compared(&dir, protocol, how)?;
        Ok(Self { records, clock: Clock::new(data.today) })
    }
}

/// Opens the records for a command that writes to them.
///
/// # Errors
/// When they cannot be opened, or are not those that the witness knows.
fn open_to_write(dir: &Path) -> Result<ClinicRecords, Failure> {
    let protocol = app::protocol(dir)?;
    let how = RecordsOptions {
        witness: app::witness_to_write(dir)?,
        quick_check: true,
        key: folder_key::database_key(dir)?,
        ..RecordsOptions::default()
    };
    let records = ClinicRecords::open_here(dir, protocol, how, Clock::default().now())?;
    if let Some(sentence) = notices::copied_here(&records)? {
        eprintln!("{sentence} A lead can confirm them on the page “The records”.");
    }
    match records.finding() {
        Some(finding) => Err(not_those_saved(finding)),
        None => Ok(records),
    }
}

/// The same for a command that writes entries, which have the time of the clock.
///
/// # Errors
/// As [`open_to_write`], and when the clock is earlier than the last entry.
fn open_to_record(dir: &Path, clock: Clock) -> Result<ClinicRecords, Failure> {
    let records = open_to_write(dir)?;
    match notices::clock_behind(&records, clock)? {
        Some(sentence) => Err(Failure::failed(format!(
            "{sentence} Put the clock right, or confirm it in the pages, under “The records”. Nothing was saved."
        ))),
        None => Ok(records),
    }
}

fn not_those_saved(finding: &WitnessFinding) -> Failure {
    let sentence = finding.sentence(&local_words);
    let remedy =
        "Put back the latest backup, or go on with these records: plantigrade accept-records --reason TEXT";
    Failure { exit: Exit::Witness, sentence: format!("{sentence} {remedy}") }
}

/// Prints to standard output. If the reader stops early, as `head` does, that is not a failure.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::failed(format!("The output could not be written: {error}.")))
        }
        _ => Ok(()),
    }
}

/// Prints JSON with line ends.
fn print_json(value: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Failure::failed(format!("The output could not be made: {error}.")))?;
    print(&format!("{text}\n"))
}

/// Prints JSON with the keys of every object in the order of the alphabet, so that the order of a struct's
/// fields is free.
fn print_sorted(result: &impl Serialize) -> Result<(), Failure> {
    let sorted = serde_json::to_value(result)
        .map_err(|error| Failure::failed(format!("The output could not be made: {error}.")))?;
    print_json(&sorted)
}
