//! Forecasts in sentences: each with its interval, in counts of ten feet before percentages.

use crate::words;
use forecast::foot::{Chance, CountForecast, DateForecast, FootForecast, HeldHere, Stage};
use record::DayRange;

/// One thing forecast: what, the short answer, and how sure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// What is forecast.
    pub what: &'static str,
    /// The answer.
    pub answer: String,
    /// The interval, in words.
    pub interval: String,
    /// How often windows like these held in this clinic; `None` where no window is given.
    pub here: Option<String>,
}

/// Fewer checked windows than this say little about how often they hold. Assumed: with 20 the standard error
/// of nine in ten is about 7 points.
const FEW_WINDOWS: usize = 20;

/// How often windows like these held here, in words.
#[must_use]
pub fn held(here: Option<HeldHere>) -> String {
    match here {
        None => "How often such windows hold here is not measured.".to_owned(),
        Some(HeldHere { windows: 0, .. }) => {
            "No window like this has been checked here yet, so how often they hold here cannot be said."
                .to_owned()
        }
        Some(HeldHere { windows, .. }) if windows < FEW_WINDOWS => {
            let checked = words::count(windows as i64, "window", "windows");
            format!("Only {checked} like this checked here so far: too few to say how often they hold.")
        }
        Some(HeldHere { windows, held50, held90 }) => format!(
            "Windows like this held {} times here, {held90} of {windows}; the half, {} times, {held50} of {windows}.",
            of_ten(held90, windows),
            of_ten(held50, windows)
        ),
    }
}

/// "9 of 10".
fn of_ten(held: usize, windows: usize) -> String {
    format!("{:.0} of 10", 10.0 * held as f64 / windows.max(1) as f64)
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

/// "half", "nine in ten", or the share itself where the days are too lumpy for either.
fn share(held: f64, nominal: f64, round: &str) -> String {
    if (held - nominal).abs() <= 0.05 { round.to_owned() } else { format!("{:.0} in 100", 100.0 * held) }
}

fn counts(from: usize, to: usize) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

fn casts(what: &'static str, forecast: &CountForecast) -> Said {
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
    Said { what, answer, interval, here: Some(held(forecast.here)) }
}

fn chance(what: &'static str, chance: Chance) -> Said {
    let interval = format!(
        "{}; how well the chance itself is known: {} to {}",
        percent(chance.value),
        percent(chance.low),
        percent(chance.high)
    );
    Said { what, answer: in_ten(chance.value), interval, here: None }
}

fn date(what: &'static str, forecast: &DateForecast) -> Said {
    let (half, most): (DayRange, DayRange) = (forecast.window50.days(), forecast.window90.days());
    if forecast.chances.len() == 1 {
        return Said { what, answer: words::range(half), interval: "as recorded".to_owned(), here: None };
    }
    let interval = format!(
        "{} of feet like this; {}: {}",
        share(forecast.window50.chance, 0.5, "half"),
        share(forecast.window90.chance, 0.9, "nine in ten"),
        words::range(most)
    );
    Said { what, answer: words::range(half), interval, here: Some(held(forecast.here)) }
}

/// Everything forecast of a foot, in the order in which it happens.
#[must_use]
pub fn said(forecast: &FootForecast) -> Vec<Said> {
    let casting = matches!(forecast.stage, Stage::BeforeFirstCast | Stage::InCasts);
    let tenotomy_name = if forecast.tenotomy.is_some() { "Tenotomy, if there is one" } else { "Tenotomy" };
    [
        forecast.casts_to_come.as_ref().map(|found| casts("Casts still to come", found)),
        forecast.tenotomy.map(|found| chance("Heel-cord tenotomy", found)),
        forecast.ready.as_ref().filter(|_| casting).map(|found| date("Casting for correction ends", found)),
        forecast.tenotomy_day.as_ref().map(|found| date(tenotomy_name, found)),
        forecast.brace.as_ref().map(|found| date("Brace goes on", found)),
        forecast.full_time_end.as_ref().map(|found| date("Full-time brace ends", found)),
        forecast.relapse_within_year.map(|found| chance("Relapse within a year", found)),
    ]
    .into_iter()
    .flatten()
    .collect()
}
