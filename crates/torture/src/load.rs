//! The child: opens the records and writes from several threads, telling each deed before and after.

use crate::deed::{self, Deed, DeedLine, DeedNumber, draw};
use archive::{Archive, ArchiveError, DatabaseKey, FILE_NAME, Options, SavedText, Summary, WitnessPlace};
use rand::{RngExt, rngs::StdRng};
use record::{Body, Entry};
use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
    sync::Arc,
};

/// What a child is told.
#[derive(Debug, Clone)]
pub struct LoadTask {
    /// The folder of everything: records, witness and copies.
    pub folder: PathBuf,
    /// The seed of the folder.
    pub seed: u64,
    /// How often a child has been started in it before.
    pub generation: u32,
    /// Threads that write.
    pub writers: u32,
    /// Deeds of each thread; `None` until the child is killed.
    pub deeds: Option<u32>,
}

/// The folder of the records.
#[must_use]
pub fn records(folder: &Path) -> PathBuf {
    folder.join("records")
}

/// The folder of a copy that a deed makes.
#[must_use]
pub fn copy(folder: &Path, number: DeedNumber) -> PathBuf {
    folder.join("copies").join(number.to_string())
}

/// How the child and the parent open the records.
#[must_use]
pub fn options(folder: &Path) -> Options {
    let witness = Some(WitnessPlace::in_folder(&folder.join("outside").join("witness")));
    let key = is_encrypted(folder).then(|| DatabaseKey::new(&KEY));
    Options { witness, key, ..Options::new("1", summarise) }
}

/// The key of all records that are encrypted here: none of them is worth a secret.
const KEY: [u8; 32] = *b"no secret: invented records only";

/// The file beside the folders that says that the records in them are encrypted. It lies outside them, where no fault
/// reaches it.
const ENCRYPTED: &str = "encrypted";

/// Has the records in every folder directly below `within` encrypted, if the build can.
///
/// # Errors
/// When the file that says so cannot be written.
pub fn encrypt_below(within: &Path) -> io::Result<()> {
    fs::write(within.join(ENCRYPTED), [])
}

/// Whether the records in a folder are encrypted.
#[must_use]
pub fn is_encrypted(folder: &Path) -> bool {
    folder.parent().is_some_and(|within| within.join(ENCRYPTED).exists())
}

/// The last text and the number of entries: enough that every append rewrites a row of a list.
fn summarise(entries: &[Entry]) -> Summary {
    let Some(last) = entries.last() else { return Summary::empty(record::ChildId::new(uuid::Uuid::nil())) };
    let mut summary = Summary::empty(last.child);
    summary.active = true;
    summary.given_name = format!("Child with {} entries", entries.len());
    summary.last_seen = entries.iter().map(|entry| entry.on).max();
    if let Body::Note(note) = &last.body {
        summary.texts.push(SavedText { topic: "last".into(), text: note.text.clone() });
    }
    summary
}

/// Says a line. One call of the system for each, so that a line is there whole or not at all.
fn say(line: &DeedLine) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(format!("{}\n", line.to_string().replace('\n', " ")).as_bytes())?;
    out.flush()
}

/// Opens the records and writes until everything is done or the process is killed.
///
/// # Errors
/// When the parent has gone away.
pub fn run(task: &LoadTask) -> io::Result<()> {
    let archive = match Archive::open(&records(&task.folder), options(&task.folder)) {
        Ok(archive) => archive,
        Err(error) => return say(&DeedLine::NotOpen(error.to_string())),
    };
    if let Some(finding) = archive.finding() {
        return say(&DeedLine::NotOpen(finding.sentence(&|at| at.to_string())));
    }
    say(&DeedLine::Open)?;
    std::thread::scope(|scope| {
        let writers: Vec<_> = (0..task.writers)
            .map(|writer| {
                let archive = &archive;
                scope.spawn(move || Writing::new(task, writer, archive).run())
            })
            .collect();
        writers.into_iter().try_for_each(|writer| writer.join().unwrap_or(Ok(())))
    })
}

