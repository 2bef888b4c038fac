//! Contradictions stop the advice: which findings and entries do, and those near them that do not.
//!
//! Each case was recorded with its expectation before it was run. If no source is named, the limit
//! is the protocol's own value (common practice, no source).

use crate::story::{Story, full_text, of_foot};
use guidance::Action;
use record::Side;
use rstest::rstest;

/// One clubfoot on the right, in casts since 10 May 2024, scored on 31 May with the findings given and
/// recast that day.
fn scored(diagnosis: &str, findings: &str) -> Story {
    Story::rows(&format!(
        "2024-05-03 | | registered | name Isa; born 2024-04-20; gestation 40 w
         2024-05-03 | right | diagnosis | {diagnosis}
         2024-05-10 | right | cast | |
         2024-05-17 | right | cast | |
         2024-05-24 | right | cast | |
         2024-05-31 | right | score | {findings}"
    ))
}

#[rstest]
// Hindfoot 2 to 3 with dorsiflexion of 15° or more: rocker-bottom until shown otherwise.
#[case::hindfoot_3("idiopathic", "0 0 0 / 1 1 1; dorsiflexion 20; abduction 65", true)]
#[case::hindfoot_2("idiopathic", "0 0 0 / 1 ½ ½; dorsiflexion 15; abduction 65", true)]
#[case::hindfoot_below_2("idiopathic", "0 0 0 / ½ ½ ½; dorsiflexion 15; abduction 65", false)]
#[case::dorsiflexion_14("idiopathic", "0 0 0 / 1 ½ ½; dorsiflexion 14; abduction 65", false)]
#[case::hindfoot_unknown("idiopathic", "0 0 0 / 1 – ½; dorsiflexion 20; abduction 65", false)]
#[case::certain_although_one_sign_is_missing(
    "idiopathic",
    "0 0 0 / 1 – 1; dorsiflexion 20; abduction 65",
    true
)]
#[case::midfoot_bad_as_well("idiopathic", "1 1 1 / 1 1 1; dorsiflexion 20; abduction 10", true)]
// A stiff foot that is not idiopathic reaches less: its end point is 5° (Mehta 2021).
#[case::syndromic_5("syndromic", "0 0 0 / 1 ½ ½; dorsiflexion 5; abduction 35", true)]
#[case::syndromic_4("syndromic", "0 0 0 / 1 ½ ½; dorsiflexion 4; abduction 35", false)]
// Midfoot 0 or ½ with abduction below 30°; half of the abduction wanted if a foot reaches less.
#[case::midfoot_0("idiopathic", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 29", true)]
#[case::midfoot_half("idiopathic", "½ 0 0 / 1 1 1; dorsiflexion -10; abduction 20", true)]
#[case::abduction_30("idiopathic", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 30", false)]
#[case::midfoot_1("idiopathic", "½ ½ 0 / 1 1 1; dorsiflexion -10; abduction 20", false)]
#[case::complex_reaches_40("idiopathic; complex", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 25", false)]
#[case::complex_19("idiopathic; complex", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 19", true)]
#[case::neurogenic_reaches_30("neurogenic", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 20", false)]
#[case::neurogenic_14("neurogenic", "0 0 0 / 1 1 1; dorsiflexion -10; abduction 14", true)]
// The sign of rigid equinus against the angle, beyond the measuring error of 8° (10.3233/BMR-170862:
// smallest change beyond error 7.94°).
#[case::past_neutral_at_minus_9("idiopathic", "0 0 0 / ½ 0 ½; dorsiflexion -9; abduction 60", true)]
#[case::past_neutral_at_minus_8("idiopathic", "0 0 0 / ½ 0 ½; dorsiflexion -8; abduction 60", false)]
#[case::short_of_neutral_at_9("idiopathic", "0 0 0 / 0 1 0; dorsiflexion 9; abduction 60", true)]
#[case::short_of_neutral_at_8("idiopathic", "0 0 0 / 0 1 0; dorsiflexion 8; abduction 60", false)]
// ½ is not conclusive: dorsiflexion of −28° (SD 19°) is published before the tenotomy.
#[case::to_neutral_at_minus_30("idiopathic", "0 0 0 / ½ ½ 0; dorsiflexion -30; abduction 60", false)]
// The recorded total against its signs.
#[case::total_differs("idiopathic", "½ 0 0 / 1 1 1; total 5", true)]
#[case::total_agrees("idiopathic", "½ 0 0 / 1 1 1; total 3.5", false)]
fn findings_of_one_visit(#[case] diagnosis: &str, #[case] findings: &str, #[case] stops: bool) {
    let outlook = scored(diagnosis, findings).on("2024-05-31");
    let step = outlook.foot_step(Side::Right).unwrap();
    assert_eq!(step.action == Action::LookAgain, stops, "{}", full_text(step));
    if stops {
        let text = full_text(step);
        assert!(
            text.contains("findings contradict each other; a rocker-bottom foot is one possible reason"),
            "{text}"
        );
        assert!(
            text.contains("meanwhile") || text.contains("leave the cast or brace on"),
            "the foot stays held: {text}"
        );
        assert_eq!(outlook.feet[0].ready_for_tenotomy, None, "readiness is not known");
        assert_eq!(outlook.feet[0].corrected, None);
        // Both findings are shown.
        let fact = &step.because[0].fact;
        assert!(fact.contains('°') || fact.contains("Total"), "{fact}");
    }
}

