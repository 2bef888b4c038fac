//! Rules about visits, appointments and contact.

use super::{begins, calls, one, silent, with};
use crate::story::{Story, day};
use guidance::{Protocol, Urgency};
use record::AppointmentCancelled;

fn in_casts() -> Story {
    Story::rows(
        "2024-04-12 | | registered | born 2024-04-01
         2024-04-26 | right | cast | |",
    )
}

fn at_night() -> Story {
    Story::rows(
        "2022-01-10 | | registered | born 2022-01-01
         2022-01-10 | right | cast | |
         2022-03-01 | | brace | full time
         2022-05-24 | | brace | nights and naps",
    )
}

#[test]
fn an_appointment_passed_with_nothing_recorded_calls_from_the_day_after() {
    let expected = with(&in_casts(), "2024-04-26 | | appointment | for 2024-05-03; cast");
    begins(&expected, "missed-appointment", "2024-05-04");
    let call = one(&expected, "2024-04-26", "missed-appointment");
    assert_eq!(call.urgency, Urgency::Today, "a cast is on");
    assert_eq!(call.text.words(), "The child was expected on 3 May 2024 (cast); nothing is recorded.");
}

#[test]
fn an_appointment_marked_as_missed_calls_from_its_own_day() {
    let missed = with(
        &in_casts(),
        "2024-04-26 | | appointment | for 2024-05-03; cast
         2024-05-03 | | missed | |",
    );
    let call = one(&missed, "2024-05-03", "missed-appointment");
    assert_eq!(call.from, day("2024-05-03"));
    silent(&missed, "2024-05-10", "no-next-appointment"); // one call, not two
}

#[test]
fn a_child_seen_that_day_or_later_did_not_miss() {
    let expected = with(&in_casts(), "2024-04-26 | | appointment | for 2024-05-03; cast");
    silent(&with(&expected, "2024-05-03 | right | cast | |"), "2024-05-10", "missed-appointment");
    silent(&with(&expected, "2024-05-05 | right | cast | |"), "2024-05-10", "missed-appointment");
    silent(&in_casts(), "2024-05-10", "missed-appointment"); // none was made
}

#[test]
fn a_missed_visit_is_followed_up_by_a_new_day_or_by_reaching_the_family() {
    let missed = with(
        &at_night(),
        "2024-01-10 | | appointment | for 2024-05-03; brace review
         2024-05-03 | | missed | |",
    );
    let call = one(&missed, "2024-05-03", "missed-appointment");
    assert_eq!(call.urgency, Urgency::Soon, "at night, no cast on");
    let rebooked = with(&missed, "2024-05-06 | | appointment | for 2024-05-17; brace review");
    begins(&rebooked, "missed-appointment", "2024-05-18"); // the new one, if it passes
    let reached = with(&missed, "2024-05-06 | | contact | telephone; reached");
    silent(&reached, "2024-05-20", "missed-appointment");
    begins(&reached, "no-next-appointment", "2024-05-07");
    let not_reached = with(&missed, "2024-05-06 | | contact | telephone");
    assert_eq!(one(&not_reached, "2024-05-20", "missed-appointment").from, day("2024-05-03"));
}

#[test]
fn with_a_cast_on_the_call_for_a_missed_visit_lasts_until_the_child_is_seen() {
    let rebooked = with(
        &in_casts(),
        "2024-04-26 | | appointment | for 2024-05-03; cast
         2024-05-03 | | missed | |
         2024-05-03 | | contact | telephone; reached
         2024-05-03 | | appointment | for 2024-05-10; cast",
    );
    let call = one(&rebooked, "2024-05-04", "missed-appointment");
    assert_eq!((call.from, call.urgency), (day("2024-05-03"), Urgency::Today));
    assert!(call.text.words().ends_with("the next is 10 May 2024."), "{}", call.text.words());
}

#[test]
fn an_appointment_made_after_one_passed_takes_its_place() {
    let again = with(
        &in_casts(),
        "2024-04-26 | | appointment | for 2024-05-03; cast
         2024-05-06 | | appointment | for 2024-05-08; cast",
    );
    begins(&again, "missed-appointment", "2024-05-09");
}

