//! From a log to its row: what counts, from when, and the days on which a drop-out begins.

use crate::rows::{Log, basis, id, on};
use audit::{CareStage, ClinicHistory, Clinician, ExpectedField, OptionalDay, UnnumberedHistory};
use record::{
    Assessment, Brace, BraceChange, BraceChanged, BraceFitted, CastApplied, ChildId, Death, HalfPoint,
    Halves, OtherSurgery, Pirani, Problem, ProblemKind, Procedure, Regime, Registration, RelapseNoted, Side,
    Sign, TenotomyBooked, TenotomyDone, WearLogged, WearReported,
};

fn registered() -> Log {
    let registration =
        Registration { given_name: "Ada".into(), born: Some(on(-10)), ..Registration::default() };
    Log::default().write(on(0), registration)
}

fn fitted() -> BraceFitted {
    BraceFitted {
        brace: Brace::default(),
        regime: Some(Regime::FullTime),
        hours_prescribed: None,
        fitted_by: None,
    }
}

fn score(point: HalfPoint) -> Assessment {
    let mut pirani = Pirani::default();
    Sign::ALL.into_iter().for_each(|sign| pirani.set(sign, Some(point)));
    Assessment { pirani, ..Assessment::of(Side::Right) }
}

/// First cast 5, second 12, booked 12 for 19, cut 19, brace 40.
fn treated() -> Log {
    registered()
        .write(on(5), score(HalfPoint::One))
        .write(on(5), CastApplied { cast_by: Some("Nils Grau".into()), ..CastApplied::on(Side::Right) })
        .write(on(12), CastApplied::on(Side::Right))
        .write(on(12), TenotomyBooked { side: Side::Right, planned_on: Some(on(19)), place: None })
        .write(on(19), TenotomyDone::on(Side::Right))
        .write(on(19), CastApplied::on(Side::Right))
        .write(on(40), fitted())
}

#[test]
fn the_days_of_a_foot() {
    let mut clinic = ClinicHistory::new(basis(on(100)));
    let read = UnnumberedHistory::of(ChildId::new(id(1)), &treated().entries, &basis(on(100))).unwrap();
    let row = clinic.row(read);
    let foot = row.feet[0].unwrap();
    assert_eq!(row.feet[1], None);
    assert_eq!(foot.first_cast, on(5).into());
    assert_eq!((foot.correcting_casts, foot.casts), (2, 3), "the cast after the tenotomy corrects nothing");
    assert_eq!((foot.booked, foot.tenotomy, foot.brace), (on(12).into(), on(19).into(), on(40).into()));
    assert_eq!(foot.first_total, Some(Halves(12)));
    assert_eq!(clinic.clinicians, [Clinician::Named("Nils Grau".into())]);
    assert_eq!((row.born, row.known_from, row.brace), (on(-10).into(), on(0).into(), on(40).into()));
    assert_eq!((foot.relapse, foot.tendon_transfer), (OptionalDay::NEVER, OptionalDay::NEVER));
}

#[test]
fn what_counts_as_a_return_after_the_brace() {
    let relapse = |log: Log| log.row(on(900)).feet[0].unwrap().relapse;
    assert_eq!(relapse(treated()), OptionalDay::NEVER);
    let noted = RelapseNoted { side: Side::Right, grade: None, note: None };
    assert_eq!(relapse(treated().write(on(300), noted.clone())), on(300).into());
    assert_eq!(
        relapse(treated().write(on(250), CastApplied::on(Side::Right)).write(on(300), noted)),
        on(250).into()
    );
    let surgery = OtherSurgery { side: Side::Right, procedure: Procedure::TendonTransfer, note: None };
    let row = treated().write(on(500), surgery).row(on(900)).feet[0].unwrap();
    assert_eq!(
        (row.relapse, row.tendon_transfer, row.release),
        (on(500).into(), on(500).into(), OptionalDay::NEVER)
    );
}

/// In casts 21 days without a visit are no drop-out, 22 are one: the last visit on day 12, so day 34.
#[test]
fn a_drop_out_in_casts_begins_on_the_22nd_day() {
    let casts = || {
        registered().write(on(5), CastApplied::on(Side::Right)).write(on(12), CastApplied::on(Side::Right))
    };
    assert_eq!(casts().row(on(33)).gap, None);
    let gap = casts().row(on(34)).gap.unwrap();
    assert_eq!((gap.on, gap.stage, gap.came_back), (on(34), CareStage::Casting, false));
    assert_eq!(casts().row(on(33)).changes_on, on(34).into(), "the row says when it changes by itself");
    // Seen on day 33: no drop-out. Seen on day 34: a drop-out that came back.
    assert_eq!(casts().write(on(33), CastApplied::on(Side::Right)).row(on(33)).gap, None);
    let back = casts().write(on(34), CastApplied::on(Side::Right)).row(on(40)).gap.unwrap();
    assert_eq!((back.on, back.came_back), (on(34), true));
    // Died on day 33: no drop-out afterwards.
    assert_eq!(casts().write(on(33), Death { cause: None }).row(on(400)).gap, None);
}

