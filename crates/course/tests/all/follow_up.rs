//! Until when a child counts as followed. Every expected day is derived in its comment.

use crate::child::{Log, day, discharge, to};
use course::{
    LossStage, PlanReading, PlannedInterval, PlannedIntervals, PlannedReview, PlannedVisit, ReviewIntervals,
    UnknownAge,
};
use record::*;

/// Weekly casts, lost after 21 days; three weeks in the cast after a tenotomy and six from two years of age,
/// lost after 28; reviews 1 and 12 weeks after the fitting, then every 4, 6 and 12 months with 28 days of
/// grace, lost after 6 months; bracing to five years.
fn plan() -> PlannedIntervals {
    PlannedIntervals {
        casting: PlannedInterval { due_days: 7, in_time_days: 10 },
        tenotomy_cast: PlannedInterval { due_days: 21, in_time_days: 28 },
        tenotomy_cast_older: PlannedInterval { due_days: 42, in_time_days: 49 },
        tenotomy_older_from_years: 2,
        surgery: PlannedInterval { due_days: 42, in_time_days: 70 },
        early_reviews: vec![
            PlannedReview { from_days: 4, due_days: 7, in_time_days: 14 },
            PlannedReview { from_days: 81, due_days: 84, in_time_days: 91 },
        ],
        reviews: ReviewIntervals {
            months_under_3y: 4,
            months_under_4y: 6,
            months_older: 12,
            grace_days: 28,
            bracing_ends_years: 5,
        },
        lost_casting_days: 21,
        lost_tenotomy_days: 28,
        lost_bracing_months: 6,
    }
}

/// The visit planned for a child after its last one.
fn next(log: &Log, as_of: &str, reading: PlanReading) -> Option<PlannedVisit> {
    let (course, plan) = (log.course_on(as_of), plan());
    let visit = course.last_seen().unwrap();
    let feet: Vec<PlannedVisit> =
        course.feet.iter().filter_map(|foot| plan.of_foot(&course, foot, visit, reading)).collect();
    plan.of_child(&course, visit, feet)
}

#[track_caller]
fn expect(log: &Log, stage: Option<LossStage>, due: &str, until: &str) {
    let found = next(log, "2030-01-01", PlanReading::AtVisit).unwrap();
    assert_eq!((found.stage(), found.due, found.until), (stage, day(due), day(until)));
    assert_eq!(found.booked, None);
}

fn examined() -> Assessment {
    Assessment { dorsiflexion_deg: Some(15), ..Assessment::of(Side::Right) }
}

fn booked(for_day: &str) -> AppointmentMade {
    AppointmentMade { for_day: day(for_day), time: None, purpose: None }
}

#[test]
fn in_casts_the_days_of_loss_are_longer_than_the_interval() {
    let mut log = Log::registered();
    assert_eq!(log.course().last_seen(), None);
    log.casts("2024-01-08", 1, Side::Right);
    expect(&log, Some(LossStage::Casting), "2024-01-15", "2024-01-29"); // 8 + 7, 8 + 21
}

#[test]
fn before_the_first_cast_and_after_discharge_nothing_is_planned() {
    let mut log = Log::registered();
    log.write("2024-01-08", Assessment { stated_total: Some(Halves(10)), ..Assessment::of(Side::Right) });
    assert_eq!(next(&log, "2030-01-01", PlanReading::AtVisit), None);
    log.casts("2024-01-15", 1, Side::Right);
    assert!(next(&log, "2030-01-01", PlanReading::Now).is_some());
    log.write("2024-02-01", discharge());
    assert_eq!(next(&log, "2030-01-01", PlanReading::Now), None);
    assert!(next(&log, "2030-01-01", PlanReading::AtVisit).is_some(), "what was planned at the visit");
}

#[test]
fn the_cast_after_a_tenotomy_is_longer_in_an_older_child() {
    let cut = |on: &str| {
        let mut log = Log::registered();
        log.write(on, TenotomyDone::on(Side::Right));
        log
    };
    // 5 + 21 = 26 February; 5 + 28 = 4 March, as the days of loss.
    expect(&cut("2024-02-05"), Some(LossStage::Tenotomy), "2024-02-26", "2024-03-04");
    // Two years old on 1 January 2026. 5 + 42 = 19 March; 5 + 49 = 26 March.
    expect(&cut("2026-02-05"), Some(LossStage::Tenotomy), "2026-03-19", "2026-03-26");
}

#[test]
fn in_the_brace_early_reviews_come_first() {
    let mut log = Log::usual();
    // Fitted on 26 February: the review after a week, 4 March; six months, 26 August.
    expect(&log, Some(LossStage::Bracing), "2024-03-04", "2024-08-26");
    log.write("2024-03-04", examined());
    // The review after 12 weeks: 26 February + 84 days = 20 May; 4 March + six months = 4 September.
    expect(&log, Some(LossStage::Bracing), "2024-05-20", "2024-09-04");
    log.write("2024-05-20", examined());
    // Four months, 20 September, + 28 = 18 October; six months, 20 November.
    expect(&log, Some(LossStage::Bracing), "2024-09-20", "2024-11-20");
}

