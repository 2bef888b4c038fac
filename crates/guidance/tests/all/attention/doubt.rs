//! Rules about what the record leaves in doubt, and about children and feet that would slip away.

use super::{begins, calls, one, silent, with};
use crate::story::Story;
use guidance::Urgency;
use record::Side;

/// A right clubfoot in casts.
fn casts() -> Story {
    Story::rows(
        "2024-04-20 | | registered | born 2024-04-10; gestation 40 w
         2024-04-20 | right | diagnosis | idiopathic
         2024-04-26 | right | score | 1 1 1 / 1 1 1
         2024-04-26 | right | cast | |",
    )
}

#[test]
fn an_entry_on_a_foot_that_is_not_on_record_calls_from_its_day() {
    let booked = with(&casts(), "2024-05-03 | left | tenotomy booked | for 2024-05-10");
    begins(&booked, "record-in-doubt", "2024-05-03");
    let call = one(&booked, "2024-05-03", "record-in-doubt");
    assert_eq!((call.side, call.urgency), (Some(Side::Left), Urgency::ThisWeek));
    let confirmed = with(&booked, "2024-05-03 | | confirmed | seen by a colleague");
    silent(&confirmed, "2024-05-03", "record-in-doubt");
    let diagnosed = with(&booked, "2024-05-04 | left | diagnosis | idiopathic");
    silent(&diagnosed, "2024-05-04", "record-in-doubt");
    silent(&casts(), "2024-05-03", "record-in-doubt");
}

#[test]
fn findings_that_disagree_call_from_their_day() {
    let odd = with(&casts(), "2024-05-03 | right | score | 0 0 0 / 1 ½ 1; dorsiflexion 20");
    begins(&odd, "findings-disagree", "2024-05-03");
    assert_eq!(one(&odd, "2024-05-03", "findings-disagree").urgency, Urgency::ThisWeek);
    silent(&odd, "2024-05-03", "ready-not-booked");
    // Without a dorsiflexion there is nothing to disagree with.
    let unmeasured = with(&casts(), "2024-05-03 | right | score | 0 0 0 / 1 ½ 1");
    silent(&unmeasured, "2024-05-03", "findings-disagree");
    let agreed = with(
        &odd,
        "2024-05-03 | right | cast | |\n 2024-05-10 | right | score | 0 0 0 / 1 ½ 1; dorsiflexion 0",
    );
    silent(&agreed, "2024-05-10", "findings-disagree");
}

/// The same in the brace, where no step stops.
#[test]
fn findings_that_disagree_call_in_the_brace_as_well() {
    let braced = with(&casts(), "2024-06-01 | | brace | full time");
    let odd = with(&braced, "2024-06-08 | right | score | 0 0 0 / 1 ½ 1; dorsiflexion 20");
    begins(&odd, "findings-disagree", "2024-06-08");
}

fn cut() -> Story {
    with(
        &casts(),
        "2024-05-10 | right | tenotomy | |
         2024-05-10 | right | cast | after tenotomy
         2024-05-31 | right | cast off | as planned",
    )
}

#[test]
fn dorsiflexion_short_after_the_tenotomy_calls_from_the_day_it_was_measured() {
    let short = with(&cut(), "2024-05-31 | right | movement | dorsiflexion 5");
    begins(&short, "short-after-tenotomy", "2024-05-31");
    // Braced the same day all the same: still a call.
    let braced = with(&short, "2024-05-31 | | brace | full time");
    begins(&braced, "short-after-tenotomy", "2024-05-31");
    // A later measurement answers it.
    let later = with(&braced, "2024-06-07 | right | movement | dorsiflexion 15");
    silent(&later, "2024-06-07", "short-after-tenotomy");
    let stretched = with(&short, "2024-05-31 | right | cast | correction");
    silent(&stretched, "2024-05-31", "short-after-tenotomy");
    let enough = with(&cut(), "2024-05-31 | right | movement | dorsiflexion 10");
    silent(&enough, "2024-05-31", "short-after-tenotomy");
    silent(&cut(), "2024-05-31", "short-after-tenotomy"); // not measured
}

#[test]
fn a_tenotomy_with_no_cast_since_calls_the_same_day() {
    let bare = with(&casts(), "2024-05-10 | right | tenotomy | |");
    begins(&bare, "no-cast-after-tenotomy", "2024-05-10");
    assert_eq!(one(&bare, "2024-05-10", "no-cast-after-tenotomy").urgency, Urgency::Today);
    for later in
        ["2024-05-10 | right | cast | |", "2024-05-24 | right | cast | |", "2024-05-31 | | brace | full time"]
    {
        silent(&with(&bare, later), "2024-06-01", "no-cast-after-tenotomy");
    }
}

