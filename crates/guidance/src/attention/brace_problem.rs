//! A problem with the brace that is not settled.
//!
//! # What it finds
//! A heel that slips out of the boot, boots or bar outgrown, a broken brace, or a brace the child does not
//! tolerate, with no entry that it is settled. It applies from the day it was noted.
//!
//! # Why it matters
//! A brace that does not fit is a brace that is not worn, and a child who does not wear it relapses
//! about ten times as often.
//!
//! # When it stays silent
//! When a later entry settles it. When it was answered: by new boots (outgrown on that day or since, a heel
//! that slips out on a later day), by a repair (broken), by three reviews in the brace since with no problem
//! of the brace, by casts, and at the end of bracing.
//!
//! # Example
//! On 3 May 2024 the heel slips out of the left boot. The call applies from 3 May 2024.
//!
//! # Source
//! Not worn and relapse: odds ratio 10 (5–21), van Schelven 2022, 10.1080/17453674.2021.1982576 (read).
//! What to do within days: common practice, no source.

use super::answered::{self, is_of_the_brace};
use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::ProblemStanding};
use course::ProblemSeen;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "brace-problem",
    words: "brace problem not settled",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachOpenProblem(call),
};

fn call(ground: &Ground<'_>, problem: &ProblemSeen) -> Option<Attention> {
    if !is_of_the_brace(problem.what) || answered::brace_problem(ground, problem) {
        return None;
    }
    let (what, day) = (problem.what.words(), problem.on.words());
    let rule = "Repair, refit or replace the brace within days, so that it is worn.";
    let source = "van Schelven 2022, 10.1080/17453674.2021.1982576 (a brace not worn); within days: common practice, no source";
    let reason = Reason::new(format!("{what} on {day}"), problem.entry, rule, source);
    Some(RULE.call_problem(problem, ProblemStanding::Noted, reason))
}
