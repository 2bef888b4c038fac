//! New children of the caseload follow what was learned from the clinic's own feet, and the file of the
//! setting takes precedence.

use caseload::{CourseOfNew, PathPool, Setting, learned};
use forecast::learning::ClinicPosterior;
use forecast::natural_history::{Calendar, ClinicHabits, Cohort, Parameters, simulate};

const CALENDAR: Calendar = Calendar { first_referral: 0, last_referral: 900, as_of: 1_600 };

fn taught(intercept: f64) -> ClinicPosterior {
    let habits = ClinicHabits { tenotomy_intercept: intercept, ..ClinicHabits::published() };
    let children = simulate(&Parameters::published(), &habits, &Cohort::usual(150, 5, CALENDAR)).unwrap();
    let seen: Vec<_> = children.into_iter().map(|child| child.seen).collect();
    ClinicPosterior::of(&Parameters::published(), &seen, CALENDAR.as_of)
}

/// Share of affected feet with a tenotomy, over all worlds.
fn cut(pool: &PathPool) -> f64 {
    let worlds = (0..pool.worlds()).flat_map(|number| pool.world(number));
    let feet = worlds.flat_map(|path| [(path.casts[0], path.tenotomy[0]), (path.casts[1], path.tenotomy[1])]);
    let feet: Vec<bool> = feet.filter(|(casts, _)| *casts > 0).map(|(_, cut)| cut).collect();
    feet.iter().filter(|cut| **cut).count() as f64 / feet.len() as f64
}

/// Share with a tenotomy in each world, and its SD over worlds.
fn spread(pool: &PathPool) -> f64 {
    let shares: Vec<f64> = (0..pool.worlds())
        .map(|number| {
            let paths = pool.world(number);
            paths.iter().filter(|path| path.needs_tenotomy()).count() as f64 / paths.len() as f64
        })
        .collect();
    let mean = shares.iter().sum::<f64>() / shares.len() as f64;
    (shares.iter().map(|share| (share - mean).powi(2)).sum::<f64>() / shares.len() as f64).sqrt()
}

#[test]
fn a_clinic_that_seldom_cuts_is_planned_as_one() {
    let setting = Setting::default();
    let published = ClinicPosterior::published(&Parameters::published());
    let middle = ClinicHabits::published().tenotomy_intercept;
    let (seldom, often) = (taught(middle - 4.0), taught(middle + 3.0));
    let pools = [&seldom, &published, &often].map(|clinic| learned::pool(&setting, clinic, 1));
    let [low, between, high] = pools.each_ref().map(cut);
    println!("seldom {low:.2}, nobody yet {between:.2}, often {high:.2}");
    assert!(low + 0.1 < between && between + 0.1 < high, "{low} {between} {high}");
    // The worlds of an unknown clinic vary as much as the published ones; those of one with some 225 decisions do not.
    assert!(spread(&pools[0]) < 0.6 * spread(&pools[1]), "{} {}", spread(&pools[0]), spread(&pools[1]));
}

/// 64 worlds of some 480 children: a share of 0.4 has a standard error below 0.01 even if the two feet of a
/// child were one, and the intercept of each world is met on 300 children.
#[test]
fn the_share_in_the_file_stands_above_what_was_learned() {
    let clinic = taught(ClinicHabits::published().tenotomy_intercept);
    let of = |tenotomy: f64| Setting {
        course: CourseOfNew { tenotomy: Some(tenotomy), ..CourseOfNew::default() },
        ..Setting::default()
    };
    let met = cut(&learned::pool(&of(0.4), &clinic, 1));
    assert!((met - 0.4).abs() < 0.03, "{met}");
    assert!(cut(&learned::pool(&of(0.0), &clinic, 1)) < 0.001);
    assert!(cut(&learned::pool(&of(1.0), &clinic, 1)) > 0.999);
}

/// A number of casts in the file that differs from the built-in one replaces that of the natural history.
#[test]
fn casts_in_the_file_stand_above_what_was_learned() {
    let clinic = ClinicPosterior::published(&Parameters::published());
    let mean = |casts_mean: f64| {
        let course = CourseOfNew { casts_mean, ..CourseOfNew::default() };
        let pool = learned::pool(&Setting { course, ..Setting::default() }, &clinic, 1);
        let casts: Vec<f64> = (0..pool.worlds())
            .flat_map(|number| pool.world(number))
            .map(|path| f64::from(path.casts[0]))
            .filter(|casts| *casts > 0.0)
            .collect();
        casts.iter().sum::<f64>() / casts.len() as f64
    };
    assert!((mean(8.0) - 8.0).abs() < 0.3, "{}", mean(8.0));
}