/// In the tenotomy cast 28 days (19 + 29 = 48), in the brace 183 (40 + 184 = 224).
#[test]
fn a_drop_out_around_the_tenotomy_and_in_the_brace() {
    let cut = || {
        registered()
            .write(on(12), CastApplied::on(Side::Right))
            .write(on(19), TenotomyDone::on(Side::Right))
            .write(on(19), CastApplied::on(Side::Right))
    };
    assert_eq!(cut().row(on(47)).gap, None);
    assert_eq!(cut().row(on(48)).gap.unwrap().stage, CareStage::Tenotomy);
    assert_eq!(treated().row(on(223)).gap, None);
    let gap = treated().row(on(224)).gap.unwrap();
    assert_eq!((gap.on, gap.stage), (on(224), CareStage::Bracing));
    // After bracing has stopped no rule applies.
    let stopped = BraceChanged {
        change: BraceChange::Stopped,
        brace: None,
        regime: None,
        hours_prescribed: None,
        note: None,
    };
    let at_four = treated()
        .write(on(200), score(HalfPoint::Zero))
        .write(on(201), stopped)
        .write(on(201), score(HalfPoint::Zero));
    assert_eq!(at_four.row(on(900)).gap, None);
    assert_eq!(
        at_four.row(on(900)).not_tolerated,
        on(201).into(),
        "but it stopped before the fourth birthday"
    );
}

#[test]
fn what_was_known_on_a_past_day() {
    let log = treated().write(on(300), RelapseNoted { side: Side::Right, grade: None, note: None });
    let before = log.row(on(39));
    assert_eq!((before.brace, before.feet[0].unwrap().brace), (OptionalDay::NEVER, OptionalDay::NEVER));
    assert_eq!(before.changes_on, on(40).into());
    assert_eq!(log.row(on(299)).feet[0].unwrap().relapse, OptionalDay::NEVER);
    assert_eq!(log.row(on(300)).feet[0].unwrap().relapse, on(300).into());
}

#[test]
fn problems_of_the_cast_and_of_the_brace() {
    let problem =
        |what| Problem { side: None, what, settled: false, advised: None, helped: None, note: None };
    let log = treated()
        .write(on(14), problem(ProblemKind::CastSlipped))
        .write(on(15), problem(ProblemKind::Family))
        .write(on(60), problem(ProblemKind::CastSlipped)) // no cast on
        .write(on(70), problem(ProblemKind::NotTolerated));
    let row = log.row(on(100));
    assert_eq!(row.feet[0].unwrap().cast_problems, 1);
    assert_eq!(row.not_tolerated, on(70).into());
}

/// Brace on day 40. Logged 10 h on days 40–69 (30 days) and 4 h on 120–139: 11 days of the first quarter
/// (to day 130) and 9 of the second: (30·10 + 11·4)/41 = 344/41 h, then 4 h.
#[test]
fn wear_falls_into_quarters_of_bracing() {
    let logged = |from, to, hours| WearLogged {
        from: on(from),
        to: on(to),
        hours_per_day: hours,
        days_judged: 1,
        logger: None,
    };
    let log = treated().write(on(70), logged(40, 69, 10.0)).write(on(140), logged(120, 139, 4.0)).write(
        on(140),
        WearReported { from: on(40), to: on(60), hours_per_day: 22.0, days_without: None, reason: None },
    );
    let wear = log.row(on(200)).wear.unwrap();
    assert_eq!((wear.logged[0].days, wear.logged[1].days, wear.reported[0].days), (41, 9, 21));
    assert!((f64::from(wear.logged[0].hours) - 344.0 / 41.0).abs() < 1e-5);
    assert!((f64::from(wear.logged[1].hours) - 4.0).abs() < 1e-6);
}

#[test]
fn fields_are_expected_when_they_should_be_recorded() {
    let bit = |field: ExpectedField| 1 << ExpectedField::ALL.iter().position(|one| *one == field).unwrap();
    let foot = registered().write(on(5), CastApplied::on(Side::Right)).row(on(10)).feet[0].unwrap();
    assert_ne!(foot.expected & bit(ExpectedField::FirstScore), 0);
    assert_eq!(foot.recorded & bit(ExpectedField::FirstScore), 0, "cast without a score");
    assert_eq!(foot.expected & bit(ExpectedField::Hours), 0, "no brace yet");
    assert_ne!(foot.recorded & bit(ExpectedField::Born), 0);
    let braced = treated().row(on(100)).feet[0].unwrap();
    assert_ne!(braced.recorded & bit(ExpectedField::FirstScore), 0);
    assert_ne!(braced.expected & bit(ExpectedField::Hours), 0);
    assert_eq!(braced.recorded & bit(ExpectedField::Hours), 0);
}
