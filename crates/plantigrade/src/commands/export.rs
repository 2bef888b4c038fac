//! `export`: every visit to a file that a spreadsheet program opens and `import` reads back.

use super::{Reading, print};
use crate::{cli::ExportArgs, exit::Failure};
use record::{ChildId, Entry, UserId};
use std::{io::Write, path::Path};

/// Writes the file; an existing file is never overwritten. Restricted records are left out for who is not named, and
/// counted.
///
/// # Errors
/// When the ending is neither .csv nor .xlsx, the file exists, or it cannot be written.
pub fn export(args: &ExportArgs, person: Option<UserId>) -> Result<(), Failure> {
    let format = ExportFormat::of(&args.file)?;
    let reading = Reading::open(&args.signed.data)?;
    let closed = reading.closed_to(person)?;
    let mut children: Vec<(ChildId, Vec<Entry>)> = Vec::new();
    let mut left_out = 0;
    reading.records.for_each_child(&mut |child, entries| {
        if closed.has(child) { left_out += 1 } else { children.push((child, entries)) }
    })?;
    let lent: Vec<(ChildId, &[Entry])> =
        children.iter().map(|(child, entries)| (*child, entries.as_slice())).collect();
    let bytes = match format {
        ExportFormat::Csv => exchange::export_csv(&lent).into_bytes(),
        ExportFormat::Xlsx => exchange::export_xlsx(&lent)
            .map_err(|error| Failure::failed(crate::exit::sentence(&error.to_string())))?,
    };
    write_new(&args.file, &bytes)?;
    let mut text = format!("{} children written to {}.\n", lent.len(), args.file.display());
    if left_out > 0 {
        text.push_str(&format!(
            "{left_out} restricted records are left out, because you are not named for them.\n"
        ));
    }
    print(&text)
}

#[derive(Clone, Copy)]
enum ExportFormat {
    Csv,
    Xlsx,
}

impl ExportFormat {
    fn of(file: &Path) -> Result<Self, Failure> {
        let ending = file.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("csv") => Ok(Self::Csv),
            Some("xlsx") => Ok(Self::Xlsx),
            _ => Err(Failure::usage(format!("{} must end in .csv or .xlsx.", file.display()))),
        }
    }
}

/// Writes a file that does not exist yet; an existing one is never overwritten, and none is left half written.
///
/// # Errors
/// When it exists or cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => Failure::failed(format!(
            "{} exists already and is not overwritten: choose another name.",
            path.display()
        )),
        _ => Failure::failed(format!("{} could not be written: {error}.", path.display())),
    };
    let mut file = clinic::private_options().write(true).create_new(true).open(path).map_err(failed)?;
    file.write_all(bytes).and_then(|()| file.sync_all()).map_err(|error| {
        // An incomplete file could be taken for the whole.
        let _ = std::fs::remove_file(path);
        failed(error)
    })
}
