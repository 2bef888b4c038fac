//! The phases of a foot.

use crate::child::{Log, change, day, discharge, relapse, to};
use course::{Cause, Phase, Standing};
use record::*;

/// The phases of the right foot with their first days and episodes.
fn phases(log: &Log) -> Vec<(Phase, String, u8)> {
    log.right().phases.iter().map(|spell| (spell.phase, spell.from.to_string(), spell.episode)).collect()
}

fn spell(phase: Phase, from: &str, episode: u8) -> (Phase, String, u8) {
    (phase, from.to_owned(), episode)
}

#[test]
fn the_usual_way_from_referral_to_discharge() {
    let mut log = Log::usual();
    log.write("2024-01-29", TenotomyBooked { side: Side::Right, planned_on: None, place: None });
    log.write("2024-05-20", to(Regime::NightTime));
    log.write("2028-12-01", change(BraceChange::Stopped));
    log.write("2029-01-01", discharge());
    assert_eq!(
        phases(&log),
        [
            spell(Phase::Referred, "2024-01-01", 1),
            spell(Phase::InCorrection, "2024-01-08", 1),
            spell(Phase::WaitingForTenotomy, "2024-01-29", 1),
            spell(Phase::TenotomyCast, "2024-02-05", 1),
            spell(Phase::FullTimeBracing, "2024-02-26", 1),
            spell(Phase::NightTimeBracing, "2024-05-20", 1),
            spell(Phase::AfterBracing, "2028-12-01", 1),
            spell(Phase::Discharged, "2029-01-01", 1),
        ]
    );
    assert_eq!(log.course().standing, Standing::Discharged(day("2029-01-01")));
}

#[test]
fn each_phase_ends_on_the_first_day_of_the_next() {
    let foot = Log::usual().right();
    for pair in foot.phases.windows(2) {
        assert_eq!(pair[0].until, Some(pair[1].from));
    }
    let last = foot.phases.last().unwrap();
    assert_eq!((last.until, last.phase, Some(last.from)), (None, foot.phase, foot.phase_since));
}

#[test]
fn a_relapse_begins_the_next_episode_before_its_first_cast() {
    let mut log = Log::usual();
    log.write("2025-06-02", relapse(Side::Right));
    let foot = log.right();
    assert_eq!((foot.phase, foot.episode), (Phase::InCorrection, 2));
    assert!(foot.cast_on().is_none());
    log.casts("2025-06-09", 2, Side::Right);
    let foot = log.right();
    assert_eq!((foot.phase, foot.episode), (Phase::InCorrection, 2));
    let numbers: Vec<_> = foot.casts.iter().map(|cast| (cast.episode, cast.number)).collect();
    assert_eq!(numbers, [(1, 1), (1, 2), (1, 3), (1, 4), (1, 5), (2, 1), (2, 2)]);
    assert_eq!(log.course().braces[0].until, Some((day("2025-06-09"), Cause::Recast)));
}
