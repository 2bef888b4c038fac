//! When calls end: answered, or at the end of treatment.

use super::{begins, expect_listed, found, one, silent, with};
use crate::story::{Story, day};
use guidance::{
    Protocol, Urgency,
    attention::{CallPlace, RULES, ending::ABOUT_THE_BRACE},
};
use record::{Brace, BraceChange, BraceChanged, Helped, Problem, ProblemKind, Side};

/// Born on 1 March 2024, brace with boots of 105 mm fitted on 3 May 2024.
fn fitted() -> Story {
    Story::rows(
        "2024-03-08 | | registered | born 2024-03-01
         2024-03-08 | right | cast | |
         2024-05-03 | | brace | full time; boots 105",
    )
}

fn review(day: &str) -> String {
    format!("{day} | right | movement | dorsiflexion 20; abduction 70\n")
}

fn resized(story: &Story, on: &str, boots: &[Side], bar_mm: Option<u16>) -> Story {
    let mut story = story.clone();
    let boot = |&side: &Side| record::Boot { length_mm: Some(120), ..record::Boot::of(side) };
    let brace = Brace { boots: boots.iter().map(boot).collect(), bar_mm, label: None, ..Brace::default() };
    let brace = Some(brace).filter(|_| !boots.is_empty() || bar_mm.is_some());
    let change = BraceChange::Size;
    story.add(day(on), BraceChanged { change, brace, regime: None, hours_prescribed: None, note: None });
    story
}

// Fever is over or was treated once the child was examined; attendance alone is not enough (common practice, no
// source).
#[test]
fn a_warning_sign_is_answered_by_an_examination_that_shows_it() {
    let fever = with(&fitted(), "2024-06-03 | right | problem | fever or signs of infection");
    let later = "2024-06-10";
    expect_listed(
        "red-flag",
        &fever,
        &[
            ("nothing since", "", later, true),
            ("attended and nothing recorded", "2024-06-05 | | attended | |", later, true),
            (
                "examined on the day of the entry",
                "2024-06-03 | right | movement | dorsiflexion 20",
                later,
                true,
            ),
            ("examined the day after", "2024-06-04 | right | movement | dorsiflexion 20", later, false),
            ("a telephone call", "2024-06-04 | | contact | telephone; reached", later, true),
            (
                "recorded as settled",
                "2024-06-04 | right | problem | fever or signs of infection; settled",
                later,
                false,
            ),
        ],
    );
    let sore = with(&fitted(), "2024-06-03 | right | problem | skin sore or broken");
    expect_listed(
        "red-flag",
        &sore,
        &[
            ("nothing since", "", later, true),
            ("the bare foot examined", "2024-06-05 | right | movement | dorsiflexion 20", later, false),
        ],
    );
    let examined = with(&sore, "2024-06-05 | right | movement | dorsiflexion 20");
    assert_eq!(one(&examined, later, "red-flag").place, CallPlace::Visit, "it stays for the next visit");
}

#[test]
fn skin_under_a_cast_that_stays_on_was_not_examined() {
    let cast = Story::rows(
        "2024-03-08 | right | cast | |
         2024-03-09 | right | problem | skin sore or broken",
    );
    expect_listed(
        "red-flag",
        &cast,
        &[
            (
                "a score on the day after, the cast still on",
                "2024-03-10 | right | score | 1 1 1 / 1 1 1",
                "2024-03-11",
                true,
            ),
            ("the cast changed", "2024-03-10 | right | cast | |", "2024-03-11", false),
            ("taken off by the clinic", "2024-03-10 | right | cast off | as planned", "2024-03-11", false),
        ],
    );
    let other = with(&cast, "2024-03-10 | left | cast | |");
    expect_listed("red-flag", &other, &[("the other foot was cast", "", "2024-03-11", true)]);
}

