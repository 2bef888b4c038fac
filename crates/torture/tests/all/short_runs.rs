//! Some kills, losses of power and disk errors at each run of the tests, with a seed of the day.

use std::time::{SystemTime, UNIX_EPOCH};
use torture::{faults, kills, outcome::Outcome, power};

/// Another seed at each run, printed where the test fails.
fn seed() -> u64 {
    SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_nanos() as u64 % 1_000_000_007
}

fn sound(outcome: &Outcome, seed: u64) {
    assert!(outcome.verdict.is_sound(), "seed {seed}: {outcome}");
}

#[test]
fn fifty_kills_lose_nothing() {
    let (seed, dir) = (seed(), tempfile::tempdir().unwrap());
    let outcome = kills::run(seed, 50, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.kills >= 50 && outcome.entries > 100, "seed {seed}: {outcome}");
}

#[cfg(target_os = "linux")]
#[test]
fn losses_of_power_lose_nothing() {
    let (seed, dir) = (seed(), tempfile::tempdir().unwrap());
    let outcome = power::run(seed, 200, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.images >= 200 && outcome.entries > 20, "seed {seed}: {outcome}");
}

#[cfg(target_os = "linux")]
#[test]
fn disk_errors_lose_nothing() {
    let (seed, dir) = (seed(), tempfile::tempdir().unwrap());
    let outcome = faults::run(seed, 200, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.io_errors >= 200, "seed {seed}: {outcome}");
}
