//! Forecasts in sentences, each with its interval. Chances are given as natural frequencies before percentages.

use crate::words;
use forecast::foot::{Chance, CountForecast, DateForecast, FootForecast, HeldHere, Stage};
use record::DayRange;

/// One forecast in words: what is forecast, the short answer, and its uncertainty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForecastLine {
    /// What is forecast.
    pub what: &'static str,
    /// The answer.
    pub answer: String,
    /// The interval, in words.
    pub interval: String,
    /// How often such windows contained the outcome in this clinic; `None` where no window is given.
    pub coverage: Option<String>,
}

/// With fewer checked windows than this the coverage is too uncertain to show. Assumed: with 20 the standard
/// error of a coverage of 90 % is about 7 points.
const FEW_WINDOWS: usize = 20;

/// How often such windows contained the outcome in this clinic, in words.
#[must_use]
pub fn coverage_words(here: Option<HeldHere>) -> String {
    match here {
        None => "How often such windows are right in this clinic has not been measured.".to_owned(),
        Some(HeldHere { windows: 0, .. }) => {
            "No such window has been checked in this clinic yet, so how often they are right here is unknown."
                .to_owned()
        }
        Some(HeldHere { windows, .. }) if windows < FEW_WINDOWS => {
            let checked = words::count(windows as i64, "window", "windows");
            format!(
                "Only {checked} like this checked in this clinic so far: too few to tell how often they are right."
            )
        }
        Some(HeldHere { windows, held50, held90 }) => format!(
            "In this clinic 90 % windows like this were right in {held90} of {windows} cases (about {}), 50 % windows in {held50} of {windows} (about {}).",
            of_ten(held90, windows),
            of_ten(held50, windows)
        ),
    }
}

/// "9 of 10".
fn of_ten(correct: usize, windows: usize) -> String {
    format!("{:.0} of 10", 10.0 * correct as f64 / windows.max(1) as f64)
}

/// "about 7 in 10", "about 1 in 25", "fewer than 1 in 100".
#[must_use]
pub fn in_ten(chance: f64) -> String {
    match chance {
        c if c < 0.01 => "fewer than 1 in 100".to_owned(),
        c if c > 0.99 => "more than 99 in 100".to_owned(),
        c if c < 0.095 => format!("about 1 in {:.0}", 1.0 / c),
        c if c > 0.945 => format!("about {:.0} in 100", 100.0 * c),
        c => format!("about {:.0} in 10", 10.0 * c),
    }
}

/// "72 %".
#[must_use]
pub fn percent(chance: f64) -> String {
    match 100.0 * chance {
        p if p > 0.0 && p < 1.0 => "under 1 %".to_owned(),
        p if p > 99.0 && p < 100.0 => "over 99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// "half", "nine in ten", or the actual share where whole days or casts allow neither.
fn share(actual: f64, nominal: f64, round: &str) -> String {
    if (actual - nominal).abs() <= 0.05 { round.to_owned() } else { format!("{:.0} in 100", 100.0 * actual) }
}

fn counts(from: usize, to: usize) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

fn casts(what: &'static str, forecast: &CountForecast) -> ForecastLine {
    let (half, most) = (forecast.window50, forecast.window90);
    let answer = match forecast.median() {
        0 => "perhaps none".to_owned(),
        n => format!("about {}", words::count(n as i64, "more cast", "more casts")),
    };
    let interval = format!(
        "{} of feet like this: {}; {}: {}",
        share(half.chance, 0.5, "half"),
        counts(half.from, half.to),
        share(most.chance, 0.9, "nine in ten"),
        counts(most.from, most.to)
    );
    ForecastLine { what, answer, interval, coverage: Some(coverage_words(forecast.here)) }
}

fn chance(what: &'static str, chance: Chance) -> ForecastLine {
    let interval = format!(
        "{}; uncertainty of this chance: {} to {}",
        percent(chance.value),
        percent(chance.low),
        percent(chance.high)
    );
    ForecastLine { what, answer: in_ten(chance.value), interval, coverage: None }
}

fn date(what: &'static str, forecast: &DateForecast) -> ForecastLine {
    let (half, most): (DayRange, DayRange) = (forecast.window50.days(), forecast.window90.days());
    if forecast.chances.len() == 1 {
        return ForecastLine {
            what,
            answer: words::range(half),
            interval: "as recorded".to_owned(),
            coverage: None,
        };
    }
    let interval = format!(
        "{} of feet like this; {}: {}",
        share(forecast.window50.chance, 0.5, "half"),
        share(forecast.window90.chance, 0.9, "nine in ten"),
        words::range(most)
    );
    ForecastLine { what, answer: words::range(half), interval, coverage: Some(coverage_words(forecast.here)) }
}

/// All forecasts of a foot, in the order of events.
#[must_use]
pub fn forecast_lines(forecast: &FootForecast) -> Vec<ForecastLine> {
    let casting = matches!(forecast.stage, Stage::BeforeFirstCast | Stage::InCasts);
    let tenotomy_name = if forecast.tenotomy.is_some() { "Tenotomy, if there is one" } else { "Tenotomy" };
    [
        forecast.casts_to_come.as_ref().map(|found| casts("Remaining casts", found)),
        forecast.tenotomy.map(|found| chance("Heel-cord tenotomy", found)),
        forecast.ready.as_ref().filter(|_| casting).map(|found| date("Casting for correction ends", found)),
        forecast.tenotomy_day.as_ref().map(|found| date(tenotomy_name, found)),
        forecast.brace.as_ref().map(|found| date("Brace fitted", found)),
        forecast.full_time_end.as_ref().map(|found| date("Full-time brace ends", found)),
        forecast.relapse_within_year.map(|found| chance("Relapse within a year", found)),
    ]
    .into_iter()
    .flatten()
    .collect()
}
