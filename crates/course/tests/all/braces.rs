//! Spells in the brace.

use crate::child::{Log, change, day, relapse, to};
use course::{BraceSpell, Cause, Phase};
use record::*;
use rstest::rstest;

fn fitted(regime: Option<Regime>, hours_prescribed: Option<u8>) -> BraceFitted {
    BraceFitted { regime, hours_prescribed, ..BraceFitted::default() }
}

fn boot(side: Side, abduction_deg: i16) -> Boot {
    Boot { abduction_deg: Some(abduction_deg), ..Boot::of(side) }
}

fn brace(boots: Vec<Boot>) -> BraceFitted {
    BraceFitted { brace: Brace { boots, ..Brace::default() }, ..BraceFitted::default() }
}

fn regimes(spells: &[BraceSpell]) -> Vec<(Regime, bool)> {
    spells.iter().map(|spell| (spell.regime, spell.regime_stated)).collect()
}

#[rstest]
#[case::nothing_recorded(None, None, Regime::FullTime, false)]
#[case::recorded(Some(Regime::NightTime), None, Regime::NightTime, true)]
#[case::recorded_against_the_hours(Some(Regime::NightTime), Some(23), Regime::NightTime, true)]
#[case::hours_24(None, Some(24), Regime::FullTime, false)]
#[case::hours_20(None, Some(20), Regime::FullTime, false)]
#[case::hours_19_undecided(None, Some(19), Regime::FullTime, false)]
#[case::hours_17_undecided(None, Some(17), Regime::FullTime, false)]
#[case::hours_16(None, Some(16), Regime::NightTime, false)]
#[case::hours_0(None, Some(0), Regime::NightTime, false)]
fn the_regime_of_a_first_fitting(
    #[case] regime: Option<Regime>,
    #[case] hours: Option<u8>,
    #[case] expected: Regime,
    #[case] stated: bool,
) {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-02-26", fitted(regime, hours));
    assert_eq!(regimes(&log.course().braces), [(expected, stated)]);
    let phase = if expected == Regime::FullTime { Phase::FullTimeBracing } else { Phase::NightTimeBracing };
    assert_eq!(log.right().phase, phase);
}

#[test]
fn a_refit_keeps_the_running_regime_and_the_run() {
    let mut log = Log::usual();
    log.write("2024-05-20", to(Regime::NightTime));
    log.write("2024-09-02", BraceFitted::default());
    let spells = log.course().braces;
    use Regime::{FullTime, NightTime};
    assert_eq!(regimes(&spells), [(FullTime, false), (NightTime, true), (NightTime, false)]);
    assert_eq!(spells[0].until, Some((day("2024-05-20"), Cause::Changed)));
    assert_eq!(spells[1].until, Some((day("2024-09-02"), Cause::Refitted)));
    assert!(spells.iter().all(|spell| spell.bracing_since == day("2024-02-26")));
    assert_eq!(log.right().phase_since, Some(day("2024-05-20")), "a refit is no new phase");
}

#[test]
fn a_recast_ends_the_run_for_the_child() {
    let mut log = Log::usual();
    log.write("2024-05-20", to(Regime::NightTime));
    log.casts("2025-01-06", 1, Side::Right);
    log.write("2025-01-13", BraceFitted::default());
    let spells = log.course().braces;
    assert_eq!(spells[1].until, Some((day("2025-01-06"), Cause::Recast)));
    assert_eq!((spells[2].regime, spells[2].bracing_since), (Regime::FullTime, day("2025-01-13")));
}

#[test]
fn the_foot_that_is_not_cast_again_keeps_its_phase_without_a_brace() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 4, Side::Right);
    log.casts("2024-01-08", 4, Side::Left);
    log.write("2024-02-26", BraceFitted::default());
    log.casts("2024-06-03", 1, Side::Right);
    let course = log.course();
    assert!(course.brace_now().is_none());
    assert_eq!(course.foot(Side::Right).unwrap().phase, Phase::InCorrection);
    let left = course.foot(Side::Left).unwrap();
    assert_eq!((left.phase, left.episode), (Phase::FullTimeBracing, 1));
}

