//! What became of each appointment.

use crate::child::{Log, day, scored};
use course::AppointmentState;
use record::*;

fn made(for_day: &str) -> AppointmentMade {
    AppointmentMade { for_day: day(for_day), time: None, purpose: Some(Purpose::Cast) }
}

fn states(log: &Log) -> Vec<(String, AppointmentState)> {
    log.course().appointments.iter().map(|kept| (kept.for_day.to_string(), kept.state)).collect()
}

fn one(log: &Log) -> AppointmentState {
    let states = states(log);
    assert_eq!(states.len(), 1, "{states:?}");
    states[0].1
}

#[test]
fn expected_until_somebody_writes_otherwise() {
    let mut log = Log::registered();
    log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-06-01", Note { text: "months later".to_owned() });
    assert_eq!(one(&log), AppointmentState::Expected);
    let next = |on| log.course().next_appointment(day(on)).map(|kept| kept.for_day);
    assert_eq!((next("2024-01-15"), next("2024-01-16")), (Some(day("2024-01-15")), None));
}

#[test]
fn here_with_only_an_arrival_and_seen_with_a_clinical_entry() {
    let mut log = Log::registered();
    log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-15", AppointmentAttended::default());
    assert_eq!(one(&log), AppointmentState::Here);
    log.write("2024-01-15", scored(Side::Right, [1; 6]));
    assert_eq!(one(&log), AppointmentState::Seen);
}

#[test]
fn a_cast_on_the_day_proves_attendance_without_an_arrival_entry() {
    let mut log = Log::registered();
    log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-15", AppointmentMissed::default());
    assert_eq!(one(&log), AppointmentState::Missed);
    log.write("2024-01-15", CastApplied::on(Side::Right));
    assert_eq!(one(&log), AppointmentState::Seen, "came late after all");
}

#[test]
fn an_entry_that_names_its_appointment_means_that_one_only() {
    let mut log = Log::registered();
    let morning = log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-08", made("2024-01-15"));
    log.answer("2024-01-15", morning, AppointmentMissed::default());
    let states: Vec<_> = states(&log).into_iter().map(|(_, state)| state).collect();
    assert_eq!(states, [AppointmentState::Missed, AppointmentState::Expected]);
}

#[test]
fn coming_on_another_day_in_answer_to_an_appointment_keeps_it() {
    let mut log = Log::registered();
    let appointment = log.write("2024-01-08", made("2024-01-15"));
    log.answer("2024-01-16", appointment, AppointmentAttended::default());
    log.write("2024-01-16", CastApplied::on(Side::Right));
    assert_eq!(states(&log), [("2024-01-15".to_owned(), AppointmentState::Seen)]);
}

#[test]
fn called_off_by_name_or_by_day() {
    let mut log = Log::registered();
    let cancelled = AppointmentCancelled { for_day: day("2024-01-15"), by: None, reason: None };
    log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-10", cancelled);
    assert_eq!(one(&log), AppointmentState::Cancelled);
}

#[test]
fn an_appointment_made_in_answer_to_another_replaces_it() {
    let mut log = Log::registered();
    let first = log.write("2024-01-08", made("2024-01-15"));
    log.answer("2024-01-10", first, made("2024-01-17"));
    log.write("2024-01-10", made("2024-01-24"));
    assert_eq!(
        states(&log).into_iter().map(|(_, state)| state).collect::<Vec<_>>(),
        [AppointmentState::Cancelled, AppointmentState::Expected, AppointmentState::Expected]
    );
}

#[test]
fn rebooking_a_missed_appointment_leaves_it_missed() {
    let mut log = Log::registered();
    let first = log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-15", AppointmentMissed::default());
    log.answer("2024-01-16", first, made("2024-01-17"));
    assert_eq!(states(&log)[0].1, AppointmentState::Missed);
}

#[test]
fn missed_or_attended_without_an_appointment_adds_one() {
    let mut log = Log::registered();
    let missed = log.write("2024-01-15", AppointmentMissed::default());
    log.write("2024-01-22", AppointmentAttended::default());
    let course = log.course();
    assert_eq!((course.appointments[0].entry, course.appointments[0].made_on), (missed, None));
    assert_eq!(
        states(&log),
        [
            ("2024-01-15".to_owned(), AppointmentState::Missed),
            ("2024-01-22".to_owned(), AppointmentState::Here)
        ]
    );
}

/// The mark that is taken back is the last one: after "did not come" and "came after all" the child is missed
/// again.
#[test]
fn a_mark_is_named_and_taken_back_step_by_step() {
    let mut log = Log::registered();
    let made = log.write("2024-01-08", made("2024-01-15"));
    let marked = |log: &Log| {
        let course = log.course();
        (course.appointments[0].state, course.appointments[0].marked_by)
    };
    assert_eq!(marked(&log), (AppointmentState::Expected, None));
    let missed = log.answer("2024-01-15", made, AppointmentMissed::default());
    assert_eq!(marked(&log), (AppointmentState::Missed, Some(missed)));
    let came = log.answer("2024-01-15", made, AppointmentAttended::default());
    assert_eq!(marked(&log), (AppointmentState::Here, Some(came)));
    log.write("2024-01-15", Withdrawal { entry: came, reason: "the brother".to_owned() });
    assert_eq!(marked(&log), (AppointmentState::Missed, Some(missed)));
    log.write("2024-01-15", Withdrawal { entry: missed, reason: "tapped by mistake".to_owned() });
    assert_eq!(marked(&log), (AppointmentState::Expected, None));
}

/// A child who was examined is seen: that is no mark.
#[test]
fn a_child_who_was_seen_has_no_mark_to_take_back() {
    let mut log = Log::registered();
    log.write("2024-01-08", made("2024-01-15"));
    log.write("2024-01-15", AppointmentAttended::default());
    log.write("2024-01-15", scored(Side::Right, [1; 6]));
    let course = log.course();
    assert_eq!(
        (course.appointments[0].state, course.appointments[0].marked_by),
        (AppointmentState::Seen, None)
    );
}

/// Booked on 8 January without a day: the appointment for a tenotomy gives the day, any other does not.
#[test]
fn a_tenotomy_booked_without_a_day_has_that_of_its_appointment() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-08", TenotomyBooked { side: Side::Right, planned_on: None, place: None });
    log.write("2024-01-08", made("2024-01-10"));
    let day_of = |log: &Log| {
        let course = log.course();
        let plan = course.feet[0].tenotomy_plan.unwrap();
        course.tenotomy_day(&plan)
    };
    assert_eq!(day_of(&log), None);
    let purpose = Some(Purpose::Tenotomy);
    log.write("2024-01-08", AppointmentMade { for_day: day("2024-01-17"), time: None, purpose });
    assert_eq!(day_of(&log), Some(day("2024-01-17")));
    log.write("2024-01-09", AppointmentCancelled { for_day: day("2024-01-17"), by: None, reason: None });
    assert_eq!(day_of(&log), None, "a cancelled appointment gives none");
}
