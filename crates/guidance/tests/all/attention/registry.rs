//! Properties of every rule.

use super::found;
use crate::story::{Story, day};
use guidance::{Protocol, Urgency, attention::RULES};
use std::{collections::BTreeSet, fs, path::Path};

const HEADINGS: [&str; 5] =
    ["# What it finds", "# Why it matters", "# When it stays silent", "# Example", "# Source"];
/// Files next to the rules that contain no rule.
const OTHERS: [&str; 9] =
    ["mod", "rule", "ground", "answered", "ending", "lost", "lost_routine", "put_off", "worst"];

/// The name and text of every rule file.
fn files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/attention");
    let mut files: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .map(|path| {
            (path.file_stem().unwrap().to_str().unwrap().to_owned(), fs::read_to_string(&path).unwrap())
        })
        .filter(|(name, _)| !OTHERS.contains(&name.as_str()))
        .collect();
    files.sort();
    files
}

/// The `//!` text at the head of a file, a line each.
fn head(text: &str) -> Vec<&str> {
    text.lines().map_while(|line| line.strip_prefix("//!")).map(str::trim).collect()
}

#[test]
fn every_rule_has_its_five_headings_each_with_text() {
    for (name, text) in files() {
        let head = head(&text);
        let found: Vec<&str> = head.iter().copied().filter(|line| line.starts_with('#')).collect();
        assert_eq!(found, HEADINGS, "the headings of {name}");
        for pair in head.windows(2) {
            assert!(!HEADINGS.contains(&pair[0]) || !pair[1].is_empty(), "{name}: {} is empty", pair[0]);
        }
        assert!(!head[0].is_empty(), "{name} begins with what it is");
    }
}

#[test]
fn every_file_is_registered_once_under_its_own_name() {
    let names: BTreeSet<String> = files().into_iter().map(|(name, _)| name.replace('_', "-")).collect();
    let keys: BTreeSet<String> = RULES.iter().map(|rule| rule.key.to_owned()).collect();
    assert_eq!(keys, names);
    assert_eq!(keys.len(), RULES.len(), "no key is registered twice");
}

/// Runs the tests of the rules again in a process of their own and counts the checks that passed there, so
/// that a test that is ignored, commented out or never reached does not count.
#[test]
fn every_rule_is_tested() {
    let folder = tempfile::tempdir().unwrap();
    let checked = folder.path().join("checked");
    fs::write(&checked, "").unwrap();
    let run = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["attention::", "--skip", "every_rule_is_tested", "--quiet"])
        .env(super::CHECKED_RULES, &checked)
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stdout));
    let checked = fs::read_to_string(checked).unwrap();
    let checked: BTreeSet<&str> = checked.lines().collect();
    for check in ["begins", "silent"] {
        for rule in RULES {
            let name = format!("{check} {}", rule.key);
            assert!(checked.contains(name.as_str()), "no test that ran has checked: {name}");
        }
    }
}

#[test]
fn no_rule_mentions_today_or_a_span_up_to_it() {
    for (name, text) in files() {
        let code: String = text.lines().filter(|line| !line.starts_with("//!")).collect();
        assert!(!code.contains("as_of.words") && !code.contains("days ago"), "{name}");
    }
}

