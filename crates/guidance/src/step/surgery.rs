//! After surgery other than a tenotomy.

use super::{Action, NextStep, view::View};
use crate::{Reason, source};
use record::DayRange;

/// Review after surgery: the first within six weeks, then as in the brace.
pub(crate) fn step(view: &View<'_>) -> NextStep {
    let Some(surgery) = view.foot.surgery.last() else {
        let reason = Reason::new(
            "After surgery; the operation is not recorded.",
            view.phase_entry(),
            "Record the operation and its day.",
            source::COMMON,
        );
        return NextStep::of(view.scope(), Action::ReviewAfterSurgery, "Review after surgery", None, reason);
    };
    let protocol = view.protocol;
    let fact = format!("{} on {}.", capital(surgery.procedure.words()), surgery.on.words());
    let span = protocol.surgery_review_days;
    let (first, last) = (surgery.on + i32::from(span.low), surgery.on + i32::from(span.high));
    let seen = view.course.last_seen().filter(|&day| day >= first);
    let (window, rule, from) = match seen {
        None => (
            DayRange::new(first, last),
            format!("Review {span} days after surgery."),
            protocol.source("surgery.review_days"),
        ),
        Some(seen) => {
            let due = protocol.next_review(seen, view.born());
            (
                DayRange::new(due, due + i32::from(protocol.review_days_after)),
                "Already reviewed; the next review is due at the usual interval of later reviews.".to_owned(),
                protocol.source("bracing.review_months_under_3y"),
            )
        }
    };
    let reason = Reason::new(fact, surgery.entry, rule, from);
    let step =
        NextStep::of(view.scope(), Action::ReviewAfterSurgery, "Review after surgery", Some(window), reason);
    step.cautions(["The surgeon's plan takes precedence (common practice, no source).".into()])
}

pub(crate) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
