//! Which children count as lost and from which day: the plan of `rows::plan` after each stage, and what does
//! not count as a loss.

use crate::rows::{Log, day, on};
use audit::{CareStage, LossDefinition};
use record::{
    AppointmentAttended, AppointmentMade, Assessment, Brace, BraceChange, BraceChanged, BraceFitted,
    CastApplied, Day, Discharge, DischargeReason, HalfPoint, LostDeclared, OtherSurgery, Pirani, Procedure,
    Referral, Registration, RelapseNoted, Side, Sign, TenotomyDone, Transfer,
};

fn seen() -> Assessment {
    let mut pirani = Pirani::default();
    Sign::ALL.into_iter().for_each(|sign| pirani.set(sign, Some(HalfPoint::Zero)));
    Assessment { pirani, ..Assessment::of(Side::Right) }
}

fn fitted() -> BraceFitted {
    BraceFitted { brace: Brace::default(), regime: None, hours_prescribed: None, fitted_by: None }
}

fn stopped() -> BraceChanged {
    BraceChanged {
        change: BraceChange::Stopped,
        brace: None,
        regime: None,
        hours_prescribed: None,
        note: None,
    }
}

/// Born on a day; first cast on day 0, braced on day 60, present at all early reviews.
fn braced(born: Day) -> Log {
    let log = Log::default()
        .write(on(0), Registration { given_name: "Ida".into(), born: Some(born), ..Registration::default() });
    let casts = [0, 15, 30, 45].into_iter();
    let log =
        casts.fold(log, |log, day| log.write(on(day), CastApplied::on(Side::Right))).write(on(60), fitted());
    [7, 42, 84].into_iter().fold(log, |log, after| log.write(on(60 + after), seen()))
}

/// Not lost on the last day, lost on the day after, dated midway between the last visit and the day due.
fn is_lost_after(log: &Log, last: Day, stage: CareStage, middle: Day) {
    assert_eq!(log.row(last).lost, None, "still in time on {last}");
    assert_eq!(log.row(last).changes_on, (last + 1).into(), "the row says when it changes by itself");
    let lost = log.row(last + 1).loss(LossDefinition::ByPlannedInterval).unwrap();
    assert_eq!((lost.on, lost.stage, lost.came_back), (middle, stage, false));
}

/// In casts the next is due after 7 days; 21 days without a visit are no loss.
#[test]
fn in_casts() {
    let log = Log::default()
        .write(on(0), Registration { given_name: "Ida".into(), ..Registration::default() })
        .write(on(0), CastApplied::on(Side::Right))
        .write(on(7), CastApplied::on(Side::Right));
    is_lost_after(&log, on(28), CareStage::Casting, on(7 + 3));
    // Declared lost sooner: by that day.
    let declared = log.write(on(12), LostDeclared { reason: None });
    assert_eq!(declared.row(on(11)).lost, None);
    assert_eq!(declared.row(on(12)).lost.unwrap().on, on(7 + 2));
}

/// The cast after a tenotomy comes off after 21 days, past two years after 42; a week of grace. The
/// published 28 days make a drop-out of every older child that keeps to its six weeks.
#[test]
fn around_the_tenotomy() {
    let cut = |born: Day| {
        Log::default()
            .write(
                on(0),
                Registration { given_name: "Ida".into(), born: Some(born), ..Registration::default() },
            )
            .write(on(0), CastApplied::on(Side::Right))
            .write(on(7), TenotomyDone::on(Side::Right))
            .write(on(7), CastApplied::on(Side::Right))
    };
    is_lost_after(&cut(on(-20)), on(7 + 28), CareStage::Tenotomy, on(7 + 10));
    let older = cut(on(-800));
    is_lost_after(&older, on(7 + 49), CareStage::Tenotomy, on(7 + 21));
    let fitted_in_time = older.write(on(7 + 42), fitted());
    let row = fitted_in_time.row(on(60));
    assert_eq!((row.lost, row.gap.unwrap().on), (None, on(7 + 29)));
}

/// Only the fitting: the first review is due a week later, and no child is lost before six months.
/// 60 days after 1 January 2020 is 1 March; the middle of 7 days is 3.
#[test]
fn a_missed_early_review() {
    let log = Log::default()
        .write(
            on(0),
            Registration { given_name: "Ida".into(), born: Some(on(-20)), ..Registration::default() },
        )
        .write(on(0), CastApplied::on(Side::Right))
        .write(on(60), fitted());
    is_lost_after(&log, day("2020-09-01"), CareStage::Bracing, on(63));
}

/// Every 4 months under three (no loss before six months), every 6 under four, every 12 after, and 28 days.
#[test]
fn later_reviews_by_age() {
    let last = day("2021-03-01");
    // Aged one: due on 1 July, in time until the 29th; the clinic calls no child lost before 1 September.
    let young = braced(day("2020-01-01") - 20).write(last, seen());
    is_lost_after(&young, day("2021-09-01"), CareStage::Bracing, last + 122 / 2);
    // Aged three: due on 1 September, in time until the 29th. The published 183 days end on 31 August.
    let three = braced(day("2017-12-01")).write(last, seen());
    is_lost_after(&three, day("2021-09-29"), CareStage::Bracing, last + 184 / 2);
    let row = three.write(day("2021-09-29"), seen()).row(day("2021-10-01"));
    assert_eq!((row.lost, row.gap.map(|gap| gap.came_back)), (None, Some(true)));
    // Aged four: due on 1 March 2022, in time until the 29th.
    let four = braced(day("2016-12-01")).write(last, seen());
    // The fifth birthday, 1 December 2021, does not fall on the days of that review, but before them: the
    // plan ends bracing then, in time until 29 December.
    is_lost_after(&four, day("2021-12-29"), CareStage::Bracing, last + 275 / 2);
}

