//! Some kills, losses of power and disk errors at each run of the tests, with a seed of the day.

use std::time::{SystemTime, UNIX_EPOCH};
use torture::{faults, kills, load, outcome::Outcome, power};

/// Another seed at each run, printed where the test fails.
fn seed() -> u64 {
    SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_nanos() as u64 % 1_000_000_007
}

/// What a disk would hold is computed from what was written: no disk is needed.
fn in_memory() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
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
    let (seed, dir) = (seed(), in_memory());
    let outcome = power::run(seed, 150, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.images >= 150 && outcome.entries > 20, "seed {seed}: {outcome}");
}

#[cfg(target_os = "linux")]
#[test]
fn disk_errors_lose_nothing() {
    let (seed, dir) = (seed(), in_memory());
    let outcome = faults::run(seed, 25, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.disk_faults >= 25 && outcome.images >= 100, "seed {seed}: {outcome}");
}

/// In a build that can encrypt: the same with encrypted records, in which no word of an entry can be read either.
#[test]
fn kills_of_encrypted_records_lose_nothing() {
    if !archive::CAN_ENCRYPT {
        return;
    }
    let (seed, dir) = (seed(), tempfile::tempdir().unwrap());
    load::encrypt_below(dir.path()).unwrap();
    let outcome = kills::run(seed, 20, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.kills >= 20 && outcome.entries > 40, "seed {seed}: {outcome}");
}

#[cfg(target_os = "linux")]
#[test]
fn losses_of_power_lose_nothing_of_encrypted_records() {
    if !archive::CAN_ENCRYPT {
        return;
    }
    let (seed, dir) = (seed(), in_memory());
    load::encrypt_below(dir.path()).unwrap();
    let outcome = power::run(seed, 60, dir.path()).unwrap();
    sound(&outcome, seed);
    assert!(outcome.images >= 60 && outcome.entries > 10, "seed {seed}: {outcome}");
}
