//! One foot's forecast, and those of a hundred thousand children on every processor.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use forecast::SeenChild;
use forecast::foot::{Forecaster, Stage};
use forecast::learning::ClinicPosterior;
use forecast::natural_history::{Calendar, ClinicHabits, Cohort, Parameters, seen, simulate};
use rayon::prelude::*;
use std::{hint::black_box, time::Instant};

/// Children between birth and seven years, most of them long in the brace, as in a clinic of some age.
fn clinic(count: usize) -> Vec<SeenChild> {
    let calendar = Calendar { first_referral: 0, last_referral: 1_800, as_of: 1_800 };
    let cohort = Cohort::usual(count, 5, calendar);
    let children = simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap();
    children.into_iter().map(|child| child.seen).collect()
}

/// The same children, each on the day of its second visit: every foot in casts, the dearest case.
fn in_casts(count: usize) -> Vec<(i32, SeenChild)> {
    let calendar = Calendar { first_referral: 0, last_referral: 1_800, as_of: 2_600 };
    let cohort = Cohort::usual(count, 5, calendar);
    let children = simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap();
    let second = children.iter().filter_map(|child| {
        let day = *child.truth.cast_visit_days.get(1)?;
        Some((day, seen(&child.truth, day)))
    });
    second.collect()
}

fn one_foot(criterion: &mut Criterion) {
    let children = in_casts(400);
    let clinic = ClinicPosterior::published(&Parameters::published());
    let forecaster = Forecaster::new(&clinic);
    for (name, feet) in [("one foot in casts", 1), ("two feet of one child in casts", 2)] {
        let of_kind: Vec<&(i32, SeenChild)> = children
            .iter()
            .filter(|(day, child)| {
                child.feet.len() == feet
                    && forecaster.of(child, *day).iter().all(|foot| foot.stage == Stage::InCasts)
            })
            .collect();
        let mut number = 0;
        criterion.bench_function(name, |bencher| {
            bencher.iter(|| {
                number = (number + 1) % of_kind.len();
                let (day, child) = of_kind[number];
                black_box(forecaster.of(child, *day))
            });
        });
    }
    criterion.bench_function("a clinic's tables", |bencher| {
        bencher.iter(|| black_box(Forecaster::new(black_box(&clinic))));
    });
}

/// Timed once: it is seconds, not microseconds.
fn every_child(_: &mut Criterion) {
    let children = clinic(100_000);
    let started = Instant::now();
    let clinic = ClinicPosterior::of(&Parameters::published(), &children, 1_800);
    println!(
        "learning from {} finished feet of 100,000 children: {:.1?}",
        clinic.finished_feet(),
        started.elapsed()
    );
    let forecaster = Forecaster::new(&clinic);
    let started = Instant::now();
    let feet: usize = children.par_iter().map(|child| black_box(forecaster.of(child, 1_800)).len()).sum();
    println!("forecasts of {feet} feet of 100,000 children as of one day: {:.1?}", started.elapsed());
    let dear = in_casts(100_000);
    let started = Instant::now();
    let feet: usize = dear.par_iter().map(|(day, child)| black_box(forecaster.of(child, *day)).len()).sum();
    println!("the same, every one of {feet} feet at its second visit: {:.1?}", started.elapsed());
}

criterion_group!(benches, one_foot, every_child);
criterion_main!(benches);
