//! A file that somebody sends is first read by a child process of this program, with limits on memory and time, and
//! only then by the server: no file, however damaged or hostile, ends the server.
//!
//! Reading a file gives the same result each time, so that what the child process could read within its limits
//! the server can read too. The child process gets the bytes and the choices for reading them; it opens no record.

use crate::{
    clock::Clock,
    diary_photo,
    importing::{UploadedSheet, looking_stamp},
    logo::Logo,
};
use clinic::{LoggerFiles, read_logged_wear};
use exchange::{MapFile, logger::Zone};
use serde::{Deserialize, Serialize};
use std::{
    ffi::OsStr,
    io::{self, BufRead, Cursor, Read, Write},
    path::PathBuf,
    process::{Child, Command, ExitStatus, Stdio},
    time::{Duration, Instant},
};

/// The argument by which this program becomes the child process. It is no command for people.
const ARGUMENT: &str = "--trial-reading";
/// Seconds of processor time beyond the longest time.
#[cfg(unix)]
const SECONDS_TO_SPARE: u64 = 10;
/// The longest head, in bytes: a map file and a name.
const MOST_HEAD: u64 = 16 << 20;
/// How often the server looks whether it ended.
const LOOKED_EVERY: Duration = Duration::from_millis(5);

/// The limits of a trial.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
pub struct TrialLimits {
    /// The most memory of the child process, in bytes.
    pub most_memory: u64,
    /// The longest time, in seconds.
    pub longest_seconds: u64,
}

impl Default for TrialLimits {
    /// A file of the largest size that a page takes needs less of both.
    fn default() -> Self {
        Self { most_memory: 3 << 30, longest_seconds: 90 }
    }
}

/// How a file is read.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum TrialKind {
    /// As a spreadsheet of visits.
    Sheet {
        /// Its name.
        name: String,
        /// The text of its map file, if there is one.
        map: Option<String>,
    },
    /// As the files of a temperature logger: boot, other boot, room.
    Logger {
        /// The time zone chosen; empty for the times as written.
        zone: String,
    },
    /// As a picture of a wear diary.
    Diary,
    /// As the logo of the clinic.
    Logo,
    /// As a photograph of feet.
    Photograph,
    /// As a video of gait.
    Video,
}

/// The first line that the child process reads.
#[derive(Debug, Serialize, Deserialize)]
struct TrialHead {
    kind: TrialKind,
    limits: TrialLimits,
    lengths: Vec<usize>,
}

impl TrialHead {
    fn new(kind: TrialKind, limits: TrialLimits, parts: &[&[u8]]) -> Self {
        Self { kind, limits, lengths: parts.iter().map(|part| part.len()).collect() }
    }
}

/// Why a file is not read by the server.
#[derive(Debug, thiserror::Error)]
pub enum TrialError {
    /// It took longer than any file should.
    #[error(
        "This file took longer than {0} seconds to read, so it was not read to its end. Nothing was changed. Save the sheet again in a spreadsheet program, or split it."
    )]
    TooLong(u64),
    /// The child process ended before it was done.
    #[error(
        "This file cannot be read: it is damaged, or reading it needs more memory than is allowed. Nothing was changed. Save it again in a spreadsheet program and try that."
    )]
    Ended,
    /// The child process could not be used.
    #[error("This file could not be checked before reading, so it was not read: {0}.")]
    NotStarted(#[from] io::Error),
}

/// Reads files on trial.
#[derive(Debug, Clone, Default)]
pub struct TrialReader {
    program: Option<PathBuf>,
    limits: TrialLimits,
}

impl TrialReader {
    /// With child processes of this program.
    ///
    /// # Errors
    /// When this program does not know where it is.
    pub fn of_this_program() -> io::Result<Self> {
        Ok(Self::of_program(std::env::current_exe()?, TrialLimits::default()))
    }

    /// With child processes of a program that is this one, within other limits.
    #[must_use]
    pub const fn of_program(program: PathBuf, limits: TrialLimits) -> Self {
        Self { program: Some(program), limits }
    }

    /// Reads a file on trial. Without a program to start it does nothing: then the server reads unprotected, as
    /// tests without a program of their own do.
    ///
    /// # Errors
    /// When the server must not read the file.
    pub fn read(&self, kind: TrialKind, parts: &[&[u8]]) -> Result<(), TrialError> {
        let Some(program) = &self.program else { return Ok(()) };
        let until = Instant::now() + Duration::from_secs(self.limits.longest_seconds);
        let mut child = Command::new(program)
            .arg(ARGUMENT)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()?;
        let fed = feed(&mut child, TrialHead::new(kind, self.limits, parts), parts);
        match wait(&mut child, until)? {
            Some(status) if status.success() => fed.map_err(TrialError::NotStarted),
            Some(_) => Err(TrialError::Ended),
            None => Err(TrialError::TooLong(self.limits.longest_seconds)),
        }
    }
}

