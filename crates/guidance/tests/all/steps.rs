//! Steps in situations that the worked cases do not reach, and properties of every step.

use crate::story::{Story, day, due, full_text, of_foot, short};
use guidance::{Action, Outlook, Protocol, Scope};
use record::Side;
use rstest::rstest;

const BORN: &str = "| 2024-06-03 | – | registered | name Kalani; born 2024-05-13; gestation 40 w |\n";

fn story_of(rows: &str) -> Story {
    Story::rows(&format!("{BORN}{rows}"))
}

/// A visit missed with a cast on is urgent from the next day; without a cast it is not, and a visit
/// since settles it.
#[test]
fn a_missed_visit_is_urgent_only_with_a_cast_on() {
    let with = story_of("| 2024-06-03 | left | cast | |\n| 2024-06-10 | – | missed | |");
    assert_eq!(
        of_foot(&with.on("2024-06-10"), Side::Left),
        due(Action::SeeUrgently, "2024-06-11", "2024-06-12")
    );
    let without = story_of(
        "| 2024-06-03 | left | cast | |
         | 2024-06-05 | left | cast off | taken off by the family |
         | 2024-06-10 | – | missed | |",
    );
    assert_eq!(of_foot(&without.on("2024-06-10"), Side::Left).0, Action::NextCast);
    let since = story_of(
        "| 2024-06-03 | left | cast | |\n| 2024-06-10 | – | missed | |\n| 2024-06-11 | left | score | 1 1 1 / 1 1 1 |",
    );
    assert_eq!(of_foot(&since.on("2024-06-11"), Side::Left).0, Action::NextCast);
}

/// Problems with a cast on: which are urgent for the same day, and on which foot.
#[rstest]
#[case("cast slipped", Action::SeeUrgently)]
#[case("toes dark, white or cold", Action::SeeUrgently)]
#[case("swelling", Action::SeeUrgently)]
#[case("crying without another cause", Action::SeeUrgently)]
#[case("skin red", Action::NextCast)]
#[case("family circumstances", Action::NextCast)]
fn problems_with_a_cast_on(#[case] what: &str, #[case] expected: Action) {
    let story =
        story_of(&format!("| 2024-06-03 | both | cast | |\n| 2024-06-04 | left | problem | {what} |"));
    let outlook = story.on("2024-06-04");
    assert_eq!(of_foot(&outlook, Side::Left).0, expected);
    assert_eq!(of_foot(&outlook, Side::Right).0, Action::NextCast, "the other foot is not meant");
    assert_eq!(outlook.lead_on(outlook.course.as_of).unwrap().action, expected, "the urgent one leads");
}

#[test]
fn a_settled_problem_is_no_longer_urgent() {
    let story = story_of(
        "| 2024-06-03 | left | cast | |
         | 2024-06-04 | left | problem | swelling |
         | 2024-06-05 | left | problem | swelling; settled |",
    );
    assert_eq!(of_foot(&story.on("2024-06-05"), Side::Left).0, Action::NextCast);
}

/// The urgent step leads even if another would begin sooner.
#[test]
fn the_urgent_step_leads() {
    let story = story_of("| 2024-06-03 | left | cast | |\n| 2024-06-20 | left | problem | cast slipped |");
    let outlook = story.on("2024-06-20");
    let lead = outlook.lead_on(outlook.course.as_of).unwrap();
    assert_eq!(short(&lead), due(Action::SeeUrgently, "2024-06-20", "2024-06-20"));
    assert_eq!(lead.scope, Scope::Child, "the child's own step leads where the days are the same");
}

/// A foot that was never cast and a child with no foot on record.
#[test]
fn before_the_first_cast() {
    let scored = story_of("| 2024-06-03 | right | score | 1 1 1 / 1 1 1 |");
    let (action, window) = of_foot(&scored.on("2024-06-03"), Side::Right);
    assert_eq!((action, window.unwrap().1.as_str()), (Action::FirstVisit, "2024-06-24"));
    let positional = story_of("| 2024-06-03 | right | diagnosis | positional |");
    let text = full_text(positional.on("2024-06-03").foot_step(Side::Right).unwrap());
    assert!(text.contains("usually needs no cast"), "{text}");
    let cleared =
        story_of("| 2024-06-03 | right | diagnosis | not a clubfoot |\n| 2024-06-03 | – | attended | |");
    let outlook = cleared.on("2024-06-03");
    assert_eq!(outlook.child_step().unwrap().action, Action::Nothing);
    assert_eq!(outlook.lead_on(outlook.course.as_of), None);
}

