//! The phases of a foot.

use crate::child::{Log, change, day, discharge, relapse, scored, to};
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

#[test]
fn a_cast_after_a_brace_begins_an_episode_even_without_a_relapse_noted() {
    let mut log = Log::usual();
    log.casts("2025-06-09", 1, Side::Right);
    let foot = log.right();
    assert_eq!((foot.phase, foot.episode, foot.relapses.len()), (Phase::InCorrection, 2, 0));
    assert_eq!(foot.episodes[0].until, Some(day("2024-02-26")));
    assert_eq!((foot.episodes[1].from, foot.episodes[1].until), (day("2025-06-09"), None));
}

#[test]
fn a_relapse_noted_twice_before_its_first_cast_is_one_relapse() {
    let mut log = Log::usual();
    log.write("2025-06-02", relapse(Side::Right));
    log.write("2025-06-09", relapse(Side::Right));
    let foot = log.right();
    assert_eq!((foot.episode, foot.relapses.len()), (2, 2));
    log.write("2025-06-10", BraceFitted::default());
    log.casts("2025-06-16", 1, Side::Right);
    assert_eq!(log.right().episode, 2, "a brace while the cast is awaited does not begin another");
}

#[test]
fn a_booking_stays_open_until_done_or_withdrawn() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 3, Side::Right);
    let booked = TenotomyBooked { side: Side::Right, planned_on: Some(day("2024-02-01")), place: None };
    let booking = log.write("2024-01-22", booked);
    log.casts("2024-01-29", 1, Side::Right);
    assert_eq!(log.right().phase, Phase::WaitingForTenotomy, "another cast does not undo it");
    let mut withdrawn = log.clone();
    withdrawn.withdraw(booking);
    assert_eq!((withdrawn.right().phase, withdrawn.right().tenotomy_plan), (Phase::InCorrection, None));
    log.write("2024-02-05", TenotomyDone::on(Side::Right));
    assert_eq!((log.right().phase, log.right().tenotomy_plan), (Phase::TenotomyCast, None));
}

#[test]
fn tenotomy_and_cast_of_one_day_are_the_tenotomy_cast_in_any_order_of_recording() {
    for tenotomy_first in [true, false] {
        let mut log = Log::registered();
        log.casts("2024-01-08", 2, Side::Right);
        if tenotomy_first {
            log.write("2024-01-22", TenotomyDone::on(Side::Right));
        }
        log.write("2024-01-22", CastApplied::on(Side::Right));
        if !tenotomy_first {
            log.write("2024-01-22", TenotomyDone::on(Side::Right));
        }
        let foot = log.right();
        assert_eq!((foot.phase, foot.phase_since), (Phase::TenotomyCast, Some(day("2024-01-22"))));
        assert_eq!(foot.last_cast().unwrap().purpose, CastPurpose::AfterTenotomy);
    }
}

#[test]
fn surgery_lasts_through_its_own_cast_until_the_next() {
    let mut log = Log::usual();
    let procedure = Procedure::TendonTransfer;
    log.write("2027-03-01", OtherSurgery { side: Side::Right, procedure, note: None });
    log.write("2027-03-01", CastApplied::on(Side::Right));
    assert_eq!(log.right().phase, Phase::AfterSurgery);
    log.write("2027-04-12", BraceFitted::default());
    assert!(matches!(log.right().phase, Phase::FullTimeBracing));
}

#[test]
fn being_seen_undoes_a_declared_loss_on_a_later_day_only() {
    let mut log = Log::usual();
    log.write("2024-09-01", LostDeclared::default());
    log.write("2024-09-01", scored(Side::Right, [0; 6]));
    assert_eq!(log.right().phase, Phase::LostToFollowUp);
    log.write("2024-10-01", Note { text: "a letter came back".to_owned() });
    assert_eq!(log.right().phase, Phase::LostToFollowUp, "a note is no visit");
    log.write("2024-10-02", AppointmentAttended::default());
    assert_eq!((log.course().standing, log.right().phase), (Standing::Active, Phase::FullTimeBracing));
}