/// Findings of different visits are not compared.
#[test]
fn findings_of_two_visits_do_not_disagree() {
    let story = Story::rows(
        "2024-05-03 | right | diagnosis | idiopathic
         2024-05-10 | right | cast | |
         2024-05-24 | right | score | 0 0 0 / 1 1 1
         2024-05-28 | right | movement | dorsiflexion 20; abduction 65",
    );
    // 28 May is 4 days after 24 May: more than the 3 days of one visit.
    assert_ne!(of_foot(&story.on("2024-05-28"), Side::Right).0, Action::LookAgain);
}

/// A later examination that agrees ends it.
#[test]
fn a_later_score_that_agrees_ends_it() {
    let rows = "2024-05-31 | right | cast | |
                2024-06-07 | right | score | 0 0 0 / ½ 0 ½; dorsiflexion 20; abduction 65";
    let story = scored("idiopathic", "0 0 0 / 1 1 1; dorsiflexion 20; abduction 65");
    assert_eq!(of_foot(&story.on("2024-05-31"), Side::Right).0, Action::LookAgain);
    let story = crate::attention::with(&story, rows);
    assert_eq!(of_foot(&story.on("2024-06-07"), Side::Right).0, Action::FitBrace);
}

/// Right clubfoot on record, both kinds of entry on the left one.
fn right_only(rows: &str) -> Story {
    Story::rows(&format!(
        "2024-05-03 | | registered | name Isa; born 2024-04-20; gestation 40 w
         2024-05-03 | right | diagnosis | idiopathic
         2024-05-10 | right | score | 1 1 1 / 1 1 1
         2024-05-10 | right | cast | |
         2024-05-31 | right | score | 0 0 0 / 1 1 1; dorsiflexion -10; abduction 60
         2024-05-31 | right | cast | |
         {rows}"
    ))
}

