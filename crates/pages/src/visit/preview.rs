//! The next steps in the panel of the visit: those before the visit, or those if the form were saved.

use crate::{parts, words};
use guidance::NextStep;
use maud::{Markup, html};
use record::{ChildId, Day};

/// The contents of the panel.
#[derive(Debug, Clone)]
pub struct PreviewView<'a> {
    /// The child.
    pub child: ChildId,
    /// The next steps.
    pub steps: &'a [NextStep],
    /// Whether they assume that the form is saved; otherwise they are those before this visit.
    pub as_if_saved: bool,
    /// What would be refused or questioned on saving, one sentence each.
    pub remarks: Vec<String>,
}

/// The HTML fragment of the panel.
#[must_use]
pub fn preview(view: &PreviewView<'_>, today: Day) -> Markup {
    let cautions = cautions(view.steps);
    let (first, rest) = guidance::step::by_gravity(&cautions);
    html! {
        div.preview {
            p.preview-state { @if view.as_if_saved { "Next step if saved now" } @else { "Next step, before this visit" } }
            @for remark in &view.remarks { p.preview-remark { strong { "Check this: " } (remark) } }
            @if view.steps.is_empty() { p.preview-none { "No next step." } }
            ul.preview-steps {
                @for step in guidance::without_echo(view.steps) { li {
                    strong { (parts::scope_words(step.scope)) ": " (step.words) }
                    @if let Some(window) = step.window { span.preview-window { " " (words::range(window)) } }
                    @if !step.otherwise.is_empty() { span.preview-other { " · published rules differ" } }
                } }
            }
            @if !first.is_empty() {
                p.preview-care { strong { "Caution: " } (first.join(" "))
                    @if !rest.is_empty() { " " span.preview-other { (words::count(rest.len() as i64, "more caution", "more cautions")) " under “Why”." } }
                }
            }
        }
        @if !view.steps.is_empty() {
            details.why {
                summary { "Why" @if !cautions.is_empty() { " and cautions" } }
                div.preview-cards { @for step in view.steps { (parts::step_card(view.child, step, today, true)) } }
            }
        }
        (parts::caution())
    }
}

/// Every caution of the steps, without repeats: both feet often share them.
fn cautions(steps: &[NextStep]) -> Vec<&str> {
    let mut cautions: Vec<&str> = Vec::new();
    for caution in steps.iter().flat_map(|step| &step.cautions) {
        if !cautions.contains(&caution.as_ref()) {
            cautions.push(caution);
        }
    }
    cautions
}
