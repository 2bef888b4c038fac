//! How forecasts do in clinics of other laws: `cargo run --release -p forecast --example other_worlds`.
//!
//! Words after `--` choose: `tuning` takes the seeds that a method may be chosen by, `N` only the first N
//! seeds, the name of a world only that world.
#![allow(clippy::unwrap_used)]

#[path = "../tests/all/worlds/mod.rs"]
mod worlds;

use forecast::backtest::{BacktestReport, Followed, backtest, recalibrate};
use forecast::natural_history::Parameters;
use forecast::{SeenChild, SeenFoot};
use worlds::{LAST_DAY, REPORTED, TUNING, World};

/// The number of figures of a clinic, with the headings of [`HEADS`].
const FIGURES: usize = 15;
const HEADS: [&str; FIGURES] = [
    "first 50 feet: 90 %",
    "50 %",
    "after 100 feet: 90 %",
    "50 %",
    "days wide: 90 %",
    "50 %",
    "end of casting 90 %",
    "tenotomy 90 %",
    "brace 90 %",
    "slope",
    "log score",
    "less rule of thumb",
    "less running average",
    "less the better",
    "slope of the average so far",
];

fn figures(report: &BacktestReport, average: f64) -> [f64; FIGURES] {
    let (first, later, cut) = (&report.first_windows, &report.later_windows, &report.later_tenotomy);
    let (rule, running) = (cut.baselines[0].log_score.unwrap(), cut.baselines[1].log_score.unwrap());
    let log = cut.log_score.unwrap();
    let events = &report.by_event;
    [
        100.0 * first.ninety.coverage.unwrap(),
        100.0 * first.fifty.coverage.unwrap(),
        100.0 * later.ninety.coverage.unwrap(),
        100.0 * later.fifty.coverage.unwrap(),
        later.ninety.mean_days.unwrap(),
        later.fifty.mean_days.unwrap(),
        100.0 * events.ready.ninety.coverage.unwrap(),
        100.0 * events.tenotomy.ninety.coverage.unwrap(),
        100.0 * events.brace.ninety.coverage.unwrap(),
        cut.reliability.slope.unwrap_or(f64::NAN),
        log,
        log - rule,
        log - running,
        log - rule.min(running),
        average,
    ]
}

fn mean_and_spread(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let values = values.filter(|value| value.is_finite());
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    (mean, (values.map(|value| (value - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt())
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let seeds = if words.iter().any(|word| word == "tuning") { TUNING } else { REPORTED };
    let few = words.iter().find_map(|word| word.parse().ok()).unwrap_or(usize::MAX);
    let named = World::ALL.iter().any(|world| words.iter().any(|word| word == world.name()));
    println!(
        "Seeds {} to {}, {} feet each; mean and standard deviation over the seeds.\n",
        seeds.start(),
        seeds.end(),
        worlds::FEET
    );
    println!("| world | {} |\n|---|{}", HEADS.join(" | "), "---|".repeat(FIGURES));
    for world in World::ALL {
        if named && !words.iter().any(|word| word == world.name()) {
            continue;
        }
        let found: Vec<[f64; FIGURES]> = seeds.clone().take(few).map(|seed| of_clinic(world, seed)).collect();
        let cells = (0..FIGURES).map(|number| {
            let (mean, spread) = mean_and_spread(found.iter().map(|figures| figures[number]));
            let digits = match number {
                0..9 => 1,
                9 | 14 => 2,
                _ => 3,
            };
            format!("{mean:.digits$} ± {spread:.digits$}")
        });
        println!("| {} | {} |", world.name(), cells.collect::<Vec<_>>().join(" | "));
    }
}

fn of_clinic(world: World, seed: u64) -> [f64; FIGURES] {
    let children = world.clinic(seed);
    let average = slope_of_the_average(&children);
    let followed: Vec<Followed> = children.into_iter().map(Followed::of_seen).collect();
    figures(&backtest(&Parameters::published(), &followed, LAST_DAY), average)
}

/// The reliability slope of the share of the clinic's feet that were cut before each visit, after 100 feet: what the
/// slope is where a forecast knows nothing of the foot.
fn slope_of_the_average(children: &[SeenChild]) -> f64 {
    let feet: Vec<&SeenFoot> = children.iter().flat_map(|child| &child.feet).collect();
    let mut ends: Vec<(i32, bool)> =
        feet.iter().map(|foot| (foot.ready_day.unwrap(), foot.tenotomy_day.is_some())).collect();
    ends.sort_unstable();
    let mut pairs = Vec::new();
    for foot in feet {
        let ready = foot.ready_day.unwrap();
        for visit in foot.visits.iter().filter(|visit| visit.day < ready) {
            let known = &ends[..ends.partition_point(|(day, _)| *day < visit.day)];
            if known.len() >= 100 {
                let cut = known.iter().filter(|(_, cut)| *cut).count();
                pairs.push((cut as f64 / known.len() as f64, foot.tenotomy_day.is_some()));
            }
        }
    }
    recalibrate(&pairs).map_or(f64::NAN, |line| line.slope)
}
