//! Advice that did not help.
//!
//! # What it finds
//! A problem that nobody has settled and of which the last word on what was advised is that it did not
//! help, from the day on which it was noted.
//!
//! # Why it matters
//! A family that was told what to do and sees that it does nothing stops asking, and then stops the brace.
//!
//! # When it stays silent
//! When the problem is settled; while nobody has said whether the last advice helped; where it helped, or
//! helped in part.
//!
//! # Example
//! The heel slips out on 3 May 2024, the strap is drawn first, and on the telephone it is said that this
//! did not help. The call applies from 3 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::red_flag::whose;
use super::{Attention, Ground, Rule, Urgency};
use crate::{Reason, trouble};
use record::Helped;

pub(super) const RULE: Rule = Rule {
    key: "advice-not-helped",
    words: "advice did not help",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    for problem in ground.course.problems.iter().filter(|problem| problem.settled_on.is_none()) {
        let Some(advice) = problem.advice.last().filter(|advice| advice.helped == Some(Helped::No)) else {
            continue;
        };
        let advised = trouble::advice_words(&advice.advised);
        let (what, day) = (problem.what.words(), problem.on.words());
        let text = format!("{}: {what}, noted on {day}; what was advised did not help.", whose(problem));
        let fact = format!("advised on {}: {}", advice.on.words(), advised.trim_end_matches('.'));
        let rule = "Advise something else, or see the child.";
        let reason = Reason::new(fact, advice.entry, rule, "common practice, no source");
        found.push(RULE.call(problem.side, problem.on, text, reason));
    }
}