/// Sore skin: the new cast waits for it, up to a week.
#[test]
fn sore_skin_waits_a_week() {
    let story = story_of("| 2024-06-03 | left | cast | |\n| 2024-06-10 | left | cast off | sore skin |");
    assert_eq!(
        of_foot(&story.on("2024-06-10"), Side::Left),
        due(Action::NextCast, "2024-06-10", "2024-06-17")
    );
}

/// Eight casts without correction: the plan is reviewed (no agreed number was found).
#[test]
fn many_casts_are_reviewed() {
    let first = day("2024-06-03");
    let rows: Vec<_> = (0..8).map(|cast| format!("| {} | left | cast | |", first + cast * 7)).collect();
    let story = story_of(&rows.join("\n"));
    // The seventh on 3 June + 42 = 15 July, the eighth on 22 July: 27 July to 1 August.
    assert_eq!(of_foot(&story.on("2024-07-15"), Side::Left).0, Action::NextCast);
    let expected = due(Action::ReviewSlowProgress, "2024-07-27", "2024-08-01");
    assert_eq!(of_foot(&story.on("2024-07-22"), Side::Left), expected);
}

/// Over three casts a midfoot fall of a whole point is progress, half a point is not; two casts are too
/// few to judge.
#[rstest]
#[case("1 1 1", "1 ½ ½", 3, Action::NextCast)]
#[case("1 1 1", "1 1 ½", 3, Action::ReviewSlowProgress)]
#[case("1 1 1", "1 1 1", 3, Action::ReviewSlowProgress)]
#[case("1 1 ½", "1 1 1", 3, Action::ReviewSlowProgress)]
#[case("1 1 1", "1 1 1", 2, Action::NextCast)]
fn a_stall_is_judged_on_the_midfoot(
    #[case] before: &str,
    #[case] now: &str,
    #[case] casts: i32,
    #[case] expected: Action,
) {
    let first = day("2024-06-03");
    let mut rows = format!("| {first} | left | score | {before} / 1 1 1 |\n");
    (0..=casts).for_each(|cast| rows.push_str(&format!("| {} | left | cast | |\n", first + cast * 7)));
    let last = first + casts * 7;
    rows.push_str(&format!("| {last} | left | score | {now} / 1 1 1 |"));
    assert_eq!(of_foot(&story_of(&rows).on(&last.to_string()), Side::Left).0, expected);
}

/// A tenotomy done: measurements before it do not lead to another one.
#[test]
fn a_score_before_the_tenotomy_does_not_call_for_another() {
    let story = story_of(
        "| 2024-06-03 | left | score | 0 0 0 / 1 1 1; abduction 60; dorsiflexion 0 |
         | 2024-06-03 | left | cast | |
         | 2024-06-10 | left | tenotomy | |
         | 2024-06-10 | left | cast | after tenotomy |
         | 2024-06-24 | left | cast | correction |",
    );
    assert_eq!(of_foot(&story.on("2024-06-24"), Side::Left).0, Action::NextCast);
}

/// Out of the tenotomy cast in time, without a brace: fit it at once.
#[test]
fn out_of_the_tenotomy_cast_without_a_brace() {
    let story = story_of(
        "| 2024-06-03 | left | cast | |
         | 2024-06-10 | left | tenotomy | |
         | 2024-06-10 | left | cast | after tenotomy |
         | 2024-06-24 | left | cast off | as planned |",
    );
    // 10 June + 14 = 24 June is the first day on which it may come off.
    assert_eq!(
        of_foot(&story.on("2024-06-24"), Side::Left),
        due(Action::FitBrace, "2024-06-24", "2024-06-25")
    );
}

/// Tenotomies a few days apart: the brace on the days that suit both. 10 June + 14 to 21 = 24 June to
/// 1 July; 13 June + 14 to 21 = 27 June to 4 July; both: 27 June to 1 July.
#[test]
fn the_brace_on_days_that_suit_both() {
    let story = story_of(
        "| 2024-06-03 | both | cast | |
         | 2024-06-10 | right | tenotomy | |
         | 2024-06-10 | right | cast | after tenotomy |
         | 2024-06-13 | left | tenotomy | |
         | 2024-06-13 | left | cast | after tenotomy |",
    );
    let outlook = story.on("2024-06-13");
    let both = due(Action::CastOffAndBrace, "2024-06-27", "2024-07-01");
    assert_eq!([Side::Right, Side::Left].map(|side| of_foot(&outlook, side)), [both.clone(), both.clone()]);
    assert_eq!(short(outlook.child_step().unwrap()), both);
}

