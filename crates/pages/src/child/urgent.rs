//! Calls for attention, the urgent ones open, and open questions about the record.

use crate::{parts, words};
use guidance::{Attention, Outlook};
use maud::{Markup, html};

/// What is urgent stands open; everything else is one tap away.
pub(super) fn urgent(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let as_of = course.as_of;
    let (now, later): (Vec<&Attention>, Vec<&Attention>) =
        outlook.attention.iter().filter(|call| call.lasts_to(as_of)).partition(|call| call.from <= as_of);
    let is_urgent = |call: &&Attention| call.is_listed(as_of) && call.urgency.within_days().is_some();
    let (mut urgent, others): (Vec<&Attention>, Vec<&Attention>) = now.into_iter().partition(is_urgent);
    urgent.sort_by_key(|call| (call.urgency, call.from));
    html! {
        section.child-attention.child-urgent[!urgent.is_empty()].calm[urgent.is_empty()] aria-labelledby="attention-head" {
            h2 id="attention-head" { "Needs attention" }
            @if urgent.is_empty() { p.nothing-urgent { "Nothing urgent on " (words::day(as_of)) "." } }
            (calls(outlook, &urgent))
            (folded(outlook, &others, &later))
        }
    }
}

fn calls(outlook: &Outlook, calls: &[&Attention]) -> Markup {
    let course = &outlook.course;
    html! {
        @if !calls.is_empty() {
            ul.calls { @for call in calls { (parts::attention_row(course.child, call, None, course.as_of)) } }
        }
    }
}

/// Calls that are not urgent, and those that will apply later.
fn folded(outlook: &Outlook, others: &[&Attention], later: &[&Attention]) -> Markup {
    let now = format!("{} not urgent", others.len());
    let then = format!("{} later, if nothing more is recorded", later.len());
    let counts = [(others.is_empty(), now), (later.is_empty(), then)];
    let shown: Vec<String> = counts.into_iter().filter(|(none, _)| !none).map(|(_, words)| words).collect();
    html! {
        @if !shown.is_empty() {
            details.later {
                summary { (words::capital(&shown.join(", "))) }
                @if !others.is_empty() { h3 { "Not urgent" } }
                (calls(outlook, others))
                @if !later.is_empty() { h3 { "Later, if nothing more is recorded" } }
                (calls(outlook, later))
            }
        }
    }
}

/// Contradictions and gaps; nothing where the entries are consistent.
pub(super) fn questions(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    html! {
        @if !course.questions.is_empty() {
            section.card aria-labelledby="questions-head" {
                h2 id="questions-head" { "Open questions" }
                p.hint { "Contradictions and gaps in the entries. Correct or withdraw the entry that is wrong; a question that needs no change may stay open." }
                ul.questions { @for question in &course.questions { (parts::question_row(course.child, question)) } }
            }
        }
    }
}
