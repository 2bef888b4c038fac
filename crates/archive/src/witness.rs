//! The witness: a file outside the folder of the records to which every seal is appended and flushed before the
//! entries are acknowledged.
//!
//! The records can lose their end without a trace in themselves: their write-ahead log is deleted or cut, an older
//! copy is put back, the main file is copied alone. What was acknowledged is then in the witness and no longer in
//! the records. A line is added after the commit, so that after a crash the records may be ahead of the witness,
//! which is normal; records behind it have lost something.

use crate::{
    chain::Hash,
    error::{ArchiveError, of_io},
    private_files::create_private,
    seal::{Key, Seal},
};
use record::Timestamp;
use std::{
    fs::{self, File, OpenOptions},
    io::{ErrorKind, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

const LOG: &str = "witness.log";
const KEY: &str = "witness.key";
/// The first word of a line; raised when the form of a line changes.
const WORD: &str = "w1";
/// The size above which the log is written anew with its first lines, every decision and the latest lines.
const LARGE_BYTES: u64 = 4 << 20;
/// The latest lines that remain then.
const LATEST_LINES: usize = 4_096;

/// Where the witness of the records is: two folders, which may be the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WitnessPlace {
    /// The folder of the log, best on another disk than the records. It may be away, as a disk that is unplugged.
    pub log: PathBuf,
    /// The folder of the key, on this computer.
    pub key: PathBuf,
}

impl WitnessPlace {
    /// Log and key in one folder.
    #[must_use]
    pub fn in_folder(folder: &Path) -> Self {
        Self { log: folder.into(), key: folder.into() }
    }

    /// The file of the log.
    #[must_use]
    pub fn log_file(&self) -> PathBuf {
        self.log.join(LOG)
    }

    pub(crate) fn key_file(&self) -> PathBuf {
        self.key.join(KEY)
    }

    /// The key; `None` where there is none.
    pub(crate) fn read_key(&self) -> Result<Option<Key>, ArchiveError> {
        let path = self.key_file();
        match fs::read(&path) {
            Ok(bytes) => match Key::try_from(bytes.as_slice()) {
                Ok(key) => Ok(Some(key)),
                Err(_) => Err(unusable(&path, "it is not a key of this program")),
            },
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(unusable(&path, &error.to_string())),
        }
    }

    /// The key, made if there is none.
    pub(crate) fn key_or_new(&self) -> Result<Key, ArchiveError> {
        if let Some(key) = self.read_key()? {
            return Ok(key);
        }
        make_folder(&self.key)?;
        let key: Key = rand::random();
        let (path, new) = (self.key_file(), self.key.join("witness.key.new"));
        write_secret(&new, &key)
            .and_then(|()| fs::rename(&new, &path))
            .and_then(|()| flush_folder(&self.key))
            .map_err(|error| of_io(&error, &path))?;
        Ok(key)
    }
}

fn unusable(path: &Path, why: &str) -> ArchiveError {
    ArchiveError::Witness(format!("the witness of the records, {}, cannot be read: {why}", path.display()))
}

fn write_secret(path: &Path, key: &Key) -> std::io::Result<()> {
    let mut options = OpenOptions::new();
    options.create(true).truncate(true).write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(key)?;
    file.sync_all()
}

fn make_folder(folder: &Path) -> Result<(), ArchiveError> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(|error| of_io(&error, folder))
}

/// A new or renamed file is on the disk once its folder is. Elsewhere than on Unix a folder cannot be opened, and the
/// system does that by itself.
pub(crate) fn flush_folder(folder: &Path) -> std::io::Result<()> {
    match File::open(folder) {
        Ok(folder) => folder.sync_all(),
        Err(_) if !cfg!(unix) => Ok(()),
        Err(error) => Err(error),
    }
}

/// Why a line was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LineKind {
    /// The witness began, or began anew.
    Begun,
    /// After a commit.
    Saved,
    /// A person decided to go on with records that were not those the witness knew.
    Accepted,
}

impl LineKind {
    const fn word(self) -> &'static str {
        match self {
            Self::Begun => "begun",
            Self::Saved => "saved",
            Self::Accepted => "accepted",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        [Self::Begun, Self::Saved, Self::Accepted].into_iter().find(|kind| kind.word() == word)
    }
}

/// A line of the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Line {
    pub kind: LineKind,
    pub seal: Seal,
}

impl Line {
    /// The fields that are readable as numbers and times, then the hashes and a code over the whole line.
    fn text(&self, key: &Key) -> String {
        let Self { kind, seal } = self;
        let head = format!(
            "{WORD} {} {} {} {} {} {} {} {} {}",
            kind.word(),
            seal.number,
            seal.form,
            seal.entries,
            Timestamp::from_seconds(seal.at),
            hex(&seal.log),
            hex(&seal.rest),
            hex(&seal.previous),
            hex(&seal.mac)
        );
        let code = blake3::keyed_hash(key, head.as_bytes());
        format!("{head} {}\n", code.to_hex())
    }