#[test]
fn full_time_ended_early_calls_from_the_change() {
    let braced = with(&casts(), "2024-06-01 | | brace | full time");
    // 34 of 84 days.
    let early = with(&braced, "2024-07-05 | | brace changed | hours changed; nights and naps");
    begins(&early, "full-time-ended-early", "2024-07-05");
    assert!(one(&early, "2024-07-05", "full-time-ended-early").text.words().contains("34 of 84 days"));
    // A review may be 3 days sooner than at 12 weeks: 1 June + 84 − 3 = 21 August.
    let day = |on: &str| with(&braced, &format!("{on} | | brace changed | hours changed; nights and naps"));
    begins(&day("2024-08-20"), "full-time-ended-early", "2024-08-20");
    silent(&day("2024-08-21"), "2024-08-21", "full-time-ended-early");
    // Taken up again, or seen and left as it was.
    let again = with(&early, "2024-07-06 | | brace changed | hours changed; full time");
    silent(&again, "2024-07-06", "full-time-ended-early");
    let seen = with(&early, "2024-07-12 | right | movement | dorsiflexion 20");
    silent(&seen, "2024-07-12", "full-time-ended-early");
    // At night from the beginning: nothing was ended.
    let nights = with(&casts(), "2024-06-01 | | brace | nights and naps");
    silent(&nights, "2024-07-05", "full-time-ended-early");
}

#[test]
fn a_bare_attendance_calls_from_the_day_after_and_silences_nothing() {
    let came = with(&casts(), "2024-05-03 | | attended | |");
    begins(&came, "attended-unrecorded", "2024-05-04");
    assert_eq!(one(&came, "2024-05-04", "attended-unrecorded").urgency, Urgency::ThisWeek, "a cast is on");
    // The cast of 26 April is on for too long from 11 May (26 + 14 + 1), attendance or not.
    let before = calls(&casts(), "2024-05-11", "cast-on-too-long");
    assert_eq!(before, calls(&came, "2024-05-11", "cast-on-too-long"));
    assert_eq!(before.len(), 1);
    let recorded = with(&came, "2024-05-03 | right | cast | |");
    silent(&recorded, "2024-05-04", "attended-unrecorded");
    let noted = with(&came, "2024-05-03 | | note | cast well, toes pink");
    silent(&noted, "2024-05-04", "attended-unrecorded");
}

#[test]
fn one_foot_treated_and_the_other_not_calls_after_the_first_cast_would_have_been_due() {
    let both = Story::rows(
        "2024-05-03 | both | score | 1 1 1 / 1 1 1
         2024-05-03 | right | cast | |",
    );
    begins(&both, "foot-untreated", "2024-05-11"); // 3 + 7 + 1
    assert_eq!(one(&both, "2024-05-11", "foot-untreated").side, Some(Side::Left));
    silent(&with(&both, "2024-05-10 | left | cast | |"), "2024-05-11", "foot-untreated");
    silent(&with(&both, "2024-05-10 | left | diagnosis | positional"), "2024-05-11", "foot-untreated");
    silent(&with(&both, "2024-05-10 | left | score | 0 0 0 / 0 0 0"), "2024-05-11", "foot-untreated");
    silent(&casts(), "2024-05-11", "foot-untreated"); // one clubfoot only
}

#[test]
fn a_long_wait_for_the_tenotomy_calls_after_the_protocols_days() {
    let ready = with(
        &casts(),
        "2024-05-03 | right | score | 0 0 0 / 1 1 1
         2024-05-03 | right | cast | |",
    );
    let booked =
        |planned: &str| with(&ready, &format!("2024-05-03 | right | tenotomy booked | for {planned}"));
    begins(&booked("2024-06-07"), "tenotomy-waits", "2024-05-11"); // 3 + 7 + 1
    silent(&booked("2024-05-10"), "2024-05-11", "tenotomy-waits"); // day 7 is in time
    begins(&booked("2024-05-11"), "tenotomy-waits", "2024-05-11");
    let done = with(&booked("2024-06-07"), "2024-05-10 | right | tenotomy | |");
    silent(&done, "2024-05-11", "tenotomy-waits");
    silent(&ready, "2024-05-20", "tenotomy-waits"); // not booked: another rule
    // Not ready by a score: the wait counts from the booking.
    let unscored = with(&casts(), "2024-05-06 | right | tenotomy booked | for 2024-06-07");
    begins(&unscored, "tenotomy-waits", "2024-05-14"); // 6 + 7 + 1
}

