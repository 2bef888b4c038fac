//! Attention and the next step must not contradict each other.

use super::{registry::much_to_say, with};
use crate::story::Story;
use course::Standing;
use guidance::attention::{AttentionRule, CallPlace, RULES, find_all};
use guidance::brace::settings_check;
use guidance::{Action, Attention, NextStep, Outlook, Protocol, Scope};
use record::Day;
use std::{fs, path::Path, sync::LazyLock};

/// Invented children with every entry day on which there could be a call.
fn stories() -> Vec<Story> {
    let ready = "2024-04-12 | | registered | born 2024-04-01
        2024-04-26 | both | cast | |
        2024-05-03 | right | score | ½ 0 0 / ½ 1 ½
        2024-05-03 | left | score | 1 ½ ½ / 1 1 1
        2024-05-03 | both | cast | |
        2024-05-10 | right | tenotomy booked | for 2024-05-17
        2024-05-17 | right | tenotomy | |
        2024-05-17 | right | cast | after tenotomy";
    let brace = "2024-01-05 | | registered | born 2024-01-01
        2024-01-05 | right | cast | |
        2024-03-01 | | brace | full time
        2024-03-08 | right | movement | dorsiflexion 20; abduction 65
        2024-04-12 | right | movement | dorsiflexion 20; abduction 65
        2024-05-24 | right | movement | dorsiflexion 20; abduction 65
        2024-05-24 | | brace changed | hours changed; nights and naps
        2024-09-24 | right | movement | dorsiflexion 20; abduction 65
        2025-01-24 | right | movement | dorsiflexion 20; abduction 65
        2028-08-01 | right | movement | dorsiflexion 15; abduction 60";
    let late = "2020-01-10 | | registered | born 2019-06-03
        2020-01-10 | right | cast | |
        2020-03-06 | | brace | nights and naps
        2023-05-03 | right | movement | dorsiflexion 15; abduction 60
        2024-02-20 | right | movement | dorsiflexion 15; abduction 60";
    let mut stories = much_to_say();
    stories.extend([ready, brace, late].map(Story::rows));
    stories.extend(worked_cases());
    let ended = stories.iter().map(|story| with(story, "2030-06-01 | | discharged | |"));
    stories.extend(ended.collect::<Vec<_>>());
    stories
}

/// The entries of the worked cases.
fn worked_cases() -> Vec<Story> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases");
    let texts = fs::read_dir(folder).unwrap().map(|file| fs::read_to_string(file.unwrap().path()).unwrap());
    let stories = texts.filter_map(|text| {
        let (_, entries) = text.split_once("## What was written\n")?;
        let table = entries.split("\n## ").next()?;
        let rows = table.lines().filter(|line| line.starts_with("| 2") || line.starts_with("| 1"));
        Some(Story::rows(&rows.collect::<Vec<_>>().join("\n")))
    });
    let stories: Vec<Story> = stories.collect();
    assert!(stories.len() >= 25, "{} worked cases", stories.len());
    stories
}

/// The built-in protocol, and one in which a clinic has changed what the rules and the steps share.
fn protocols() -> [Protocol; 2] {
    let changed = "
        [casting]
        slow_over_casts = 2
        slow_after_casts = 5
        relapse_casts = 2
        [scoring]
        noise_points = 1
        worse_points = 1.5
        [tenotomy]
        readiness_rule = \"talar-head-zero\"
        dorsiflexion_below_deg = 10
        [bracing]
        early_reviews_weeks = [2, 13]
        early_review_days_before = 0
        early_review_days_after = 3
        full_time_weeks = 16
        review_months_under_3y = 3
        review_days_after = 60
        ends_years = 4
    ";
    [Protocol::built_in(), Protocol::with_clinic_file(changed).unwrap()]
}

/// Every story as known on the day of each of its entries, under each protocol.
static MOMENTS: LazyLock<Vec<(Outlook, Vec<Attention>)>> = LazyLock::new(|| {
    let mut moments = Vec::new();
    for (story, protocol) in stories().iter().flat_map(|story| protocols().map(|protocol| (story, protocol)))
    {
        let mut days: Vec<Day> = story.entries.iter().map(|entry| entry.on).collect();
        days.sort();
        days.dedup();
        for day in days {
            let outlook = story.under(&day.to_string(), &protocol);
            let settings = settings_check(&outlook.course, &protocol);
            let calls = find_all(&outlook.course, &outlook.feet, &settings, &protocol);
            moments.push((outlook, calls));
        }
    }
    moments
});

