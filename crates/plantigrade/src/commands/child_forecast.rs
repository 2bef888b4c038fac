//! The forecasts of a child's feet, as `child` prints them: the sentences of the page, and JSON.

use crate::exit::Failure;
use clinic::ClinicRecords;
use course::Course;
use forecast::{
    SeenChild,
    foot::{Chance, CountForecast, CountWindow, DateForecast, DayWindow, FootForecast, Forecaster, Stage},
};
use pages::likely::sentences::said;
use record::{Day, Side};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// The forecast of each affected foot, as known on the day of the course, by a forecaster that the clinic's
/// finished feet have taught.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn forecasts(records: &ClinicRecords, course: &Course) -> Result<Vec<FootForecast>, Failure> {
    let clinic = records.learn_at_once(course.as_of)?;
    Ok(Forecaster::new(&clinic).of(&SeenChild::of(course).child, course.as_of.number()))
}

/// The forecast of one foot among those of its child.
pub(super) fn of_side(forecasts: &[FootForecast], side: Side) -> Option<&FootForecast> {
    forecasts.iter().find(|forecast| forecast.side == side && forecast.stage != Stage::NotFollowed)
}

/// One foot's forecast as lines of text; empty where nothing can be said.
pub(super) fn text(forecast: &FootForecast) -> String {
    let (mut text, lines) = (String::new(), said(forecast));
    if lines.is_empty() {
        return text;
    }
    // Writing to a string does not fail.
    let _ = writeln!(text, "  Likely, if the child keeps coming:");
    for line in lines {
        let _ = writeln!(text, "    {}: {} ({})", line.what, line.answer, line.interval);
        if let Some(here) = line.here {
            let _ = writeln!(text, "      {here}");
        }
    }
    for unlike in &forecast.unlike {
        let _ = writeln!(text, "    unlike the published feet: {}", unlike.text);
    }
    let _ = writeln!(text, "    rests on: {}", forecast.basis.words);
    for caution in &forecast.cautions {
        let _ = writeln!(text, "    take care: {caution}");
    }
    text
}

/// One foot's forecast as JSON; the keys are told in `docs/child-command.md`.
pub(super) fn json(forecast: &FootForecast) -> Value {
    json!({
        "stage": forecast.stage,
        "casts_to_come": forecast.casts_to_come.as_ref().map(count),
        "correcting_casts_to_come": forecast.correcting_casts_to_come.as_ref().map(count),
        "tenotomy": forecast.tenotomy.map(chance),
        "ready": forecast.ready.as_ref().map(date),
        "tenotomy_day": forecast.tenotomy_day.as_ref().map(date),
        "brace": forecast.brace.as_ref().map(date),
        "full_time_end": forecast.full_time_end.as_ref().map(date),
        "relapse_within_year": forecast.relapse_within_year.map(chance),
        "unlike": forecast.unlike,
        "basis": forecast.basis,
        "inputs": forecast.inputs.iter().map(|input| json!({
            "what": input.what,
            "found": input.found,
            "on": input.day.map(Day::from_number),
        })).collect::<Vec<_>>(),
        "cautions": forecast.cautions,
        "says": said(forecast).iter().map(|line| json!({
            "what": line.what,
            "answer": line.answer,
            "interval": line.interval,
            "here": line.here,
        })).collect::<Vec<_>>(),
    })
}

fn chance(chance: Chance) -> Value {
    json!({ "chance": chance.value, "low": chance.low, "high": chance.high })
}

fn count(count: &CountForecast) -> Value {
    let window =
        |window: CountWindow| json!({ "from": window.from, "to": window.to, "chance": window.chance });
    json!({
        "mean": count.mean,
        "median": count.median(),
        "windows": { "50": window(count.window50), "90": window(count.window90) },
        "here": count.here,
        "chances": count.chances,
    })
}

fn date(date: &DateForecast) -> Value {
    let window = |window: DayWindow| {
        let days = window.days();
        json!({ "from": days.from, "to": days.to, "chance": window.chance })
    };
    json!({
        "median": Day::from_number(date.median_day),
        "windows": { "50": window(date.window50), "90": window(date.window90) },
        "here": date.here,
    })
}
