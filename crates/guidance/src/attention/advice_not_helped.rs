//! Advice that did not help.
//!
//! # What it finds
//! A problem that is not settled, if the latest entry on the advice given says that it did not help. It
//! applies from the day of that entry.
//!
//! # Why it matters
//! A family that follows advice and sees no effect stops asking, and then stops the brace.
//!
//! # When it stays silent
//! When the problem is settled, or when later treatment answered a problem of the brace; while it is not
//! recorded whether the last advice helped; where it helped, or helped in part.
//!
//! # Example
//! The heel slips out on 3 May 2024 and the family is advised to close the strap first. On 5 May it reports
//! by telephone that this did not help. The call applies from 5 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::answered::{self, is_of_the_brace};
use super::red_flag::whose;
use super::{Attention, AttentionRule, Ground, Urgency};
use crate::{Reason, brace_problem};
use course::ProblemSeen;
use record::Helped;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "advice-not-helped",
    words: "advice did not help",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let open = |problem: &&ProblemSeen| problem.settled_on.is_none() && !is_answered(ground, problem);
    for problem in ground.course.problems.iter().filter(open) {
        let Some(advice) = problem.advice.last().filter(|advice| advice.helped == Some(Helped::No)) else {
            continue;
        };
        let advised = brace_problem::advice_words(&advice.advised);
        let (what, day) = (problem.what.words(), problem.on.words());
        let text = format!("{}: {what}, noted on {day}; the advice given did not help.", whose(problem));
        let fact = format!("advised on {}: {}", advice.on.words(), advised.trim_end_matches('.'));
        let rule = "Give other advice, or see the child.";
        let reason = Reason::new(fact, advice.entry, rule, "common practice, no source");
        let from = advice.helped_on.unwrap_or(advice.on);
        found.push(RULE.call(problem.side, from, text, reason));
    }
}

/// Whether later treatment answers the problem.
fn is_answered(ground: &Ground<'_>, problem: &ProblemSeen) -> bool {
    if is_of_the_brace(problem.what) {
        return answered::brace_problem(ground, problem);
    }
    answered::examined_after(ground, problem).is_some() && answered::good_reviews(ground, problem.on)
}

/// Whether a call of this rule is about a problem of the brace.
pub(super) fn is_about_the_brace(ground: &Ground<'_>, call: &Attention) -> bool {
    let entry = call.because.first().and_then(|reason| reason.entry);
    let problems = ground.course.problems.iter().filter(|problem| is_of_the_brace(problem.what));
    problems.into_iter().any(|problem| problem.advice.iter().any(|advice| Some(advice.entry) == entry))
}
