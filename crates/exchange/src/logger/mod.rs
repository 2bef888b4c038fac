//! Files of temperature loggers: times and temperatures in whatever layout they come.
//!
//! [`read_logger`] reads line by line, so a file of ten million rows is never held as text. It finds the
//! separator, the columns and the unit; reads any usual form of time; puts rows in order; and says in
//! sentences, with the numbers of the rows, what was odd and what it did about it. A row is used, or
//! named with its reason; nothing is dropped in silence.
//!
//! - **Clock.** Times with an offset, in UTC or counted since 1970 are what they are. Local times without
//!   one are taken in a time zone where one is named; else as written, and an hour that comes twice or
//!   is left out in a night of spring or autumn is taken for a change of the clock, and said.
//! - **Unit.** From the heading or the values' own marks; where neither says, a middle value above 45 can
//!   only be °F. A stretch that only makes sense in the other unit is read in it, and said.
//! - **Number in a heading.** "Temperature (°C) 20345678" or "Temp, °C (S/N: 1234567)": the unit is read as
//!   if the number were not there, and the number is the logger's where the file names it nowhere else.
//! - **Two loggers.** Two ids, or two series over the same time, are refused: whose is which is not
//!   guessed.

mod clock;
mod columns;
mod heading;
mod moment;
mod order;
mod read;
mod unit;

pub use clock::Zone;
pub use read::{LoggerRequest, read_logger};

use record::Day;

/// A calendar day, in the seconds of a [`LoggerFile`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoggerDay {
    /// The day.
    pub day: Day,
    /// Its first second.
    pub from_s: i64,
    /// The first second after it; 23 or 25 hours later at a change of the clock.
    pub until_s: i64,
}

/// A logger's series.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggerFile {
    /// Truly elapsed seconds, rising.
    pub at_s: Vec<i64>,
    /// Degrees Celsius.
    pub celsius: Vec<f64>,
    /// Every day from the first sample to the last.
    pub days: Vec<LoggerDay>,
    /// The logger's own name in the file: of a column of names, else the number in the heading of the temperature.
    pub logger: Option<String>,
    /// Rows with a time and a temperature, before repeated ones were left out.
    pub rows: usize,
    /// What a reader should know, in sentences.
    pub notes: Vec<String>,
}

/// Why a file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum LoggerError {
    /// The file could not be read.
    #[error("the file cannot be read: {0}")]
    Io(#[from] std::io::Error),
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// Not a table of text.
    #[error("this is {0}, not a table of times and temperatures in text (CSV)")]
    Foreign(&'static str),
    /// No row with both a time and a temperature.
    #[error(
        "no row of the first {rows} holds both a date with a time and a temperature. The first lines are: {first}. A file needs one column of times (or one of dates and one of times) and one of temperatures"
    )]
    NoRows {
        /// Rows looked at.
        rows: usize,
        /// How the file begins.
        first: String,
    },
    /// More than one column could be the temperature.
    #[error(
        "columns {columns} could all be the temperature. Name one of them “temperature” in the heading of the file"
    )]
    WhichColumn {
        /// Their headings or letters.
        columns: String,
    },
    /// More than one logger.
    #[error("the file holds {count} loggers: {loggers}. Bring in one at a time, by its name")]
    TwoLoggers {
        /// How many.
        count: usize,
        /// Their names with their rows.
        loggers: String,
    },
    /// The logger asked for is not in the file.
    #[error("the file holds no logger “{asked}”; it holds {there}")]
    NoSuchLogger {
        /// Asked for.
        asked: String,
        /// What there is.
        there: String,
    },
    /// Two series over one time.
    #[error(
        "{count} rows give another temperature for a time that another row gives as well, such as rows {first} and {second}. That is two loggers in one file, and it is not known which row is of which logger"
    )]
    TwoSeries {
        /// Rows.
        count: usize,
        /// A row.
        first: usize,
        /// The other.
        second: usize,
    },
    /// A zone nobody knows.
    #[error("“{0}” is no time zone that this machine knows; write it as Europe/Berlin or Africa/Nairobi")]
    Zone(String),
    /// Too long a time.
    #[error(
        "the times run from {from} to {to}, which is no logger's life. Are day and month, or the years, as they should be?"
    )]
    TooLong {
        /// First day.
        from: String,
        /// Last day.
        to: String,
    },
}
