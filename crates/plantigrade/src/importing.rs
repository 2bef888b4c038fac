//! Bringing in a file, for the command and the page alike: read it, plan it, write it.

use crate::{clock::Clock, exit::Failure, import_choices::ImportChoices};
use axum::body::Bytes;
use clinic::{ArchiveError, ClinicRecords, NewImport};
use exchange::{ColumnMap, FileQuestion, MapFile, Report, Stamp, Table};
use record::{ImportId, SiteId, UserId};
use std::{collections::BTreeSet, path::Path, sync::Arc};
use uuid::Uuid;

/// A file read, with what its columns mean.
pub struct UploadedSheet {
    /// Its rows.
    pub table: Table,
    /// What its columns mean.
    pub map: ColumnMap,
    /// The map that settles what is not left to the guess.
    pub file: MapFile,
}

/// A file that cannot be read, or not with its map.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UploadError {
    /// The file.
    #[error(transparent)]
    Sheet(#[from] exchange::ReadError),
    /// The map.
    #[error(transparent)]
    Map(#[from] exchange::MapError),
    /// More than a page may hold in memory.
    #[error(
        "{file} has {rows} rows, more than can be shown here at once. Split it into smaller files, or import it at the command line: plantigrade import FILE"
    )]
    TooMuchForPage {
        /// Name of the file.
        file: String,
        /// Its rows.
        rows: usize,
    },
}

/// The most that the cells of a file looked at in the browser may take of memory, in bytes: 250,000 rows of 20
/// columns or so. Planning and writing such a file takes about ten times as much, and the clinic's computer
/// has other work.
pub const PAGE_TABLE_BYTES: usize = 40 << 20;

impl UploadError {
    /// The same for a person who gave a map file of this name.
    #[must_use]
    pub fn of_map_named(self, name: &str) -> Failure {
        match self {
            Self::Sheet(error) => Failure { exit: crate::exit::Exit::Damaged, sentence: error.to_string() },
            Self::Map(error) => {
                let text = format!("{name}, line {}: {}", error.line, error.text);
                Failure::refused(crate::exit::sentence(&text))
            }
            Self::TooMuchForPage { .. } => Failure::refused(self.to_string()),
        }
    }
}

impl UploadedSheet {
    /// Reads a file; a map file settles what its columns mean, otherwise they are guessed.
    ///
    /// # Errors
    /// One sentence, when the file is not what its name says or the map does not fit it.
    pub fn read(bytes: &[u8], name: &str, map: Option<(&str, &str)>) -> Result<Self, Failure> {
        let map_name = map.map_or("the map file", |(name, _)| name);
        let file = map.map_or(Ok(MapFile::new()), |(_, text)| MapFile::from_toml(text));
        let file = file.map_err(|error| UploadError::Map(error).of_map_named(map_name))?;
        Self::read_with(bytes, name, file).map_err(|error| error.of_map_named(map_name))
    }

    /// Reads a file with a map.
    ///
    /// # Errors
    /// When the file is not what its name says or the map does not fit it.
    pub fn read_with(bytes: &[u8], name: &str, file: MapFile) -> Result<Self, UploadError> {
        let table = exchange::read_mapped(bytes, name, Some(&file))?;
        let map = file.apply(&table)?;
        Ok(Self { table, map, file })
    }

    /// The same for the browser, whose plans stay in memory.
    ///
    /// # Errors
    /// As [`UploadedSheet::read_with`], and where the file is too large for a page.
    pub fn read_for_page(bytes: &[u8], name: &str, file: MapFile) -> Result<Self, UploadError> {
        let sheet = Self::read_with(bytes, name, file)?;
        if sheet.table.bytes() > PAGE_TABLE_BYTES {
            let rows = sheet.table.rows().count();
            return Err(UploadError::TooMuchForPage { file: name.to_owned(), rows });
        }
        Ok(sheet)
    }

    /// What would be written. The records are only read.
    ///
    /// # Errors
    /// When the records cannot be read: a child that could not be looked up must not be taken for new.
    pub fn plan(
        &self,
        records: Option<&ClinicRecords>,
        stamp: &Stamp,
        clock: Clock,
        progress: &mut dyn FnMut(usize),
    ) -> Result<exchange::Plan, ArchiveError> {
        clinic::plan_import(records, (&self.table, &self.map), stamp, clock.id(), progress)
    }