/// Tenotomies three weeks apart: the first foot is held. 10 June + 14 to 21 = 24 June to 1 July; 1 July +
/// 14 to 21 = 15 to 22 July: no day suits both.
#[test]
fn the_first_foot_is_held_for_the_second() {
    let story = story_of(
        "| 2024-06-03 | both | cast | |
         | 2024-06-10 | left | tenotomy | |
         | 2024-06-10 | left | cast | after tenotomy |
         | 2024-07-01 | right | tenotomy | |
         | 2024-07-01 | right | cast | after tenotomy |",
    );
    let outlook = story.on("2024-07-01");
    assert_eq!(of_foot(&outlook, Side::Left), due(Action::HoldForOtherFoot, "2024-06-24", "2024-07-01"));
    assert_eq!(of_foot(&outlook, Side::Right), due(Action::CastOffAndBrace, "2024-07-15", "2024-07-22"));
}

/// Under 44 weeks from conception breathing is monitored (Parada 2009, read): 40 weeks and 27 days are
/// under, 40 weeks and 28 days are 44 weeks.
#[rstest]
#[case("2024-05-28", true)]
#[case("2024-05-27", false)]
fn watch_after_an_anaesthetic(#[case] born: &str, #[case] said_so: bool) {
    let story = Story::rows(&format!(
        "| 2024-06-03 | – | registered | name Bram; born {born}; gestation 40 w |
         | 2024-06-10 | left | cast | |
         | 2024-06-24 | left | score | 0 0 0 / 1 1 1; abduction 60; dorsiflexion 0 |"
    ));
    let outlook = story.on("2024-06-24");
    let text = full_text(outlook.foot_step(Side::Left).unwrap());
    assert!(text.contains("Tenotomy"), "{text}");
    assert_eq!(text.contains("Under 44 weeks from conception"), said_so, "{text}");
}

/// Bracing continued after the planned end: it is reviewed, and the end is decided again.
#[test]
fn bracing_beyond_its_end() {
    let story = Story::rows(
        "| 2019-02-04 | – | registered | name Oisin; born 2019-01-21; gestation 40 w |
         | 2019-02-04 | left | cast | |
         | 2019-03-18 | left | tenotomy | |
         | 2019-03-18 | left | cast | after tenotomy |
         | 2019-04-08 | – | brace | full time |
         | 2019-07-01 | – | brace changed | hours changed; nights and naps |
         | 2024-02-05 | left | movement | dorsiflexion 15 |",
    );
    // 5 years on 21 January 2024; seen on 5 February 2024; every 12 months: 5 February 2025 + 28 days.
    let (action, window) = of_foot(&story.on("2024-02-05"), Side::Left);
    assert_eq!(action, Action::EndBracing);
    assert_eq!(window, Some(("2025-02-05".to_owned(), "2025-03-05".to_owned())));
}

