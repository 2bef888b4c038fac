//! Next steps and their reasons.

use crate::{
    ink::{Drawn, Ink},
    words,
};
use course::Phase;
use guidance::{CAUTION, NextStep, Reason, Scope};
use maud::{Markup, Render, html};
use record::{ChildId, Day, Side};

/// The caution shown on every page that suggests a step.
#[must_use]
pub fn caution() -> Markup {
    html! { p.caution { (CAUTION) } }
}

/// "Right foot", "Left foot", "Child".
#[must_use]
pub const fn scope_words(scope: Scope) -> &'static str {
    match scope {
        Scope::Foot(record::Side::Right) => "Right foot",
        Scope::Foot(record::Side::Left) => "Left foot",
        Scope::Child => "Child",
    }
}

/// Reasons, each with fact, rule and source; the fact links to its entry.
#[must_use]
pub fn reason_list(child: ChildId, reasons: &[Reason]) -> impl Render {
    Drawn(move |ink| {
        ink.tag("<ul class=\"reasons\">");
        reasons.iter().for_each(|reason| reason_row(ink, child, reason));
        ink.tag("</ul>");
    })
}

fn reason_row(ink: &mut Ink<'_>, child: ChildId, reason: &Reason) {
    ink.tag("<li><span class=\"fact\">");
    match reason.entry {
        Some(entry) => {
            ink.tag("<a href=\"").entry_href(child, entry).tag("\">").text(&reason.fact).tag("</a>")
        }
        None => ink.text(&reason.fact),
    };
    ink.tag("</span> <span class=\"rule\">").text(&reason.rule);
    ink.tag("</span> <cite class=\"source\">Source: ").text(&reason.source).tag("</cite></li>");
}

/// A step with its window, cautions, reasons and the answers of other published rules. With `open` the reasons
/// are unfolded.
#[must_use]
pub fn step_card(child: ChildId, step: &NextStep, today: Day, open: bool) -> Markup {
    card(child, scope_words(step.scope), &[step], today, open)
}

/// Cards of several steps. The two feet share one card where their steps differ in nothing but their reasons.
#[must_use]
pub fn step_cards(child: ChildId, steps: &[&NextStep], today: Day) -> Markup {
    let foot = |side: Side| steps.iter().copied().find(|step| step.scope == Scope::Foot(side));
    let both = foot(Side::Right).zip(foot(Side::Left)).filter(|(right, left)| alike(right, left));
    html! {
        div.steps {
            @if let Some((right, left)) = both { (card(child, "Both feet", &[right, left], today, false)) }
            @for step in steps.iter().filter(|step| both.is_none() || step.scope == Scope::Child) {
                (step_card(child, step, today, false))
            }
        }
    }
}

/// Whether two steps differ in nothing but their foot and their reasons.
fn alike(one: &NextStep, other: &NextStep) -> bool {
    one.action == other.action
        && one.words == other.words
        && one.window == other.window
        && one.cautions == other.cautions
        && one.otherwise == other.otherwise
}

/// One card for steps that are alike; the reasons of each are listed.
fn card(child: ChildId, scope: &str, steps: &[&NextStep], today: Day, open: bool) -> Markup {
    let Some(step) = steps.first() else { return html! {} };
    let same = steps.iter().all(|other| other.because == step.because);
    let shown = if same { steps.get(..1).unwrap_or_default() } else { steps };
    html! {
        section.step {
            h3.step-head { span.scope { (scope) } span.sr { ": " } span.step-words { (step.words) } }
            (step_window(step, today))
            @for caution in &step.cautions { p.step-caution { strong { "Caution: " } (caution) } }
            @if !step.otherwise.is_empty() {
                details.why.otherwise open[open] {
                    summary { "Another published rule gives a different answer" span.sr { ": " (scope) ", " (step.words) } }
                    (reason_list(child, &step.otherwise))
                }
            }
            @if !step.because.is_empty() {
                details.why open[open] {
                    summary { "Why" span.sr { ": " (scope) ", " (step.words) } }
                    @for each in shown {
                        @if shown.len() > 1 { p.why-foot { (scope_words(each.scope)) } }
                        (reason_list(child, &each.because))
                    }
                }
            }
        }
    }
}

fn step_window(step: &NextStep, today: Day) -> Markup {
    html! {
        @match step.window {
            Some(window) => p.step-when { (words::window(window, today)) },
            None => p.step-when { "no due date" },
        }
    }
}

/// A step on one line, for lists: foot, words, window.
#[must_use]
pub fn step_line(step: &NextStep, today: Day) -> Markup {
    html! {
        span.step-line {
            span.scope { (scope_words(step.scope)) ":" } " " strong { (step.words) }
            @if let Some(window) = step.window { " " (words::window(window, today)) }
        }
    }
}

/// The steps without the child's step where it only repeats the step of a foot in the same window.
#[must_use]
pub fn without_echo(steps: &[NextStep]) -> Vec<&NextStep> {
    let echoes = |step: &NextStep| {
        let same = |foot: &NextStep| {
            foot.scope != Scope::Child && foot.action == step.action && foot.window == step.window
        };
        step.scope == Scope::Child && steps.iter().any(same)
    };
    steps.iter().filter(|step| !echoes(step)).collect()
}

/// Phase and next step of each foot, for lists.
#[must_use]
pub fn feet_lines(feet: &[(Side, Phase)], steps: &[NextStep], today: Day) -> Markup {
    html! {
        ul.feet-lines {
            @for (side, phase) in feet { li { span.scope { (side.title()) " foot:" } " " (phase.words()) } }
        }
        @if !steps.is_empty() {
            ul.day-steps aria-label="Next steps" {
                @for step in without_echo(steps) { li { (step_line(step, today)) } }
            }
        }
    }
}
