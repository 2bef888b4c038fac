//! Rules about a cast and a foot in correction.

use super::{begins, calls, found, one, silent, with};
use crate::story::{Story, day};
use guidance::{Protocol, Urgency, attention::CallPlace};
use record::{Assessment, Halves, Problem, ProblemKind, Side};

/// Born on 12 April 2024, first cast on 3 May 2024.
fn in_casts() -> Story {
    Story::rows(
        "2024-05-03 | | registered | born 2024-04-12
         2024-05-03 | right | score | 1 1 1 / 1 1 1
         2024-05-03 | right | cast | |",
    )
}

#[test]
fn a_correcting_cast_is_on_too_long_after_fourteen_days() {
    // 3 May + 14 days = 17 May is the last day; from the day after.
    begins(&in_casts(), "cast-on-too-long", "2024-05-18");
    let call = one(&in_casts(), "2024-05-03", "cast-on-too-long");
    assert_eq!((call.side, call.urgency), (Some(Side::Right), Urgency::Today));
    assert_eq!(call.text.words(), "Right foot: cast 1 on since 3 May 2024; it was due off by 17 May 2024.");
}

#[test]
fn a_cast_that_came_off_is_not_on_too_long() {
    let off = with(&in_casts(), "2024-05-10 | right | cast off | as planned");
    silent(&off, "2024-06-30", "cast-on-too-long");
    let next = with(&in_casts(), "2024-05-10 | right | cast | |");
    begins(&next, "cast-on-too-long", "2024-05-25"); // the new cast: 10 + 14 + 1
}

#[test]
fn without_a_cast_there_is_none_on_too_long() {
    let story = Story::rows("2024-05-03 | right | score | 1 1 1 / 1 1 1");
    silent(&story, "2024-12-01", "cast-on-too-long");
}

#[test]
fn the_cast_after_a_tenotomy_may_stay_three_weeks_and_six_in_an_older_child() {
    let cut = "2024-05-31 | right | tenotomy | |\n 2024-05-31 | right | cast | after tenotomy";
    // 31 May + 21 days = 21 June is the last day.
    begins(&with(&in_casts(), cut), "cast-on-too-long", "2024-06-22");
    // Born two years earlier: over 2 years of age, 31 May + 42 days = 12 July is the last day.
    let older = Story::rows("2022-04-12 | | registered | born 2022-04-12\n 2024-05-03 | right | cast | |");
    begins(&with(&older, cut), "cast-on-too-long", "2024-07-13");
    // A cast renewed meanwhile does not restart the days.
    let renewed = with(&in_casts(), &format!("{cut}\n 2024-06-10 | right | cast | after tenotomy"));
    begins(&renewed, "cast-on-too-long", "2024-06-22");
}

#[test]
fn the_clinic_may_set_the_days_of_a_cast() {
    let protocol = Protocol::with_clinic_file("[casting]\nmax_days = 10").unwrap();
    let calls = found(&in_casts(), "2024-05-03", &protocol);
    let call = calls.iter().find(|call| call.rule == "cast-on-too-long").unwrap();
    assert_eq!(call.from, day("2024-05-14")); // 3 + 10 + 1
    assert_eq!(call.because[0].source, "the clinic's own protocol");
}

#[test]
fn toes_not_seen_and_a_slipped_cast_call_the_same_day() {
    for what in ["toes not seen", "cast slipped"] {
        let story = with(&in_casts(), &format!("2024-05-06 | right | problem | {what}"));
        begins(&story, "cast-slipped", "2024-05-06");
        let call = one(&story, "2024-05-06", "cast-slipped");
        assert_eq!((call.side, call.urgency), (Some(Side::Right), Urgency::Today));
        assert_eq!(call.because[0].entry, story.entries.last().map(|entry| entry.id));
    }
}

#[test]
fn a_slipped_cast_is_settled_by_a_new_one() {
    let slipped = with(&in_casts(), "2024-05-06 | right | problem | cast slipped");
    silent(&with(&slipped, "2024-05-07 | right | cast | |"), "2024-05-07", "cast-slipped");
    silent(&in_casts(), "2024-05-07", "cast-slipped");
}

#[test]
fn a_cast_that_came_off_by_slipping_calls_until_the_next_is_on() {
    let off = with(&in_casts(), "2024-05-06 | right | cast off | slipped");
    begins(&off, "cast-slipped", "2024-05-06");
    silent(&off, "2024-05-20", "foot-not-held"); // one call, not two
    silent(&with(&off, "2024-05-08 | right | cast | |"), "2024-05-08", "cast-slipped");
}

#[test]
fn warning_signs_call_the_same_day_and_red_skin_within_days() {
    let today = [
        "toes dark, white or cold",
        "swelling",
        "skin sore or broken",
        "blister",
        "bleeding",
        "fever or signs of infection",
        "crying without another cause",
    ];
    for what in today {
        let story = with(&in_casts(), &format!("2024-05-06 | right | problem | {what}"));
        begins(&story, "red-flag", "2024-05-06");
        assert_eq!(one(&story, "2024-05-06", "red-flag").urgency, Urgency::Today, "{what}");
    }
    let red = with(&in_casts(), "2024-05-06 | | problem | skin red");
    let call = one(&red, "2024-05-06", "red-flag");
    assert_eq!((call.urgency, call.side), (Urgency::ThisWeek, None));
}