#[test]
fn casts_in_a_row_without_a_score_call_from_the_second() {
    let one_cast = with(&casts(), "2024-05-03 | right | cast | |");
    silent(&one_cast, "2024-05-03", "casts-unscored");
    let two = with(&one_cast, "2024-05-10 | right | cast | |");
    begins(&two, "casts-unscored", "2024-05-10");
    let scored = with(&two, "2024-05-10 | right | score | 1 1 1 / 1 1 1");
    silent(&scored, "2024-05-10", "casts-unscored");
    let measured = with(&two, "2024-05-10 | right | movement | abduction 40");
    silent(&measured, "2024-05-10", "casts-unscored");
    let holding = with(&one_cast, "2024-05-10 | right | cast | holding");
    silent(&holding, "2024-05-10", "casts-unscored");
}

#[test]
fn a_child_referred_and_not_seen_grows_in_urgency_with_age() {
    let referred = Story::rows("2024-04-01 | | registered | born 2024-04-01; gestation 40 w");
    let found = calls(&referred, "2024-04-01", "first-visit-overdue");
    let days: Vec<_> = found.iter().map(|call| (call.from.to_string(), call.urgency)).collect();
    // Treatment starts at 14 to 42 days: 15 April and 14 May (day 43).
    assert_eq!(
        days,
        [("2024-04-15".to_owned(), Urgency::Soon), ("2024-05-14".to_owned(), Urgency::ThisWeek)]
    );
    // Late from the beginning: a child of 60 days is called within the week of the referral (1 June + 7 + 1).
    let late = Story::rows("2024-06-01 | | registered | born 2024-04-01; gestation 40 w");
    begins(&late, "first-visit-overdue", "2024-06-09");
    assert_eq!(one(&late, "2024-06-09", "first-visit-overdue").urgency, Urgency::ThisWeek);
    // Born at 34 weeks: term is 6 weeks later, 13 May; the start is over 28 days after it.
    let early = Story::rows("2024-04-01 | | registered | born 2024-04-01; gestation 34 w");
    let first = calls(&early, "2024-04-01", "first-visit-overdue").remove(0);
    assert_eq!(first.from.to_string(), "2024-05-13");
    // The day of birth unknown: no stage is guessed, the call comes after the days for a late child.
    let unknown = Story::rows("2024-04-01 | | registered | name Isa");
    begins(&unknown, "first-visit-overdue", "2024-04-09"); // 1 + 7 + 1
    silent(&casts(), "2024-04-26", "first-visit-overdue");
}

#[test]
fn an_appointment_in_time_puts_the_first_visit_off_until_it_has_passed() {
    let referred = Story::rows(
        "2024-04-01 | | registered | born 2024-04-01; gestation 40 w
         2024-04-01 | | appointment | for 2024-04-22; first visit",
    );
    let first = calls(&referred, "2024-04-01", "first-visit-overdue").remove(0);
    assert_eq!(first.from.to_string(), "2024-04-23");
}

/// Children for whom the rules of this file have something to say.
pub fn much_to_say() -> Vec<Story> {
    let rows = [
        "2024-04-26 | right | score | 0 0 0 / 1 ½ 1; dorsiflexion 20\n 2024-04-26 | right | cast | |
         2024-05-03 | right | cast | |\n 2024-05-10 | right | cast | |\n 2024-05-13 | | attended | |",
        "2024-05-03 | left | tenotomy booked | for 2024-05-10",
        "2024-05-03 | right | tenotomy booked | for 2024-06-07",
        "2024-05-03 | right | tenotomy | |",
        "2024-05-03 | left | diagnosis | idiopathic\n 2024-05-03 | right | tenotomy | |
         2024-05-03 | right | cast | |\n 2024-05-24 | right | cast off | as planned
         2024-05-24 | right | movement | dorsiflexion 0",
    ];
    let mut stories: Vec<Story> = rows.iter().map(|rows| with(&casts(), rows)).collect();
    stories.push(Story::rows(
        "2024-01-05 | right | cast | |
         2024-03-01 | | brace | full time
         2024-04-04 | | brace changed | hours changed; nights and naps",
    ));
    stories.push(Story::rows("2024-04-01 | | registered | born 2024-04-01"));
    stories
}