// New boots answer boots that were outgrown, a repair a broken brace, three reviews in the brace without a
// problem anything (common practice, no source).
#[test]
fn a_brace_problem_is_answered_by_what_was_done() {
    let outgrown = with(&fitted(), "2024-09-03 | right | problem | boots or bar outgrown");
    let later = "2024-12-31";
    expect_listed(
        "brace-problem",
        &outgrown,
        &[
            ("nothing since", "", later, true),
            ("a new brace", "2024-09-10 | | brace | nights and naps; boots 120", later, false),
            ("a new brace the same day", "2024-09-03 | | brace | nights and naps; boots 120", later, false),
            ("hours changed", "2024-09-10 | | brace changed | hours changed; nights and naps", later, true),
            ("new size, not recorded", "2024-09-10 | | brace changed | new size", later, false),
            ("cast again", "2024-09-10 | right | cast | |", later, false),
        ],
    );
    for (boots, bar_mm, open) in [
        (&[Side::Right][..], None, false),
        (&[Side::Left][..], None, true),
        (&Side::BOTH[..], None, false),
        (&[][..], Some(220), true),
        (&[][..], None, false),
    ] {
        let resized = resized(&outgrown, "2024-09-10", boots, bar_mm);
        expect_listed("brace-problem", &resized, &[(&format!("{boots:?}, bar {bar_mm:?}"), "", later, open)]);
    }
    let broken = with(&fitted(), "2024-09-03 | | problem | brace broken");
    expect_listed(
        "brace-problem",
        &broken,
        &[
            ("repaired the same day", "2024-09-03 | | brace changed | repaired", later, false),
            ("repaired before", "2024-09-02 | | brace changed | repaired", later, true),
            ("new settings", "2024-09-04 | | brace changed | settings changed", later, true),
        ],
    );
    let slips = with(&fitted(), "2024-09-03 | right | problem | heel slips out of the boot");
    expect_listed(
        "brace-problem",
        &slips,
        &[
            ("new boots the same day", "2024-09-03 | | brace | nights and naps; boots 120", later, true),
            ("new boots the day after", "2024-09-04 | | brace | nights and naps; boots 120", later, false),
        ],
    );
}

#[test]
fn three_reviews_without_a_problem_answer_a_brace_that_was_not_tolerated() {
    let cries = with(&fitted(), "2024-06-03 | | problem | brace not tolerated");
    let two = format!("{}{}", review("2024-07-03"), review("2024-08-03"));
    let three = format!("{two}{}", review("2024-09-03"));
    let again =
        format!("{}2024-08-10 | | problem | heel slips out of the boot\n{}", two, review("2024-09-03"));
    let in_casts =
        "2024-06-10 | right | cast | |\n 2024-06-17 | right | cast | |\n 2024-06-24 | right | cast | |";
    expect_listed(
        "brace-problem",
        &cries,
        &[
            ("two reviews", &two, "2024-10-01", true),
            ("three reviews", &three, "2024-10-01", false),
            ("three on two days", &format!("{two}{}", review("2024-08-03")), "2024-10-01", true),
            ("another problem before the third", &again, "2024-10-01", true),
            ("new boots alone", "2024-06-10 | | brace | full time; boots 120", "2024-10-01", true),
            ("in casts the brace is off", in_casts, "2024-10-01", false),
        ],
    );
}

