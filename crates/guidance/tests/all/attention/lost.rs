//! The lost list.

use super::{calls, found, listed, with};
use crate::story::{Story, day};
use guidance::{Protocol, attention::CallPlace};

/// Last seen in casts on 26 April 2024 with the cast taken off: lost after 17 May (21 days), from 18 May.
fn in_casts() -> Story {
    Story::rows(
        "2024-04-12 | | registered | born 2024-04-01
         2024-04-26 | right | cast | |
         2024-04-26 | right | cast off | as planned",
    )
}

/// The day from which the child is on the lost list, as known at the end of the year.
fn lost_from(story: &Story) -> Option<String> {
    let lost =
        calls(story, "2024-12-31", "contact-lost").into_iter().find(|call| call.place == CallPlace::Lost);
    lost.map(|call| call.from.to_string())
}

// 3 weeks in casting: published definition, S1067-2516(21)00458-0.
#[test]
fn only_the_protocols_rule_and_an_attempt_together_put_a_child_on_the_list() {
    for (words, rows, expected) in [
        ("no attempt", "", None),
        ("an attempt before the last visit", "2024-04-20 | | contact | telephone", None),
        ("one before the time has passed", "2024-05-10 | | contact | telephone", Some("2024-05-18")),
        ("one on the day it has passed", "2024-05-18 | | contact | telephone", Some("2024-05-18")),
        ("one after it", "2024-06-03 | | contact | letter", Some("2024-06-03")),
        ("reached", "2024-06-03 | | contact | telephone; reached", None),
        (
            "reached, then not",
            "2024-05-20 | | contact | telephone; reached\n2024-06-03 | | contact | letter",
            Some("2024-06-03"),
        ),
        (
            "not reached, then reached",
            "2024-05-20 | | contact | letter\n2024-06-03 | | contact | telephone; reached",
            None,
        ),
        ("seen since", "2024-06-03 | | contact | letter\n2024-06-10 | right | cast | |", None),
        ("discharged", "2024-06-03 | | contact | letter\n2024-06-10 | | discharged | |", None),
        ("died", "2024-06-03 | | contact | letter\n2024-06-10 | | died | |", None),
        ("transferred", "2024-06-03 | | contact | letter\n2024-06-10 | | transferred | |", None),
        (
            "declared lost",
            "2024-06-03 | | contact | letter\n2024-06-10 | | declared lost | |",
            Some("2024-06-10"),
        ),
        ("declared lost without an attempt", "2024-06-10 | | declared lost | |", None),
    ] {
        assert_eq!(lost_from(&with(&in_casts(), rows)).as_deref(), expected, "{words}");
    }
}

#[test]
fn the_calls_of_the_child_end_on_that_day_and_are_shown_on_the_lost_list() {
    let lost = with(&in_casts(), "2024-06-03 | | contact | letter");
    for (as_of, in_list) in [("2024-06-02", true), ("2024-06-03", false), ("2024-06-04", false)] {
        let story = if as_of < "2024-06-03" { in_casts() } else { lost.clone() };
        assert_eq!(!listed(&story, as_of, "foot-not-held").is_empty(), in_list, "{as_of}");
    }
    let others = calls(&lost, "2024-06-03", "foot-not-held");
    assert!(
        others.iter().any(|call| call.place == CallPlace::Lost && call.applies(day("2024-06-03"))),
        "{others:?}"
    );
}

#[test]
fn a_call_of_the_same_day_stays_in_the_list_as_well() {
    let cast_on = Story::rows(
        "2024-04-12 | | registered | born 2024-04-01
         2024-04-26 | right | cast | |
         2024-06-03 | | contact | letter",
    );
    assert!(lost_from(&cast_on).is_some());
    assert_eq!(listed(&cast_on, "2024-06-10", "cast-on-too-long").len(), 1);
    // A visit missed with a cast on is a call of the same day, one missed without is not.
    let missed = "2024-04-26 | | appointment | for 2024-05-03; cast\n2024-05-03 | | missed | |";
    assert_eq!(listed(&with(&cast_on, missed), "2024-06-10", "missed-appointment").len(), 1);
    let off = with(&with(&in_casts(), "2024-06-03 | | contact | letter"), missed);
    assert!(listed(&off, "2024-06-10", "missed-appointment").is_empty());
}

#[test]
fn the_routine_lists_the_attempts_and_the_next_one() {
    // Telephone, message, letter, through somebody else, home visit; every 28 days (common practice, no source).
    let text = |rows: &str| {
        let story = with(&in_casts(), rows);
        let calls = found(&story, "2024-12-31", &Protocol::built_in());
        calls.into_iter().find(|call| call.place == CallPlace::Lost && call.rule == "contact-lost").unwrap()
    };
    let once = text("2024-06-03 | | contact | telephone");
    assert!(
        once.text.words().ends_with("Tried once. Next: message, from 1 July 2024."),
        "{}",
        once.text.words()
    );
    let twice = text("2024-06-03 | | contact | letter\n2024-06-10 | | contact | telephone");
    assert!(
        twice.text.words().ends_with("Tried 2 times. Next: message, from 8 July 2024."),
        "{}",
        twice.text.words()
    );
    let facts: Vec<&str> = twice.because.iter().map(|reason| reason.fact.as_ref()).collect();
    assert!(facts.contains(&"letter on 3 June 2024: family not reached"), "{facts:?}");
    let all = "2024-06-03 | | contact | telephone\n2024-06-04 | | contact | message\n2024-06-05 | | contact | letter
        2024-06-06 | | contact | through somebody else\n2024-06-07 | | contact | home visit";
    assert!(
        text(all).text.words().contains("Every way was tried: from 5 July 2024"),
        "{}",
        text(all).text.words()
    );
}

#[test]
fn a_family_with_an_appointment_ahead_is_waited_for_in_the_brace() {
    let braced = Story::rows(
        "2022-01-10 | | registered | born 2022-01-01
         2022-01-10 | right | cast | |
         2022-03-01 | | brace | full time
         2022-05-24 | right | movement | dorsiflexion 20
         2022-05-24 | | brace changed | hours changed; nights and naps",
    );
    // 24 May + 6 months = 24 November; but there is an appointment on 15 December.
    let from = |story: &Story| calls(story, "2022-12-31", "contact-lost").first().map(|call| call.from);
    assert_eq!(from(&braced), Some(day("2022-11-25")));
    let booked = with(&braced, "2022-11-20 | | appointment | for 2022-12-15; brace review");
    assert_eq!(from(&booked), Some(day("2022-12-16")));
    let sooner = with(&braced, "2022-11-20 | | appointment | for 2022-11-24; brace review");
    assert_eq!(from(&sooner), Some(day("2022-11-25")));
}