    /// Reads a line; `None` if it was not written with this key.
    fn read(text: &str, key: &Key) -> Option<Self> {
        let (head, code) = text.rsplit_once(' ')?;
        // A capital digit has the same value, but no line is written with one.
        let plain = !code.bytes().any(|digit| digit.is_ascii_uppercase());
        let right = plain
            && blake3::Hash::from_hex(code)
                .is_ok_and(|code| code == blake3::keyed_hash(key, head.as_bytes()));
        let words: Vec<&str> = head.split(' ').collect();
        let [WORD, kind, number, form, entries, at, log, rest, previous, mac] = *words.as_slice() else {
            return None;
        };
        let hash = |text: &str| blake3::Hash::from_hex(text).ok().map(Hash::from);
        let seal = Seal {
            number: number.parse().ok()?,
            form: form.parse().ok()?,
            entries: entries.parse().ok()?,
            at: at.parse::<Timestamp>().ok()?.seconds(),
            log: hash(log)?,
            rest: hash(rest)?,
            previous: hash(previous)?,
            mac: hash(mac)?,
        };
        (right && seal.is_genuine(key)).then_some(Self { kind: LineKind::from_word(kind)?, seal })
    }
}

fn hex(hash: &Hash) -> impl std::fmt::Display {
    blake3::Hash::from(*hash).to_hex()
}

/// What is in the log.
#[derive(Debug, Default)]
pub(crate) struct Lines {
    pub lines: Vec<Line>,
    /// The number, from 1, of the first line that was not written with the key. A last line that ends early, or of which
    /// a part is zeros, is none: the program was stopped, or the power lost, while it was written.
    pub wrong: Option<usize>,
    /// The length up to the end of the last whole line, bytes.
    whole: u64,
}

/// Whether there is a log.
pub(crate) enum FoundLog {
    /// It could be read.
    Read(Lines),
    /// Its folder is there and it is not.
    Missing,
    /// Its folder is not there, or cannot be read.
    Away(String),
}

pub(crate) fn read_log(place: &WitnessPlace, key: &Key) -> FoundLog {
    let path = place.log_file();
    match fs::read(&path) {
        Ok(bytes) => FoundLog::Read(lines_of(&bytes, key)),
        Err(error) if error.kind() == ErrorKind::NotFound && place.log.is_dir() => FoundLog::Missing,
        Err(error) => FoundLog::Away(format!("{} cannot be read: {error}", path.display())),
    }
}

fn lines_of(bytes: &[u8], key: &Key) -> Lines {
    let mut found = Lines::default();
    for (at, piece) in (1..).zip(bytes.split_inclusive(|byte| *byte == b'\n')) {
        let Some(line) = piece.strip_suffix(b"\n") else { break };
        let is_last = found.whole + piece.len() as u64 == bytes.len() as u64;
        // A disk writes sectors in any order: the end of a line can be there and its beginning not.
        if is_last && line.contains(&0) {
            break;
        }
        found.whole += piece.len() as u64;
        match std::str::from_utf8(line).ok().and_then(|text| Line::read(text, key)) {
            Some(line) => found.lines.push(line),
            None => found.wrong = found.wrong.or(Some(at)),
        }
    }
    found.wrong = found.wrong.or_else(|| broken_order(&found.lines));
    found
}

/// The first line that does not follow from the one before it. Numbers may be left out, where the log could not be
/// written or was made smaller; they never fall.
fn broken_order(lines: &[Line]) -> Option<usize> {
    let follows = |pair: &[Line]| match pair {
        [before, after] if after.kind == LineKind::Saved => {
            let next = before.seal.number + 1;
            after.seal.number > next || (after.seal.number == next && after.seal.previous == before.seal.mac)
        }
        [before, after] => after.seal.number > before.seal.number,
        _ => true,
    };
    lines.windows(2).position(|pair| !follows(pair)).map(|at| at + 2)
}

/// The log, open for adding lines.
pub(crate) struct WitnessLog {
    path: PathBuf,
    key: Key,
    file: Option<File>,
    length: u64,
    /// The last line that was written, so that none is written twice.
    last: i64,
}

impl WitnessLog {
    /// A log in a folder that may be away: the first line opens it.
    pub(crate) fn new(place: &WitnessPlace, key: Key) -> Self {
        Self { path: place.log_file(), key, file: None, length: 0, last: 0 }
    }

    /// Why it cannot be written, with its place.
    pub(crate) fn warning(&self, error: &std::io::Error) -> String {
        format!("{}: {error}", self.path.display())
    }

