//! A later review that is overdue.
//!
//! # What it finds
//! A child in the brace, past the early reviews, or after bracing or surgery, who has not been seen within
//! the interval for the child's age plus the days of grace. It applies from the day after.
//!
//! # Why it matters
//! Reviews find relapse early enough to treat it with casts alone. Half of all relapses come after the second
//! birthday.
//!
//! # When it stays silent
//! While early reviews are outstanding (they have their own rule), in casting, before any visit. If bracing
//! ends within the days of the review, the end counts as its day. If the day of birth is not known the
//! shortest interval counts, so that a gap in the record delays nothing.
//!
//! # Example
//! A child of two is seen on 3 May 2024. The next review is due 4 months later, on 3 September, and may be up
//! to 28 days late: until 1 October. The call applies from 2 October 2024.
//!
//! # Source
//! Every 4 months to 3 years, every 6 months to 4 years, then every 1 to 2 years: handbook, 3rd edition
//! (from memory). The days of grace: common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::VisitCallText, loss::is_at_later_reviews};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "review-overdue",
    words: "review overdue",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let seen = ground.course.last_seen().filter(|_| is_at_later_reviews(ground.course, ground.protocol))?;
    let born = ground.course.about.born;
    let in_brace = ground.course.brace_now().is_some();
    let due = ground.protocol.review_due(seen, born, in_brace);
    let from = ground.protocol.review_in_time_until(seen, born, in_brace) + 1;
    let months = ground.protocol.review_months(seen, born);
    let text = CallText::Visit(VisitCallText::ReviewOverdue { seen, due });
    let age = if born.is_some() { "at this age" } else { "if the age is not known" };
    let rule = format!(
        "A review every {months} months {age}, at most {} days late.",
        ground.protocol.review_days_after
    );
    let reason = Reason::new(
        format!("last seen on {}", seen.words()),
        None,
        rule,
        ground.protocol.review_source(months),
    );
    Some(RULE.call(None, from, text, reason))
}