#[test]
fn other_problems_are_no_warning_signs() {
    for what in ["family circumstances", "another problem", "boots or bar outgrown", "cast slipped"] {
        let story = with(&in_casts(), &format!("2024-05-06 | right | problem | {what}"));
        silent(&story, "2024-05-06", "red-flag");
    }
    silent(&in_casts(), "2024-05-06", "red-flag");
}

#[test]
fn a_warning_sign_is_silent_once_settled_and_stays_for_the_next_visit_once_seen() {
    let fever = with(&in_casts(), "2024-05-06 | right | problem | fever or signs of infection");
    let seen = with(&fever, "2024-05-10 | right | score | 1 1 1 / 1 1 1");
    silent(&seen, "2024-05-10", "red-flag"); // examined since
    let sore = with(&in_casts(), "2024-05-06 | right | problem | skin sore or broken");
    let seen = with(&sore, "2024-05-10 | right | cast | |");
    let call = one(&seen, "2024-05-10", "red-flag");
    assert_eq!((call.from, call.urgency, call.place), (day("2024-05-06"), Urgency::Watch, CallPlace::Visit));
    assert!(
        call.text.words().contains("seen on 10 May 2024, but it is not recorded whether it is settled"),
        "{}",
        call.text.words()
    );
    let mut settled = fever.clone();
    let entry = fever.entries.last().unwrap().id;
    let body = Problem { side: Some(Side::Right), settled: true, ..Problem::of(ProblemKind::Fever) };
    settled.answer(day("2024-05-07"), body, Some(entry));
    silent(&settled, "2024-05-07", "red-flag");
}

#[test]
fn a_foot_with_its_cast_off_and_nothing_on_calls_from_the_next_day() {
    let off = with(&in_casts(), "2024-05-10 | right | cast off | as planned");
    begins(&off, "foot-not-held", "2024-05-11");
    silent(&with(&off, "2024-05-10 | right | cast | |"), "2024-05-20", "foot-not-held");
    silent(&in_casts(), "2024-05-20", "foot-not-held"); // the cast is on
    let braced = with(&off, "2024-05-10 | | brace | full time");
    silent(&braced, "2024-05-20", "foot-not-held");
    let never = Story::rows("2024-05-03 | right | score | 1 1 1 / 1 1 1");
    silent(&never, "2024-05-20", "foot-not-held");
}

/// Four weekly visits with a cast at each; midfoot 3, then as given at the last.
fn four_visits(last: &str) -> Story {
    with(
        &in_casts(),
        &format!(
            "2024-05-10 | right | cast | |
             2024-05-17 | right | cast | |
             2024-05-24 | right | score | {last}
             2024-05-24 | right | cast | |"
        ),
    )
}

#[test]
fn no_fall_of_the_midfoot_beyond_noise_over_three_casts_is_slow() {
    // Midfoot 3 on 3 May; casts of 3, 10 and 17 May; midfoot 2.5 on 24 May: a fall of 0.5 is noise.
    begins(&four_visits("1 1 ½ / 1 1 1"), "slow-progress", "2024-05-24");
    begins(&four_visits("1 1 1 / 1 1 1"), "slow-progress", "2024-05-24");
    let call = one(&four_visits("1 1 ½ / 1 1 1"), "2024-05-24", "slow-progress");
    assert_eq!(call.text.words(), "Right foot: midfoot score unchanged over 3 casts, until 24 May 2024.");
    assert_eq!(call.because[0].fact, "midfoot score 3 on 3 May 2024, 2.5 on 24 May 2024, 3 casts between");
}

#[test]
fn a_fall_of_a_point_is_progress() {
    silent(&four_visits("1 ½ ½ / 1 1 1"), "2024-05-24", "slow-progress"); // 3 − 2 = 1
}

#[test]
fn two_casts_are_too_few_to_tell() {
    let two = with(
        &in_casts(),
        "2024-05-10 | right | cast | |
         2024-05-17 | right | score | 1 1 1 / 1 1 1
         2024-05-17 | right | cast | |",
    );
    silent(&two, "2024-05-17", "slow-progress");
}

#[test]
fn a_flat_hindfoot_is_no_slow_progress() {
    // Lampasi 2017: the hindfoot barely moves until the tenotomy. Midfoot 0.5 at both ends, hindfoot 3.
    let story = Story::rows(
        "2024-05-03 | | registered | born 2024-04-12
         2024-05-03 | right | score | 0 ½ 0 / 1 1 1
         2024-05-03 | right | cast | |
         2024-05-10 | right | cast | |
         2024-05-17 | right | cast | |
         2024-05-24 | right | score | 0 ½ 0 / 1 1 1",
    );
    silent(&story, "2024-05-24", "slow-progress");
}

