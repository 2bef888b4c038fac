//! The exit codes, and the sentence with which a command stops.

use clinic::ArchiveError;
pub use record::sentence;
use std::{fmt, io, net::SocketAddr};

/// The exit code. The numbers are documented in `--help` and do not change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// All done.
    Done = 0,
    /// It could not be done.
    Failed = 1,
    /// The command was not understood.
    Usage = 2,
    /// Some or all of the data was not accepted.
    Refused = 3,
    /// The records are damaged, or a file does not match its name.
    Damaged = 4,
    /// Another process has the records open.
    InUse = 5,
    /// The clinic's protocol or settings file cannot be used.
    Settings = 6,
    /// The person may not do this, or name and password do not belong together.
    NotAllowed = 7,
    /// The records are not those that were saved, as far as the witness knows; or that cannot be told.
    Witness = 8,
    /// The records are encrypted, and no key was given or a wrong one.
    Locked = 9,
}

/// Why a command stopped: one sentence for the person, one code for the shell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// For the shell.
    pub exit: Exit,
    /// For the person.
    pub sentence: String,
}

impl Failure {
    /// It could not be done.
    #[must_use]
    pub fn failed(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::Failed, sentence: sentence.into() }
    }

    /// The command was not understood.
    #[must_use]
    pub fn usage(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::Usage, sentence: sentence.into() }
    }

    /// The data was not accepted.
    #[must_use]
    pub fn refused(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::Refused, sentence: sentence.into() }
    }

    /// An address cannot be listened at, and what to do about it.
    #[must_use]
    pub fn not_bound(wanted: SocketAddr, error: &io::Error, remedy: &str) -> Self {
        let why = match error.kind() {
            io::ErrorKind::AddrInUse => "another program uses it".to_owned(),
            io::ErrorKind::AddrNotAvailable => "this computer has no such address".to_owned(),
            io::ErrorKind::PermissionDenied => "ports below 1024 need more rights".to_owned(),
            _ => error.to_string(),
        };
        Self::failed(format!("The address {wanted} cannot be used: {why}. {remedy}"))
    }

    /// The person may not do it.
    #[must_use]
    pub fn not_allowed(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::NotAllowed, sentence: sentence.into() }
    }

    /// The records are encrypted, and were not unlocked.
    #[must_use]
    pub fn locked(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::Locked, sentence: sentence.into() }
    }

    /// The clinic's own file cannot be used.
    #[must_use]
    pub fn settings(sentence: impl Into<String>) -> Self {
        Self { exit: Exit::Settings, sentence: sentence.into() }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence)
    }
}

impl std::error::Error for Failure {}

impl From<ArchiveError> for Failure {
    fn from(error: ArchiveError) -> Self {
        let exit = match error {
            ArchiveError::Damaged(_)
            | ArchiveError::NotRecords(_)
            | ArchiveError::EmptyFile(_)
            | ArchiveError::NoMainFile(_)
            | ArchiveError::Unreadable { .. } => Exit::Damaged,
            ArchiveError::InUse { .. } => Exit::InUse,
            ArchiveError::Witness(_) | ArchiveError::RecordsGone { .. } | ArchiveError::WitnessNotNamed => {
                Exit::Witness
            }
            ArchiveError::OtherKey(_) | ArchiveError::NotEncrypted(_) | ArchiveError::NoCipher => {
                Exit::Locked
            }
            _ => Exit::Failed,
        };
        Self { exit, sentence: sentence(&error.to_string()) }
    }
}
