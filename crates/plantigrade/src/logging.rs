//! The log of the program, on standard error or in a file: what went wrong, and on request every request. Never a
//! name, a number, a form, a query or a token.
//!
//! Requests are logged by the pattern of their route, so that no address of a child is in it. Libraries log warnings
//! and errors at most. The message of a panic is left out: it may quote the text at which the program failed. Old
//! logs are not removed here: `journald` or `logrotate` does that.

use crate::exit::Failure;
use clap::{Args, ValueEnum};
use clinic::ArchiveError;
use std::{
    fs::{File, OpenOptions},
    panic::PanicHookInfo,
    path::{Path, PathBuf},
    sync::Mutex,
};
use tracing_subscriber::{EnvFilter, fmt::writer::BoxMakeWriter};

/// The crates of the program that log.
const OWN: [&str; 3] = ["plantigrade", "clinic", "archive"];

/// What is logged, and where.
#[derive(Debug, Clone, Default, Args)]
pub struct LogArgs {
    /// What is logged: errors, warnings too, every request too, or everything
    #[arg(long, value_name = "LEVEL", value_enum, env = "PLANTIGRADE_LOG", default_value_t)]
    pub log: LogLevel,
    /// The file to which the log is added [default: standard error]
    #[arg(long, value_name = "FILE", env = "PLANTIGRADE_LOG_FILE")]
    pub log_file: Option<PathBuf>,
    /// Write each line of the log as JSON
    #[arg(long)]
    pub log_json: bool,
}

/// How much is logged; each level has what those before it have.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum LogLevel {
    /// What could not be done.
    Error,
    /// What somebody should look at.
    #[default]
    Warn,
    /// Every request, by the pattern of its route, and the start and the end of the program.
    Info,
    /// What helps to find a fault.
    Debug,
}

impl LogLevel {
    const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warn => "warn",
            Self::Info => "info",
            Self::Debug => "debug",
        }
    }

    fn filter(self) -> EnvFilter {
        let of_libraries = if self == Self::Error { "error" } else { "warn" };
        let own = OWN.map(|name| format!(",{name}={}", self.word())).concat();
        EnvFilter::new(format!("{of_libraries}{own}"))
    }
}

impl LogArgs {
    /// What the environment asks for, for a command without these options. A level that is none is the default.
    #[must_use]
    pub fn of_environment() -> Self {
        let asked = std::env::var("PLANTIGRADE_LOG").unwrap_or_default();
        Self {
            log: LogLevel::from_str(&asked, true).unwrap_or_default(),
            log_file: std::env::var_os("PLANTIGRADE_LOG_FILE").map(PathBuf::from),
            log_json: false,
        }
    }
}

/// Begins the log.
///
/// # Errors
/// When the file of the log cannot be opened.
pub fn log(args: &LogArgs) -> Result<(), Failure> {
    let writer = match &args.log_file {
        Some(path) => BoxMakeWriter::new(Mutex::new(opened(path)?)),
        None => BoxMakeWriter::new(std::io::stderr),
    };
    log_to(args, writer);
    std::panic::set_hook(Box::new(panicked));
    Ok(())
}

/// Begins the log in another place than the options name.
pub fn log_to(args: &LogArgs, writer: BoxMakeWriter) {
    let lines = tracing_subscriber::fmt().with_env_filter(args.log.filter()).with_writer(writer);
    // Fails only if a log was begun before, as in tests.
    let _ = if args.log_json {
        lines.json().try_init()
    } else {
        lines.with_ansi(args.log_file.is_none() && is_terminal()).try_init()
    };
}

fn is_terminal() -> bool {
    std::io::IsTerminal::is_terminal(&std::io::stderr())
}

fn opened(path: &Path) -> Result<File, Failure> {
    let mut options = OpenOptions::new();
    options.append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
        .open(path)
        .map_err(|error| Failure::failed(format!("The log {} cannot be written: {error}.", path.display())))
}

/// Logs where the program failed. What it said is left out.
pub fn panicked(info: &PanicHookInfo<'_>) {
    let place = info.location().map(|place| format!("{}:{}", place.file(), place.line()));
    tracing::error!(place = place.unwrap_or_default(), "the program failed at this place");
}

/// An error of the records as it may be logged: without what an entry or a setting says.
#[must_use]
pub fn without_contents(error: &ArchiveError) -> String {
    match error {
        ArchiveError::Unreadable { entry, .. } => format!("entry {entry} cannot be read"),
        other => other.to_string(),
    }
}
