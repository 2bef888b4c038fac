//! A disk as it may be after a loss of power: what was flushed is there; of what was written since, any part may be.
//!
//! POSIX promises of `fsync` that the contents of one file are on the disk when it returns, and of nothing else in
//! which order it gets there (IEEE Std 1003.1, `fsync`). Names of files are on the disk once their folder was flushed;
//! before that any number of the latest changes of names may be missing, in their order. A sector of 512 bytes is
//! written whole or not at all. After a flush that failed, what was to be flushed may be gone for good, although later
//! flushes succeed (Linux drops such pages from what is still to be written).

use crate::journal::Call;
use rand::{RngExt, rngs::StdRng};
use std::{
    collections::{BTreeMap, HashMap},
    fs, io,
    path::{Path, PathBuf},
};

const SECTOR: u64 = 512;

/// What becomes of writes that were not flushed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unflushed {
    /// All are there, as after SIGKILL.
    All,
    /// None is.
    None,
    /// Each is there or not.
    Some,
    /// Each sector of each is there or not.
    Torn,
}

impl Unflushed {
    /// All of them.
    pub const EACH: [Self; 4] = [Self::All, Self::None, Self::Some, Self::Torn];
}

#[derive(Debug, Clone)]
enum Change<'c> {
    Write(u64, &'c [u8]),
    Length(u64),
}

#[derive(Debug, Clone, Default)]
struct File<'c> {
    flushed: Vec<u8>,
    pending: Vec<Change<'c>>,
}

impl<'c> File<'c> {
    fn apply(&mut self, change: &Change<'c>) {
        match change {
            Change::Write(at, bytes) => write(&mut self.flushed, *at, bytes),
            Change::Length(length) => self.flushed.resize(place(*length), 0),
        }
    }

    fn flush(&mut self) {
        for change in std::mem::take(&mut self.pending) {
            self.apply(&change);
        }
    }

    /// What may be on the disk.
    fn cut_off(&mut self, left: Unflushed, share: f64, rng: &mut StdRng) {
        for change in std::mem::take(&mut self.pending) {
            match (left, &change) {
                (Unflushed::All, _) => self.apply(&change),
                (Unflushed::None, _) => {}
                (Unflushed::Torn, Change::Write(at, bytes)) => {
                    for (at, sector) in sectors(*at, bytes) {
                        if rng.random_bool(share) {
                            write(&mut self.flushed, at, sector);
                        }
                    }
                }
                _ => {
                    if rng.random_bool(share) {
                        self.apply(&change);
                    }
                }
            }
        }
    }
}

fn place(number: u64) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

fn write(into: &mut Vec<u8>, at: u64, bytes: &[u8]) {
    let (from, to) = (place(at), place(at) + bytes.len());
    if into.len() < to {
        into.resize(to, 0);
    }
    if let Some(there) = into.get_mut(from..to) {
        there.copy_from_slice(bytes);
    }
}

/// Some bytes in pieces that each lie within one sector.
fn sectors(at: u64, bytes: &[u8]) -> impl Iterator<Item = (u64, &[u8])> {
    let (mut at, mut rest) = (at, bytes);
    std::iter::from_fn(move || {
        let (sector, after) = rest.split_at(rest.len().min(place(SECTOR - at % SECTOR)));
        let begun = at;
        (at, rest) = (at + sector.len() as u64, after);
        (!sector.is_empty()).then_some((begun, sector))
    })
}

/// A change of names.
#[derive(Debug, Clone)]
enum Naming {
    Made(PathBuf, usize),
    Renamed(PathBuf, PathBuf),
    Removed(PathBuf),
    Folder(PathBuf),
}

impl Naming {
    fn is_in(&self, folder: &Path) -> bool {
        let within = |path: &Path| path.parent() == Some(folder);
        match self {
            Self::Made(path, _) | Self::Removed(path) | Self::Folder(path) => within(path),
            Self::Renamed(from, to) => within(from) || within(to),
        }
    }
}

type Names = BTreeMap<PathBuf, usize>;

/// The disk while calls are made on it.
#[derive(Debug, Clone, Default)]
pub struct Disk<'c> {
    files: Vec<File<'c>>,
    /// Names and folders at the beginning.
    begun: (Names, Vec<PathBuf>),
    names: Names,
    namings: Vec<Naming>,
    /// How many of these are surely on the disk.
    settled: usize,
    open: HashMap<i32, usize>,
    folders: HashMap<i32, PathBuf>,
}

impl<'c> Disk<'c> {
    /// A disk with the files of a folder, all flushed.
    ///
    /// # Errors
    /// When a file cannot be read.
    pub fn of(folder: &Path) -> io::Result<Self> {
        let mut disk = Self::default();
        disk.load(folder)?;
        disk.names.clone_from(&disk.begun.0);
        Ok(disk)
    }

    fn load(&mut self, folder: &Path) -> io::Result<()> {
        for found in fs::read_dir(folder)? {
            let path = found?.path();
            if path.is_dir() {
                self.begun.1.push(path.clone());
                self.load(&path)?;
            } else {
                self.begun.0.insert(path.clone(), self.files.len());
                self.files.push(File { flushed: fs::read(&path)?, pending: Vec::new() });
            }
        }
        Ok(())
    }