#[test]
fn stopped_and_taken_up_again_is_a_new_run_under_the_last_regime() {
    let mut log = Log::usual();
    log.write("2024-05-20", to(Regime::NightTime));
    log.write("2024-08-01", change(BraceChange::Stopped));
    assert_eq!(log.right().phase, Phase::AfterBracing);
    log.write("2024-08-15", change(BraceChange::Resumed));
    let spells = log.course().braces;
    assert_eq!(spells[1].until, Some((day("2024-08-01"), Cause::Stopped)));
    assert_eq!((spells[2].regime, spells[2].bracing_since), (Regime::NightTime, day("2024-08-15")));
    assert_eq!(log.right().phase, Phase::NightTimeBracing);
}

#[test]
fn after_a_relapse_a_new_fitting_begins_with_full_time() {
    let mut log = Log::usual();
    log.write("2024-05-20", to(Regime::NightTime));
    log.write("2024-08-01", change(BraceChange::Stopped));
    log.write("2024-08-15", relapse(Side::Right));
    log.write("2024-08-22", BraceFitted::default());
    assert_eq!(log.course().braces[2].regime, Regime::FullTime);
}

#[test]
fn changes_within_a_regime_keep_the_spell_and_hold_from_then_on() {
    let mut log = Log::usual();
    let larger = Brace { bar_mm: Some(220), ..Brace::default() };
    let size =
        log.write("2024-04-08", BraceChanged { brace: Some(larger.clone()), ..change(BraceChange::Size) });
    log.write("2024-04-22", BraceChanged { hours_prescribed: Some(22), ..change(BraceChange::Hours) });
    let spells = log.course().braces;
    assert_eq!(spells.len(), 1);
    assert_eq!((&spells[0].brace, spells[0].hours_prescribed), (&larger, Some(22)));
    assert_eq!(spells[0].changes[0], (day("2024-04-08"), BraceChange::Size, size));
}

#[test]
fn two_rows_for_one_brace_are_one_brace() {
    let mut log = Log::registered();
    log.write("2024-02-26", brace(vec![boot(Side::Left, 70)]));
    log.write("2024-02-26", brace(vec![boot(Side::Right, 60)]));
    let course = log.course();
    assert_eq!(course.braces.len(), 1);
    assert_eq!(course.braces[0].brace.boots, [boot(Side::Right, 60), boot(Side::Left, 70)]);
    assert!(course.questions.is_empty());
}

#[test]
fn a_foot_first_known_while_a_brace_is_worn_is_braced() {
    let mut log = Log::usual();
    log.write(
        "2024-03-04",
        Diagnosis {
            side: Side::Left,
            nature: Some(Nature::Idiopathic),
            complex: None,
            earlier_treatment: None,
        },
    );
    let course = log.course();
    let left = course.foot(Side::Left).unwrap();
    assert_eq!((left.phase, left.phase_since), (Phase::FullTimeBracing, Some(day("2024-03-04"))));
    assert_eq!(left.phases[0].phase, Phase::Referred);
}

/// A change names one boot and nothing else: the other boot, the bar and the values not given for that boot stay.
#[test]
fn a_change_of_one_boot_keeps_the_settings_of_the_other() {
    let both = vec![
        Boot { length_mm: Some(95), size: Some("A".into()), ..boot(Side::Right, 65) },
        Boot { length_mm: Some(90), size: Some("B".into()), ..boot(Side::Left, 40) },
    ];
    let named = |boots, bar_mm| Some(Brace { boots, bar_mm, ..Brace::default() });
    let longer = || vec![Boot { length_mm: Some(105), ..Boot::of(Side::Right) }];
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    let brace =
        Brace { boots: both.clone(), bar_mm: Some(180), label: Some("blue".into()), ..Brace::default() };
    log.write("2024-02-26", BraceFitted { brace, ..BraceFitted::default() });
    let size = |brace| BraceChanged { brace, ..change(BraceChange::Size) };
    log.write("2024-04-01", size(named(longer(), None)));
    let expected = |bar_mm| Brace {
        boots: vec![Boot { length_mm: Some(105), ..boot(Side::Right, 65) }, both[1].clone()],
        bar_mm: Some(bar_mm),
        label: Some("blue".into()),
        ..Brace::default()
    };
    assert_eq!(log.course().brace_now().map(|spell| spell.brace.clone()), Some(expected(180)));
    // The same if it comes with the change to nights, and if only the bar is named.
    log.write("2024-05-20", BraceChanged { brace: named(longer(), None), ..to(Regime::NightTime) });
    log.write("2024-06-03", size(named(Vec::new(), Some(200))));
    let now = log.course().brace_now().map(|spell| (spell.regime, spell.brace.clone()));
    assert_eq!(now, Some((Regime::NightTime, expected(200))));
}