fn from<'a>(calls: &'a [Attention], rule: &'a str) -> impl Iterator<Item = Day> + 'a {
    let here = move |call: &&Attention| call.rule == rule && call.place != CallPlace::Lost;
    calls.iter().filter(here).map(|call| call.from)
}

/// The last day of the window of the child's step, where it is one of these.
fn ends<'a>(outlook: &'a Outlook, actions: &'a [Action]) -> impl Iterator<Item = Day> + 'a {
    let steps = outlook.steps.iter().filter(|step| step.scope == Scope::Child);
    let steps = steps.filter(|step| actions.contains(&step.action));
    steps.filter_map(|step: &NextStep| Some(step.window?.to))
}

#[test]
fn the_outlook_contains_what_the_rules_find() {
    for (outlook, calls) in MOMENTS.iter() {
        assert_eq!(&outlook.attention, calls);
    }
}

#[test]
fn a_foot_that_is_to_have_its_tenotomy_is_called_where_none_is_booked_and_no_other_is() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        for foot in &outlook.course.feet {
            let to_book = outlook.foot_step(foot.side).map(|step| step.action) == Some(Action::Tenotomy);
            let called =
                calls.iter().any(|call| call.rule == "ready-not-booked" && call.side == Some(foot.side));
            assert_eq!(called, to_book, "{:?} foot as of {}", foot.side, outlook.course.as_of);
            met += usize::from(to_book);
        }
    }
    assert!(met > 0, "no story came to this");
}

#[test]
fn slow_progress_is_called_where_the_plan_is_reviewed_and_nowhere_else() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        for foot in &outlook.course.feet {
            let action = outlook.foot_step(foot.side).map(|step| step.action);
            let called =
                calls.iter().any(|call| call.rule == "slow-progress" && call.side == Some(foot.side));
            // What cannot wait goes before a review of the plan.
            if action != Some(Action::SeeUrgently) {
                assert_eq!(
                    called,
                    action == Some(Action::ReviewSlowProgress),
                    "as of {}",
                    outlook.course.as_of
                );
                met += usize::from(called);
            }
        }
    }
    assert!(met > 0, "no story came to this");
}

#[test]
fn an_early_review_is_overdue_on_the_day_after_the_window_of_its_step() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        for end in ends(outlook, &[Action::EarlyBraceReview]) {
            let overdue: Vec<Day> = from(calls, "early-brace-review-overdue").collect();
            assert_eq!(overdue, [end + 1], "as of {}", outlook.course.as_of);
            met += 1;
        }
    }
    assert!(met > 0, "no story came to this");
}

#[test]
fn a_later_review_is_overdue_on_the_day_after_the_window_of_its_step() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        let reviews = [Action::BraceReview, Action::EndBracing, Action::ReviewAfterBracing];
        let Some(end) = ends(outlook, &reviews).max() else { continue };
        let overdue: Vec<Day> = from(calls, "review-overdue").collect();
        assert_eq!(overdue, [end + 1], "as of {}: {:?}", outlook.course.as_of, outlook.steps);
        met += 1;
    }
    assert!(met > 0, "no story came to this");
}

#[test]
fn the_change_to_nights_is_called_within_the_window_of_its_step_or_before() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        for end in ends(outlook, &[Action::ChangeToNightTime]) {
            let due: Vec<Day> = from(calls, "night-time-due").collect();
            assert!(due.len() == 1 && due[0] <= end, "as of {}: {due:?}", outlook.course.as_of);
            met += 1;
        }
    }
    assert!(met > 0, "no story came to this");
}

#[test]
fn where_nothing_is_to_be_done_nothing_is_called() {
    let mut met = 0;
    for (outlook, calls) in MOMENTS.iter() {
        if !outlook.steps.is_empty() && outlook.steps.iter().all(|step| step.action == Action::Nothing) {
            let lost = matches!(outlook.course.standing, Standing::Lost(_));
            let silent = |rule: &AttentionRule| !lost || !rule.when_lost;
            let spoken = |rule: &AttentionRule| calls.iter().any(|call| call.rule == rule.key);
            assert!(!RULES.iter().any(|rule| silent(rule) && spoken(rule)), "{calls:?}");
            met += 1;
        }
    }
    assert!(met > 0, "no story came to this");
}
