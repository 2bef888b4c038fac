//! An early review in the brace that is overdue.
//!
//! # What it finds
//! The first of the early reviews (at 1, 6 and 12 weeks after the fitting) for which the child has not been
//! seen, from the day after its window. A visit counts for a review from the first day of its window on, and
//! for every review before it.
//!
//! # Why it matters
//! In the first weeks families give up: the child cries, the heel slips out, the skin is sore. Seen in time,
//! all of these can be corrected.
//!
//! # When it stays silent
//! When the child has been seen for all of them; when no brace is worn, also if one foot is cast again and
//! the brace waits.
//!
//! # Example
//! The brace is fitted on 3 May 2024. The review at 1 week is due on 10 May and may be up to 7 days late; the
//! call applies from 18 May 2024 (3 + 7 + 7 + 1).
//!
//! # Source
//! 1 + 5 + 6 weeks: common practice, no source. The handbook has 2 weeks and 3 months (from memory).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::VisitCallText, words::weeks};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "early-brace-review-overdue",
    words: "early brace review overdue",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let since = ground.bracing_since()?;
    // The fitting itself is not a review, even if a review may come very soon after it.
    let open = |from_days: i32| since + from_days.max(1);
    let review = ground.protocol.early_reviews().find(|review| !ground.seen_from(open(review.from_days)))?;
    let (due, fitted) = (since + review.due_days, since.words());
    let text = CallText::Visit(VisitCallText::EarlyReviewOverdue { week: review.week, due });
    let rule = format!(
        "Review {} after the fitting, at most {} days late.",
        weeks(review.week),
        ground.protocol.early_review_days_after
    );
    let entry =
        ground.course.braces.iter().find(|spell| spell.bracing_since == since).map(|spell| spell.entry);
    let source = ground.protocol.source("bracing.early_reviews_weeks");
    let reason = Reason::new(format!("brace fitted on {fitted}"), entry, rule, source);
    Some(RULE.call(None, since + review.to_days + 1, text, reason))
}
