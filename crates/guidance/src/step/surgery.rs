//! After surgery other than a tenotomy.

use super::{Action, NextStep, StepText, view::View};
use crate::{Reason, source};
use record::{Day, DayRange};

/// Review after surgery: the first within six weeks, then as in the brace.
pub(crate) fn step(view: &View<'_>) -> NextStep {
    let scope = view.scope();
    let Some(surgery) = view.foot.surgery.last() else {
        let rule = "Record the operation and its day.";
        let fact = "After surgery; the operation is not recorded.";
        let reason = Reason::new(fact, view.phase_entry(), rule, source::COMMON);
        return NextStep::of(scope, Action::ReviewAfterSurgery, StepText::ReviewAfterSurgery, None, reason);
    };
    let (window, rule, from) = review(view, surgery.on);
    let fact = format!("{} on {}.", capital(surgery.procedure.words()), surgery.on.words());
    let reason = Reason::new(fact, surgery.entry, rule, from);
    let step =
        NextStep::of(scope, Action::ReviewAfterSurgery, StepText::ReviewAfterSurgery, Some(window), reason);
    step.cautions(["The surgeon's plan takes precedence (common practice, no source).".into()])
}

/// The days of the next review after surgery on a day, the rule and its source.
fn review(view: &View<'_>, operated_on: Day) -> (DayRange, String, &'static str) {
    let protocol = view.protocol;
    let span = protocol.surgery_review_days;
    let (first, last) = (operated_on + i32::from(span.low), operated_on + i32::from(span.high));
    let Some(seen) = view.course.last_seen().filter(|&day| day >= first) else {
        let rule = format!("Review {span} days after surgery.");
        return (DayRange::new(first, last), rule, protocol.source("surgery.review_days"));
    };
    let due = protocol.next_review(seen, view.born());
    let window = DayRange::new(due, due + i32::from(protocol.review_days_after));
    let rule = "Already reviewed; the next review is due at the usual interval of later reviews.";
    (window, rule.to_owned(), protocol.source("bracing.review_months_under_3y"))
}

pub(crate) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