#[test]
fn advice_that_did_not_help_begins_with_its_entry_and_ends_with_the_problem() {
    let heel = |helped| Problem {
        side: Some(Side::Right),
        advised: Some("heel-strap-first".into()),
        helped,
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    let mut story = fitted();
    let first = story.add(day("2024-06-03"), heel(None));
    story.answer(day("2024-06-20"), heel(Some(Helped::No)), Some(first));
    begins(&story, "advice-not-helped", "2024-06-20");
    let refitted = with(&story, "2024-06-25 | | brace | full time; boots 120");
    silent(&refitted, "2024-07-01", "advice-not-helped");
}

#[test]
fn bracing_stopped_early_ends_with_the_end_of_bracing_and_with_three_reviews() {
    let stopped = with(&fitted(), "2025-05-03 | | brace changed | bracing stopped");
    // Five on 1 March 2029, with 28 days of grace 29 March: silent from 30 March 2029 on.
    let call = one(&stopped, "2025-05-03", "bracing-stopped-early");
    assert_eq!(call.until, Some(day("2029-03-30")));
    let two = format!("{}{}", review("2025-08-03"), review("2025-12-03"));
    expect_listed(
        "bracing-stopped-early",
        &stopped,
        &[
            ("at eight years", "", "2032-03-01", false),
            ("the last day of grace", "", "2029-03-29", true),
            ("the day after", "", "2029-03-30", false),
            ("two reviews since", &two, "2026-05-01", true),
            ("three reviews since", &format!("{two}{}", review("2026-04-03")), "2026-05-01", false),
        ],
    );
}

#[test]
fn calls_about_the_brace_have_a_last_day_unless_an_episode_was_open_then() {
    let reported = "2024-09-03 | right | problem | boots or bar outgrown";
    let five = "2029-03-01";
    for (words, rows, ends) in [
        ("nothing more", String::new(), true),
        ("a cast a year before", "2028-03-01 | right | cast | |\n2028-03-22 | | brace | nights and naps".to_owned(), true),
        ("recast at five", format!("{five} | right | cast | |\n2029-03-22 | | brace | nights and naps\n2029-04-03 | | problem | brace broken"), false),
        ("a tendon transfer at five and a half", "2029-09-01 | right | surgery | tibialis anterior tendon transfer\n2029-10-01 | | brace | nights and naps\n2029-10-03 | | problem | brace broken".to_owned(), false),
        ("a cast on before five, the brace after it", "2029-02-20 | right | cast | |\n2029-03-10 | | brace | nights and naps\n2029-04-03 | | problem | brace broken".to_owned(), false),
    ] {
        let story = with(&with(&fitted(), reported), &rows);
        let calls = found(&story, "2030-01-01", &Protocol::built_in());
        let about: Vec<_> = calls.iter().filter(|call| ABOUT_THE_BRACE.contains(&call.rule)).collect();
        let after = about.iter().filter(|call| call.applies(day("2030-01-01"))).count();
        assert_eq!(after == 0, ends, "{words}: {about:?}");
    }
    let late = Story::rows(
        "2024-03-08 | | registered | born 2018-03-01
         2024-03-08 | right | cast | |
         2024-05-03 | | brace | full time
         2024-06-03 | | problem | brace broken",
    );
    expect_listed("brace-problem", &late, &[("a late start at six years", "", "2025-01-01", true)]);
    let unknown = Story::rows(
        "2024-03-08 | right | cast | |\n2024-05-03 | | brace | full time\n2024-06-03 | | problem | brace broken",
    );
    expect_listed("brace-problem", &unknown, &[("no day of birth", "", "2034-01-01", true)]);
}

#[test]
fn every_rule_named_as_one_of_the_brace_exists() {
    for key in ABOUT_THE_BRACE {
        assert!(RULES.iter().any(|rule| rule.key == *key), "{key}");
    }
}

// 105 mm inside, an open boot: a foot of 105 mm fits, one of 106 mm does not.
#[test]
fn boots_are_too_small_from_the_measurement_that_shows_it() {
    let measured = |mm: u16| with(&fitted(), &format!("2024-07-03 | right | movement | length {mm}"));
    for (mm, small) in [(104, false), (105, false), (106, true), (110, true)] {
        expect_listed("boots-too-small", &measured(mm), &[(&format!("{mm} mm"), "", "2024-07-03", small)]);
    }
    begins(&measured(106), "boots-too-small", "2024-07-03");
    let call = one(&measured(106), "2024-07-03", "boots-too-small");
    assert_eq!(
        (call.urgency, call.side, call.place),
        (Urgency::ThisWeek, Some(Side::Right), CallPlace::List)
    );
    silent(&resized(&measured(106), "2024-07-10", &[Side::Right], None), "2024-08-01", "boots-too-small");
    silent(&with(&measured(106), "2024-07-10 | right | cast | |"), "2024-08-01", "boots-too-small");
    // The length of the other foot, or a boot of unknown inside length, does not count.
    silent(&with(&fitted(), "2024-07-03 | left | movement | length 100"), "2024-08-01", "boots-too-small");
    let unknown = Story::rows("2024-05-03 | | brace | full time\n2024-07-03 | right | movement | length 130");
    silent(&unknown, "2024-08-01", "boots-too-small");
    // Known before the fitting, it counts from the fitting.
    let refitted = with(&measured(121), "2024-07-05 | | brace | full time; boots 120");
    assert_eq!(one(&refitted, "2024-07-05", "boots-too-small").from, day("2024-07-05"));
}

#[test]
fn forecasts_of_boots_and_bars_are_with_the_stock_and_not_in_the_list() {
    let story = with(
        &fitted(),
        "2024-05-03 | right | movement | length 92\n2024-05-03 | left | movement | length 92",
    );
    for rule in ["boots-outgrown", "order-boots"] {
        let calls = super::calls(&story, "2026-05-03", rule);
        assert!(
            !calls.is_empty() && calls.iter().all(|call| call.place == CallPlace::Stock),
            "{rule}: {calls:?}"
        );
    }
    let reported = with(&story, "2024-08-03 | right | problem | boots or bar outgrown");
    expect_listed("brace-problem", &reported, &[("reported too small", "", "2024-08-03", true)]);
}

// 200 mm and 15 mm: shoulders of 215 mm fit, 216 mm do not.
#[test]
fn a_bar_is_a_call_where_the_measured_shoulders_are_too_wide_and_else_a_forecast() {
    for (mm, place) in
        [(214, CallPlace::Stock), (215, CallPlace::Stock), (216, CallPlace::List), (230, CallPlace::List)]
    {
        let story = Story::rows(&format!(
            "2024-03-08 | | registered | born 2024-03-01
             2024-05-03 | | brace | full time; boots 105; bar 200
             2024-05-03 | | shoulders | width {mm}; over the arms"
        ));
        assert_eq!(one(&story, "2024-05-03", "bar-too-narrow").place, place, "{mm} mm");
    }
}

/// Stories with calls of the rules of this file.
pub fn much_to_say() -> Vec<Story> {
    vec![with(&fitted(), "2024-07-03 | right | movement | length 110")]
}
