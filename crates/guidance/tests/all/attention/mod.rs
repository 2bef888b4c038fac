//! Attention: tests of every rule, and properties of all of them.

mod agreement;
mod brace;
mod casts;
mod doubt;
mod ends;
mod fit;
mod level;
mod lost;
mod put_off;
mod registry;
mod scores;
mod settings;
mod tenotomy;
mod visits;
mod wear;

use crate::story::{Story, day};
use guidance::{
    Attention, Outlook, Protocol,
    attention::{CallPlace, find_all},
    brace::settings_check,
};
use std::io::Write;

/// Names the file to which [`begins`] and [`silent`] add a line for every rule that they have checked.
const CHECKED_RULES: &str = "PLANTIGRADE_CHECKED_RULES";

/// Records that a check of a rule ran and passed, where `registry::every_rule_is_tested` counts them.
fn passed(check: &str, rule: &str) {
    let Some(path) = std::env::var_os(CHECKED_RULES) else { return };
    let mut file = std::fs::OpenOptions::new().append(true).open(path).unwrap();
    // One write per line: tests run in parallel, and an appended write is not torn.
    file.write_all(format!("{check} {rule}\n").as_bytes()).unwrap();
}

/// The calls of every rule, as known on a day under a protocol.
pub fn found(story: &Story, as_of: &str, protocol: &Protocol) -> Vec<Attention> {
    let Outlook { course, feet, .. } = story.under(as_of, protocol);
    find_all(&course, &feet, &settings_check(&course, protocol), protocol)
}

/// The calls of one rule, as known on a day.
pub fn calls(story: &Story, as_of: &str, rule: &str) -> Vec<Attention> {
    let mut calls = found(story, as_of, &Protocol::built_in());
    calls.retain(|call| call.rule == rule);
    calls
}

/// The only call of a rule, as known on a day, without its part on the lost list.
#[track_caller]
pub fn one(story: &Story, as_of: &str, rule: &str) -> Attention {
    let mut calls = calls(story, as_of, rule);
    calls.retain(|call| call.place != CallPlace::Lost);
    assert_eq!(calls.len(), 1, "one call of {rule} is expected: {calls:?}");
    calls.remove(0)
}

/// The rule has no call, now or later.
#[track_caller]
pub fn silent(story: &Story, as_of: &str, rule: &str) {
    assert_eq!(calls(story, as_of, rule), Vec::new(), "{rule} is expected to be silent on {as_of}");
    passed("silent", rule);
}

/// The rule applies from a day: not on the day before, on the day, on the day after, each time with what
/// was known then; and if it is known beforehand it gives the same day.
#[track_caller]
pub fn begins(story: &Story, rule: &str, expected: &str) {
    let expected = day(expected);
    for (offset, applies) in [(-1, false), (0, true), (1, true)] {
        let as_of = expected + offset;
        let calls = calls(story, &as_of.to_string(), rule);
        let on = calls.iter().any(|call| call.from <= as_of);
        assert_eq!(on, applies, "{rule} on {as_of}, {offset} from the day expected: {calls:?}");
        assert!(calls.iter().all(|call| call.from == expected), "{rule} as known on {as_of}: {calls:?}");
    }
    passed("begins", rule);
}

/// The calls of a rule that are in the list on a day, as known on that day.
pub fn listed(story: &Story, as_of: &str, rule: &str) -> Vec<Attention> {
    let mut calls = calls(story, as_of, rule);
    calls.retain(|call| call.is_listed(day(as_of)));
    calls
}

/// Whether a rule has a call in the list on a day, case by case: the name of the case, what is recorded, the
/// day, and whether the call is expected.
#[track_caller]
pub fn expect_listed(rule: &str, before: &Story, cases: &[(&str, &str, &str, bool)]) {
    for (words, rows, as_of, expected) in cases {
        let found = listed(&with(before, rows), as_of, rule);
        assert_eq!(!found.is_empty(), *expected, "{rule}: {words}, on {as_of}: {found:?}");
    }
}

/// A story with further rows.
pub fn with(story: &Story, rows: &str) -> Story {
    let mut story = story.clone();
    for row in rows.lines().map(str::trim).filter(|row| !row.is_empty()) {
        crate::sheet::write(&mut story, row).unwrap_or_else(|error| panic!("{row}: {error}"));
    }
    story
}