/// Sends the head and the bytes. The child process reads all of them before it begins.
fn feed(child: &mut Child, head: TrialHead, parts: &[&[u8]]) -> io::Result<()> {
    let Some(mut input) = child.stdin.take() else { return Err(io::ErrorKind::BrokenPipe.into()) };
    serde_json::to_writer(&mut input, &head)?;
    input.write_all(b"\n")?;
    parts.iter().try_for_each(|part| input.write_all(part))
}

/// The status with which it ended; `None` if it was ended here because its time was over.
fn wait(child: &mut Child, until: Instant) -> io::Result<Option<ExitStatus>> {
    loop {
        if Instant::now() >= until {
            child.kill()?;
            child.wait()?;
            return Ok(None);
        }
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        std::thread::sleep(LOOKED_EVERY);
    }
}

/// Whether this process was started as the child process.
#[must_use]
pub fn is_asked_for(first: Option<&OsStr>) -> bool {
    first.is_some_and(|first| first == ARGUMENT)
}

/// The child process: reads what the server sends and ends. That a file is refused with a sentence is no failure:
/// the server will find the same.
///
/// # Errors
/// When the input is not from the server, or the limits cannot be set.
pub fn run(input: &mut dyn BufRead) -> io::Result<()> {
    let mut line = String::new();
    input.take(MOST_HEAD).read_line(&mut line)?;
    let head: TrialHead = serde_json::from_str(&line)?;
    limit(head.limits)?;
    let mut parts = Vec::new();
    for length in head.lengths {
        let mut part = Vec::new();
        input.take(length as u64).read_to_end(&mut part)?;
        parts.push(part);
    }
    match head.kind {
        TrialKind::Sheet { name, map } => sheet(&parts, &name, map.as_deref()),
        TrialKind::Logger { zone } => logger(parts, &zone),
        TrialKind::Diary => diary(first(&parts)),
        // Only that it ends within the limits matters.
        TrialKind::Logo => drop(Logo::read(first(&parts))),
        TrialKind::Photograph => {
            drop(photographs::prepare(first(&parts), &photographs::PictureLimits::USUAL));
        }
        TrialKind::Video => drop(videos::prepare(first(&parts), &videos::VideoLimits::USUAL)),
    }
    Ok(())
}

/// Reads a sheet by itself and with its map, and plans its import into a clinic without children. The other sheets
/// of a workbook are read too, because the person may choose one of them afterwards.
fn sheet(parts: &[Vec<u8>], name: &str, map: Option<&str>) {
    let bytes = parts.first().map_or(&[][..], Vec::as_slice);
    let maps = map.map(MapFile::from_toml).and_then(Result::ok);
    let mut others = Vec::new();
    for map in [Some(MapFile::new()), maps].into_iter().flatten() {
        let Ok(sheet) = UploadedSheet::read_for_page(bytes, name, map) else { continue };
        let clock = Clock::default();
        // Only that it ends within the limits matters.
        let _ = sheet.plan(None, &looking_stamp(clock), clock, &mut |_| {});
        let source = sheet.table.source;
        others = [source.other_sheets, source.hidden_sheets].concat();
    }
    for other in others {
        let _ = exchange::read_table(bytes, name, Some(&other));
    }
}

fn logger(parts: Vec<Vec<u8>>, zone: &str) {
    let zone = Zone::named(zone).unwrap_or(Zone::AsWritten);
    let mut files = parts.into_iter().map(|part| -> Option<Box<dyn BufRead>> {
        if part.is_empty() { None } else { Some(Box::new(Cursor::new(part))) }
    });
    let mut next = || files.next().flatten();
    let Some(boot) = next() else { return };
    // Only that it ends within the limits matters.
    let _ = read_logged_wear(LoggerFiles { boot, other_boot: next(), room: next() }, zone, None);
}

/// Only that it ends within the limits matters.
fn diary(photo: &[u8]) {
    if let Ok(picture) = diary_photo::unpacked(photo) {
        let _ = letters::read_diary(&picture);
    }
}

fn first(parts: &[Vec<u8>]) -> &[u8] {
    parts.first().map_or(&[], Vec::as_slice)
}

/// Limits this process. On systems without such limits only the time is limited, by the server.
#[cfg(unix)]
fn limit(limits: TrialLimits) -> io::Result<()> {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let most = |value: u64| Rlimit { current: Some(value), maximum: Some(value) };
    setrlimit(Resource::As, most(limits.most_memory))?;
    // The server's clock ends it first; this holds if the server itself has gone.
    setrlimit(Resource::Cpu, most(limits.longest_seconds + SECONDS_TO_SPARE))?;
    // A child process that ends must not write its memory, which holds names, to the disk.
    setrlimit(Resource::Core, most(0))?;
    Ok(())
}

#[cfg(not(unix))]
fn limit(_: TrialLimits) -> io::Result<()> {
    Ok(())
}
