//! What comes next, one card for both feet where they are alike.

use crate::parts;
use guidance::{Action, NextStep, Outlook, Reason};
use maud::{Markup, html};

/// The next steps of the child and of each foot, with their reasons folded.
pub(super) fn next(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let every = outlook.steps_on(course.as_of);
    let due = guidance::without_echo(&every).into_iter();
    let steps: Vec<&NextStep> = due.filter(|step| step.action != Action::Nothing).collect();
    html! {
        section.child-next aria-labelledby="next-head" {
            h2 id="next-head" { "What comes next" }
            (parts::step_cards(course.child, &steps, course.as_of))
            @if steps.is_empty() { (nothing_due(outlook)) }
        }
    }
}

fn nothing_due(outlook: &Outlook) -> Markup {
    html! {
        @if outlook.steps.is_empty() && outlook.course.feet.is_empty() {
            p { "No affected foot is recorded yet. Record a diagnosis or a visit to see the next step." }
        } @else {
            p { "Nothing is due." }
            (parts::reason_list(outlook.course.child, &distinct(outlook)))
        }
    }
}

/// The reasons of all steps, each once.
fn distinct(outlook: &Outlook) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Vec::new();
    for reason in outlook.steps.iter().flat_map(|step| &step.because) {
        if !reasons.contains(reason) {
            reasons.push(reason.clone());
        }
    }
    reasons
}