    /// The refused rows as a file to be mended and brought in again; `None` where there is none.
    #[must_use]
    pub fn refused(&self, report: &Report) -> Option<String> {
        Some(exchange::refused_rows_csv(&self.table, report)).filter(|text| !text.is_empty())
    }
}

/// What is remembered of an import, so that it can be undone.
#[must_use]
pub fn new_import(report: &Report, stamp: &Stamp, clock: Clock) -> NewImport {
    let (id, file) = (ImportId::new(clock.id()), report.source.file.clone());
    NewImport { id, file, by: stamp.by, at: stamp.at }
}

/// Who, when and where for an import at the command line: who signed in to the command, otherwise the writer that
/// stands for imported files.
///
/// # Errors
/// When the records cannot be read or written.
pub fn command_line_stamp(
    records: &ClinicRecords,
    clock: Clock,
    signed_in: Option<UserId>,
) -> Result<Stamp, ArchiveError> {
    let by = match signed_in {
        Some(user) => user,
        None => records.import_writer_or(UserId::new(clock.id()))?,
    };
    let site = records.own_site_or(SiteId::new(clock.id()))?;
    Ok(Stamp { at: clock.now(), today: clock.today(), by, site })
}

/// How the file was read, a sentence each.
pub fn read_as(report: &Report) -> Vec<String> {
    let source = &report.source;
    let mut lines = vec![match (source.delimiter, source.encoding, &source.sheet) {
        (Some(delimiter), Some(encoding), _) => {
            format!(
                "{}, {delimiter} between cells, {encoding}, headings in row {}.",
                source.format, source.header_row
            )
        }
        (_, _, Some(sheet)) => {
            format!("{}, sheet “{sheet}”, headings in row {}.", source.format, source.header_row)
        }
        _ => format!("{}, headings in row {}.", source.format, source.header_row),
    }];
    if !source.other_sheets.is_empty() {
        lines.push(format!("Other sheets were left alone: {}.", source.other_sheets.join(", ")));
    }
    if !source.hidden_sheets.is_empty() {
        lines.push(format!("Hidden sheets were not read: {}.", source.hidden_sheets.join(", ")));
    }
    lines.push(crate::exit::sentence(&report.dates.why));
    lines.extend(report.remarks.iter().map(|text| crate::exit::sentence(text)));
    lines
}

/// A stamp for looking only; nothing of it is written.
#[must_use]
pub fn looking_stamp(clock: Clock) -> Stamp {
    let (at, today) = (clock.now(), clock.today());
    Stamp { at, today, by: UserId::new(Uuid::nil()), site: SiteId::new(Uuid::nil()) }
}

/// A file looked at in the browser, with what was chosen about it so far.
pub struct PlannedImport {
    /// The name under which it came.
    pub file_name: String,
    /// The file as it came.
    pub bytes: Bytes,
    /// Its headings as read without any map: by them the clinic's choices are found again.
    pub headings: Arc<[String]>,
    /// The map it began with: one saved earlier, one from a file, or an empty one.
    pub base: Arc<MapFile>,
    /// When the map it began with was saved, where it is one of the clinic's.
    pub saved: Option<String>,
    /// Why choices that the clinic saved for these headings are not used, one or two sentences.
    pub unused: Option<String>,
    /// What was chosen on the page.
    pub choices: ImportChoices,
    /// The file, read with all of that.
    pub sheet: Arc<UploadedSheet>,
    /// Every question that came up so far, in that order.
    pub asked: Arc<[FileQuestion]>,
    /// The ids of the questions that the map it began with answers.
    pub base_answers: Arc<BTreeSet<String>>,
    /// What was found.
    pub report: Arc<Report>,
    /// Number of the plan; each change of the choices makes another.
    pub revision: usize,
    /// How many entries were written, once it was confirmed.
    pub written: Option<usize>,
}

impl PlannedImport {
    /// The same once more; the file itself is shared.
    #[must_use]
    pub fn again(&self) -> Self {
        Self {
            file_name: self.file_name.clone(),
            bytes: self.bytes.clone(),
            headings: Arc::clone(&self.headings),
            base: Arc::clone(&self.base),
            saved: self.saved.clone(),
            unused: self.unused.clone(),
            choices: self.choices.clone(),
            sheet: Arc::clone(&self.sheet),
            asked: Arc::clone(&self.asked),
            base_answers: Arc::clone(&self.base_answers),
            report: Arc::clone(&self.report),
            revision: self.revision,
            written: self.written,
        }
    }
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
