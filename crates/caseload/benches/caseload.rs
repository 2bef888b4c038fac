//! 1,000 runs of a five-year caseload of 200 new children a year. Prints the time, the runs per second
//! and what a child's course costs. The target is under 5 s on two cores.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use caseload::{CaseloadSummary, Clinic, ReadyClinic, Referrals, Setting, published, simulate};
use record::Day;
use std::time::Instant;

const RUNS: u32 = 1_000;

/// 200 children a year need about 30 cast places, 3 theatre places and 70 brace places a week.
fn setting() -> Setting {
    Setting {
        horizon_weeks: 260,
        referrals: Referrals { per_year: Some(200.0), ..Referrals::default() },
        cast_clinic: Clinic { tuesday: 18, friday: 18, absence: 0.03, ..Clinic::default() },
        theatre: Clinic { thursday: 6, absence: 0.05, ..Clinic::default() },
        brace_clinic: Clinic { monday: 40, wednesday: 40, absence: 0.03, ..Clinic::default() },
        ..Setting::default()
    }
}

fn main() {
    let setting = setting();
    let start = Day::new(2026, 1, 5).unwrap();
    let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start).unwrap();
    for round in 0..3u64 {
        let began = Instant::now();
        let runs = simulate(&clinic, round, RUNS);
        let took = began.elapsed().as_secs_f64();
        let children: u64 = runs.iter().map(|run| u64::from(run.children.arrived)).sum();
        let visits: u64 =
            runs.iter().flat_map(|run| &run.weeks).flatten().map(|week| u64::from(week.used)).sum();
        let summed = Instant::now();
        let summary = CaseloadSummary::of(&clinic, &runs).unwrap();
        println!(
            "{RUNS} runs of five years in {took:.2} s: {:.0} runs a second; {children} children, {:.2} µs each; {visits} places used; summary of {} weeks {:.2} s",
            f64::from(RUNS) / took,
            1e6 * took / children as f64,
            summary.weeks,
            summed.elapsed().as_secs_f64()
        );
    }
    println!("threads: {}", rayon::current_num_threads());
}
