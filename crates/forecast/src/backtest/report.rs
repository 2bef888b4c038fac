//! The result of a back-test.

use super::logistic::recalibrate;
use super::score::{Against, Event, Hit, Scores};
use serde::Serialize;

/// How good the forecasts would have been.
///
/// Lower log and Brier scores are better. A figure without data is `None`, and [`Self::notes`] gives the reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BacktestReport {
    /// Version of the program.
    pub version: &'static str,
    /// The as-of day, as a number; the caller knows its calendar.
    pub as_of: i32,
    /// Finished feet replayed.
    pub feet: usize,
    /// Their children.
    pub children: usize,
    /// The number of forecasts made again, one for each day of a child.
    pub forecasts: usize,
    /// Children left out: still in casts, or lost before the brace.
    pub unfinished: usize,
    /// Date windows, all events together.
    pub windows: Windows,
    /// The same for readiness, tenotomy and brace separately.
    pub by_event: ByEvent,
    /// The same for the first [`FIRST`] feet to finish.
    pub first_windows: Windows,
    /// The same for forecasts made after [`MANY`] feet had finished.
    pub later_windows: Windows,
    /// Casts still to come.
    pub casts: CastScores,
    /// Tenotomy.
    pub tenotomy: Tenotomy,
    /// The same for the feet that finished after the first [`FIRST`].
    pub later_tenotomy: Tenotomy,
    /// Share of the forecast of visits that rests on the clinic's own counts at the end, 0–1.
    pub own_counts_share: f64,
    /// The method, and what is missing and why.
    pub notes: Vec<String>,
}

/// The number of first feet that a clinic forecasts with hardly any past of its own.
pub const FIRST: usize = 50;
/// The number of finished feet after which a clinic's own past is expected to have an effect.
pub const MANY: usize = 100;

/// Coverage of the windows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Windows {
    /// 50 % windows.
    #[serde(rename = "50")]
    pub fifty: WindowScore,
    /// 90 % windows.
    #[serde(rename = "90")]
    pub ninety: WindowScore,
}

/// Windows by event.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ByEvent {
    /// End of casting for correction.
    pub ready: Windows,
    /// Tenotomy, if there was one.
    pub tenotomy: Windows,
    /// The brace.
    pub brace: Windows,
}

/// The score of windows of one size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WindowScore {
    /// Windows.
    pub n: usize,
    /// Share that contained the day.
    pub coverage: Option<f64>,
    /// Mean length, days.
    pub mean_days: Option<f64>,
    /// Mean of the chances stated with them.
    pub stated: Option<f64>,
}

/// Casts still to come.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CastScores {
    /// Forecasts.
    pub n: usize,
    /// Mean absolute error of the median, in casts; holding casts and the one after tenotomy counted.
    pub mean_abs_error: Option<f64>,
    /// The same for plain forecasts.
    pub baselines: Vec<CastsBaseline>,
}

/// A plain forecast of casts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CastsBaseline {
    /// Which.
    pub name: &'static str,
    /// Mean absolute error, casts.
    pub mean_abs_error: Option<f64>,
}

/// Chances of a tenotomy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tenotomy {
    /// Forecasts.
    pub n: usize,
    /// Mean of −ln of the chance given to the outcome.
    pub log_score: Option<f64>,
    /// Mean squared distance of the chance from the outcome.
    pub brier: Option<f64>,
    /// Whether chances are calibrated.
    pub reliability: Reliability,
    /// The same scores of plain forecasts.
    pub baselines: Vec<TenotomyBaseline>,
}

/// A plain forecast of tenotomy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TenotomyBaseline {
    /// Which.
    pub name: &'static str,
    /// Log score.
    pub log_score: Option<f64>,
    /// Brier score.
    pub brier: Option<f64>,
}

/// Reliability: recalibration line and table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reliability {
    /// 1 for chances neither too extreme nor too moderate.
    pub slope: Option<f64>,
    /// 0 for chances neither too high nor too low.
    pub intercept: Option<f64>,
    /// Forecasts by tenths of the chance.
    pub table: Vec<Decile>,
}

/// A tenth of the scale of chances.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Decile {
    /// Lower end.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// Forecasts in it.
    pub n: usize,
    /// Their mean.
    #[serde(rename = "said")]
    pub mean_chance: Option<f64>,
    /// Share that had a tenotomy.
    pub happened: Option<f64>,
}

/// What was replayed.
pub(super) struct Counts {
    pub(super) as_of: i32,
    pub(super) feet: usize,
    pub(super) children: usize,
    pub(super) forecasts: usize,
    pub(super) unfinished: usize,
    pub(super) own_counts_share: f64,
}

/// Names of the baselines, in the order of [`Against::forecast`].
const BASELINES: [&str; 2] = ["published rule of thumb", "clinic's running average"];

