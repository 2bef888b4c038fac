//! Bringing in a file, for the command and the page alike: read it, plan it, write it.

use crate::{clock::Clock, exit::Failure};
use clinic::archive::{Archive, ArchiveError};
use exchange::{ColumnMap, MapFile, Report, Stamp, Table};
use record::{SiteId, UserId};
use std::path::Path;
use uuid::Uuid;

/// Who brings in files at the command line, as their entries bear it.
const WRITER_KEY: &str = "import-writer";

/// A file read, with what its columns mean.
pub struct UploadedSheet {
    /// Its rows.
    pub table: Table,
    /// What its columns mean.
    pub map: ColumnMap,
}

impl UploadedSheet {
    /// Reads a file; a map file settles what its columns mean, otherwise they are guessed.
    ///
    /// # Errors
    /// One sentence, when the file is not what its name says or the map does not fit it.
    pub fn read(bytes: &[u8], name: &str, map: Option<(&str, &str)>) -> Result<Self, Failure> {
        let map_error = |map_name: &str, error: exchange::MapError| {
            Failure::refused(crate::exit::sentence(&format!(
                "{map_name}, line {}: {}",
                error.line, error.text
            )))
        };
        let file = map.map(|(name, text)| MapFile::from_toml(text).map_err(|error| map_error(name, error)));
        let file = file.transpose()?;
        let wrong = |error: exchange::ReadError| Failure {
            exit: crate::exit::Exit::Damaged,
            sentence: error.to_string(),
        };
        let table = exchange::read_mapped(bytes, name, file.as_ref()).map_err(wrong)?;
        let map = match (&file, map) {
            (Some(file), Some((name, _))) => file.apply(&table).map_err(|error| map_error(name, error))?,
            _ => exchange::guess(&table),
        };
        Ok(Self { table, map })
    }

    /// What would be written. The records are only read.
    ///
    /// # Errors
    /// When the records cannot be read: a child that could not be looked up must not be taken for new.
    pub fn plan(
        &self,
        archive: Option<&Archive>,
        stamp: &Stamp,
        clock: Clock,
        progress: &mut dyn FnMut(usize),
    ) -> Result<exchange::Plan, ArchiveError> {
        clinic::plan_import(archive, (&self.table, &self.map), stamp, clock.id(), progress)
    }

    /// The refused rows as a file to be mended and brought in again; `None` where there is none.
    #[must_use]
    pub fn refused(&self, report: &Report) -> Option<String> {
        Some(exchange::refused_rows_csv(&self.table, report)).filter(|text| !text.is_empty())
    }
}

/// Who, when and where for an import at the command line.
///
/// # Errors
/// When the records cannot be read or written.
pub fn command_line_stamp(archive: &Archive, clock: Clock) -> Result<Stamp, ArchiveError> {
    let by = match command_line_writer(archive)? {
        Some(id) => id,
        None => {
            let id = UserId::new(clock.id());
            archive.set_setting(WRITER_KEY, Some(id.to_string()))?;
            id
        }
    };
    Ok(Stamp { at: clock.now(), by, site: crate::app::site(archive, clock)? })
}

/// Whoever brings in files at the command line, where somebody has.
///
/// # Errors
/// When the records cannot be read.
pub fn command_line_writer(archive: &Archive) -> Result<Option<UserId>, ArchiveError> {
    Ok(archive.setting(WRITER_KEY)?.and_then(|text| text.parse().ok()))
}

/// A stamp for looking only; nothing of it is written.
#[must_use]
pub fn looking_stamp(clock: Clock) -> Stamp {
    Stamp { at: clock.now(), by: UserId::new(Uuid::nil()), site: SiteId::new(Uuid::nil()) }
}

/// A file looked at in the browser.
pub struct PlannedImport {
    /// The name under which it came.
    pub file_name: String,
    /// The file.
    pub sheet: std::sync::Arc<UploadedSheet>,
    /// What was found.
    pub report: Report,
    /// How many entries were written, once it was confirmed.
    pub written: Option<usize>,
}

/// Reads a whole file, up to the limit of the importer.
///
/// # Errors
/// When it cannot be read or is too large.
pub fn read_file(path: &Path) -> Result<Vec<u8>, Failure> {
    let failed =
        |error: std::io::Error| Failure::failed(format!("{} cannot be read: {error}.", path.display()));
    let size = std::fs::metadata(path).map_err(failed)?.len();
    if size > exchange::MOST_BYTES as u64 {
        return Err(Failure::refused(format!(
            "{} has {} MB; at most {} MB are read: split it into smaller files.",
            path.display(),
            size >> 20,
            exchange::MOST_BYTES >> 20
        )));
    }
    std::fs::read(path).map_err(failed)
}