#[rstest]
#[case::booked("2024-05-31 | left | tenotomy booked | for 2024-06-07", true)]
#[case::cut("2024-06-07 | left | tenotomy | |", true)]
#[case::cast("2024-06-07 | left | cast | |", true)]
#[case::relapse("2024-06-07 | left | relapse | |", true)]
#[case::surgery("2024-06-07 | left | surgery | tibialis anterior tendon transfer", true)]
#[case::booked_and_cut_the_wrong_foot_twice(
    "2024-05-31 | left | tenotomy booked | for 2024-06-07
     2024-06-07 | left | tenotomy | |",
    true
)]
#[case::marked_as_none_and_cast(
    "2024-05-31 | left | diagnosis | not a clubfoot
     2024-06-07 | left | cast | |",
    true
)]
#[case::marked_as_none_and_cast_the_same_day(
    "2024-06-07 | left | diagnosis | not a clubfoot
     2024-06-07 | left | cast | |",
    true
)]
#[case::scored_all_0_is_no_record(
    "2024-05-31 | left | score | 0 0 0 / 0 0 0
     2024-05-31 | left | tenotomy booked | for 2024-06-07",
    true
)]
#[case::diagnosed(
    "2024-05-31 | left | diagnosis | idiopathic
     2024-05-31 | left | tenotomy booked | for 2024-06-07",
    false
)]
#[case::scored(
    "2024-05-31 | left | score | 0 0 0 / 1 1 1
     2024-05-31 | left | tenotomy booked | for 2024-06-07
     2024-05-31 | right | cast | |",
    false
)]
#[case::diagnosed_afterwards(
    "2024-05-31 | left | tenotomy booked | for 2024-06-07
     2024-06-01 | left | diagnosis | idiopathic",
    false
)]
#[case::confirmed(
    "2024-05-31 | left | tenotomy booked | for 2024-06-07
     2024-05-31 | | confirmed | left foot seen by a colleague",
    false
)]
#[case::cast_for_weeks(
    "2024-06-07 | left | cast | |
     2024-06-14 | left | cast | |
     2024-06-21 | left | cast | |",
    false
)]
fn treatment_of_a_foot_that_is_not_on_record(#[case] rows: &str, #[case] stops: bool) {
    let outlook = right_only(rows).on("2024-06-21");
    let step = outlook.foot_step(Side::Left).unwrap();
    assert_eq!(step.action == Action::CheckRecord, stops, "{}", full_text(step));
    if stops {
        assert!(!full_text(step).contains("as booked"), "{}", full_text(step));
        let other = outlook.foot_step(Side::Right).unwrap();
        assert_ne!(other.action, Action::HoldForOtherFoot, "the other foot is never held for it");
        assert!(!full_text(other).contains("waits for the left foot"), "{}", full_text(other));
    }
}

/// If nothing is on record yet, the first entries raise no doubt.
#[test]
fn both_feet_cast_from_the_first_day_need_no_confirmation() {
    let story = Story::rows("2024-05-10 | both | cast | |\n 2024-05-17 | both | cast | |");
    for side in Side::BOTH {
        assert_ne!(of_foot(&story.on("2024-05-17"), side).0, Action::CheckRecord);
    }
}

/// One foot on record by casts alone, the other added on a later day without any score.
#[test]
fn a_cast_on_the_other_foot_on_a_later_day_raises_a_question() {
    let story = Story::rows("2024-05-10 | right | cast | |\n 2024-05-17 | left | cast | |");
    assert_eq!(of_foot(&story.on("2024-05-17"), Side::Left).0, Action::CheckRecord);
}

fn cut_on_14_june(rows: &str) -> Story {
    right_only(&format!(
        "2024-06-14 | right | tenotomy | |
         2024-06-14 | right | cast | after tenotomy
         {rows}"
    ))
}

#[rstest]
#[case::booked_again("2024-06-21 | right | tenotomy booked | for 2024-06-28", true)]
#[case::booked_again_and_confirmed(
    "2024-06-21 | right | tenotomy booked | for 2024-06-28
     2024-06-21 | | confirmed | the first one was incomplete",
    false
)]
#[case::not_booked("2024-06-21 | | note | seen", false)]
#[case::booked_after_a_relapse(
    "2024-07-05 | | brace | full time
     2025-03-01 | right | relapse | grade IA
     2025-03-01 | right | cast | |
     2025-03-08 | right | tenotomy booked | for 2025-03-15",
    false
)]
fn a_foot_already_cut(#[case] rows: &str, #[case] stops: bool) {
    let outlook = cut_on_14_june(rows).on("2025-03-08");
    let step = outlook.foot_step(Side::Right).unwrap();
    assert_eq!(step.action == Action::CheckRecord, stops, "{}", full_text(step));
    assert!(!stops || !full_text(step).contains("as booked"));
}