/// A child for whom nearly every rule has a call.
pub fn much_to_say() -> Vec<Story> {
    let casting = "2024-01-05 | | referred | |
        2024-01-05 | right | score | 1 1 1 / 1 1 1
        2024-01-05 | both | cast | |
        2024-01-08 | right | cast off | slipped
        2024-01-09 | right | cast | |
        2024-01-12 | right | cast off | slipped
        2024-01-12 | right | cast | |
        2024-01-19 | right | cast | |
        2024-01-26 | right | score | 1 1 1 / 1 1 1
        2024-01-26 | right | cast | |
        2024-01-26 | left | score | 0 0 0 / 1 1 1
        2024-01-26 | left | cast | |
        2024-01-27 | right | problem | toes dark, white or cold
        2024-01-27 | right | problem | toes not seen
        2024-01-27 | | appointment | for 2024-02-02; cast";
    let waiting = "2024-01-05 | | referred | |
        2024-01-05 | both | cast | |
        2024-01-12 | right | tenotomy booked | for 2024-01-19
        2024-01-12 | left | cast off | as planned";
    let bracing = "2024-01-05 | | registered | born 2024-01-01
        2024-01-05 | right | cast | |
        2024-03-01 | | brace | full time
        2024-03-01 | left | diagnosis | idiopathic
        2024-03-08 | right | score | 0 0 0 / ½ 0 0
        2024-03-08 | right | movement | dorsiflexion 30
        2024-04-05 | right | score | 1 0 0 / ½ 1 0
        2024-04-05 | right | movement | dorsiflexion 5
        2024-04-05 | right | problem | brace broken";
    let nights = "2020-01-10 | | registered | born 2020-01-01
        2020-01-10 | right | cast | |
        2020-03-06 | | brace | full time
        2020-05-29 | | brace | nights and naps";
    let apart = "2024-01-05 | both | cast | |
        2024-03-01 | | brace | full time
        2024-05-03 | right | cast | |";
    let stopped = "2020-01-10 | | registered | born 2020-01-01
        2020-01-10 | right | cast | |
        2020-03-06 | | brace | full time
        2022-03-06 | | brace changed | bracing stopped";
    let bracing = format!(
        "{bracing}\n2024-03-08 | right | movement | length 90
        2024-03-08 | | shoulders | width 190; over the arms
        2024-03-09 | | brace | full time; boots 96; bar 150
        2024-04-05 | right | movement | supination in swing; dorsiflexion 5"
    );
    let bracing = bracing.as_str();
    let mut stories = [casting, waiting, bracing, nights, stopped, apart].map(Story::rows).to_vec();
    let walking = record::Walking { ankle: Some(1), pain: Some(1), shoes: Some(1), carer: Some(1) };
    let low = record::Assessment { walking, ..record::Assessment::of(record::Side::Right) };
    stories[3].add(day("2022-05-29"), low);
    let (advised, helped) = (Some("routine".to_owned()), Some(record::Helped::No));
    let cries = record::Problem { advised, helped, ..record::Problem::of(record::ProblemKind::NotTolerated) };
    stories[2].add(day("2024-04-05"), cries);
    stories.extend(super::wear::much_to_say());
    stories.extend(super::doubt::much_to_say());
    stories.push(super::settings::much_to_say());
    stories.extend(super::level::much_to_say());
    stories.extend(super::ends::much_to_say());
    stories
}

const LATE: &str = "2026-01-01";

#[test]
fn the_stories_together_make_every_rule_speak() {
    let protocol = Protocol::built_in();
    let stories = much_to_say();
    let spoken: BTreeSet<&str> =
        stories.iter().flat_map(|story| found(story, LATE, &protocol)).map(|call| call.rule).collect();
    let all: BTreeSet<&str> = RULES.iter().map(|rule| rule.key).collect();
    assert_eq!(spoken, all);
}

#[test]
fn a_child_discharged_transferred_or_dead_is_silent_in_every_rule() {
    for story in much_to_say() {
        for end in ["discharged", "transferred", "died"] {
            let ended = super::with(&story, &format!("2025-06-01 | | {end} | |"));
            assert_eq!(found(&ended, LATE, &Protocol::built_in()), Vec::new(), "{end}");
        }
    }
}

#[test]
fn a_child_declared_lost_is_silent_but_for_the_rules_that_say_so() {
    let speaking: BTreeSet<&str> = RULES.iter().filter(|rule| rule.when_lost).map(|rule| rule.key).collect();
    for story in much_to_say() {
        let lost = super::with(&story, "2025-06-01 | | declared lost | |");
        let calls = found(&lost, LATE, &Protocol::built_in());
        assert!(calls.iter().all(|call| speaking.contains(call.rule)), "{calls:?}");
        assert!(calls.iter().any(|call| call.rule == "contact-lost"), "the declaration is shown");
    }
}

#[test]
fn calls_come_soonest_first_each_with_its_reasons_and_their_source() {
    for story in much_to_say() {
        let calls = found(&story, LATE, &Protocol::built_in());
        assert!(calls.is_sorted_by_key(|call| (call.from, call.urgency)));
        for call in &calls {
            assert!(!call.text.words().is_empty() && !call.because.is_empty(), "{call:?}");
            for reason in &call.because {
                assert!(
                    !reason.fact.is_empty() && !reason.rule.is_empty() && !reason.source.is_empty(),
                    "{call:?}"
                );
            }
        }
    }
}

#[test]
fn calls_do_not_depend_on_the_requested_day() {
    // Nothing more is recorded between the two days, so every answer must be the same.
    for story in much_to_say() {
        let last = story.entries.iter().map(|entry| entry.on).max().unwrap();
        let protocol = Protocol::built_in();
        let at_once = found(&story, &last.to_string(), &protocol);
        assert_eq!(at_once, found(&story, &(last + 1).to_string(), &protocol));
        assert_eq!(at_once, found(&story, &(last + 4000).to_string(), &protocol));
    }
}

#[test]
fn an_empty_record_has_no_calls() {
    assert_eq!(found(&Story::default(), LATE, &Protocol::built_in()), Vec::new());
}

#[test]
fn the_urgencies_are_in_order() {
    let ranks: Vec<u8> = Urgency::ALL.iter().map(|urgency| urgency.rank()).collect();
    assert_eq!(ranks, [0, 1, 2, 3]);
}
