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
use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, brace_problem, call_text::ProblemStanding, source};
use course::ProblemSeen;
use record::Helped;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "advice-not-helped",
    words: "advice did not help",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachOpenProblem(call),
};

fn call(ground: &Ground<'_>, problem: &ProblemSeen) -> Option<Attention> {
    let advice = problem.advice.last().filter(|advice| advice.helped == Some(Helped::No))?;
    if is_answered(ground, problem) {
        return None;
    }
    let advised = brace_problem::advice_words(&advice.advised);
    let fact = format!("advised on {}: {}", advice.on.words(), advised.trim_end_matches('.'));
    let reason = Reason::new(fact, advice.entry, "Give other advice, or see the child.", source::COMMON);
    let from = advice.helped_on.unwrap_or(advice.on);
    Some(Attention { from, ..RULE.call_problem(problem, ProblemStanding::AdviceNotHelped, reason) })
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
