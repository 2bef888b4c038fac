//! `salvage`: everything that can be read of damaged records, in a new folder, with a list of what is missing.

use super::{print, print_json};
use crate::{
    app,
    cli::SalvageArgs,
    copies,
    exit::{Exit, Failure},
    folder_key,
};
use clinic::{ClinicRecords, PartlyRead, RecordsOptions, Salvaged, salvage as read_out};
use record::Day;
use serde::Serialize;
use std::{fmt::Write as _, path::Path};

/// Entries and children that are listed; more are counted.
const LISTED: usize = 200;
/// The list in the new folder.
const LIST: &str = "missing.txt";

/// What was saved and what is missing.
#[derive(Debug, Serialize)]
struct SalvageReport {
    folder: String,
    entries: usize,
    children: usize,
    accounts: usize,
    missing_entries: Vec<MissingRow>,
    affected_children: Vec<AffectedChild>,
    missing_of_unknown_children: usize,
    length_is_known: bool,
    incomplete: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct MissingRow {
    site: Option<String>,
    number: i64,
}

#[derive(Debug, Serialize)]
struct AffectedChild {
    id: String,
    name: Option<String>,
}

/// Salvages the records.
///
/// # Errors
/// When there is no file, another process has it open, or the new folder cannot be written. When anything is missing,
/// after the list is printed.
pub fn salvage(args: &SalvageArgs) -> Result<(), Failure> {
    let dir = args.signed.data.dir()?;
    let key = folder_key::key_of(&dir)?;
    make_folder(&args.to)?;
    let salvaged = read_out(
        &dir,
        &args.to,
        PartlyRead::Write,
        None,
        key.as_ref().map(folder_key::database_key_of).as_ref(),
    )?;
    copies::copy_own_files(&dir, &args.to)
        .map_err(|error| Failure::failed(format!("The settings could not be copied: {error}.")))?;
    if let Some(key) = key {
        folder_key::remember(&args.to, key);
    }
    let report = report(&args.to, &salvaged)?;
    let text = report.text();
    // The list has names.
    if !folder_key::is_encrypted(&dir) {
        clinic::create_private(&args.to.join(LIST))
            .and_then(|mut file| std::io::Write::write_all(&mut file, text.as_bytes()))
            .map_err(|error| Failure::failed(format!("{LIST} could not be written: {error}.")))?;
    }
    if args.json {
        print_json(&report)?
    } else {
        print(&text)?
    }
    if salvaged.is_whole() {
        return Ok(());
    }
    let listed = if folder_key::is_encrypted(&dir) {
        "the list above says what. It is not written to a file, because it has names and would not be encrypted"
            .to_owned()
    } else {
        format!("{LIST} in the new folder lists it")
    };
    Err(Failure {
        exit: Exit::Damaged,
        sentence: format!("Something is missing; {listed}. Keep the damaged folder too."),
    })
}

fn make_folder(to: &Path) -> Result<(), Failure> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(to).map_err(|error| Failure::failed(format!("{} cannot be made: {error}.", to.display())))
}

fn report(to: &Path, salvaged: &Salvaged) -> Result<SalvageReport, Failure> {
    let how = RecordsOptions { key: folder_key::database_key(to)?, ..RecordsOptions::default() };
    let records = ClinicRecords::open(to, app::protocol(to)?, how)?;
    let name = |child| {
        let known = records.child(child, Day::LAST).ok().flatten();
        known.map(|known| pages::parts::Who::of(&known.outlook.course).shown_name())
    };
    let affected = salvaged.affected.iter();
    Ok(SalvageReport {
        folder: to.display().to_string(),
        entries: salvaged.entries,
        children: salvaged.children,
        accounts: salvaged.accounts,
        missing_entries: salvaged
            .missing
            .iter()
            .map(|entry| MissingRow { site: entry.site.map(|site| site.to_string()), number: entry.sequence })
            .collect(),
        affected_children: affected
            .map(|child| AffectedChild { id: child.to_string(), name: name(*child) })
            .collect(),
        missing_of_unknown_children: salvaged.of_unknown_children,
        length_is_known: salvaged.length_is_known,
        incomplete: salvaged.incomplete.clone(),
    })
}

impl SalvageReport {
    fn text(&self) -> String {
        let mut text = String::new();
        // Writing to a string does not fail.
        let _ = writeln!(
            text,
            "{} entries of {} children and {} accounts were saved in {}.",
            self.entries, self.children, self.accounts, self.folder
        );
        if self.missing_entries.is_empty() && self.length_is_known {
            text.push_str("No entry is missing.\n");
        } else {
            let _ = writeln!(text, "{} entries are missing:", self.missing_entries.len());
        }
        for row in self.missing_entries.iter().take(LISTED) {
            let _ = writeln!(text, "- number {} of the log", row.number);
        }
        if !self.affected_children.is_empty() {
            text.push_str(
                "Something is missing of these children; complete it from paper or from a backup:\n",
            );
        }
        for child in &self.affected_children {
            let _ = writeln!(
                text,
                "- {} ({})",
                child.name.as_deref().unwrap_or("no name could be read"),
                child.id
            );
        }
        if self.missing_of_unknown_children > 0 {
            let _ = writeln!(
                text,
                "Of {} missing entries it is not known whom they are about: any child may be affected.",
                self.missing_of_unknown_children
            );
        }
        if !self.length_is_known {
            text.push_str("How many entries there were is not known: more may be missing at the end.\n");
        }
        for table in &self.incomplete {
            let _ = writeln!(text, "Not everything could be read of: {}.", table.replace('_', " "));
        }
        text
    }
}