    /// Does a call.
    pub fn follow(&mut self, call: &'c Call, rng: &mut StdRng) {
        match call {
            Call::Open { fd, path, emptied } => self.opened(*fd, Path::new(path), *emptied),
            Call::OpenFolder { fd, path } => {
                self.folders.insert(*fd, path.into());
            }
            Call::Write { fd, at, bytes } => self.change(*fd, Change::Write(*at, bytes)),
            Call::Truncate { fd, length } => self.change(*fd, Change::Length(*length)),
            Call::Flush(fd) => self.flush(*fd),
            Call::FlushFailed(fd) => {
                if let Some(file) = self.open.get(fd).and_then(|file| self.files.get_mut(*file)) {
                    file.pending.retain(|_| rng.random_bool(0.5));
                }
            }
            Call::Rename(from, to) => {
                if let Some(file) = self.names.remove(Path::new(from)) {
                    self.names.insert(to.into(), file);
                }
                self.namings.push(Naming::Renamed(from.into(), to.into()));
            }
            Call::Remove(path) => {
                self.names.remove(Path::new(path));
                self.namings.push(Naming::Removed(path.into()));
            }
            Call::Folder(path) => self.namings.push(Naming::Folder(path.into())),
            Call::Close(fd) => {
                self.open.remove(fd);
                self.folders.remove(fd);
            }
            Call::Said(_) | Call::Failed => {}
        }
    }

    fn opened(&mut self, fd: i32, path: &Path, emptied: bool) {
        let known = self.names.get(path).copied();
        let file = known.unwrap_or_else(|| {
            self.files.push(File::default());
            let new = self.files.len() - 1;
            self.names.insert(path.into(), new);
            self.namings.push(Naming::Made(path.into(), new));
            new
        });
        self.open.insert(fd, file);
        if emptied && known.is_some() {
            self.change(fd, Change::Length(0));
        }
    }

    fn change(&mut self, fd: i32, change: Change<'c>) {
        if let Some(file) = self.open.get(&fd).and_then(|file| self.files.get_mut(*file)) {
            file.pending.push(change);
        }
    }

    fn flush(&mut self, fd: i32) {
        if let Some(file) = self.open.get(&fd).and_then(|file| self.files.get_mut(*file)) {
            file.flush();
        }
        if let Some(folder) = self.folders.get(&fd) {
            let last = self.namings.iter().rposition(|naming| naming.is_in(folder));
            self.settled = self.settled.max(last.map_or(0, |last| last + 1));
        }
    }

    /// Takes the power away, and writes what may be on the disk below `from` to the same places below `to`.
    ///
    /// # Errors
    /// When a file cannot be written.
    pub fn cut_off(mut self, left: Unflushed, from: &Path, to: &Path, rng: &mut StdRng) -> io::Result<()> {
        let share = [0.1, 0.5, 0.9][rng.random_range(0..3_usize).min(2)];
        let namings = match left {
            Unflushed::All => self.namings.len(),
            Unflushed::None => self.settled,
            _ => rng.random_range(self.settled..=self.namings.len()),
        };
        let (mut names, mut folders) = std::mem::take(&mut self.begun);
        for naming in self.namings.iter().take(namings) {
            match naming {
                Naming::Made(path, file) => drop(names.insert(path.clone(), *file)),
                Naming::Removed(path) => drop(names.remove(path)),
                Naming::Folder(path) => folders.push(path.clone()),
                Naming::Renamed(before, after) => {
                    if let Some(file) = names.remove(before) {
                        names.insert(after.clone(), file);
                    }
                }
            }
        }
        let moved = |path: &Path| to.join(path.strip_prefix(from).unwrap_or(path));
        fs::create_dir_all(to)?;
        for folder in folders {
            fs::create_dir_all(moved(&folder))?;
        }
        for (path, file) in names {
            let Some(file) = self.files.get_mut(file) else { continue };
            file.cut_off(left, share, rng);
            fs::write(moved(&path), &file.flushed)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use rand::SeedableRng;

    fn after(calls: &[Call], left: Unflushed, from: &Path) -> BTreeMap<String, Vec<u8>> {
        let to = tempfile::tempdir().unwrap();
        let mut rng = StdRng::seed_from_u64(1);
        let mut disk = Disk::of(from).unwrap();
        calls.iter().for_each(|call| disk.follow(call, &mut rng));
        disk.cut_off(left, from, to.path(), &mut rng).unwrap();
        let files = fs::read_dir(to.path()).unwrap().map(|file| file.unwrap().path());
        files
            .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(path).unwrap()))
            .collect()
    }

    #[test]
    fn what_was_flushed_stays_and_what_was_not_may_go() {
        let from = tempfile::tempdir().unwrap();
        let name = |file: &str| from.path().join(file).display().to_string();
        fs::write(from.path().join("old"), "old").unwrap();
        let calls = [
            Call::Open { fd: 3, path: name("new"), emptied: false },
            Call::Write { fd: 3, at: 0, bytes: b"flushed".to_vec() },
            Call::Flush(3),
            Call::OpenFolder { fd: 4, path: from.path().display().to_string() },
            Call::Flush(4),
            Call::Write { fd: 3, at: 7, bytes: b" and not".to_vec() },
            Call::Rename(name("old"), name("moved")),
        ];
        let none = after(&calls, Unflushed::None, from.path());
        assert_eq!(none["new"], b"flushed");
        assert_eq!(none["old"], b"old", "the folder was not flushed after the rename");
        let all = after(&calls, Unflushed::All, from.path());
        assert_eq!(all["new"], b"flushed and not");
        assert_eq!(all["moved"], b"old");
        let unflushed = after(&calls[..4], Unflushed::None, from.path());
        assert!(!unflushed.contains_key("new"), "its name was not flushed");
    }

    #[test]
    fn a_write_is_torn_at_sectors() {
        let bytes = vec![7; 1_500];
        let pieces: Vec<_> = sectors(500, &bytes).map(|(at, piece)| (at, piece.len())).collect();
        assert_eq!(pieces, [(500, 12), (512, 512), (1_024, 512), (1_536, 464)]);
    }
}