pub(super) fn write(scores: &Scores, counts: Counts) -> BacktestReport {
    let mut notes = vec![
        "Every finished foot was forecast again for each day on which it was seen before the brace, with what was recorded by then and with a clinic that had learned only from what was known before.".to_owned(),
        "Windows: a run of days that contains the nominal share (half a point less to two points more) or comes nearest, never longer than the shortest that contains it. Bookings for a tenotomy are not scored as forecasts of it.".to_owned(),
        "Rule of thumb (Dyer & Davis 2006): first total of 4 or more, 4 casts, otherwise 3; last hindfoot 2.5–3, 72 % tenotomy. It does not cover a lower hindfoot, for which 25 of 62 is used (Scher 2004, Calabar), and no score, for which 67.7 % is used (mean of ten published rates).".to_owned(),
        "Running average: feet finished before the day, with two feet at 67.7 % tenotomy and five at 5.6 casts added, so that no chance is 0 or 1.".to_owned(),
    ];
    if counts.feet == 0 {
        notes.push(
            "No foot has finished its first casting by this day, so there is nothing to test on.".to_owned(),
        );
    }
    let event = |event: Event| windows(scores.hits.iter().filter(|hit| hit.event == event));
    BacktestReport {
        version: env!("CARGO_PKG_VERSION"),
        as_of: counts.as_of,
        feet: counts.feet,
        children: counts.children,
        forecasts: counts.forecasts,
        unfinished: counts.unfinished,
        windows: windows(scores.hits.iter()),
        by_event: ByEvent {
            ready: event(Event::Ready),
            tenotomy: event(Event::Tenotomy),
            brace: event(Event::Brace),
        },
        first_windows: windows(scores.hits.iter().filter(|hit| hit.experience.place <= FIRST)),
        later_windows: windows(scores.hits.iter().filter(|hit| hit.experience.finished >= MANY)),
        casts: casts(&scores.casts),
        tenotomy: tenotomy(&scores.tenotomy, &mut notes),
        later_tenotomy: later_tenotomy(&scores.tenotomy),
        own_counts_share: counts.own_counts_share,
        notes,
    }
}

/// The mean; `None` without values.
fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (mut sum, mut n) = (0.0, 0_usize);
    for value in values {
        sum += value;
        n += 1;
    }
    (n > 0).then(|| sum / n as f64)
}

fn windows<'a>(hits: impl Iterator<Item = &'a Hit> + Clone) -> Windows {
    let score = |size: usize| WindowScore {
        n: hits.clone().count(),
        coverage: mean(hits.clone().map(|hit| f64::from(u8::from(hit.held[size])))),
        mean_days: mean(hits.clone().map(|hit| f64::from(hit.days[size]))),
        stated: mean(hits.clone().map(|hit| hit.stated[size])),
    };
    Windows { fifty: score(0), ninety: score(1) }
}

fn casts(all: &[Against<f64>]) -> CastScores {
    let error = |number: usize| mean(all.iter().map(|one| (one.forecast[number] - one.happened).abs()));
    let baselines = BASELINES.iter().enumerate();
    CastScores {
        n: all.len(),
        mean_abs_error: error(0),
        baselines: baselines.map(|(n, name)| CastsBaseline { name, mean_abs_error: error(n + 1) }).collect(),
    }
}

fn tenotomy(all: &[Against<bool>], notes: &mut Vec<String>) -> Tenotomy {
    let given = |one: &Against<bool>, number: usize| {
        let chance = one.forecast[number].clamp(1e-6, 1.0 - 1e-6);
        if one.happened { chance } else { 1.0 - chance }
    };
    let log_score = |number: usize| mean(all.iter().map(|one| -given(one, number).ln()));
    let brier = |number: usize| mean(all.iter().map(|one| (1.0 - given(one, number)).powi(2)));
    let baselines = BASELINES.iter().enumerate();
    Tenotomy {
        n: all.len(),
        log_score: log_score(0),
        brier: brier(0),
        reliability: reliability(all, notes),
        baselines: baselines
            .map(|(n, name)| TenotomyBaseline { name, log_score: log_score(n + 1), brier: brier(n + 1) })
            .collect(),
    }
}

/// The scores of the feet that finished after the first ones.
fn later_tenotomy(all: &[Against<bool>]) -> Tenotomy {
    let later: Vec<Against<bool>> = all.iter().filter(|one| one.experience.place > FIRST).copied().collect();
    tenotomy(&later, &mut Vec::new())
}

fn reliability(all: &[Against<bool>], notes: &mut Vec<String>) -> Reliability {
    let pairs: Vec<(f64, bool)> = all.iter().map(|one| (one.forecast[0], one.happened)).collect();
    let line = recalibrate(&pairs);
    if let Err(why) = &line {
        notes.push(format!("Reliability of the tenotomy chances: {why}"));
    }
    let table = (0..10).map(|tenth| {
        let within = pairs.iter().filter(|(chance, _)| ((chance * 10.0) as usize).min(9) == tenth);
        Decile {
            from: tenth as f64 / 10.0,
            to: (tenth + 1) as f64 / 10.0,
            n: within.clone().count(),
            mean_chance: mean(within.clone().map(|(chance, _)| *chance)),
            happened: mean(within.map(|(_, happened)| f64::from(u8::from(*happened)))),
        }
    });
    let line = line.ok();
    Reliability {
        slope: line.map(|line| line.slope),
        intercept: line.map(|line| line.intercept),
        table: table.collect(),
    }
}
