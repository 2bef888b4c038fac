//! Problems with the brace: the advice for each, and how often it has helped in this clinic; for one child,
//! the open problems, the advice given and whether it helped.

use crate::{
    Frame, HelpTopic, fields, frame,
    parts::{self, Who},
    words,
};
use course::{AdviceSeen, ProblemSeen};
use guidance::brace_problem::{self, AdviceTally, BraceProblem, SMALL};
use maud::{Markup, html};
use record::{Helped, ProblemKind};

/// Names of the form fields.
pub mod names {
    /// The problem for which advice is given.
    pub const PROBLEM: &str = "problem";
    /// The advice, by its key or in free text.
    pub const ADVISED: &str = "advised";
    /// Whether it helped: a `record::Helped` key.
    pub const HELPED: &str = "helped";
}

/// The list of problems, or the problems of one child.
#[derive(Debug, Clone)]
pub struct BraceProblemsView<'a> {
    /// The child with its problems; `None` for the list alone.
    pub child: Option<(Who, &'a [ProblemSeen])>,
    /// How often each piece of advice has helped.
    pub tally: &'a AdviceTally,
    /// Token that makes a double submit harmless; new for every page.
    pub once: String,
}

/// The page.
#[must_use]
pub fn brace_problems(frame: &Frame, view: &BraceProblemsView<'_>) -> Markup {
    let body = html! {
        @match &view.child {
            Some((who, problems)) => {
                (parts::band(who, "problems with the brace", frame.today))
                (of_child(frame, view, who, problems))
            },
            None => header.page-head { div { h1 { "Problems with the brace" } p.tally { "Advice for each problem, and how often it has helped in this clinic" } } },
        }
        (red_flags())
        p.hint { (SMALL) }
        h2 { "All problems" }
        @for listed in brace_problem::all() { (one(view, listed)) }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::BraceProblems, "Problems with the brace", &body)
}

/// Red flags come first on every page.
fn red_flags() -> Markup {
    html! {
        div.red-flag role="note" {
            strong { "See the child the same day, under local policy: " }
            "broken skin or a blister, swelling, fever or signs of infection, dark, white or cold toes, unexplained crying."
        }
    }
}

fn of_child(frame: &Frame, view: &BraceProblemsView<'_>, who: &Who, problems: &[ProblemSeen]) -> Markup {
    let open: Vec<&ProblemSeen> = problems.iter().filter(|problem| problem.settled_on.is_none()).collect();
    html! {
        section aria-labelledby="open-head" {
            h2 id="open-head" { "Open problems" }
            @if open.is_empty() { p { "No problem is open. " a href={ (who.href()) "/add/problem" } { "Record a problem" } } }
            @for problem in open { (open_problem(frame, view, who, problem)) }
        }
    }
}

fn open_problem(frame: &Frame, view: &BraceProblemsView<'_>, who: &Who, problem: &ProblemSeen) -> Markup {
    let side = problem.side.map_or("", |side| side.word());
    let listed = brace_problem::of(problem.what);
    let given = |key: &str| problem.advice.iter().any(|advice| advice.advised == key);
    html! {
        article.card.brace-problem {
            h3 { (words::capital(problem.what.words())) @if !side.is_empty() { ", " (side) " foot" } ", " (words::day_and_relative(problem.on, frame.today)) }
            @if let Some(flag) = listed.and_then(|listed| listed.red_flag.as_ref()) { p.red-flag { strong { (flag) } } }
            @if let Some(note) = &problem.note { p { (note) } }
            @if !problem.advice.is_empty() {
                h4 { "Advice given" }
                ul { @for advice in &problem.advice { (advised(frame, view, who, problem, advice)) } }
            }
            @if let Some(listed) = listed {
                h4 { "Possible advice" }
                ul { @for advice in listed.advice.iter().filter(|advice| !given(&advice.key)) {
                    li {
                        (advice.words) span.rel { " (" (advice.source) ")" } (count(view.tally, problem.what, &advice.key))
                        form.inline method="post" action={ (who.href()) "/trouble" } {
                            (common(frame, view, problem, &advice.key))
                            button type="submit" { "Record as advised" span.sr { ": " (advice.words) } }
                        }
                    }
                } }
            }
            form method="post" action={ (who.href()) "/trouble" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                (parts::hidden(names::PROBLEM, &problem.entry.to_string()))
                @let id = format!("own-{}", problem.entry);
                div.field {
                    label for=(id) { "Other advice" }
                    input id=(id) name=(names::ADVISED) type="text" required maxlength="500" autocomplete="off";
                }
                button type="submit" { "Record this advice" }
            }
            p.actions { a.button href={ (who.href()) "/add/problem?follows=" (problem.entry) } { "Record as solved" } }
        }
    }
}

fn advised(
    frame: &Frame,
    view: &BraceProblemsView<'_>,
    who: &Who,
    problem: &ProblemSeen,
    advice: &AdviceSeen,
) -> Markup {
    let words = brace_problem::advice_words(&advice.advised);
    html! {
        li {
            (words) span.rel { " on " (words::day(advice.on)) }
            @match advice.helped {
                Some(helped) => strong { " – " (helped.words()) },
                None => @for helped in Helped::ALL {
                    form.inline method="post" action={ (who.href()) "/trouble" } {
                        (common(frame, view, problem, &advice.advised))
                        (parts::hidden(names::HELPED, helped.key()))
                        button type="submit" { (words::capital(helped.words())) span.sr { ": " (words) } }
                    }
                },
            }
        }
    }
}

fn common(frame: &Frame, view: &BraceProblemsView<'_>, problem: &ProblemSeen, advised: &str) -> Markup {
    html! {
        (parts::csrf(&frame.csrf))
        (parts::hidden(fields::ONCE, &view.once))
        (parts::hidden(names::PROBLEM, &problem.entry.to_string()))
        (parts::hidden(names::ADVISED, advised))
    }
}

fn one(view: &BraceProblemsView<'_>, listed: &BraceProblem) -> Markup {
    html! {
        section.card.brace-problem {
            h3 { (words::capital(listed.kind.words())) }
            @if let Some(flag) = &listed.red_flag { p.red-flag { strong { (flag) } } }
            ul { @for advice in &listed.advice {
                li { (advice.words) span.rel { " (" (advice.source) ")" } (count(view.tally, listed.kind, &advice.key)) }
            } }
            @let own: Vec<_> = view.tally.in_free_text(listed.kind).collect();
            @if !own.is_empty() {
                h4 { "Other advice given in this clinic" }
                ul { @for (text, count) in own { li { (text) span.rel { " – here " (count.words()) } } } }
            }
        }
    }
}

fn count(tally: &AdviceTally, kind: ProblemKind, key: &str) -> Markup {
    html! { @if let Some(count) = tally.of(kind, key) { span.rel { strong { " – here " (count.words()) } } } }
}