#[test]
fn no_next_appointment_calls_from_the_day_after_the_visit() {
    begins(&in_casts(), "no-next-appointment", "2024-04-27");
    assert_eq!(one(&in_casts(), "2024-04-26", "no-next-appointment").urgency, Urgency::ThisWeek);
    assert_eq!(one(&at_night(), "2022-05-24", "no-next-appointment").urgency, Urgency::Soon);
}

#[test]
fn a_child_never_seen_is_counted_from_the_referral() {
    let referred = Story::rows("2024-05-03 | | referred | |");
    begins(&referred, "no-next-appointment", "2024-05-04");
    let text = one(&referred, "2024-05-03", "no-next-appointment").text.words();
    assert_eq!(text, "Referred on 3 May 2024, not yet seen; no next appointment is booked.");
}

#[test]
fn an_expected_appointment_silences_it_and_one_on_the_day_of_the_visit_does_not() {
    let made = with(&in_casts(), "2024-04-26 | | appointment | for 2024-05-03; cast");
    silent(&made, "2024-06-30", "no-next-appointment");
    let past =
        Story::rows("2024-04-12 | | appointment | for 2024-04-26; cast\n 2024-04-26 | right | cast | |");
    begins(&past, "no-next-appointment", "2024-04-27");
}

#[test]
fn an_appointment_called_off_leaves_none() {
    let mut story = with(&in_casts(), "2024-04-29 | | appointment | for 2024-05-03; cast");
    let made = story.entries.last().unwrap().id;
    let off = AppointmentCancelled { for_day: day("2024-05-03"), by: None, reason: None };
    story.answer(day("2024-05-01"), off, Some(made));
    let call = one(&story, "2024-05-01", "no-next-appointment");
    // It was made on 29 April, so none was missing before that day.
    assert_eq!(call.from, day("2024-04-29"));
    assert!(
        call.text.words().contains("the appointment for 3 May 2024 was cancelled"),
        "{}",
        call.text.words()
    );
}

#[test]
fn with_neither_visit_nor_referral_there_is_no_call() {
    let story = Story::rows("2024-05-03 | | note | left a message");
    assert_eq!(calls(&story, "2024-06-01", "no-next-appointment"), Vec::new());
    assert_eq!(calls(&story, "2024-06-01", "contact-lost"), Vec::new());
    assert_eq!(calls(&story, "2024-06-01", "birth-date-missing"), Vec::new());
}

// Published definition, S1067-2516(21)00458-0: no visit within 3 weeks in casting, 4 weeks around the
// tenotomy, 6 months in bracing. A visit on the last of these days still counts.
#[test]
fn lost_in_casting_after_three_weeks() {
    // 26 April + 21 days = 17 May.
    begins(&in_casts(), "contact-lost", "2024-05-18");
    let text = one(&in_casts(), "2024-04-26", "contact-lost").text.words();
    assert_eq!(
        text,
        "Last seen on 26 April 2024: counts as lost to follow-up after 17 May 2024 (21 days in casting)."
    );
}

#[test]
fn lost_around_the_tenotomy_after_four_weeks() {
    let cut =
        with(&in_casts(), "2024-05-03 | right | tenotomy | |\n 2024-05-03 | right | cast | after tenotomy");
    begins(&cut, "contact-lost", "2024-06-01"); // 3 May + 28 days = 31 May
    let waiting = with(&in_casts(), "2024-04-26 | right | tenotomy booked | for 2024-06-28");
    begins(&waiting, "contact-lost", "2024-05-25"); // 26 April + 28 days = 24 May
}

#[test]
fn lost_in_bracing_after_six_months() {
    begins(&at_night(), "contact-lost", "2022-11-25"); // 24 May + 6 months = 24 November
    // 31 August + 6 months: February 2024 ends on the 29th.
    let short = with(&at_night(), "2023-08-31 | right | movement | dorsiflexion 15; abduction 60");
    begins(&short, "contact-lost", "2024-03-01");
}