    /// Adds a line. When this returns it is on the disk.
    pub(crate) fn add(&mut self, kind: LineKind, seal: &Seal) -> std::io::Result<()> {
        if self.file.is_none() {
            self.open(kind)?;
        }
        if seal.number <= self.last {
            return Ok(());
        }
        let text = Line { kind, seal: seal.clone() }.text(&self.key);
        let written = self.write(text.as_bytes());
        if written.is_err() {
            self.file = None;
            return written;
        }
        self.last = seal.number;
        if self.length > LARGE_BYTES {
            self.make_smaller()?;
        }
        Ok(())
    }

    fn write(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        let Some(file) = &mut self.file else { return Err(ErrorKind::NotFound.into()) };
        let written = file.write_all(bytes).and_then(|()| file.sync_data());
        if written.is_err() {
            // Half a line is no line, but the next one would be added to it.
            let _ = file.set_len(self.length).and_then(|()| file.seek(SeekFrom::Start(self.length)));
            return written;
        }
        self.length += bytes.len() as u64;
        Ok(())
    }

    /// Opens the log behind its last whole line. Only where the witness begins is a file made: elsewhere one that is
    /// gone would be replaced without anybody noticing.
    fn open(&mut self, kind: LineKind) -> std::io::Result<()> {
        let begins = kind != LineKind::Saved;
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(begins).truncate(false);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut file = options.open(&self.path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        let found = lines_of(&bytes, &self.key);
        file.set_len(found.whole)?;
        file.seek(SeekFrom::Start(found.whole))?;
        if begins {
            self.path.parent().map_or(Ok(()), flush_folder)?;
        }
        self.last = found.lines.last().map_or(0, |line| line.seal.number);
        (self.length, self.file) = (found.whole, Some(file));
        Ok(())
    }

    /// Writes the log anew with fewer lines.
    fn make_smaller(&mut self) -> std::io::Result<()> {
        let found = lines_of(&fs::read(&self.path)?, &self.key);
        // A log with a wrong line stays as it is until a person has decided about it.
        if found.wrong.is_some() {
            return Ok(());
        }
        let latest = found.lines.len().saturating_sub(LATEST_LINES);
        let stays = |at: usize, line: &Line| at == 0 || at >= latest || line.kind != LineKind::Saved;
        let text: String = (0..)
            .zip(&found.lines)
            .filter(|(at, line)| stays(*at, line))
            .map(|(_, line)| line.text(&self.key))
            .collect();
        let new = self.path.with_extension("log.new");
        let mut file = create_private(&new)?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        fs::rename(&new, &self.path)?;
        self.path.parent().map_or(Ok(()), flush_folder)?;
        self.file = None;
        Ok(())
    }
}

/// Makes the folder of the log where the witness begins.
pub(crate) fn begin_log(place: &WitnessPlace) -> Result<(), ArchiveError> {
    make_folder(&place.log)
}

/// Puts a log aside that a person decided not to go on with, so that it can still be examined.
pub(crate) fn put_aside(place: &WitnessPlace, number: i64) -> Result<(), ArchiveError> {
    let path = place.log_file();
    let aside = place.log.join(format!("witness.{number}.log"));
    match fs::rename(&path, &aside) {
        Err(error) if error.kind() != ErrorKind::NotFound => Err(of_io(&error, &path)),
        _ => Ok(()),
    }
}

/// A log of some lines under a key, for the fuzz targets.
pub(crate) fn invented_log(lines: i64, key: &Key) -> Vec<u8> {
    let mut previous = [0; 32];
    let mut text = String::new();
    for number in 1..=lines {
        let mut seal = Seal {
            number,
            form: 1,
            entries: number,
            at: 1_700_000_000,
            log: [1; 32],
            rest: [2; 32],
            previous,
            mac: [0; 32],
        };
        seal.mac = seal.code(key);
        previous = seal.mac;
        let kind = if number == 1 { LineKind::Begun } else { LineKind::Saved };
        text.push_str(&Line { kind, seal }.text(key));
    }
    text.into_bytes()
}

/// The lines of a log as they are written, and whether one is wrong, for the fuzz targets.
pub(crate) fn read_invented_log(bytes: &[u8], key: &Key) -> (Vec<String>, bool) {
    let found = lines_of(bytes, key);
    (found.lines.iter().map(|line| line.text(key)).collect(), found.wrong.is_some())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;

    fn seal_of(number: i64, key: &Key, previous: Hash) -> Seal {
        let (log, rest) = ([number as u8; 32], [7; 32]);
        let mut seal =
            Seal { number, form: 1, entries: number, at: 1_700_000_000, log, rest, previous, mac: [0; 32] };
        seal.mac = seal.code(key);
        seal
    }

    fn written(place: &WitnessPlace, key: &Key, numbers: std::ops::RangeInclusive<i64>) {
        let mut log = WitnessLog::new(place, *key);
        let mut previous = [0; 32];
        for number in numbers {
            let seal = seal_of(number, key, previous);
            previous = seal.mac;
            log.add(if number == 1 { LineKind::Begun } else { LineKind::Saved }, &seal).unwrap();
        }
    }

    fn read(place: &WitnessPlace, key: &Key) -> Lines {
        match read_log(place, key) {
            FoundLog::Read(lines) => lines,
            FoundLog::Missing => panic!("missing"),
            FoundLog::Away(why) => panic!("{why}"),
        }
    }

    #[test]
    fn a_torn_last_line_is_dropped_and_any_other_change_is_named() {
        let dir = tempfile::tempdir().unwrap();
        let place = WitnessPlace::in_folder(dir.path());
        let key = place.key_or_new().unwrap();
        assert_eq!(place.key_or_new().unwrap(), key, "the key is made once");
        written(&place, &key, 1..=5);
        let whole = fs::read(place.log_file()).unwrap();
        assert_eq!(read(&place, &key).lines.len(), 5);
        fs::write(place.log_file(), &whole[..whole.len() - 30]).unwrap();
        let torn = read(&place, &key);
        assert_eq!((torn.lines.len(), torn.wrong), (4, None));
        for at in [3, 40, whole.len() / 2, whole.len() - 5] {
            let mut bytes = whole.clone();
            bytes[at] ^= 1;
            fs::write(place.log_file(), &bytes).unwrap();
            assert!(read(&place, &key).wrong.is_some(), "byte {at}");
        }
        // A digit of the code of the last line, written large, has the same value and is a change all the same.
        let letter = whole.iter().rposition(|byte| byte.is_ascii_lowercase()).unwrap();
        let mut bytes = whole.clone();
        bytes[letter].make_ascii_uppercase();
        fs::write(place.log_file(), &bytes).unwrap();
        assert!(read(&place, &key).wrong.is_some());
        // The power was lost before the first sector of the last line was written, or of another line, which cannot be.
        let length = whole.len() / 5;
        for (line, expected) in [(4, (4, None)), (3, (4, Some(4)))] {
            let mut bytes = whole.clone();
            bytes[line * length..line * length + 100].fill(0);
            fs::write(place.log_file(), &bytes).unwrap();
            let torn = read(&place, &key);
            assert_eq!((torn.lines.len(), torn.wrong), expected);
        }
        let other: Key = [9; 32];
        fs::write(place.log_file(), &whole).unwrap();
        assert_eq!(read(&place, &other).wrong, Some(1), "another key");
        // A line taken out of the middle is not found by itself, but the order of what is put elsewhere is.
        let lines: Vec<&[u8]> = whole.split_inclusive(|byte| *byte == b'\n').collect();
        fs::write(place.log_file(), [lines[0], lines[2], lines[1]].concat()).unwrap();
        assert_eq!(read(&place, &key).wrong, Some(3));
    }

    #[test]
    fn a_torn_line_is_written_over_by_the_next() {
        let dir = tempfile::tempdir().unwrap();
        let place = WitnessPlace::in_folder(dir.path());
        let key = place.key_or_new().unwrap();
        written(&place, &key, 1..=3);
        let whole = fs::read(place.log_file()).unwrap();
        fs::write(place.log_file(), [&whole[..], b"w1 saved 4 "].concat()).unwrap();
        let third = read(&place, &key).lines[2].seal.mac;
        WitnessLog::new(&place, key).add(LineKind::Saved, &seal_of(4, &key, third)).unwrap();
        let found = read(&place, &key);
        assert_eq!((found.lines.len(), found.wrong), (4, None));
    }

    #[test]
    fn a_large_log_is_made_smaller_and_keeps_its_first_and_latest_lines() {
        let dir = tempfile::tempdir().unwrap();
        let place = WitnessPlace::in_folder(dir.path());
        let key = place.key_or_new().unwrap();
        let mut text = String::new();
        let mut previous = [0; 32];
        for number in 1..=12_000 {
            let seal = seal_of(number, &key, previous);
            previous = seal.mac;
            let kind = if number == 1 { LineKind::Begun } else { LineKind::Saved };
            text.push_str(&Line { kind, seal }.text(&key));
        }
        assert!(text.len() as u64 > LARGE_BYTES);
        fs::write(place.log_file(), text).unwrap();
        let mut log = WitnessLog::new(&place, key);
        for number in 12_001..=12_002 {
            let seal = seal_of(number, &key, previous);
            previous = seal.mac;
            log.add(LineKind::Saved, &seal).unwrap();
        }
        let found = read(&place, &key);
        assert_eq!(found.wrong, None);
        assert_eq!(found.lines[0].seal.number, 1);
        assert_eq!(found.lines.last().unwrap().seal.number, 12_002);
        assert!((LATEST_LINES..LATEST_LINES + 3).contains(&(found.lines.len() - 1)), "{}", found.lines.len());
    }
}
