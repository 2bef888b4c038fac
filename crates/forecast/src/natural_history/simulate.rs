//! Simulated children.

use super::casting::{FootInCasts, Rules, hold};
use super::chance::Chance;
use super::classes::{self, PACE, SEVERITY};
use super::truth::{ChildTruth, SimulatedChild};
use super::{ClinicHabits, Cohort, ModelError, Parameters, seeing};
use rayon::prelude::*;
use record::Side;

/// Simulates the children of one clinic, in order of number.
///
/// The same arguments give the same children, on any number of processors; a child does not depend on the number of
/// children.
///
/// # Errors
/// When there is no child to simulate or a number is out of range.
pub fn simulate(
    parameters: &Parameters,
    habits: &ClinicHabits,
    cohort: &Cohort,
) -> Result<Vec<SimulatedChild>, ModelError> {
    parameters.check()?;
    habits.check()?;
    cohort.check()?;
    let rules = Rules::of(parameters, habits, cohort);
    let weights = Weights::of(parameters);
    Ok((0..cohort.children).into_par_iter().map(|number| child(&rules, &weights, number)).collect())
}

/// Weights of the nodes of severity, for one foot and for two.
struct Weights {
    one: [f64; SEVERITY.len()],
    two: Vec<f64>,
}

impl Weights {
    fn of(parameters: &Parameters) -> Self {
        let two = classes::paired_weights(&SEVERITY, [0.0; 2], 1.0, parameters.severity_correlation);
        Self { one: classes::normal_weights(&SEVERITY, 0.0, 1.0), two: two.concat() }
    }
}

fn child(rules: &Rules<'_>, weights: &Weights, number: usize) -> SimulatedChild {
    let mut chance = Chance::of(rules.cohort.seed, number as u64);
    let mut truth = arrive(rules, number, &mut chance);
    let mut feet = begin(rules, weights, &truth, &mut chance);
    cast(rules, &mut truth, &mut feet, &mut chance);
    truth.feet = feet.into_iter().map(|foot| foot.truth).collect();
    rules.brace(&mut truth, &mut chance);
    let seen = seeing::seen(&truth, rules.cohort.calendar.as_of);
    SimulatedChild { truth, seen }
}

/// Born, referred, and the day of the first cast.
fn arrive(rules: &Rules<'_>, number: usize, chance: &mut Chance) -> ChildTruth {
    let cohort = rules.cohort;
    let (first, last) = (cohort.calendar.first_referral, cohort.calendar.last_referral);
    let referred_day = first + (chance.unit() * f64::from(last - first + 1)) as i32;
    let age = cohort.first_cast_age_days * (cohort.first_cast_age_log_sd * chance.normal()).exp();
    let preterm = chance.happens(cohort.preterm);
    let weeks = if preterm { 30.0 + 7.0 * chance.unit() } else { 37.0 + 5.0 * chance.unit() };
    // A child born early waits for term age (British consensus 2022).
    let early = (7.0 * (37.0 - weeks)).max(0.0);
    let age = (age.min(f64::from(cohort.oldest_days)) + early).max(3.0) as i32;
    let first_cast_day = referred_day + (age / 3).min(7);
    ChildTruth {
        number,
        born_day: first_cast_day - age,
        referred_day,
        first_cast_day,
        boy: chance.happens(cohort.boys),
        gestation_weeks: weeks as u8,
        adherent: chance.happens(rules.parameters.adherent),
        feet: Vec::new(),
        cast_visit_days: Vec::with_capacity(8),
        brace_day: first_cast_day,
        full_time_end_day: first_cast_day,
        reviews: Vec::new(),
        wear: Vec::new(),
        leaves_day: None,
        declared_lost_day: None,
    }
}

/// The feet with their classes.
fn begin(rules: &Rules<'_>, weights: &Weights, child: &ChildTruth, chance: &mut Chance) -> Vec<FootInCasts> {
    let (parameters, cohort) = (rules.parameters, rules.cohort);
    let complex = chance.happens(cohort.complex);
    let other_cause = chance.happens(cohort.other_cause);
    let age = Some(child.first_cast_day - child.born_day);
    let mean =
        |severity: usize| parameters.pace_mean(rules.habits, SEVERITY[severity], age, complex || other_cause);
    let mut feet = if chance.happens(cohort.bilateral) {
        two_feet(rules, weights, mean, chance)
    } else {
        let severity = chance.pick(&weights.one);
        let pace = chance.pick(&classes::normal_weights(&PACE, mean(severity), parameters.pace_sd));
        let side = if chance.happens(0.5) { Side::Right } else { Side::Left };
        vec![rules.begin(side, severity, pace, chance)]
    };
    for foot in &mut feet {
        foot.truth.complex = complex;
        foot.truth.other_cause = other_cause;
    }
    feet
}

/// Two feet with correlated classes.
fn two_feet(
    rules: &Rules<'_>,
    weights: &Weights,
    mean: impl Fn(usize) -> f64,
    chance: &mut Chance,
) -> Vec<FootInCasts> {
    let parameters = rules.parameters;
    let pair = chance.pick(&weights.two);
    let severity = [pair / SEVERITY.len(), pair % SEVERITY.len()];
    let means = severity.map(mean);
    let paces = classes::paired_weights(&PACE, means, parameters.pace_sd, parameters.pace_correlation);
    let pair = chance.pick(&paces.concat());
    let pace = [pair / PACE.len(), pair % PACE.len()];
    vec![
        rules.begin(Side::Right, severity[0], pace[0], chance),
        rules.begin(Side::Left, severity[1], pace[1], chance),
    ]
}

/// From the first cast to the brace.
fn cast(rules: &Rules<'_>, child: &mut ChildTruth, feet: &mut [FootInCasts], chance: &mut Chance) {
    let habits = rules.habits;
    let mut day = child.first_cast_day;
    while feet.iter().any(|foot| !foot.ready) {
        child.cast_visit_days.push(day);
        for foot in feet.iter_mut().filter(|foot| !foot.ready) {
            rules.sit(foot, day, chance);
        }
        day += chance.days(&habits.interval_days).max(1);
    }
    // One draw for each child: two feet ready on one day share the theatre list and the fitting.
    let wait = chance.days(&habits.tenotomy_wait_days);
    let cast_days = chance.days(&habits.tenotomy_to_brace_days);
    let fitting = chance.days(&habits.ready_to_brace_days);
    for foot in feet.iter_mut() {
        let ready = foot.truth.ready_day;
        foot.truth.tenotomy_day = rules.cuts(foot, chance).then_some(ready + wait);
        foot.truth.brace_ready_day = foot.truth.tenotomy_day.map_or(ready + fitting, |cut| cut + cast_days);
        rules.reach_brace(foot, chance);
    }
    child.brace_day =
        feet.iter().map(|foot| foot.truth.brace_ready_day).max().unwrap_or(child.first_cast_day);
    for foot in feet.iter_mut() {
        hold(&mut foot.truth, &child.cast_visit_days, child.brace_day);
    }
    let held = feet.iter().flat_map(|foot| foot.truth.casts.iter().map(|cast| cast.day));
    child.cast_visit_days.extend(held.collect::<Vec<_>>());
    child.cast_visit_days.sort_unstable();
    child.cast_visit_days.dedup();
}