#[rstest]
#[case::other_foot_cast("2025-03-01 | right | relapse | grade IA\n 2025-03-03 | left | cast | |", true)]
#[case::same_foot_cast("2025-03-01 | right | relapse | grade IA\n 2025-03-03 | right | cast | |", false)]
#[case::both_cast("2025-03-01 | right | relapse | grade IA\n 2025-03-03 | both | cast | |", false)]
#[case::both_noted(
    "2025-03-01 | both | relapse | grade IA
     2025-03-03 | left | cast | |",
    false
)]
#[case::cast_60_days_later("2025-03-01 | right | relapse | grade IA\n 2025-04-30 | left | cast | |", true)]
#[case::cast_61_days_later("2025-03-01 | right | relapse | grade IA\n 2025-05-01 | left | cast | |", false)]
#[case::confirmed(
    "2025-03-01 | right | relapse | grade IA
     2025-03-03 | left | cast | |
     2025-03-03 | | confirmed | left foot supinates as well",
    false
)]
fn a_relapse_of_one_foot_and_casts_on_the_other(#[case] rows: &str, #[case] stops: bool) {
    let braced = "2024-01-05 | | registered | born 2023-12-20
         2024-01-05 | both | score | 1 1 1 / 1 1 1
         2024-01-05 | both | cast | |
         2024-03-01 | | brace | full time
         2024-05-24 | | brace changed | hours changed; nights and naps";
    let outlook = Story::rows(&format!("{braced}\n{rows}")).on("2025-05-01");
    for side in Side::BOTH {
        let step = outlook.foot_step(side).unwrap();
        assert_eq!(step.action == Action::CheckRecord, stops, "{side}: {}", full_text(step));
    }
}

/// Cast off on 5 July 2024, three weeks after the tenotomy of 14 June.
#[rstest]
// Expected after the tenotomy: 10° (handbook, from memory); not the 15° of readiness.
#[case::at_9("idiopathic", 9, true)]
#[case::at_10("idiopathic", 10, false)]
#[case::between_10_and_15("idiopathic", 12, false)]
#[case::in_equinus("idiopathic", -5, true)]
// 5° for stiff feet that are not idiopathic (Mehta 2021).
#[case::syndromic_4("syndromic", 4, true)]
#[case::syndromic_5("syndromic", 5, false)]
fn dorsiflexion_at_the_end_of_the_tenotomy_cast(#[case] nature: &str, #[case] deg: i16, #[case] stops: bool) {
    let story = cut_on_14_june(&format!(
        "2024-06-15 | right | diagnosis | {nature}
         2024-07-05 | right | cast off | as planned
         2024-07-05 | right | movement | dorsiflexion {deg}; abduction 60"
    ));
    let outlook = story.on("2024-07-05");
    let step = outlook.foot_step(Side::Right).unwrap();
    assert_eq!(step.action == Action::AssessAfterTenotomy, stops, "{}", full_text(step));
    let text = full_text(step);
    if stops {
        assert!(text.contains("incomplete tenotomy, or stiffness that more casts may stretch?"), "{text}");
        assert!(text.contains("in a cast or in the brace"), "never without either: {text}");
        assert_eq!(step.window.unwrap().to.to_string(), "2024-07-05", "today");
    }
}

#[test]
fn dorsiflexion_after_the_tenotomy_is_requested_until_it_is_recorded() {
    let reminder = "Dorsiflexion after the tenotomy of 14 June 2024 is not recorded";
    let story = cut_on_14_june("");
    let text = full_text(story.on("2024-06-14").foot_step(Side::Right).unwrap());
    assert!(text.contains(reminder), "{text}");
    let off = crate::attention::with(&story, "2024-07-05 | right | cast off | as planned");
    let text = full_text(off.on("2024-07-05").foot_step(Side::Right).unwrap());
    assert!(text.contains(reminder), "{text}");
    let measured = crate::attention::with(&off, "2024-07-05 | right | movement | dorsiflexion 20");
    let text = full_text(measured.on("2024-07-05").foot_step(Side::Right).unwrap());
    assert!(!text.contains(reminder), "{text}");
}