/// An appointment that the clinic had made by the last visit, for a later day than the plan's, counts.
#[test]
fn an_appointment_the_clinic_made_for_later() {
    let last = day("2021-03-01");
    let made = |on: Day| AppointmentMade { for_day: on, time: None, purpose: None };
    let booked = braced(on(-20)).write(last, seen()).write(last, made(day("2021-10-01")));
    is_lost_after(&booked, day("2021-10-29"), CareStage::Bracing, last + 214 / 2);
    // An appointment made after the last visit was not part of the plan at that visit.
    let hoped = braced(on(-20)).write(last, seen()).write(last + 3, made(day("2021-10-01")));
    is_lost_after(&hoped, day("2021-09-01"), CareStage::Bracing, last + 122 / 2);
}

/// A child that comes back was not lost, whatever the gap: by the plan the gap leaves no trace.
#[test]
fn a_child_that_comes_back_was_not_lost() {
    let away = braced(on(-20));
    assert!(away.row(on(900)).lost.is_some());
    let back = away.write(on(901), RelapseNoted { side: Side::Right, grade: None, note: None });
    let row = back.row(on(901));
    assert_eq!(row.lost, None);
    assert_eq!(row.feet[0].unwrap().relapse, on(901).into());
    assert!(row.loss(LossDefinition::AsPublished).unwrap().came_back);
    // An attendance with nothing recorded is no visit: it shows nothing about the foot.
    let attended = braced(on(-20)).write(on(901), AppointmentAttended { time: None });
    assert!(attended.row(on(901)).lost.is_some());
}

/// Discharged, transferred, or opened again afterwards: time away is not a gap.
#[test]
fn the_end_of_care_is_no_gap() {
    let discharge = || Discharge { reason: DischargeReason::Other, note: None };
    for log in
        [braced(on(-20)).write(on(200), discharge()), braced(on(-20)).write(on(200), Transfer { to: None })]
    {
        for as_of in [201, 400, 2_000] {
            let row = log.row(on(as_of));
            assert_eq!((row.lost, row.gap), (None, None), "as of {as_of}");
        }
    }
    let again = braced(on(-20))
        .write(on(200), discharge())
        .write(on(1_500), Referral { from: None, reason: None })
        .write(on(1_501), CastApplied::on(Side::Right));
    let row = again.row(on(1_502));
    assert_eq!((row.lost, row.gap, row.over), (None, None, on(200).into()));
    // Discharged by letter long after the planned review had passed: it had dropped out before.
    let late = braced(on(-20)).write(on(900), discharge());
    assert!(late.row(on(901)).lost.is_some());
    assert!(late.row(on(901)).gap.is_some());
}

/// Bracing that ended at the planned age: finished, not lost, and followed to the last visit.
#[test]
fn a_child_that_finished_is_not_lost() {
    let born = day("2016-12-01");
    let end = day("2021-12-01");
    let finished = braced(born).write(end, seen()).write(end, stopped());
    let row = finished.row(day("2024-01-01"));
    assert_eq!((row.lost, row.over), (None, end.into()));
    // Within a year and its grace it may still be seen.
    assert_eq!(finished.row(day("2022-12-29")).over, audit::OptionalDay::NEVER);
    assert_eq!(finished.row(day("2022-12-29")).changes_on, day("2022-12-30").into());
    assert_eq!(finished.row(day("2022-12-30")).over, end.into());
    // The end of the brace is not recorded: still, no more visits are planned.
    let row = braced(born).write(end, seen()).row(day("2024-01-01"));
    assert_eq!((row.lost, row.over), (None, end.into()));
    // If bracing is stopped early the reviews continue: two years old, every 4 months and 28 days.
    let early = braced(on(-20)).write(day("2021-12-01"), seen()).write(day("2021-12-01"), stopped());
    is_lost_after(&early, day("2022-04-29"), CareStage::After, day("2021-12-01") + 121 / 2);
}

/// After surgery a review within 42 days, and 28 of grace.
#[test]
fn after_surgery() {
    let surgery = OtherSurgery { side: Side::Right, procedure: Procedure::TendonTransfer, note: None };
    let log = braced(on(-20)).write(on(400), surgery);
    is_lost_after(&log, on(470), CareStage::After, on(421));
}

/// Without a day of birth the planned interval is unknown: the longest applies, 12 months and 28 days.
#[test]
fn with_an_unknown_age_the_longest_interval_counts() {
    let log = Log::default()
        .write(on(0), Registration { given_name: "Ida".into(), ..Registration::default() })
        .write(on(0), CastApplied::on(Side::Right))
        .write(on(15), fitted());
    let log = [7, 42, 84].into_iter().fold(log, |log, after| log.write(on(15 + after), seen()));
    let last = day("2021-03-01");
    is_lost_after(&log.write(last, seen()), day("2022-03-29"), CareStage::Bracing, last + 365 / 2);
}
