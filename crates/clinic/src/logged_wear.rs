//! Reads a logger's file: from its bytes to the hours worn on each day.

use exchange::logger::{LoggerDay, LoggerFile, LoggerRequest, Zone, read_logger};
use record::sentence;
use std::io::BufRead;
use wear::{DaySpan, Temperatures, WearModel, WearReading, WornDay};

/// The wear read from a logger's file.
#[derive(Debug, Clone)]
pub struct LoggedWear {
    /// Every day from the first sample to the last.
    pub days: Vec<WornDay>,
    /// The fitted model.
    pub model: Option<WearModel>,
    /// Notes on the file and the model for the reader, in sentences, the weightiest first: what puts every day in
    /// question, then how the file of the boot was read, the hours that could not be judged, and the other files.
    pub notes: Vec<String>,
    /// The name of the logger in the file.
    pub logger: Option<String>,
    /// Number of rows with a time and a temperature.
    pub samples: usize,
}

/// The files of one reading.
pub struct LoggerFiles {
    /// The logger in the boot.
    pub boot: Box<dyn BufRead>,
    /// The logger in the other boot of the bar, if there is one.
    pub other_boot: Option<Box<dyn BufRead>>,
    /// The logger in the room, if there is one.
    pub room: Option<Box<dyn BufRead>>,
}

/// Reads the file of a boot and, if there are any, those of the other boot and of the room.
///
/// # Errors
/// A message of one sentence.
pub fn read_logged_wear(
    files: LoggerFiles,
    zone: Zone,
    logger: Option<String>,
) -> Result<LoggedWear, String> {
    let LoggerFiles { boot, other_boot, room } = files;
    let request = LoggerRequest { zone, logger };
    let boot = read_logger(boot, &request).map_err(|error| sentence(&error.to_string()))?;
    let unnamed = LoggerRequest { zone: request.zone, logger: None };
    let room = room.map(|room| read_logger(room, &unnamed)).transpose();
    let room = room.map_err(|error| format!("The room's file: {error}."))?;
    let other = other_boot.map(|other| read_logger(other, &unnamed)).transpose();
    let other = other.map_err(|error| format!("The other boot's file: {error}."))?;
    Ok(judge(boot, other, room))
}

fn judge(boot: LoggerFile, other: Option<LoggerFile>, room: Option<LoggerFile>) -> LoggedWear {
    let spans: Vec<DaySpan> = boot.days.iter().map(span).collect();
    let of = |file: &LoggerFile| -> (Vec<i64>, Vec<f64>) { (file.at_s.clone(), file.celsius.clone()) };
    let (in_room, pair) = (room.as_ref().map(of), other.as_ref().map(of));
    let series = Temperatures { at_s: &boot.at_s, celsius: &boot.celsius };
    let in_room = in_room.as_ref().map(|(at_s, celsius)| Temperatures { at_s, celsius });
    let reading = match pair.as_ref().map(|(at_s, celsius)| Temperatures { at_s, celsius }) {
        Some(pair) => WearReading::of_pair(series, pair, in_room, &spans),
        None => WearReading::of(series, in_room, &spans),
    };
    let told = |every_day: bool| {
        let notes = reading.notes.iter().filter(move |note| note.is_about_every_day() == every_day);
        notes.map(ToString::to_string)
    };
    let mut notes: Vec<String> = told(true).collect();
    notes.extend(boot.notes);
    notes.extend(told(false));
    notes.extend(other.into_iter().flat_map(|file| file.notes).map(|note| format!("Other boot: {note}")));
    notes.extend(room.into_iter().flat_map(|room| room.notes).map(|note| format!("Room sensor: {note}")));
    let (logger, samples) = (boot.logger, boot.rows);
    LoggedWear { days: reading.days, model: reading.model, notes, logger, samples }
}

const fn span(day: &LoggerDay) -> DaySpan {
    DaySpan { day: day.day, from_s: day.from_s, until_s: day.until_s }
}
