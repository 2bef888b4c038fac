//! Rules around the tenotomy, and two feet apart.

use super::{begins, found, one, silent, with};
use crate::story::Story;
use guidance::{Protocol, Urgency};
use record::Side;

/// Seen on 3 May 2024 with the signs given, after one cast.
fn scored(signs: &str) -> Story {
    Story::rows(&format!(
        "2024-04-12 | | registered | born 2024-04-01
         2024-04-26 | right | cast | |
         2024-05-03 | right | score | {signs}
         2024-05-03 | right | cast | |"
    ))
}

#[test]
fn a_foot_ready_by_the_clinics_rule_and_not_booked_calls_from_the_day_it_was_scored() {
    // Hindfoot 2, midfoot 0.5, head of talus covered.
    let ready = scored("½ 0 0 / ½ 1 ½");
    begins(&ready, "ready-not-booked", "2024-05-03");
    let call = one(&ready, "2024-05-03", "ready-not-booked");
    assert_eq!((call.side, call.urgency), (Some(Side::Right), Urgency::ThisWeek));
}

#[test]
fn readiness_is_that_of_the_clinics_own_rule() {
    // Midfoot 0.5: ready by the default rule, not by the rule that requires midfoot 0 (Mengesha).
    let ready = scored("½ 0 0 / ½ 1 ½");
    let protocol = Protocol::with_clinic_file("[tenotomy]\nreadiness_rule = \"midfoot-zero\"").unwrap();
    assert!(found(&ready, "2024-05-03", &protocol).iter().all(|call| call.rule != "ready-not-booked"));
    let ready = scored("0 0 0 / ½ 1 ½");
    assert!(found(&ready, "2024-05-03", &protocol).iter().any(|call| call.rule == "ready-not-booked"));
}

#[test]
fn a_foot_not_ready_or_not_fully_scored_is_silent() {
    silent(&scored("1 ½ ½ / 1 1 1"), "2024-05-03", "ready-not-booked");
    silent(&scored("½ 0 – / ½ 1 ½"), "2024-05-03", "ready-not-booked"); // head of talus not assessed
}

#[test]
fn a_tenotomy_booked_by_entry_or_appointment_or_done_silences_it() {
    let ready = scored("½ 0 0 / ½ 1 ½");
    for row in [
        "2024-05-03 | right | tenotomy booked | for 2024-05-10",
        "2024-05-03 | | appointment | for 2024-05-10; tenotomy",
        "2024-05-03 | right | tenotomy | |",
    ] {
        silent(&with(&ready, row), "2024-05-03", "ready-not-booked");
    }
    let other = with(&ready, "2024-05-03 | left | tenotomy booked | for 2024-05-10");
    assert_eq!(one(&other, "2024-05-03", "ready-not-booked").side, Some(Side::Right), "the other side");
}

#[test]
fn a_booked_day_that_passes_calls_from_the_day_after() {
    let booked = with(&scored("½ 0 0 / ½ 1 ½"), "2024-05-03 | right | tenotomy booked | for 2024-05-10");
    begins(&booked, "tenotomy-day-passed", "2024-05-11");
    silent(&with(&booked, "2024-05-10 | right | tenotomy | |"), "2024-05-11", "tenotomy-day-passed");
    let again = with(&booked, "2024-05-09 | right | tenotomy booked | for 2024-05-17");
    begins(&again, "tenotomy-day-passed", "2024-05-18");
    silent(&scored("½ 0 0 / ½ 1 ½"), "2024-06-01", "tenotomy-day-passed"); // none is booked
}

#[test]
fn a_tenotomy_booked_without_a_day_calls_after_the_week_within_which_it_is_due() {
    let booked = with(&scored("½ 0 0 / ½ 1 ½"), "2024-05-03 | right | tenotomy booked | |");
    begins(&booked, "tenotomy-day-passed", "2024-05-11"); // 3 + 7 + 1
}

/// The booking names no day and the appointment for the tenotomy does: that is the day, and none is asked for.
#[test]
fn the_appointment_for_a_tenotomy_is_its_day() {
    let booked = with(&scored("½ 0 0 / ½ 1 ½"), "2024-05-03 | right | tenotomy booked | |");
    let words = |story: &Story| {
        let outlook = story.on("2024-05-10");
        let step = outlook.foot_step(Side::Right).unwrap();
        (step.words.to_string(), step.window.map(|window| window.to.to_string()))
    };
    // Without a day: due within the 7 days after the booking.
    assert_eq!(words(&booked), ("Tenotomy: choose a date".into(), Some("2024-05-10".into())));
    let other = with(&booked, "2024-05-03 | | appointment | for 2024-05-11; cast");
    assert_eq!(words(&other).0, "Tenotomy: choose a date", "an appointment for something else is no date");
    let meant = with(&booked, "2024-05-03 | | appointment | for 2024-05-12; tenotomy");
    assert_eq!(words(&meant), ("Tenotomy as booked for 12 May 2024".into(), Some("2024-05-12".into())));
    begins(&meant, "tenotomy-day-passed", "2024-05-13");
}

/// A call is settled by telephone where the family has to come; what only an examination settles is not.
#[test]
fn only_calls_about_coming_are_settled_by_telephone() {
    let keys: Vec<&str> = guidance::attention::by_telephone().map(|rule| rule.key).collect();
    for key in ["missed-appointment", "no-next-appointment", "review-overdue", "cast-on-too-long"] {
        assert!(keys.contains(&key), "{key}: {keys:?}");
    }
    for key in ["red-flag", "score-worse", "brace-settings", "record-in-doubt"] {
        assert!(!keys.contains(&key), "{key}: {keys:?}");
    }
}

#[test]
fn one_foot_in_casts_with_the_other_at_the_stage_of_the_brace_calls() {
    let braced = Story::rows("2024-01-05 | both | cast | |\n 2024-03-01 | | brace | full time");
    let cast = with(&braced, "2024-05-03 | right | cast | |");
    begins(&cast, "one-foot-behind", "2024-05-03");
    let call = one(&cast, "2024-05-03", "one-foot-behind");
    assert_eq!(call.side, Some(Side::Right));
    assert_eq!(
        call.text.words(),
        "Right foot: in correction since 3 May 2024, while the left foot is in full-time bracing."
    );
    let relapse = with(&braced, "2024-05-03 | left | relapse | grade IA");
    begins(&relapse, "one-foot-behind", "2024-05-03");
    silent(&with(&cast, "2024-05-24 | | brace | full time"), "2024-05-24", "one-foot-behind");
}

#[test]
fn one_affected_foot_or_two_together_are_silent() {
    let alone = Story::rows("2024-03-08 | right | cast | |\n 2024-05-03 | | brace | full time");
    silent(&alone, "2024-05-10", "one-foot-behind");
    let both = Story::rows("2024-03-08 | both | cast | |\n 2024-05-03 | | brace | full time");
    silent(&both, "2024-05-10", "one-foot-behind");
    let casts = Story::rows("2024-03-08 | both | cast | |");
    silent(&casts, "2024-05-10", "one-foot-behind");
}
