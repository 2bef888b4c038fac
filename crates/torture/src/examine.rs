//! Opens the records after a fault and compares them with the ledger.

use crate::{
    deed::{Deed, DeedNumber},
    ledger::Ledger,
    load::{copy, is_encrypted, options, records},
    outcome::Outcome,
};
use archive::{Archive, ArchiveError, FaultKind, Options, WitnessFinding};
use std::{fs, path::Path};

/// How the records are opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpeningMode {
    /// As the program does it at its start.
    ToWrite,
    /// For reading only, which changes nothing in the files.
    ToRead,
}

/// One examination.
#[derive(Debug, Clone)]
pub struct Examination<'a> {
    /// The folder of everything.
    pub folder: &'a Path,
    /// How the records are opened.
    pub opening: OpeningMode,
    /// Whether calls of the system had failed. The witness may then have missed lines, so that the archive cannot tell
    /// whether an end is missing, and says so.
    pub disk_failed: bool,
    /// Which fault it was.
    pub named: &'a str,
}

impl Examination<'_> {
    /// Opens the records, checks every hash, and compares them with what was acknowledged. Everything wrong is in the
    /// outcome. Says whether the records can be gone on with.
    pub fn examine(&self, ledger: &mut Ledger, outcome: &mut Outcome) -> bool {
        let mut here = Outcome::default();
        no_erased_words(self.folder, ledger, &mut here);
        let dir = records(self.folder);
        let opened = match self.opening {
            OpeningMode::ToWrite => Archive::open(&dir, options(self.folder)),
            OpeningMode::ToRead => Archive::open_for_reading(&dir, options(self.folder)),
        };
        let goes_on = match opened {
            Ok(archive) => {
                let asks = self.compare(&archive, ledger, &mut here);
                if self.opening == OpeningMode::ToWrite && !asks {
                    ledger.opened();
                    no_erased_words(self.folder, ledger, &mut here);
                }
                !asks
            }
            // A folder in which nothing was saved yet may have no records.
            Err(ArchiveError::NoRecords(_)) if ledger.saved().next().is_none() => true,
            Err(error) => {
                here.verdict.lost += ledger.saved().count() as u64;
                here.verdict.wrong(format!("the records could not be opened: {error}"));
                false
            }
        };
        for what in &mut here.verdict.other {
            *what = format!("{}: {what}", self.named);
        }
        outcome.add(here);
        goes_on
    }

    /// Whether the archive asks a person.
    fn compare(&self, archive: &Archive, ledger: &mut Ledger, outcome: &mut Outcome) -> bool {
        let asks = archive.finding().is_some_and(|finding| self.disk_failed && cannot_tell(finding));
        if asks {
            outcome.asked += 1;
        } else if let Some(finding) = archive.finding() {
            outcome.verdict.wrong(format!("finding: {}", finding.sentence(&|at| at.to_string())));
        }
        match archive.verify() {
            Ok(report) if report.faults.iter().all(|fault| asks && fault.kind == FaultKind::Witness) => {}
            Ok(report) => outcome.verdict.wrong(format!("verify: {report}")),
            Err(error) => outcome.verdict.wrong(format!("verify: {error}")),
        }
        if let Err(error) = ledger.compare(archive, outcome) {
            outcome.verdict.wrong(format!("reading: {error}"));
        }
        asks
    }
}

/// Whether a finding says that something cannot be told, and not that something is missing.
const fn cannot_tell(finding: &WitnessFinding) -> bool {
    matches!(
        finding,
        WitnessFinding::NoKey(_) | WitnessFinding::NoLog(_) | WitnessFinding::WitnessChanged { .. }
    )
}

/// No word of an entry whose erasure was acknowledged is in any file of the records; where they are encrypted, no word
/// of any entry.
fn no_erased_words(folder: &Path, ledger: &Ledger, outcome: &mut Outcome) {
    let (words, encrypted) = (ledger.erased_words(), is_encrypted(folder));
    if words.is_empty() && !encrypted {
        return;
    }
    let Ok(files) = fs::read_dir(records(folder)) else { return };
    // The index of the log is made anew from memory of this process, unused parts of it included, in which the words are
    // because it compares them; it goes when the records are closed.
    let is_index = |path: &Path| path.to_string_lossy().ends_with("-shm");
    for path in files.flatten().map(|file| file.path()).filter(|path| path.is_file() && !is_index(path)) {
        let Ok(bytes) = fs::read(&path) else { continue };
        for word in markers_in(&bytes) {
            let name = || path.file_name().unwrap_or_default().display().to_string();
            if words.contains(&*String::from_utf8_lossy(word)) {
                outcome.verdict.wrong(format!("an erased word is still in {}", name()));
            } else if encrypted {
                outcome.verdict.wrong(format!("a word can be read in {}", name()));
            }
        }
    }
}

/// Everything in some bytes that looks like a marker.
fn markers_in(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    const LENGTH: usize = 28;
    bytes
        .windows(LENGTH)
        .filter(|window| window.starts_with(b"mark") && window.iter().all(u8::is_ascii_alphanumeric))
}

/// Opens every copy that was made while the records were in use: whole copies only, with everything that was
/// acknowledged before the copy was begun.
pub fn examine_copy(folder: &Path, number: DeedNumber, before: &Ledger, outcome: &mut Outcome) {
    let dir = copy(folder, number);
    let checked = Archive::open_for_reading(&dir, Options { witness: None, ..options(folder) })
        .map_err(|error| error.to_string())
        .and_then(|archive| {
            let report = archive.verify().map_err(|error| error.to_string())?;
            if !report.is_sound() {
                return Err(report.to_string());
            }
            let present = |(number, what): (DeedNumber, Deed)| {
                let ids: Vec<_> =
                    crate::deed::entries(before.seed(), number, what).iter().map(|entry| entry.id).collect();
                archive.present(&ids).is_ok_and(|found| found.len() == ids.len())
            };
            before.saved().find(|saved| !present(*saved)).map_or(Ok(()), |(number, what)| {
                Err(format!("deed {number} ({what}) was acknowledged before the copy and is not in it"))
            })
        });
    if let Err(why) = checked {
        outcome.verdict.wrong(format!("copy {number}: {why}"));
    }
}