#[test]
fn a_half_entered_midfoot_is_never_taken_as_flat() {
    silent(&four_visits("1 – 1 / 1 1 1"), "2024-05-24", "slow-progress");
}

#[test]
fn where_a_sheet_has_totals_alone_four_points_or_more_must_be_left() {
    let totals = |first: u8, last: u8| {
        let mut story = Story::rows("2024-05-03 | | registered | born 2024-04-12");
        let total = |halves| Assessment { stated_total: Some(Halves(halves)), ..Assessment::of(Side::Right) };
        story.add(day("2024-05-03"), total(first));
        let story = with(
            &story,
            "2024-05-03 | right | cast | |
             2024-05-10 | right | cast | |
             2024-05-17 | right | cast | |",
        );
        let mut story = story;
        story.add(day("2024-05-24"), total(last));
        story
    };
    begins(&totals(10, 9), "slow-progress", "2024-05-24"); // 5 to 4.5
    silent(&totals(7, 6), "2024-05-24", "slow-progress"); // 3.5 to 3: all of it may be the hindfoot
    silent(&totals(12, 9), "2024-05-24", "slow-progress"); // 6 to 4.5
}

#[test]
fn the_eighth_correcting_cast_flags_slow_progress() {
    let visit = |week: i32| {
        let on = day("2024-05-03") + 7 * week;
        format!("{on} | right | cast | |\n")
    };
    let until = |casts: i32| {
        let rows: String = (0..casts).map(visit).collect();
        with(&Story::rows("2024-05-03 | | registered | born 2024-04-12"), &rows)
    };
    begins(&until(8), "slow-progress", "2024-06-21"); // 3 May + 7 weeks
    silent(&until(7), "2024-06-21", "slow-progress");
}

#[test]
fn a_relapse_still_in_correction_after_three_casts_is_slow() {
    // Two or three casts again, then the brace: handbook (from memory).
    let relapse = with(
        &in_casts(),
        "2024-06-28 | | brace | full time
         2025-05-02 | right | relapse | grade IA
         2025-05-02 | right | cast | |
         2025-05-09 | right | cast | |",
    );
    silent(&relapse, "2025-05-09", "slow-progress");
    begins(&with(&relapse, "2025-05-16 | right | cast | |"), "slow-progress", "2025-05-16");
}

#[test]
fn the_second_slip_in_an_episode_hints_at_a_complex_foot() {
    let slips = with(
        &in_casts(),
        "2024-05-06 | right | problem | cast slipped
         2024-05-06 | right | cast off | slipped
         2024-05-07 | right | cast | |
         2024-05-11 | right | cast off | slipped",
    );
    // A slip noted and the removal of the same cast are one slip; the second is on 11 May.
    begins(&slips, "possible-complex-foot", "2024-05-11");
    let call = one(&slips, "2024-05-11", "possible-complex-foot");
    assert!(call.because[0].rule.contains("short great toe bent upwards"), "the signs are named");
    let recorded = with(&slips, "2024-05-11 | right | diagnosis | complex");
    silent(&recorded, "2024-05-11", "possible-complex-foot");
}

#[test]
fn one_slip_is_no_hint_and_a_slip_of_the_other_foot_does_not_count() {
    let story = with(
        &in_casts(),
        "2024-05-03 | left | cast | |
         2024-05-06 | right | cast off | slipped
         2024-05-07 | right | cast | |
         2024-05-08 | left | cast off | slipped",
    );
    silent(&story, "2024-06-01", "possible-complex-foot");
}

#[test]
fn creases_and_equinus_still_full_after_three_casts_hint_at_a_complex_foot() {
    begins(&four_visits("½ 1 ½ / 1 1 ½"), "possible-complex-foot", "2024-05-24");
    silent(&four_visits("1 ½ 1 / 1 1 1"), "2024-05-24", "possible-complex-foot"); // medial crease going
    silent(&four_visits("1 – 1 / 1 1 1"), "2024-05-24", "possible-complex-foot"); // not looked at
}

#[test]
fn a_foot_recorded_as_not_complex_gives_no_hint() {
    let mut story = four_visits("½ 1 ½ / 1 1 ½");
    let diagnosis =
        record::Diagnosis { side: Side::Right, nature: None, complex: Some(false), earlier_treatment: None };
    story.add(day("2024-05-24"), diagnosis);
    silent(&story, "2024-05-24", "possible-complex-foot");
}

#[test]
fn a_stall_is_called_where_and_only_where_the_next_step_reviews_it() {
    for last in ["1 1 ½ / 1 1 1", "1 1 1 / 1 1 1", "1 ½ ½ / 1 1 1", "0 ½ 0 / 1 1 1", "1 – 1 / 1 1 1"] {
        let story = four_visits(last);
        let outlook = story.on("2024-05-24");
        let step = outlook.foot_step(Side::Right).map(|step| step.action);
        let reviews = step == Some(guidance::Action::ReviewSlowProgress);
        assert_eq!(!calls(&story, "2024-05-24", "slow-progress").is_empty(), reviews, "{last}: {step:?}");
    }
}