#[test]
fn a_yearly_plan_is_longer_than_the_days_of_loss_and_meets_the_end_of_bracing() {
    let mut log = Log::usual();
    log.write("2024-05-20", to(Regime::NightTime));
    log.write("2028-01-10", examined());
    // Four years old: 10 January 2029. The end of bracing, 1 January 2029, is within its days and is used for
    // both; + 28 = 29 January 2029.
    expect(&log, Some(LossStage::Bracing), "2029-01-01", "2029-01-29");
}

#[test]
fn after_surgery_no_time_without_a_visit_is_defined() {
    let mut log = Log::registered();
    let (side, procedure) = (Side::Right, Procedure::TendonTransfer);
    log.write("2024-02-05", OtherSurgery { side, procedure, note: None });
    expect(&log, None, "2024-03-18", "2024-04-15"); // 5 + 42, 5 + 70
    let found = next(&log, "2024-03-01", PlanReading::AtVisit).unwrap();
    assert_eq!(found.allowed_until, None);
}

#[test]
fn of_two_feet_the_one_lost_first_counts() {
    let mut log = Log::registered();
    log.write("2024-02-05", TenotomyDone::on(Side::Right));
    log.casts("2024-02-05", 1, Side::Left);
    expect(&log, Some(LossStage::Casting), "2024-02-12", "2024-02-26"); // 5 + 7, 5 + 21
}

#[test]
fn an_appointment_made_by_the_visit_counts_where_it_is_later() {
    let with = |made: &str, for_day: &str| {
        let mut log = Log::registered();
        log.casts("2024-01-08", 1, Side::Right);
        log.write(made, booked(for_day));
        next(&log, "2024-01-10", PlanReading::AtVisit).unwrap()
    };
    let later = with("2024-01-08", "2024-02-12");
    // A booked cast may be three days late: 10 - 7.
    assert_eq!((later.due, later.until), (day("2024-02-12"), day("2024-02-15")));
    assert_eq!(later.booked, Some(day("2024-02-12")));
    let sooner = with("2024-01-08", "2024-01-17");
    assert_eq!((sooner.due, sooner.until, sooner.booked), (day("2024-01-17"), day("2024-01-29"), None));
    let after_the_visit = with("2024-01-09", "2024-02-12");
    assert_eq!(after_the_visit.until, day("2024-01-29"));
    // 12 · 31 + 28 + 91 = 491 days ahead at most: until 13 May 2025.
    assert_eq!(plan().longest_days(), 491);
    assert_eq!(with("2024-01-08", "2025-05-13").until, day("2025-05-16"));
    assert_eq!(with("2024-01-08", "2025-05-14").until, day("2024-01-29"));
}

#[test]
fn a_booking_since_the_visit_counts_now_and_not_for_what_was_planned_at_it() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-10", TenotomyBooked { side: Side::Right, planned_on: None, place: None });
    let until = |reading| next(&log, "2024-01-20", reading).map(|visit| (visit.stage(), visit.until));
    assert_eq!(until(PlanReading::AtVisit), Some((Some(LossStage::Casting), day("2024-01-29"))));
    assert_eq!(until(PlanReading::Now), Some((Some(LossStage::Tenotomy), day("2024-02-05"))));
}

#[test]
fn of_a_child_declared_lost_the_treatment_before_counts() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-06-01", LostDeclared { reason: None });
    let now = next(&log, "2024-07-01", PlanReading::Now).unwrap();
    assert_eq!((now.stage(), now.until), (Some(LossStage::Casting), day("2024-01-29")));
}

#[test]
fn an_unknown_age_delays_no_call_and_makes_nobody_lost_too_soon() {
    let reviews = plan().reviews;
    let seen = day("2028-01-10");
    assert_eq!(reviews.months(seen, None, UnknownAge::ShortestInterval), 4);
    assert_eq!(reviews.months(seen, None, UnknownAge::LongestInterval), 12);
    let mut log = Log::new();
    log.write("2024-01-01", Registration::default());
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-02-26", BraceFitted::default());
    log.write("2028-01-10", examined());
    let until = |reading| next(&log, "2028-02-01", reading).unwrap().until;
    assert_eq!(until(PlanReading::Now), day("2028-07-10")); // the six months of loss
    assert_eq!(until(PlanReading::AtVisit), day("2029-02-07")); // 10 January 2029 + 28
}

#[test]
fn the_interval_changes_on_the_birthdays() {
    let (reviews, born) = (plan().reviews, Some(day("2024-01-01")));
    let months = |last: &str| reviews.months(day(last), born, UnknownAge::ShortestInterval);
    assert_eq!([months("2026-12-31"), months("2027-01-01"), months("2027-01-02")], [4, 6, 6]);
    assert_eq!([months("2027-12-31"), months("2028-01-01"), months("2028-01-02")], [6, 12, 12]);
}
