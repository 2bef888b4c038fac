//! A problem with the brace that nobody has settled.
//!
//! # What it finds
//! A heel that slips out of the boot, boots or bar outgrown, a broken brace, or a brace the child does
//! not tolerate, recorded with no word that it is settled. It applies from the day it was noted.
//!
//! # Why it matters
//! A brace that does not fit is a brace that is not worn, and a child who does not wear it relapses
//! about ten times as often.
//!
//! # When it stays silent
//! When a later entry settles it.
//!
//! # Example
//! On 3 May 2024 the heel slips out of the left boot. The call applies from 3 May 2024.
//!
//! # Source
//! Not worn and relapse: odds ratio 10 (5–21), van Schelven 2022, 10.1080/17453674.2021.1982576 (read).
//! What to do within days: common practice, no source.

use super::red_flag::whose;
use super::{Attention, Ground, Rule, Urgency};
use crate::Reason;
use record::ProblemKind;

pub(super) const RULE: Rule = Rule {
    key: "brace-problem",
    words: "brace problem not settled",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    for problem in ground.course.problems.iter().filter(|problem| problem.settled_on.is_none()) {
        use ProblemKind::{BraceBroken, HeelSlipsOut, NotTolerated, Outgrown};
        if !matches!(problem.what, HeelSlipsOut | Outgrown | BraceBroken | NotTolerated) {
            continue;
        }
        let (what, day) = (problem.what.words(), problem.on.words());
        let text = format!("{}: {what}, noted on {day}.", whose(problem));
        let rule = "Mend, refit or replace the brace within days, so that it is worn.";
        let source = "van Schelven 2022, 10.1080/17453674.2021.1982576 (a brace not worn); within days: common practice, no source";
        found.push(RULE.call(
            problem.side,
            problem.on,
            text,
            Reason::new(format!("{what} on {day}"), problem.entry, rule, source),
        ));
    }
}
