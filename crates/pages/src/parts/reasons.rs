//! Next steps and their reasons.

use crate::{
    in_language::PageLanguage,
    ink::{Drawn, Ink},
    words,
};
use course::Phase;
use guidance::{CAUTION, NextStep, Reason, Scope, step, without_echo};
use maud::{Markup, Render, html};
use record::{ChildId, Day, Side};
use std::borrow::Cow;

/// The caution shown on every page that suggests a step.
#[must_use]
pub fn caution() -> Markup {
    html! { p.caution { (CAUTION) } }
}

/// The same on a page in a language.
#[must_use]
pub fn caution_in(language: PageLanguage) -> Markup {
    html! { p.caution { (language.named("caution")) } }
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
    Card { child, scope: scope_words(step.scope), today, open, said: &[] }.draw(&[step])
}

/// Cards of several steps. The two feet share one card where their steps differ in nothing but their reasons;
/// otherwise a caution that both have is shown once, after them. The child's own card repeats no caution of a foot.
#[must_use]
pub fn step_cards(child: ChildId, steps: &[&NextStep], today: Day) -> Markup {
    let foot = |side: Side| steps.iter().copied().find(|step| step.scope == Scope::Foot(side));
    let pair = foot(Side::Right).zip(foot(Side::Left));
    let both = pair.filter(|(right, left)| alike(right, left));
    let common = pair.filter(|_| both.is_none()).map(common_cautions).unwrap_or_default();
    let of_feet = steps.iter().filter(|step| step.scope != Scope::Child);
    let every: Vec<_> = of_feet.clone().flat_map(|step| step.cautions.iter().cloned()).collect();
    let own = steps.iter().filter(|step| step.scope == Scope::Child);
    let card = |scope: &'static str| Card { child, scope, today, open: false, said: &common };
    html! {
        div.steps {
            @if let Some((right, left)) = both { (card("Both feet").draw(&[right, left])) }
            @else { @for step in of_feet { (card(scope_words(step.scope)).draw(&[step])) } }
            // What the cards of the feet caution against is not said again for the child.
            @for step in own { (Card { said: &every, ..card(scope_words(step.scope)) }.draw(&[step])) }
            @if !common.is_empty() {
                @let common: Vec<&str> = common.iter().map(AsRef::as_ref).collect();
                div.step-common { (cautions("Caution, both feet: ", &common, false, &html! {})) }
            }
        }
    }
}

/// Cautions with the gravest first; the others are folded, with their number.
fn cautions(begins: &str, all: &[&str], open: bool, about: &Markup) -> Markup {
    let (first, rest) = step::by_gravity(all);
    let one = |caution: &str| html! { p.step-caution { strong { (begins) } (caution) } };
    html! {
        @for caution in first { (one(caution)) }
        @if !rest.is_empty() {
            details.why.cautions-more open[open] {
                summary { (words::count(rest.len() as i64, "more caution", "more cautions")) (about) }
                @for caution in rest { (one(caution)) }
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

/// The cautions that both steps have.
fn common_cautions((one, other): (&NextStep, &NextStep)) -> Vec<Cow<'static, str>> {
    one.cautions.iter().filter(|caution| other.cautions.contains(caution)).cloned().collect()
}

/// A card of one step, or of steps that are alike.
struct Card<'a> {
    child: ChildId,
    scope: &'static str,
    today: Day,
    open: bool,
    /// Cautions that are shown elsewhere.
    said: &'a [Cow<'static, str>],
}

impl Card<'_> {
    fn draw(&self, steps: &[&NextStep]) -> Markup {
        let Some(step) = steps.first() else { return html! {} };
        let class = if step.scope == Scope::Child { "step step-child" } else { "step" };
        let own = step.cautions.iter().filter(|caution| !self.said.contains(caution));
        let own: Vec<&str> = own.map(AsRef::as_ref).collect();
        html! {
            section class=(class) {
                h3.step-head { span.scope { (self.scope) } span.sr { ": " } span.step-words { (step.words) } }
                (step_window(step, self.today))
                (cautions("Caution: ", &own, self.open, &self.about(step)))
                @if !step.otherwise.is_empty() {
                    details.why.otherwise open[self.open] {
                        summary { "Another published rule gives a different answer" (self.about(step)) }
                        (reason_list(self.child, &step.otherwise))
                    }
                }
                (self.reasons(steps))
            }
        }
    }

    /// What a summary is about, for those who hear it without the card.
    fn about(&self, step: &NextStep) -> Markup {
        html! { span.sr { ": " (self.scope) ", " (step.words) } }
    }

    /// The reasons, of each foot where they differ.
    fn reasons(&self, steps: &[&NextStep]) -> Markup {
        let Some(step) = steps.first().filter(|step| !step.because.is_empty()) else { return html! {} };
        let same = steps.iter().all(|other| other.because == step.because);
        let shown = if same { steps.get(..1).unwrap_or_default() } else { steps };
        html! {
            details.why open[self.open] {
                summary { "Why" (self.about(step)) }
                @for each in shown {
                    @if shown.len() > 1 { p.why-foot { (scope_words(each.scope)) } }
                    (reason_list(self.child, &each.because))
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
