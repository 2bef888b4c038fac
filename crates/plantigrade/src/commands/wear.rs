//! `wear`: hours of wear from a logger's file.
//!
//! The keys of the JSON are described in `docs/wear.md` and do not change.

use super::{print, print_json};
use crate::{
    cli::WearArgs,
    exit::{Failure, sentence},
};
use clinic::{LoggedWear, LoggerFiles, read_logged_wear};
use exchange::logger::Zone;
use serde_json::{Value, json};
use std::{fmt::Write, fs::File, io::BufReader, path::Path};

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
    if args.json { print_json(&whole(args, &reading)) } else { print(&text(&reading)) }
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

fn whole(args: &WearArgs, reading: &LoggedWear) -> Value {
    let days: Vec<Value> = reading
        .days
        .iter()
        .map(|day| {
            json!({
                "day": day.day.to_string(),
                "hours_worn": hours(day.hours_worn),
                "hours_undecided": hours(day.hours_undecided),
                "hours_doubted": hours(day.hours_doubted),
                "undecided_because": day.doubt.map(|doubt| doubt.to_string()),
                "hours_missing": hours(day.hours_missing),
                "confidence": day.confidence.map(|sure| (sure * 1e4).round() / 1e4),
            })
        })
        .collect();
    let model = reading.model.as_ref().map(|model| {
        json!({
            "worn_level_c": hours(model.worn_level_c),
            "off_level_c": hours(model.off_level_c),
            "worn_sd_c": hours(model.worn_sd_c),
            "off_sd_c": hours(model.off_sd_c),
            "room_swing_c": hours(model.room_swing_c),
            "warming_minutes": hours(model.warming_min),
            "cooling_minutes": hours(model.cooling_min),
            "take_offs_per_hour_worn": model.take_offs_per_hour,
            "put_ons_per_hour_off": model.put_ons_per_hour,
            "changes_seen": model.changes_seen,
            "sampling_minutes": hours(model.sampling_min),
            "room_sensor": model.room_sensor,
            "log_likelihood": model.log_likelihood,
        })
    });
    json!({
        "program": "plantigrade",
        "version": env!("CARGO_PKG_VERSION"),
        "file": args.file.file_name().map(|name| name.to_string_lossy()),
        "logger": reading.logger,
        "samples": reading.samples,
        "days": days,
        "model": model,
        "notes": reading.notes,
    })
}

fn text(reading: &LoggedWear) -> String {
    let mut text =
        format!("{:<12}{:>8}{:>12}{:>10}{:>12}\n", "Day", "worn h", "undecided h", "missing h", "confidence");
    for day in &reading.days {
        let sure = day.confidence.map_or("–".to_owned(), |sure| format!("{:.0} %", 100.0 * sure));
        let (worn, undecided, missing) = (day.hours_worn, day.hours_undecided, day.hours_missing);
        let worn = if day.confidence.is_some() { format!("{worn:.2}") } else { "–".to_owned() };
        let because = day.doubt.map_or_else(String::new, |doubt| format!("  undecided: {doubt}"));
        let _ = writeln!(
            text,
            "{:<12}{worn:>8}{undecided:>12.2}{missing:>10.2}{sure:>12}{because}",
            day.day.to_string()
        );
    }
    if let Some(model) = &reading.model {
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
    for note in &reading.notes {
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
    fn samples_closer_than_two_minutes_are_told_in_seconds() {
        assert_eq!(
            [spacing(1.0 / 6.0), spacing(1.0), spacing(2.0), spacing(15.0)],
            ["10 seconds", "60 seconds", "2 minutes", "15 minutes"]
        );
    }
}