/// Every action has a key of its own, and none is missing from the list.
#[test]
fn actions_have_keys_of_their_own() {
    let keys: std::collections::BTreeSet<_> = Action::ALL.iter().map(|action| action.key()).collect();
    assert_eq!(keys.len(), Action::ALL.len());
    assert!(keys.iter().all(|key| key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-')));
}

/// A child without any entry has an outlook without claims.
#[test]
fn an_empty_record_claims_nothing() {
    let outlook =
        Outlook::of(course::Course::of(Story::child(), &[], day("2024-06-03")), &Protocol::built_in());
    assert!(outlook.feet.is_empty());
    assert_eq!(outlook.steps.len(), 1);
    assert_eq!(outlook.lead_on(outlook.course.as_of), None);
}

/// Every period in a step comes from the protocol: a clinic that changes it moves the window, and the reason
/// names the clinic's own value.
#[rstest]
#[case::late(
    "[start]\nlate_within_days = 3",
    "| 2024-06-03 | right | score | 1 1 1 / 1 1 1 |\n| 2024-06-20 | – | discharged | |\n| 2024-09-02 | – | referred | |",
    Action::FirstVisit,
    1
)]
#[case::out_of_cast(
    "[casting]\nrecast_within_days = 5",
    "| 2024-06-03 | right | cast | |\n| 2024-06-05 | right | cast off | taken off by the family |",
    Action::NextCast,
    1
)]
#[case::sore(
    "[casting]\nrecast_after_sore_days = 10",
    "| 2024-06-03 | right | cast | |\n| 2024-06-10 | right | cast off | sore skin |",
    Action::NextCast,
    1
)]
#[case::missed(
    "[casting]\nmissed_within_days = 4",
    "| 2024-06-03 | right | cast | |\n| 2024-06-10 | – | missed | |",
    Action::SeeUrgently,
    1
)]
#[case::relapse(
    "[relapse]\ncast_within_days = 20",
    "| 2024-06-03 | right | cast | |\n| 2024-07-01 | – | brace | full time |\n| 2024-09-02 | right | relapse | |",
    Action::TreatRelapse,
    1
)]
#[case::surgery(
    "[surgery]\nreview_days = [10, 50]",
    "| 2024-06-03 | right | surgery | posterior release |",
    Action::ReviewAfterSurgery,
    1
)]
#[case::stopped(
    "[bracing]\nresume_within_days = 12",
    "| 2024-06-03 | right | cast | |\n| 2024-07-01 | – | brace | full time |\n| 2024-09-02 | – | brace changed | bracing stopped |",
    Action::FitBrace,
    0
)]
fn a_clinics_own_days_move_the_window_and_are_named(
    #[case] file: &str,
    #[case] rows: &str,
    #[case] action: Action,
    #[case] named: usize,
) {
    let own = Protocol::with_clinic_file(file).unwrap();
    let story = story_of(rows);
    let (ours, built_in) = (story.under("2024-12-02", &own), story.on("2024-12-02"));
    let step = |outlook: &Outlook| outlook.foot_step(Side::Right).unwrap().clone();
    let (ours, built_in) = (step(&ours), step(&built_in));
    assert_eq!((ours.action, built_in.action), (action, action));
    let mine = full_text(&ours).matches("the clinic's own protocol").count();
    assert_eq!(mine, named, "{}", full_text(&ours));
    assert_ne!(ours.window, built_in.window, "{}", full_text(&ours));
}

/// The alarm on dorsiflexion in the brace is one value for the step and for the attention list.
#[rstest]
#[case("idiopathic", 9, true)]
#[case("idiopathic", 10, false)]
#[case("syndromic", 4, true)]
#[case("syndromic", 5, false)]
#[case("neurogenic", 4, true)]
#[case("neurogenic", 5, false)]
fn step_and_attention_share_one_alarm(#[case] nature: &str, #[case] deg: i16, #[case] alarms: bool) {
    let story = story_of(&format!(
        "| 2024-06-03 | right | diagnosis | {nature} |
         | 2024-06-03 | right | cast | |
         | 2024-07-01 | – | brace | full time |
         | 2024-07-08 | right | movement | dorsiflexion {deg} |"
    ));
    let outlook = story.on("2024-07-08");
    let cautioned = full_text(outlook.foot_step(Side::Right).unwrap()).contains("look for early heel rise");
    let attention = outlook.attention.iter().any(|call| {
        call.rule == "dorsiflexion-lost"
            && call.because.iter().any(|reason| reason.rule.contains("is an alarm"))
    });
    assert_eq!((cautioned, attention), (alarms, alarms), "{nature} {deg}");
    let own = Protocol::with_clinic_file(
        "[non_idiopathic]\ndorsiflexion_alarm_below_deg = 3\n[bracing]\ndorsiflexion_alarm_below_deg = 3",
    )
    .unwrap();
    let calm = story.under("2024-07-08", &own);
    assert_eq!(full_text(calm.foot_step(Side::Right).unwrap()).contains("look for early heel rise"), deg < 3);
}

/// Referred again after bracing had ended in discharge: seen within a week of the new referral, whatever
/// was planned before.
#[test]
fn a_child_referred_again_is_seen_first() {
    let rows = "| 2024-06-03 | right | cast | |
         | 2024-07-01 | – | brace | full time |
         | 2024-09-02 | – | discharged | |
         | 2025-01-06 | – | referred | |";
    let outlook = story_of(rows).on("2025-01-06");
    assert_eq!(of_foot(&outlook, Side::Right), due(Action::FirstVisit, "2025-01-06", "2025-01-13"));
    let text = full_text(outlook.foot_step(Side::Right).unwrap());
    assert!(text.contains("Referred again on 6 January 2025; last seen on 1 July 2024."), "{text}");
    // A second referral while care goes on changes nothing.
    let twice = story_of("| 2024-06-03 | right | score | 1 1 1 / 1 1 1 |\n| 2024-06-12 | – | referred | |");
    assert_eq!(of_foot(&twice.on("2024-06-12"), Side::Right).1.unwrap().0, "2024-06-03");
}