/// One thread.
struct Writing<'a> {
    task: &'a LoadTask,
    archive: &'a Archive,
    number: DeedNumber,
    rng: StdRng,
    /// Acknowledged entries of this thread that are not erased, by deed and place.
    entries: Vec<(DeedNumber, u32)>,
    accounts: Vec<DeedNumber>,
}

impl<'a> Writing<'a> {
    fn new(task: &'a LoadTask, writer: u32, archive: &'a Archive) -> Self {
        let number = DeedNumber { generation: task.generation, writer, place: 0 };
        let rng = draw(task.seed, &format!("writer {number}"));
        Self { task, archive, number, rng, entries: Vec::new(), accounts: Vec::new() }
    }

    fn run(mut self) -> io::Result<()> {
        while self.task.deeds.is_none_or(|deeds| self.number.place < deeds) {
            let deed = self.choose();
            say(&DeedLine::Sent(self.number, deed))?;
            match self.act(deed) {
                Ok(()) => say(&DeedLine::Done(self.number))?,
                Err(ArchiveError::WordsRemain(_)) => say(&DeedLine::WordsRemain(self.number))?,
                // No answer: it may be there or not, and that is what was said.
                Err(ArchiveError::Unsure(_)) => {}
                Err(error) => say(&DeedLine::Refused(self.number, error.to_string()))?,
            }
            self.number.place += 1;
        }
        Ok(())
    }

    fn choose(&mut self) -> Deed {
        match self.rng.random_range(0..200) {
            0..8 if !self.entries.is_empty() => {
                let (of, place) = self.entries.swap_remove(self.rng.random_range(0..self.entries.len()));
                Deed::Erase(of, place)
            }
            8..16 => Deed::Setting,
            16..22 => Deed::Account,
            22..26 if !self.accounts.is_empty() => {
                Deed::Disable(self.accounts.swap_remove(self.rng.random_range(0..self.accounts.len())))
            }
            26..28 => Deed::Rebuild,
            28..30 => Deed::Copy,
            30..34 => Deed::Import(self.rng.random_range(20..200)),
            34..60 => Deed::Append(self.rng.random_range(2..6)),
            _ => Deed::Append(1),
        }
    }

    fn act(&mut self, what: Deed) -> Result<(), ArchiveError> {
        let (seed, number, archive) = (self.task.seed, self.number, self.archive);
        match what {
            Deed::Append(count) => {
                archive.append(deed::entries(seed, number, what))?;
                self.entries.extend((0..count).map(|place| (number, place)));
            }
            Deed::Import(_) => {
                archive.append_import(
                    deed::entries(seed, number, what),
                    deed::import(seed, number),
                    &mut |_| (),
                )?;
            }
            Deed::Erase(of, place) => {
                let entry = erased_entry(seed, of, place);
                let (by, at) = deed::erased(seed, number);
                archive.erase(entry, "asked for", by, at)?;
            }
            Deed::Setting => {
                archive.set_setting(&setting_key(number.writer), Some(number.to_string()))?;
            }
            Deed::Account => {
                archive.accounts().create_account(deed::account(seed, number))?;
                self.accounts.push(number);
            }
            Deed::Disable(of) => archive.accounts().set_disabled(deed::account(seed, of).id, true)?,
            Deed::Rebuild => archive.change_summaries("1", Arc::new(summarise), || ())?,
            Deed::Copy => {
                let to = copy(&self.task.folder, number);
                // Where the folder cannot be made, the copy says so.
                let _ = fs::create_dir_all(&to);
                archive.back_up(&to.join(FILE_NAME))?;
            }
        }
        Ok(())
    }
}

/// The id of an entry of a deed. Which entries a deed has does not depend on their number, so that any number that
/// includes the place serves.
pub(crate) fn erased_entry(seed: u64, of: DeedNumber, place: u32) -> record::EntryId {
    let entries = deed::entries(seed, of, Deed::Append(place + 1));
    entries.last().map_or(record::EntryId::new(uuid::Uuid::nil()), |entry| entry.id)
}

/// The setting that a writer changes.
#[must_use]
pub fn setting_key(writer: u32) -> String {
    format!("torture {writer}")
}