#[test]
fn a_referral_reopens_after_discharge_as_a_new_start() {
    let mut log = Log::usual();
    log.write("2024-09-01", discharge());
    assert_eq!(log.course().braces[0].until, Some((day("2024-09-01"), Cause::Stopped)));
    log.write("2025-02-01", Referral::default());
    assert_eq!((log.course().standing, log.right().phase), (Standing::Active, Phase::Referred));
    log.casts("2025-02-08", 1, Side::Right);
    assert_eq!((log.right().phase, log.right().episode), (Phase::InCorrection, 2));
    assert!(log.course().questions.is_empty());
}

#[test]
fn a_child_back_from_another_clinic_is_where_treatment_left_off() {
    let mut log = Log::usual();
    log.write("2024-09-01", Transfer::default());
    assert_eq!(log.right().phase, Phase::Transferred);
    assert!(log.course().brace_now().is_some(), "the brace may well be worn on");
    log.write("2025-02-01", Registration::default());
    assert_eq!(log.right().phase, Phase::FullTimeBracing);
}

#[test]
fn nothing_reopens_after_death_and_a_later_end_does_not_replace_it() {
    let mut log = Log::usual();
    log.write("2024-09-01", Death::default());
    log.write("2024-09-02", Referral::default());
    log.write("2024-09-03", discharge());
    assert_eq!(log.course().standing, Standing::Died(day("2024-09-01")));
    assert_eq!((log.right().phase, log.right().phase_since), (Phase::Died, Some(day("2024-09-01"))));
}

#[test]
fn a_foot_first_known_by_a_cast_before_the_referral_begins_with_the_cast() {
    let mut log = Log::new();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-02-01", Referral::default());
    assert_eq!(phases(&log), [spell(Phase::InCorrection, "2024-01-08", 1)]);
    assert_eq!(log.course().referred_on, Some(day("2024-02-01")));
}

#[test]
fn the_boundary_days_of_a_phase() {
    let log = Log::usual();
    let phase = |on| log.course_on(on).foot(Side::Right).map(|foot| foot.phase);
    assert_eq!(phase("2024-01-07"), None, "no entry about a foot yet");
    assert_eq!(phase("2024-01-08"), Some(Phase::InCorrection));
    assert_eq!(phase("2024-02-04"), Some(Phase::InCorrection));
    assert_eq!(phase("2024-02-05"), Some(Phase::TenotomyCast));
    assert_eq!(phase("2024-02-25"), Some(Phase::TenotomyCast));
    assert_eq!(phase("2024-02-26"), Some(Phase::FullTimeBracing));
}

/// What opened care again is named, the last one; a referral while care goes on opens nothing.
#[test]
fn a_referral_after_an_end_opens_care_again_from_its_own_day() {
    let mut log = Log::registered();
    log.write("2024-01-05", Referral::default());
    assert_eq!((log.course().reopened, log.course().known_since()), (None, Some(day("2024-01-01"))));
    log.write("2024-02-01", discharge());
    assert_eq!(log.course().known_since(), Some(day("2024-01-01")));
    let first = log.write("2024-05-01", Referral::default());
    assert_eq!(log.course().reopened_unseen(), Some((day("2024-05-01"), first)));
    log.write("2024-06-01", Transfer::default());
    let second = log.write("2024-09-01", Referral::default());
    let course = log.course();
    assert_eq!(course.reopened, Some((day("2024-09-01"), second)));
    assert_eq!(
        (course.known_since(), course.referred_on),
        (Some(day("2024-09-01")), Some(day("2024-01-01")))
    );
    log.write("2024-09-01", CastApplied::on(Side::Right));
    assert_eq!(log.course().reopened_unseen(), None, "seen on that very day");
    assert_eq!(log.course_on("2024-08-01").reopened, Some((day("2024-05-01"), first)), "as known then");
}