#[rstest]
#[case::nothing_since("", true)]
#[case::cast_the_same_day("2024-06-14 | right | cast | after tenotomy", false)]
#[case::a_later_cast("2024-06-21 | right | cast | |", false)]
#[case::a_later_brace("2024-07-05 | | brace | full time", false)]
fn a_tenotomy_with_no_cast_of_its_day(#[case] rows: &str, #[case] urgent: bool) {
    let story = right_only(&format!("2024-06-14 | right | tenotomy | |\n{rows}"));
    let outlook = story.on("2024-07-05");
    let step = outlook.foot_step(Side::Right).unwrap();
    let text = full_text(step);
    assert_eq!(text.contains("no cast is recorded on that day or since"), urgent, "{text}");
    assert_eq!(step.action == Action::SeeUrgently, urgent, "{text}");
}

/// Full time since 1 March 2024: 12 weeks end on 24 May (1 March + 84 days).
fn full_time(rows: &str) -> Story {
    Story::rows(&format!(
        "2024-01-05 | | registered | born 2023-12-20; gestation 40 w
         2024-01-05 | right | score | 1 1 1 / 1 1 1
         2024-01-05 | right | cast | |
         2024-03-01 | | brace | full time; hours 23
         2024-03-08 | right | movement | dorsiflexion 20
         2024-04-12 | right | movement | dorsiflexion 20
         {rows}"
    ))
}

#[rstest]
// 9.2 of 23 hours are 40 %: far below the 70 % required (assumed).
#[case::forty_per_cent("2024-05-20 | | wear logged | from 2024-04-20; to 2024-05-19; hours 9.2", false)]
#[case::sixty_nine_per_cent("2024-05-20 | | wear logged | from 2024-04-20; to 2024-05-19; hours 15.9", false)]
// 16.1 of 23 hours are 70 %.
#[case::seventy_per_cent("2024-05-20 | | wear logged | from 2024-04-20; to 2024-05-19; hours 16.1", true)]
#[case::nothing_logged("", true)]
#[case::six_days_tell_nothing("2024-05-20 | | wear logged | from 2024-05-14; to 2024-05-19; hours 2", true)]
#[case::what_the_family_reports_does_not_stop_it(
    "2024-05-20 | | wear reported | from 2024-04-20; to 2024-05-19; hours 9.2",
    true
)]
fn a_logger_that_finds_little_stops_the_change_to_nights(#[case] rows: &str, #[case] nights: bool) {
    let outlook = full_time(rows).on("2024-05-24");
    let step = outlook.child_step().unwrap();
    assert_eq!(step.action == Action::ChangeToNightTime, nights, "{}", full_text(step));
    assert_eq!(full_text(step).contains("worn too little"), !nights, "{}", full_text(step));
}

#[rstest]
// Lost dorsiflexion, a fixed sign of relapse and a brace that is not tolerated are calls for this week.
#[case::lost_dorsiflexion("2024-06-21 | right | movement | dorsiflexion 5", true)]
#[case::a_brace_not_tolerated("2024-06-21 | | problem | brace not tolerated", true)]
#[case::a_fixed_sign("2024-06-21 | right | movement | dorsiflexion 20; adductus fixed", true)]
#[case::all_well("2024-06-21 | right | movement | dorsiflexion 20", false)]
fn the_worst_call_sets_the_childs_days(#[case] rows: &str, #[case] sooner: bool) {
    let story = full_time(&format!(
        "2024-05-24 | right | movement | dorsiflexion 20
         2024-05-24 | | brace changed | hours changed; nights and naps
         2024-05-24 | | appointment | for 2024-09-24; brace review
         {rows}"
    ));
    let outlook = story.on("2024-06-21");
    let step = outlook.child_step_on("2024-06-21".parse().unwrap()).unwrap();
    let window = step.window.unwrap();
    assert_eq!(step.words.contains("brought forward"), sooner, "{}", full_text(&step));
    if sooner {
        // A call for this week: from the day of the finding, within 7 days.
        assert_eq!(
            (window.from.to_string(), window.to.to_string()),
            ("2024-06-21".into(), "2024-06-28".into())
        );
    } else {
        // Under 3 years every 4 months: 21 June + 4 months = 21 October (handbook, from memory).
        assert_eq!(window.from.to_string(), "2024-10-21");
    }
    let lead = outlook.lead_on("2024-06-21".parse().unwrap()).unwrap();
    assert_eq!(lead.window, Some(window), "the child's step leads");
}