/// A child of that day of birth in the brace at night, last seen on a day.
fn reviewed(born: &str, last: &str) -> Story {
    Story::rows(&format!(
        "2020-01-20 | | registered | born {born}
         2020-02-03 | right | cast | |
         2020-04-06 | | brace | full time
         2020-06-29 | | brace changed | hours changed; nights and naps
         {last} | right | movement | dorsiflexion 18"
    ))
}

// Handbook (from memory): every 4 months to 3 years, 6 to 4 years, then yearly; 28 days of grace (common
// practice, no source). The published six months never make a family lost that keeps to that plan.
#[test]
fn no_child_within_the_planned_review_interval_is_called_lost() {
    // Four on 10 January 2024, seen 10 January: yearly, 10 January 2025, which is also the end of
    // bracing; + 28 days = 7 February 2025. Six months would have been 10 July 2024.
    let yearly = reviewed("2020-01-10", "2024-01-10");
    begins(&yearly, "contact-lost", "2025-02-08");
    let call = one(&yearly, "2024-12-01", "contact-lost");
    assert_eq!(
        call.text.words(),
        "Last seen on 10 January 2024: counts as lost to follow-up after 7 February 2025, the last day for \
         the planned review; the published 6 months in bracing ended on 10 July 2024."
    );
    assert_eq!(call.because[0].source, Protocol::built_in().source("contact.lost_bracing_months"));
    assert!(call.because[1].fact.contains("in time until 7 February 2025"), "{:?}", call.because);
    // Three: every six months, so only the days of grace are beyond the definition.
    // 1 March 2023 + 6 months = 1 September, + 28 = 29 September.
    begins(&reviewed("2020-01-10", "2023-03-01"), "contact-lost", "2023-09-30");
}

#[test]
fn where_the_plan_is_shorter_the_published_definition_counts() {
    // Two years old: every 4 months, 5 January 2023 + 28 = 2 February; six months end on 5 March 2023.
    let young = reviewed("2020-01-10", "2022-09-05");
    begins(&young, "contact-lost", "2023-03-06");
    let text = one(&young, "2022-09-05", "contact-lost").text.words();
    assert!(text.contains("after 5 March 2023 (6 months in bracing)"), "{text}");
    // A clinic that reviews every three months from the fourth birthday on: the definition again.
    let often = Protocol::with_clinic_file("[bracing]\nreview_months_older = 3").unwrap();
    let outlook = reviewed("2020-01-10", "2024-01-10").under("2024-07-11", &often);
    let from: Vec<_> = outlook.attention.iter().filter(|call| call.rule == "contact-lost").collect();
    assert_eq!(from.iter().map(|call| call.from).collect::<Vec<_>>(), [day("2024-07-11")]);
}

/// Referred again after discharge: an appointment is needed from then on, and the time to the visit is no loss.
#[test]
fn after_a_new_referral_what_was_before_the_end_no_longer_counts() {
    let ended = with(&in_casts(), "2024-05-03 | | discharged | |");
    silent(&ended, "2024-09-01", "no-next-appointment");
    let again = with(&ended, "2024-09-02 | | referred | |");
    begins(&again, "no-next-appointment", "2024-09-03");
    let text = one(&again, "2024-09-03", "no-next-appointment").text.words();
    assert_eq!(text, "Referred again on 2 September 2024, not seen since; no next appointment is booked.");
    silent(&again, "2024-12-01", "contact-lost");
    begins(&with(&again, "2024-09-09 | right | cast | |"), "contact-lost", "2024-10-01"); // 9 + 21 = 30
}

#[test]
fn of_two_feet_the_shorter_time_counts() {
    let both = with(
        &in_casts(),
        "2024-05-03 | left | tenotomy | |\n 2024-05-03 | left | cast | after tenotomy\n 2024-05-03 | right | cast | |",
    );
    begins(&both, "contact-lost", "2024-05-25"); // right foot in casting: 3 May + 21 days = 24 May
}

