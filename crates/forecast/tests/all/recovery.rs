//! Known parameters are found again: the 90 % intervals of what is learned cover the truth in about
//! nine replicates of ten.

use forecast::SeenChild;
use forecast::learning::{ClinicPosterior, Learned};
use forecast::natural_history::{Calendar, ClinicHabits, Cohort, HabitSpread, Parameters, simulate};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rayon::prelude::*;

const REPLICATES: u64 = 200;

fn normal(rng: &mut StdRng) -> f64 {
    let (radius, angle): (f64, f64) = (1.0 - rng.random::<f64>(), rng.random());
    (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * angle).cos()
}

fn covers(learned: Learned, truth: f64) -> bool {
    (learned.low..=learned.high).contains(&truth)
}

/// Each replicate is a clinic of its own: intercept and pace drawn from their priors (normal around the
/// published, with the published spread between clinics), then 80 children. Of 200 intervals that cover in 90 %
/// a binomial leaves 180 ± 4.2; 164 to 196 is within 3.8 standard deviations, wide enough for the
/// approximation that two feet of a child are one and a fifth.
#[test]
fn intervals_of_tenotomy_and_pace_cover_in_nine_of_ten() {
    let found: Vec<(bool, bool)> = (0..REPLICATES)
        .into_par_iter()
        .map(|replicate| {
            let mut rng = StdRng::seed_from_u64(9_000 + replicate);
            let mut habits = ClinicHabits::published();
            let spread = HabitSpread::published();
            habits.tenotomy_intercept += spread.tenotomy_intercept_sd * normal(&mut rng);
            habits.pace_shift += spread.pace_shift_sd * normal(&mut rng);
            let calendar = Calendar { first_referral: 0, last_referral: 700, as_of: 1_400 };
            let cohort = Cohort::usual(80, replicate, calendar);
            let children = simulate(&Parameters::published(), &habits, &cohort).unwrap();
            let mut clinic = ClinicPosterior::published(&Parameters::published());
            for child in &children {
                clinic.learn(&child.seen);
            }
            let (intercept, pace) = (clinic.tenotomy_intercept(), clinic.pace_shift());
            (covers(intercept, habits.tenotomy_intercept), covers(pace, habits.pace_shift))
        })
        .collect();
    let intercepts = found.iter().filter(|(intercept, _)| *intercept).count();
    let paces = found.iter().filter(|(_, pace)| *pace).count();
    println!("of {REPLICATES}: tenotomy {intercepts}, pace {paces}");
    assert!((164..=196).contains(&intercepts), "{intercepts}");
    assert!((164..=196).contains(&paces), "{paces}");
}

/// The more children, the nearer: after 600 of them the habits of days and readiness are found within
/// what counting allows.
#[test]
fn days_readiness_and_relapse_are_found() {
    let mut habits = ClinicHabits { relapse_factor: 1.6, ..ClinicHabits::published() };
    habits.interval_days = vec![0.0; 15];
    habits.interval_days[14] = 0.8;
    habits.interval_days[7] = 0.2;
    habits.go_on = [0.95, 0.4, 0.1, 0.02, 0.0, 0.0, 0.0];
    let calendar = Calendar { first_referral: 0, last_referral: 700, as_of: 2_500 };
    let children = simulate(&Parameters::published(), &habits, &Cohort::usual(600, 77, calendar)).unwrap();
    let seen: Vec<SeenChild> = children.into_iter().map(|child| child.seen).collect();
    let found = ClinicPosterior::of(&Parameters::published(), &seen, 2_500).habits();
    println!("{:.3?} {:.3} {:.2}", found.go_on, found.interval_days[14], found.relapse_factor);
    // Some 900 feet of some ten visits; the prior weighs 20 visits for days and 6 feet for readiness.
    assert!((found.interval_days[14] - 0.8).abs() < 0.03, "{}", found.interval_days[14]);
    assert!((found.go_on[0] - 0.95).abs() < 0.05 && (found.go_on[1] - 0.4).abs() < 0.08, "{:?}", found.go_on);
    // Some 250 relapses: within some 7 %, more because adherence is not known.
    assert!((1.2..=2.0).contains(&found.relapse_factor), "{}", found.relapse_factor);
}
