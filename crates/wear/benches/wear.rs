//! A child's year of temperatures every 15 minutes, from the samples to the hours of every day.
//!
//! - `cargo bench -p wear --bench wear`: the median time of one child's year (35,040 samples).
//! - `cargo bench -p wear --bench wear -- write FOLDER N`: writes N invented child-years, each as
//!   35,040 little-endian doubles, so that another program can be given the very same samples.
//! - `cargo bench -p wear --bench wear -- race FOLDER N`: classifies them and prints the seconds on
//!   the clock with one thread and with all, and the mean hours, so that nothing is left undone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rayon::prelude::*;
use record::Day;
use std::{fs, hint::black_box, path::Path, time::Instant};
use wear::simulated::{Habit, Setup};
use wear::{DaySpan, Temperatures, WearReading};

const DAYS: usize = 365;
const STEP_S: i64 = 900;
const SAMPLES: usize = DAYS * 96;

fn setup(seed: u64) -> Setup {
    let habit = [Habit::Nights, Habit::Broken, Habit::FullTime, Habit::Nights][(seed % 4) as usize];
    let room_c = 17.0 + (seed % 8) as f64;
    Setup { days: DAYS, sampling_min: 15.0, room_c, habit, drift_c: 1.0, gaps: 0.0, ..Setup::ordinary() }
}

fn year(seed: u64) -> Vec<f64> {
    let mut celsius = setup(seed).logger(seed).celsius;
    let last = celsius.last().copied().unwrap_or(20.0);
    celsius.resize(SAMPLES, last);
    celsius
}

fn spans() -> Vec<DaySpan> {
    let span = |day: usize| DaySpan {
        day: Day::from_number(20_000 + day as i32),
        from_s: day as i64 * 86_400,
        until_s: (day as i64 + 1) * 86_400,
    };
    (0..DAYS).map(span).collect()
}

fn hours(at_s: &[i64], celsius: &[f64], days: &[DaySpan]) -> f64 {
    WearReading::of(Temperatures { at_s, celsius }, None, days).days.iter().map(|day| day.hours_worn).sum()
}

fn file(folder: &str, seed: u64) -> std::path::PathBuf {
    Path::new(folder).join(format!("year_{seed}.f64"))
}

fn read(folder: &str, seed: u64) -> Vec<f64> {
    let bytes = fs::read(file(folder, seed)).expect("the file of a year; write them first");
    bytes.chunks_exact(8).map(|eight| f64::from_le_bytes(eight.try_into().unwrap())).collect()
}

fn race(folder: &str, count: u64) {
    let at_s: Vec<i64> = (0..SAMPLES as i64).map(|step| step * STEP_S).collect();
    let days = spans();
    let years: Vec<Vec<f64>> = (0..count).map(|seed| read(folder, seed)).collect();
    let begin = Instant::now();
    let one: f64 = years.iter().map(|year| hours(&at_s, year, &days)).sum();
    let single = begin.elapsed().as_secs_f64();
    let begin = Instant::now();
    let all: f64 = years.par_iter().map(|year| hours(&at_s, year, &days)).sum();
    let parallel = begin.elapsed().as_secs_f64();
    assert!((one - all).abs() < 1e-6 * one.abs().max(1.0));
    let mean = one / (count as f64 * DAYS as f64);
    println!("ours\t{count}\t{single:.4}\t{parallel:.4}\t{mean:.3}");
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["write", folder, count] => (0..count.parse::<u64>().unwrap()).into_par_iter().for_each(|seed| {
            let bytes: Vec<u8> = year(seed).into_iter().flat_map(f64::to_le_bytes).collect();
            fs::write(file(folder, seed), bytes).expect("the folder");
        }),
        ["race", folder, count] => race(folder, count.parse().unwrap()),
        _ => {
            let at_s: Vec<i64> = (0..SAMPLES as i64).map(|step| step * STEP_S).collect();
            let (days, celsius) = (spans(), year(1));
            let mut times: Vec<f64> = (0..200)
                .map(|_| {
                    let begin = Instant::now();
                    black_box(hours(&at_s, black_box(&celsius), &days));
                    begin.elapsed().as_secs_f64() * 1e3
                })
                .collect();
            times.sort_by(f64::total_cmp);
            println!(
                "one child's year, {SAMPLES} samples: median {:.2} ms, least {:.2} ms",
                times[100], times[0]
            );
        }
    }
}
