//! `export`: every visit to a file that a spreadsheet program opens and `import` reads back.

use super::{Reading, print};
use crate::{cli::ExportArgs, exit::Failure};
use record::{ChildId, Entry};
use std::{io::Write, path::Path};

/// Writes the file; an existing file is never overwritten.
///
/// # Errors
/// When the ending is neither .csv nor .xlsx, the file exists, or it cannot be written.
pub fn export(args: &ExportArgs) -> Result<(), Failure> {
    let format = ExportFormat::of(&args.file)?;
    let reading = Reading::open(&args.data)?;
    let mut children: Vec<(ChildId, Vec<Entry>)> = Vec::new();
    reading.records.for_each_child(&mut |child, entries| children.push((child, entries)))?;
    let lent: Vec<(ChildId, &[Entry])> =
        children.iter().map(|(child, entries)| (*child, entries.as_slice())).collect();
    let bytes = match format {
        ExportFormat::Csv => exchange::export_csv(&lent).into_bytes(),
        ExportFormat::Xlsx => exchange::export_xlsx(&lent)
            .map_err(|error| Failure::failed(crate::exit::sentence(&error.to_string())))?,
    };
    write(&args.file, &bytes)?;
    print(&format!("{} children written to {}.\n", lent.len(), args.file.display()))
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

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => Failure::failed(format!(
            "{} exists already and is not overwritten: choose another name.",
            path.display()
        )),
        _ => Failure::failed(format!("{} could not be written: {error}.", path.display())),
    };
    let mut file = std::fs::OpenOptions::new().write(true).create_new(true).open(path).map_err(failed)?;
    file.write_all(bytes).and_then(|()| file.sync_all()).map_err(|error| {
        // An incomplete file could be taken for the whole.
        let _ = std::fs::remove_file(path);
        failed(error)
    })
}
