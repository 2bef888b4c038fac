//! Forecasts are calibrated in clinics that follow other laws than the model: the short version of the example
//! `other_worlds`, on two worlds and the first two of the reported seeds.

use crate::worlds::{FEET, LAST_DAY, REPORTED, TUNING, World};
use forecast::SeenChild;
use forecast::backtest::{BacktestReport, Followed, backtest};
use forecast::foot::{FootForecast, Forecaster};
use forecast::learning::ClinicPosterior;
use forecast::natural_history::Parameters;

fn past(world: World, seed: u64) -> BacktestReport {
    let followed: Vec<Followed> = world.clinic(seed).into_iter().map(Followed::of_seen).collect();
    backtest(&Parameters::published(), &followed, LAST_DAY)
}

/// The worlds were fixed before the method; a change of one changes these sums. They are the sums of the days of all
/// braces for the first seed of each kind, as first computed.
#[test]
fn the_worlds_are_those_that_were_fixed() {
    let days = |world: World, seed: u64| {
        let children = world.clinic(seed);
        let feet: usize = children.iter().map(|child| child.feet.len()).sum();
        assert!((FEET..=FEET + 1).contains(&feet), "{}: {feet}", world.name());
        children.iter().map(|child| i64::from(child.last_day)).sum::<i64>()
    };
    let found: Vec<[i64; 2]> = World::ALL
        .iter()
        .map(|world| [days(*world, *TUNING.start()), days(*world, *REPORTED.start())])
        .collect();
    println!("{found:?}");
    assert_eq!(found, FIXED);
}

const FIXED: [[i64; 2]; 8] = [
    [108_410, 121_908],
    [113_894, 123_642],
    [129_502, 117_272],
    [115_204, 110_896],
    [114_096, 118_008],
    [133_875, 127_382],
    [281_516, 280_681],
    [118_321, 94_407],
];

/// Before forecasts were recalibrated, windows of 90 % held 83 % after a hundred feet and 47 % of the first
/// fifty in the slow clinic, 78 % and 77 % in the one with a tenth of complex feet. Two clinics of some 150
/// children after the first hundred feet know a coverage of 90 % within some 2 points; windows of one child
/// fall together, so twice that.
#[test]
fn windows_and_chances_hold_in_two_worlds() {
    for world in [World::Slow, World::ComplexTenth] {
        let mut sums = [0.0; 4];
        for seed in REPORTED.take(2) {
            let report = past(world, seed);
            let cut = &report.later_tenotomy;
            let best = cut.baselines.iter().filter_map(|plain| plain.log_score).reduce(f64::min).unwrap();
            let found = [
                report.first_windows.ninety.coverage.unwrap(),
                report.later_windows.ninety.coverage.unwrap(),
                report.later_windows.fifty.coverage.unwrap(),
                cut.log_score.unwrap() - best,
            ];
            sums.iter_mut().zip(found).for_each(|(sum, found)| *sum += found / 2.0);
        }
        let [first, ninety, fifty, worse] = sums;
        println!(
            "{}: first {first:.3}, later {ninety:.3} and {fifty:.3}, log score {worse:+.3}",
            world.name()
        );
        assert!(first > 0.77, "{}: {first}", world.name());
        assert!((0.84..=0.96).contains(&ninety), "{}: {ninety}", world.name());
        assert!((0.43..=0.57).contains(&fifty), "{}: {fifty}", world.name());
        assert!(worse < 0.01, "{}: {worse}", world.name());
    }
}

/// The forecasts of a clinic on a day, and the statements on its past windows, do not depend on later entries.
#[test]
fn nothing_of_the_future_reaches_a_forecast() {
    let children = World::SignsApart.clinic(*TUNING.start());
    let day = children[60].last_day;
    // In the second past everything after the day differs: every later foot takes 100 days longer.
    let later = |child: &SeenChild| {
        let mut other = child.clone();
        let put_off = |known: Option<i32>| known.map(|known| if known > day { known + 100 } else { known });
        for foot in &mut other.feet {
            foot.ready_day = put_off(foot.ready_day);
            foot.tenotomy_day = put_off(foot.tenotomy_day);
            foot.brace_day = put_off(foot.brace_day);
            foot.visits.iter_mut().filter(|visit| visit.day > day).for_each(|visit| visit.day += 100);
        }
        other
    };
    let parameters = Parameters::published();
    let other: Vec<SeenChild> = children.iter().map(later).collect();
    assert_ne!(children, other);
    // The clinic gets all of the past and the future, and the as-of day.
    let forecasts = |children: &[SeenChild]| {
        let forecaster = Forecaster::new(&ClinicPosterior::of(&parameters, children, day));
        let known = children.iter().filter(|child| child.born_day.unwrap() < day);
        let feet = known.flat_map(|child| forecaster.of(&child.as_known_on(day), day));
        feet.filter(|foot| foot.brace.is_some()).collect::<Vec<_>>()
    };
    let found = forecasts(&children);
    assert!(found.len() > 3, "{} feet on their way to the brace", found.len());
    assert_eq!(found, forecasts(&other));
    // Something had been learned by then, and the forecast states it.
    let stated = |forecast: &FootForecast| forecast.brace.as_ref()?.here;
    assert!(found.iter().filter_map(stated).any(|here| here.windows > 20), "no window was measured");
    let report = |children: &[SeenChild]| {
        let followed: Vec<Followed> = children.iter().cloned().map(Followed::of_seen).collect();
        backtest(&parameters, &followed, day)
    };
    assert_eq!(report(&children), report(&other));
}
