//! The next steps in the panel of the visit, before it or as if it were saved.

use crate::{parts, words};
use guidance::NextStep;
use maud::{Markup, html};
use record::{ChildId, Day};

/// What the panel shows.
#[derive(Debug, Clone)]
pub struct PreviewView<'a> {
    /// Whose.
    pub child: ChildId,
    /// The next steps.
    pub steps: &'a [NextStep],
    /// Whether they are as if the form were saved; otherwise they are those before this visit.
    pub as_if_saved: bool,
    /// What saving would be refused or asked for, a sentence each.
    pub remarks: Vec<String>,
}

/// The fragment that stands in the panel.
#[must_use]
pub fn preview(view: &PreviewView<'_>, today: Day) -> Markup {
    let cares = cares(view.steps);
    html! {
        div.preview {
            p.preview-state { @if view.as_if_saved { "Next step if saved as it stands" } @else { "Next step, before this visit" } }
            @for remark in &view.remarks { p.preview-remark { strong { "Look at this: " } (remark) } }
            @if view.steps.is_empty() { p.preview-none { "Nothing is suggested." } }
            ul.preview-steps {
                @for step in parts::without_echo(view.steps) { li {
                    strong { (parts::scope_words(step.scope)) ": " (step.words) }
                    @if let Some(window) = step.window { span.preview-window { " " (words::range(window)) } }
                    @if !step.otherwise.is_empty() { span.preview-other { " · published rules differ" } }
                } }
            }
            @if !cares.is_empty() { p.preview-care { strong { "Take care: " } (cares.join(" ")) } }
        }
        @if !view.steps.is_empty() {
            details.why {
                summary { "Why" @if !cares.is_empty() { ", and what to take care of" } }
                div.preview-cards { @for step in view.steps { (parts::step_card(view.child, step, today, true)) } }
            }
        }
        (parts::caution())
    }
}

/// Every caution of the steps, each once: both feet often share them.
fn cares(steps: &[NextStep]) -> Vec<&str> {
    let mut cares: Vec<&str> = Vec::new();
    for care in steps.iter().flat_map(|step| &step.cautions) {
        if !cares.contains(&care.as_ref()) {
            cares.push(care);
        }
    }
    cares
}
