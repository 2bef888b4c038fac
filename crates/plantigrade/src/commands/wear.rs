//! `wear`: hours of wear from a logger's file.
//!
//! The keys of the JSON are described in `docs/wear.md` and do not change.

use super::{print, print_sorted};
use crate::{
    cli::WearArgs,
    exit::{Failure, sentence},
};
use clinic::{LoggedWear, LoggerFiles, read_logged_wear};
use exchange::logger::Zone;
use serde::Serialize;
use std::{fmt::Write, fs::File, io::BufReader, path::Path};
use wear::{Doubt, WearModel, WornDay};

/// Prints the hours of every day.
///
/// # Errors
/// A file that cannot be used, in a sentence.
pub fn wear(args: &WearArgs) -> Result<(), Failure> {
    let zone = match &args.zone {
        Some(name) => Zone::named(name).map_err(|error| Failure::usage(sentence(&error.to_string())))?,
        None => Zone::AsWritten,
    };
    let files = LoggerFiles {
        boot: open(&args.file)?,
        other_boot: args.other_boot.as_deref().map(open).transpose()?,
        room: args.room.as_deref().map(open).transpose()?,
    };
    let reading = read_logged_wear(files, zone, args.logger.clone()).map_err(Failure::refused)?;
    let result = WearResult::of(args, &reading);
    if args.json { print_sorted(&result) } else { print(&text(&result)) }
}

fn open(path: &Path) -> Result<Box<dyn std::io::BufRead>, Failure> {
    let file = File::open(path)
        .map_err(|error| Failure::failed(format!("{} cannot be read: {error}.", path.display())))?;
    Ok(Box::new(BufReader::with_capacity(1 << 20, file)))
}

/// Hours to the hundredth.
fn hours(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// The wear read from a logger's file.
#[derive(Debug, Serialize)]
struct WearResult<'a> {
    program: &'static str,
    version: &'static str,
    file: Option<String>,
    logger: Option<&'a str>,
    samples: usize,
    days: Vec<DayResult<'a>>,
    model: Option<ModelResult<'a>>,
    notes: &'a [String],
}

/// One day, hours to the hundredth.
#[derive(Debug, Serialize)]
struct DayResult<'a> {
    day: String,
    hours_worn: f64,
    hours_undecided: f64,
    hours_doubted: f64,
    undecided_because: Option<String>,
    hours_missing: f64,
    confidence: Option<f64>,
    /// As computed, from which the text is printed.
    #[serde(skip)]
    whole: &'a WornDay,
}

impl<'a> From<&'a WornDay> for DayResult<'a> {
    fn from(day: &'a WornDay) -> Self {
        Self {
            day: day.day.to_string(),
            hours_worn: hours(day.hours_worn),
            hours_undecided: hours(day.hours_undecided),
            hours_doubted: hours(day.hours_doubted),
            undecided_because: day.doubt.as_ref().map(Doubt::to_string),
            hours_missing: hours(day.hours_missing),
            confidence: day.confidence.map(|sure| (sure * 1e4).round() / 1e4),
            whole: day,
        }
    }
}

/// The fitted model.
#[derive(Debug, Serialize)]
struct ModelResult<'a> {
    worn_level_c: f64,
    off_level_c: f64,
    worn_sd_c: f64,
    off_sd_c: f64,
    room_swing_c: f64,
    warming_minutes: f64,
    cooling_minutes: f64,
    take_offs_per_hour_worn: f64,
    put_ons_per_hour_off: f64,
    changes_seen: usize,
    sampling_minutes: f64,
    room_sensor: bool,
    log_likelihood: f64,
    /// As computed, from which the text is printed.
    #[serde(skip)]
    whole: &'a WearModel,
}

impl<'a> From<&'a WearModel> for ModelResult<'a> {
    fn from(model: &'a WearModel) -> Self {
        Self {
            worn_level_c: hours(model.worn_level_c),
            off_level_c: hours(model.off_level_c),
            worn_sd_c: hours(model.worn_sd_c),
            off_sd_c: hours(model.off_sd_c),
            room_swing_c: hours(model.room_swing_c),
            warming_minutes: hours(model.warming_min),
            cooling_minutes: hours(model.cooling_min),
            take_offs_per_hour_worn: model.take_offs_per_hour,
            put_ons_per_hour_off: model.put_ons_per_hour,
            changes_seen: model.changes_seen,
            sampling_minutes: hours(model.sampling_min),
            room_sensor: model.room_sensor,
            log_likelihood: model.log_likelihood,
            whole: model,
        }
    }
}

impl<'a> WearResult<'a> {
    fn of(args: &WearArgs, reading: &'a LoggedWear) -> Self {
        Self {
            program: "plantigrade",
            version: env!("CARGO_PKG_VERSION"),
            file: args.file.file_name().map(|name| name.to_string_lossy().into_owned()),
            logger: reading.logger.as_deref(),
            samples: reading.samples,
            days: reading.days.iter().map(DayResult::from).collect(),
            model: reading.model.as_ref().map(ModelResult::from),
            notes: &reading.notes,
        }
    }
}

fn text(result: &WearResult<'_>) -> String {
    let mut text =
        format!("{:<12}{:>8}{:>12}{:>10}{:>12}\n", "Day", "worn h", "undecided h", "missing h", "confidence");
    for day in result.days.iter().map(|day| day.whole) {
        let sure = day.confidence.map_or("–".to_owned(), |sure| format!("{:.0} %", 100.0 * sure));
        let (worn, undecided, missing) = (day.hours_worn, day.hours_undecided, day.hours_missing);
        let worn = if day.confidence.is_some() { format!("{worn:.2}") } else { "–".to_owned() };
        let because = day.doubt.as_ref().map_or_else(String::new, |doubt| format!("  undecided: {doubt}"));
        let _ = writeln!(
            text,
            "{:<12}{worn:>8}{undecided:>12.2}{missing:>10.2}{sure:>12}{because}",
            day.day.to_string()
        );
    }
    if let Some(model) = result.model.as_ref().map(|model| model.whole) {
        let _ = write!(
            text,
            "\nWorn about {:.1} °C, off about {:.1} °C; warms with {:.0} and cools with {:.0} minutes; a sample \
             every {}{}.\n",
            model.worn_level_c,
            model.off_level_c,
            model.warming_min,
            model.cooling_min,
            spacing(model.sampling_min),
            if model.room_sensor { ", with a room sensor" } else { "" }
        );
    }
    for note in result.notes {
        let _ = write!(text, "\n{note}\n");
    }
    text
}

/// "10 minutes", or "20 seconds" below two minutes.
fn spacing(minutes: f64) -> String {
    if minutes < 2.0 { format!("{:.0} seconds", 60.0 * minutes) } else { format!("{minutes:.0} minutes") }
}

#[cfg(test)]
mod tests {
    use super::spacing;

    #[test]
    fn samples_closer_than_two_minutes_are_given_in_seconds() {
        assert_eq!(
            [spacing(1.0 / 6.0), spacing(1.0), spacing(2.0), spacing(15.0)],
            ["10 seconds", "60 seconds", "2 minutes", "15 minutes"]
        );
    }
}
