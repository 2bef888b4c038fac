//! The forecasts of a child's feet, as `child` prints them: the sentences of the page, and JSON.

use crate::exit::Failure;
use clinic::ClinicRecords;
use course::Course;
use forecast::{
    SeenChild,
    foot::{
        Basis, Chance, CountForecast, CountWindow, DateForecast, DayWindow, FootForecast, Forecaster,
        HeldHere, Stage, Unlike,
    },
};
use pages::likely::sentences::{ForecastLine, forecast_lines};
use record::{Day, Side};
use serde::Serialize;
use std::fmt::Write as _;

/// The forecast of each affected foot as of the day of the course, by a forecaster that has learned from the
/// clinic's finished feet.
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

/// One foot's forecast; the keys are described in `docs/child-command.md`.
#[derive(Debug, Serialize)]
pub(super) struct ForecastResult<'a> {
    stage: Stage,
    casts_to_come: Option<CountResult<'a>>,
    correcting_casts_to_come: Option<CountResult<'a>>,
    tenotomy: Option<ChanceResult>,
    ready: Option<DateResult<'a>>,
    tenotomy_day: Option<DateResult<'a>>,
    brace: Option<DateResult<'a>>,
    full_time_end: Option<DateResult<'a>>,
    relapse_within_year: Option<ChanceResult>,
    unlike: &'a [Unlike],
    basis: &'a Basis,
    inputs: Vec<InputResult<'a>>,
    cautions: &'a [String],
    says: Vec<SentenceResult>,
}

/// A chance with its limits.
#[derive(Debug, Serialize)]
struct ChanceResult {
    chance: f64,
    low: f64,
    high: f64,
}

/// A forecast number.
#[derive(Debug, Serialize)]
struct CountResult<'a> {
    mean: f64,
    median: usize,
    windows: Windows<CountRange>,
    here: Option<&'a HeldHere>,
    chances: &'a [f64],
}

/// A forecast day.
#[derive(Debug, Serialize)]
struct DateResult<'a> {
    median: Day,
    windows: Windows<DateRange>,
    here: Option<&'a HeldHere>,
}

/// The 50 % and the 90 % window.
#[derive(Debug, Serialize)]
struct Windows<T> {
    #[serde(rename = "50")]
    half: T,
    #[serde(rename = "90")]
    nine_in_ten: T,
}

/// A range of numbers.
#[derive(Debug, Serialize)]
struct CountRange {
    from: usize,
    to: usize,
    chance: f64,
}

/// A range of days.
#[derive(Debug, Serialize)]
struct DateRange {
    from: Day,
    to: Day,
    chance: f64,
}

/// An input of the forecast.
#[derive(Debug, Serialize)]
struct InputResult<'a> {
    what: &'static str,
    found: Option<&'a str>,
    on: Option<Day>,
}

/// One line of the forecast in words.
#[derive(Debug, Serialize)]
struct SentenceResult {
    what: &'static str,
    answer: String,
    interval: String,
    here: Option<String>,
}

impl<'a> From<&'a FootForecast> for ForecastResult<'a> {
    fn from(forecast: &'a FootForecast) -> Self {
        let inputs = forecast.inputs.iter().map(|input| InputResult {
            what: input.what,
            found: input.found.as_deref(),
            on: input.day.map(Day::from_number),
        });
        let sentence = |line: ForecastLine| {
            let ForecastLine { what, answer, interval, coverage: here } = line;
            SentenceResult { what, answer, interval, here }
        };
        Self {
            stage: forecast.stage,
            casts_to_come: forecast.casts_to_come.as_ref().map(CountResult::from),
            correcting_casts_to_come: forecast.correcting_casts_to_come.as_ref().map(CountResult::from),
            tenotomy: forecast.tenotomy.map(ChanceResult::from),
            ready: forecast.ready.as_ref().map(DateResult::from),
            tenotomy_day: forecast.tenotomy_day.as_ref().map(DateResult::from),
            brace: forecast.brace.as_ref().map(DateResult::from),
            full_time_end: forecast.full_time_end.as_ref().map(DateResult::from),
            relapse_within_year: forecast.relapse_within_year.map(ChanceResult::from),
            unlike: &forecast.unlike,
            basis: &forecast.basis,
            inputs: inputs.collect(),
            cautions: &forecast.cautions,
            says: forecast_lines(forecast).into_iter().map(sentence).collect(),
        }
    }
}

impl From<Chance> for ChanceResult {
    fn from(chance: Chance) -> Self {
        Self { chance: chance.value, low: chance.low, high: chance.high }
    }
}

impl<'a> From<&'a CountForecast> for CountResult<'a> {
    fn from(count: &'a CountForecast) -> Self {
        let range =
            |window: CountWindow| CountRange { from: window.from, to: window.to, chance: window.chance };
        Self {
            mean: count.mean,
            median: count.median(),
            windows: Windows { half: range(count.window50), nine_in_ten: range(count.window90) },
            here: count.here.as_ref(),
            chances: &count.chances,
        }
    }
}

impl<'a> From<&'a DateForecast> for DateResult<'a> {
    fn from(date: &'a DateForecast) -> Self {
        let range = |window: DayWindow| {
            let days = window.days();
            DateRange { from: days.from, to: days.to, chance: window.chance }
        };
        Self {
            median: Day::from_number(date.median_day),
            windows: Windows { half: range(date.window50), nine_in_ten: range(date.window90) },
            here: date.here.as_ref(),
        }
    }
}

/// One foot's forecast as lines of text; empty if nothing can be told.
pub(super) fn text(forecast: &ForecastResult<'_>) -> String {
    let mut text = String::new();
    if forecast.says.is_empty() {
        return text;
    }
    // Writing to a string does not fail.
    let _ = writeln!(text, "  Forecast, if the child continues to attend:");
    for line in &forecast.says {
        let _ = writeln!(text, "    {}: {} ({})", line.what, line.answer, line.interval);
        if let Some(here) = &line.here {
            let _ = writeln!(text, "      {here}");
        }
    }
    for unlike in forecast.unlike {
        let _ = writeln!(text, "    unlike the published feet: {}", unlike.text);
    }
    let _ = writeln!(text, "    based on: {}", forecast.basis.words);
    for caution in forecast.cautions {
        let _ = writeln!(text, "    take care: {caution}");
    }
    text
}
