//! The library that is preloaded into the child: compiled from `shim.c`, set up by variables of the environment.

use crate::outcome::TortureError;
use std::{
    fmt, fs,
    path::{Path, PathBuf},
    process::Command,
};

const SOURCE: &str = include_str!("shim.c");

/// Compiles the library into a folder.
///
/// # Errors
/// Where there is no C compiler `cc`, or the system is not Linux.
pub fn compile(into: &Path) -> Result<PathBuf, TortureError> {
    if !cfg!(target_os = "linux") {
        return Err(TortureError::Words("power losses and disk errors need Linux".into()));
    }
    let (source, library) = (into.join("shim.c"), into.join("shim.so"));
    fs::write(&source, SOURCE)?;
    let output = Command::new("cc")
        .args(["-O1", "-Wall", "-shared", "-fPIC", "-o"])
        .args([&library, &source])
        .args(["-ldl", "-lpthread"])
        .output()
        .map_err(|error| TortureError::Words(format!("the C compiler cc cannot be started: {error}")))?;
    if output.status.success() {
        Ok(library)
    } else {
        Err(TortureError::Words(String::from_utf8_lossy(&output.stderr).into_owned()))
    }
}

/// A call of the system that can be failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailedCall {
    /// A write fails.
    Write,
    /// A write writes half of what it should, as it may.
    ShortWrite,
    /// A flush fails, and what was to be flushed may be lost although it can still be read.
    Flush,
    /// A file is not made shorter.
    Truncate,
    /// A read fails.
    Read,
    /// A file is not opened.
    Open,
    /// A file is not renamed.
    Rename,
}

impl FailedCall {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Write, Self::ShortWrite, Self::Flush, Self::Truncate, Self::Read, Self::Open, Self::Rename];

    const fn letter(self) -> char {
        match self {
            Self::Write => 'w',
            Self::ShortWrite => 'h',
            Self::Flush => 's',
            Self::Truncate => 't',
            Self::Read => 'e',
            Self::Open => 'o',
            Self::Rename => 'm',
        }
    }
}

/// The file whose calls fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailedFile {
    /// The main file of the records.
    Records,
    /// Its write-ahead log.
    Log,
    /// The witness and its key.
    Witness,
    /// A folder, which only can be flushed.
    Folder,
    /// Any.
    Any,
}

impl FailedFile {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Records, Self::Log, Self::Witness, Self::Folder, Self::Any];

    const fn letter(self) -> char {
        match self {
            Self::Records => 'r',
            Self::Log => 'l',
            Self::Witness => 'n',
            Self::Folder => 'd',
            Self::Any => '*',
        }
    }
}

/// Calls that fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct IoFault {
    /// Which call.
    pub call: FailedCall,
    /// Of which file.
    pub file: FailedFile,
    /// Calls of that kind that succeed before.
    pub after: u32,
    /// Calls that fail then, one after the other.
    pub times: u32,
    /// Whether the error is a full disk instead of one that cannot be read or written.
    pub full: bool,
}

impl fmt::Display for IoFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Linux, errno-base.h: EIO is 5, ENOSPC is 28.
        let number = if self.full { 28 } else { 5 };
        write!(f, "{} {} {} {} {number}", self.call.letter(), self.file.letter(), self.after, self.times)
    }
}

/// What the library does in one child.
#[derive(Debug, Clone, Default)]
pub struct Preload {
    /// The compiled library.
    pub library: PathBuf,
    /// The folder below which files are watched.
    pub root: PathBuf,
    /// Where calls are noted.
    pub journal: Option<PathBuf>,
    /// Calls that fail.
    pub fault: Option<IoFault>,
    /// Bytes by which files may grow, and how often that is refused before there is room again.
    pub room: Option<(u64, u32)>,
    /// Seconds by which the clock is set forward, or back.
    pub clock: i64,
}

impl Preload {
    /// Sets the environment of a command.
    pub fn add_to(&self, command: &mut Command) {
        command.env("LD_PRELOAD", &self.library).env("TORTURE_ROOT", &self.root);
        command.env("TORTURE_CLOCK", self.clock.to_string());
        if let Some(journal) = &self.journal {
            command.env("TORTURE_JOURNAL", journal);
        }
        if let Some(fault) = &self.fault {
            command.env("TORTURE_FAULT", fault.to_string());
        }
        if let Some((bytes, times)) = self.room {
            command.env("TORTURE_QUOTA", format!("{bytes} {times}"));
        }
    }
}
