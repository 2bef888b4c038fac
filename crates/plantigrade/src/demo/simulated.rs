//! The other children: simulated from the natural history of the foot, treated and recorded as a clinic with
//! habits of its own would.
//!
//! The clinic of Skarholm changes casts once a week, so that a child keeps its weekday, and does the tenotomy
//! in a share of feet within the published range. Drop-outs, relapses, hours of wear and slipped casts come
//! from the natural history.

use super::{additions, names, person, site};
use forecast::natural_history::entries::{Clerk, clinic_entries, entries};
use forecast::natural_history::{
    Calendar, ChildTruth, ClinicHabits, Cohort, Parameters, SimulatedChild, simulate,
};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{ChildId, Day, Entry, Registration};
use std::collections::BTreeMap;

/// Years over which the children were referred: those of the first year are past their last review.
const YEARS: i32 = 8;

/// Range of the clinic's share of feet with a tenotomy; published shares are 61 to 89 %.
const TENOTOMY_SHARE: std::ops::Range<f64> = 0.66..0.84;

/// The most hours a family reports once the brace is for nights and naps: the most that is prescribed then.
const MOST_REPORTED_AT_NIGHT_HOURS: f64 = 14.0;

/// Numbers of the simulated children begin here, beyond those of the planted ones.
const FIRST_NUMBER: usize = 1_000;

/// The entries of simulated children, child by child.
pub fn entries_of(simulated: &[SimulatedChild], seed: u64, today: Day) -> Vec<Entry> {
    additions::with_additions(with_clerk(seed, today, |clerk| clinic_entries(simulated, clerk)), seed, today)
}

/// The simulated truth about the same children, by their ids.
pub fn truths(
    children: usize,
    seed: u64,
    today: Day,
    adherent: Option<f64>,
) -> BTreeMap<ChildId, ChildTruth> {
    let simulated = simulated(children, seed, today, adherent);
    with_clerk(seed, today, |clerk| {
        let named = simulated.iter().filter_map(|child| {
            let id = entries(child, clerk).first()?.child;
            Some((id, child.truth.clone()))
        });
        named.collect()
    })
}

/// Calls with the clerk of the invented clinic.
fn with_clerk<T>(seed: u64, today: Day, call: impl FnOnce(&Clerk<'_>) -> T) -> T {
    let staff: Vec<_> = (0..super::STAFF.len()).map(person).collect();
    call(&Clerk {
        seed,
        as_of: today.number(),
        site: site(),
        staff: &staff,
        registration: &|child| registration(seed, child),
        referred_from: Some(names::WARD),
        tenotomy_place: Some(names::THEATRE),
    })
}

/// Simulated children whose clinic day is a weekday. Five days in seven are, so more than twice as many are
/// simulated. `adherent` is the share of families who adhere to the brace; by default the published share.
pub fn simulated(children: usize, seed: u64, today: Day, adherent: Option<f64>) -> Vec<SimulatedChild> {
    if children == 0 {
        return Vec::new();
    }
    let as_of = today.number();
    let calendar = Calendar { first_referral: as_of - YEARS * 365, last_referral: as_of, as_of };
    let cohort = Cohort {
        other_cause: 0.04,
        treated_before: 0.03,
        visits_unwritten: 0.02,
        signs_left_out: 0.002,
        movement_measured: 0.9,
        wear_logged: 0.12,
        ..Cohort::usual(2 * children + 60, seed, calendar)
    };
    // These settings are within their bounds. If they were not, the clinic would have only planted children.
    let published = Parameters::published();
    let parameters = Parameters { adherent: adherent.unwrap_or(published.adherent), ..published };
    let all = simulate(&parameters, &habits(seed, calendar), &cohort).unwrap_or_default();
    let weekdays = all.into_iter().filter(|child| weekend(child.truth.first_cast_day) == 0);
    let mut chosen: Vec<SimulatedChild> = weekdays.take(children).collect();
    chosen.iter_mut().for_each(|child| settle(&mut child.truth));
    chosen
}

/// Habits of the clinic: casts on one day a week, tenotomy in its own share of feet.
fn habits(seed: u64, calendar: Calendar) -> ClinicHabits {
    let mut rng = StdRng::seed_from_u64(seed ^ 0x5CA2_0501);
    let mut habits = ClinicHabits::published();
    habits.pace_shift = rng.random_range(-0.15..0.15);
    let share = rng.random_range(TENOTOMY_SHARE);
    let weeks = |chances: &[f64], len: usize| {
        let mut days = vec![0.0; len];
        chances.iter().enumerate().for_each(|(week, chance)| days[7 * week] = *chance);
        days
    };
    habits.interval_days = weeks(&[0.0, 0.93, 0.07], 29);
    habits.tenotomy_wait_days = weeks(&[0.25, 0.60, 0.13, 0.02], 43);
    habits.tenotomy_to_brace_days = weeks(&[0.0, 0.0, 0.03, 0.85, 0.12], 64);
    habits.ready_to_brace_days = weeks(&[0.2, 0.7, 0.1], 43);
    let trial = Cohort::usual(400, seed ^ 0x7E40, calendar);
    if let Ok(intercept) = habits.intercept_for(&Parameters::published(), share, &trial) {
        habits.tenotomy_intercept = intercept;
    }
    habits
}

/// Days from a day at the weekend to the next weekday; 0 on a weekday.
fn weekend(day: i32) -> i32 {
    match Day::from_number(day).weekday_from_monday() {
        5 => 2,
        6 => 1,
        _ => 0,
    }
}

/// Adapts a simulated child to the clinic's records: a relapse is noted on a weekday, and a family reports no
/// more hours than are prescribed at night.
fn settle(child: &mut ChildTruth) {
    let last = child.reviews.last().copied().unwrap_or(i32::MIN);
    for foot in &mut child.feet {
        let Some(day) = foot.relapse_day else { continue };
        let moved = day + weekend(day);
        let casts = moved..=moved + 21;
        if !casts.contains(&last) && moved < last {
            foot.relapse_day = Some(moved);
            child.reviews.retain(|review| !casts.contains(review));
        }
    }
    let night = child.full_time_end_day;
    for span in child.wear.iter_mut().filter(|span| !span.logged && span.from_day >= night) {
        span.hours_per_day = span.hours_per_day.min(MOST_REPORTED_AT_NIGHT_HOURS);
    }
}

fn registration(seed: u64, child: &ChildTruth) -> Registration {
    let own = seed ^ (child.number as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mut rng = StdRng::seed_from_u64(own);
    let named = names::registration(&mut rng, FIRST_NUMBER + child.number);
    let mut registration = names::suited(named, child.boy);
    if rng.random_bool(0.8) {
        registration.birth_weight_g = Some(birth_weight_g(child, &mut rng));
    }
    registration
}

/// A birth weight, g: 3.4 kg at 40 weeks and 170 g less for each week before; assumed, for a
/// demonstration only.
fn birth_weight_g(child: &ChildTruth, rng: &mut StdRng) -> u16 {
    let weeks = 40.0 - f64::from(child.gestation_weeks);
    let mean = 3_400.0 - 170.0 * weeks + if child.boy { 60.0 } else { -60.0 };
    let spread: f64 = (0..4).map(|_| rng.random_range(-0.5..0.5)).sum();
    (10.0 * ((mean + 0.2 * mean * spread) / 10.0).round()).clamp(1_000.0, 4_800.0) as u16
}