// From two years of age the cast after a tenotomy stays on for 42 days, and may be late by the 7 days that 28 days
// of loss leave after the usual 21.
#[test]
fn an_older_child_in_its_longer_cast_is_not_lost_before_that_cast_is_due_off() {
    let older = Story::rows(
        "2024-04-26 | | registered | born 2021-01-10
         2024-04-26 | right | cast | |
         2024-05-03 | right | tenotomy | |
         2024-05-03 | right | cast | after tenotomy",
    );
    begins(&older, "contact-lost", "2024-06-22"); // 3 May + 42 + 7 = 21 June
    let call = one(&older, "2024-05-03", "contact-lost");
    assert_eq!(
        call.text.words(),
        "Last seen on 3 May 2024: counts as lost to follow-up after 21 June 2024, the last day for the end of \
         the tenotomy cast; the published 28 days around the tenotomy ended on 31 May 2024."
    );
    assert_eq!(
        call.because[1].fact,
        "end of the tenotomy cast planned for 14 June 2024, in time until 21 June 2024"
    );
    assert_eq!(call.because[1].source, Protocol::built_in().source("tenotomy.older_cast_days"));
}

// A clinic that casts at longer intervals than the days of loss has planned them.
#[test]
fn no_child_within_the_planned_casting_interval_is_called_lost() {
    let slow = "[casting]\ninterval_days = 14\ninterval_range_days = [10, 21]\nmax_days = 21\n\
                [contact]\nlost_casting_days = 14";
    let slow = Protocol::with_clinic_file(slow).unwrap();
    let outlook = in_casts().under("2024-05-20", &slow);
    let call = outlook.attention.iter().find(|call| call.rule == "contact-lost").unwrap();
    assert_eq!(call.from, day("2024-05-18")); // 26 April + 21 days = 17 May
    assert!(call.text.words().contains("the last day for the next cast"), "{}", call.text.words());
}

// The longest planned time is 12 months of 31 days, 28 days of grace and the 91 days of the last early review,
// 491 days: an appointment further ahead is taken for a slip of the pen.
#[test]
fn an_appointment_too_far_ahead_does_not_keep_a_child_in_casts_from_being_called_lost() {
    let booked = |day: &str| with(&in_casts(), &format!("2024-04-26 | | appointment | for {day}; cast"));
    begins(&booked("2024-06-28"), "contact-lost", "2024-07-02"); // + 10 - 7 days = 1 July
    begins(&booked("2026-06-28"), "contact-lost", "2024-05-18");
}

#[test]
fn a_telephone_call_is_no_visit_and_a_visit_begins_the_time_again() {
    let called = with(&in_casts(), "2024-05-10 | | contact | telephone; reached");
    let call = one(&called, "2024-05-10", "contact-lost");
    assert_eq!(call.from, day("2024-05-18"));
    assert_eq!(call.because[1].fact, "telephone on 10 May 2024: family reached");
    begins(&with(&in_casts(), "2024-05-10 | right | cast | |"), "contact-lost", "2024-06-01"); // 10 + 21 = 31
}

#[test]
fn no_time_is_published_before_casting_and_after_bracing() {
    let referred = Story::rows("2024-05-03 | right | score | 1 1 1 / 1 1 1");
    silent(&referred, "2026-05-03", "contact-lost");
    let after = with(&at_night(), "2024-05-03 | | brace changed | bracing stopped");
    silent(&after, "2026-05-03", "contact-lost");
}

#[test]
fn a_child_declared_lost_is_named_from_that_day() {
    let lost = with(&in_casts(), "2024-06-28 | | declared lost | |");
    let call = one(&lost, "2024-06-28", "contact-lost");
    assert_eq!((call.from, call.urgency), (day("2024-06-28"), Urgency::Soon));
}

#[test]
fn a_missing_day_of_birth_calls_from_the_referral_and_never_once_it_is_known() {
    begins(&Story::rows("2024-05-03 | | referred | |"), "birth-date-missing", "2024-05-03");
    begins(&Story::rows("2024-05-03 | right | cast | |"), "birth-date-missing", "2024-05-03");
    silent(&in_casts(), "2024-06-01", "birth-date-missing");
}
