//! Trouble with the brace: what is advised, and what helped before in this clinic; for one child, what is
//! open, what was advised and whether it helped.

use crate::{
    Frame, fields, frame,
    parts::{self, Who},
    words,
};
use course::{AdviceSeen, ProblemSeen};
use guidance::brace_problem::{self, AdviceTally, BraceProblem, SMALL};
use maud::{Markup, html};
use record::{Helped, ProblemKind};

/// The fields of the small forms.
pub mod names {
    /// The problem that is answered.
    pub const PROBLEM: &str = "problem";
    /// The advice, by its key or in own words.
    pub const ADVISED: &str = "advised";
    /// Whether it helped: a `record::Helped` key.
    pub const HELPED: &str = "helped";
}

/// The problems of one child.
#[derive(Debug, Clone)]
pub struct TroubleView<'a> {
    /// Whose; `None` for the list alone.
    pub child: Option<(Who, &'a [ProblemSeen])>,
    /// What helped before.
    pub tally: &'a AdviceTally,
    /// Makes a double submit harmless; made anew for every page.
    pub once: String,
}

/// The page.
#[must_use]
pub fn troubles(frame: &Frame, view: &TroubleView<'_>) -> Markup {
    let title = view.child.as_ref().map_or_else(
        || "Trouble with the brace".to_owned(),
        |(who, _)| format!("Trouble with the brace: {}", who.shown_name()),
    );
    let body = html! {
        @match &view.child {
            Some((who, problems)) => {
                (parts::band(who, "trouble with the brace", frame.today))
                (of_child(frame, view, who, problems))
            },
            None => header.page-head { div { h1 { "Trouble with the brace" } p.tally { "What is advised, and what helped before in this clinic" } } },
        }
        (flags())
        p.hint { (SMALL) }
        h2 { "Everything on the list" }
        @for listed in brace_problem::all() { (one(view, listed)) }
        (parts::caution())
    };
    frame::page(frame, &title, &body)
}

/// Red flags stand first, whatever else is read.
fn flags() -> Markup {
    html! {
        div.trouble-flag role="note" {
            strong { "Seen the same day, under local policy: " }
            "broken skin or a blister, swelling, fever or signs of infection, toes dark, white or cold, crying that nothing explains."
        }
    }
}

fn of_child(frame: &Frame, view: &TroubleView<'_>, who: &Who, problems: &[ProblemSeen]) -> Markup {
    let open: Vec<&ProblemSeen> = problems.iter().filter(|problem| problem.settled_on.is_none()).collect();
    html! {
        section aria-labelledby="open-head" {
            h2 id="open-head" { "Open now" }
            @if open.is_empty() { p { "No problem is open. " a href={ (who.href()) "/add/problem" } { "Note a problem" } } }
            @for problem in open { (open_problem(frame, view, who, problem)) }
        }
    }
}

fn open_problem(frame: &Frame, view: &TroubleView<'_>, who: &Who, problem: &ProblemSeen) -> Markup {
    let side = problem.side.map_or("", |side| side.word());
    let listed = brace_problem::of(problem.what);
    let given = |key: &str| problem.advice.iter().any(|advice| advice.advised == key);
    html! {
        article.card.trouble-one {
            h3 { (words::capital(problem.what.words())) @if !side.is_empty() { ", " (side) " foot" } ", " (words::day_and_relative(problem.on, frame.today)) }
            @if let Some(flag) = listed.and_then(|listed| listed.red_flag.as_ref()) { p.trouble-flag { strong { (flag) } } }
            @if let Some(note) = &problem.note { p { (note) } }
            @if !problem.advice.is_empty() {
                h4 { "Advised" }
                ul { @for advice in &problem.advice { (advised(frame, view, who, problem, advice)) } }
            }
            @if let Some(listed) = listed {
                h4 { "May be advised" }
                ul { @for advice in listed.advice.iter().filter(|advice| !given(&advice.key)) {
                    li {
                        (advice.words) span.rel { " (" (advice.source) ")" } (count(view.tally, problem.what, &advice.key))
                        form.inline method="post" action={ (who.href()) "/trouble" } {
                            (common(frame, view, problem, &advice.key))
                            button type="submit" { "Advised" span.sr { ": " (advice.words) } }
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
                    label for=(id) { "Advised in own words" }
                    input id=(id) name=(names::ADVISED) type="text" required maxlength="500" autocomplete="off";
                }
                button type="submit" { "Write it down" }
            }
            p.actions { a.button href={ (who.href()) "/add/problem?follows=" (problem.entry) } { "Say that it is settled" } }
        }
    }
}

fn advised(
    frame: &Frame,
    view: &TroubleView<'_>,
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

fn common(frame: &Frame, view: &TroubleView<'_>, problem: &ProblemSeen, advised: &str) -> Markup {
    html! {
        (parts::csrf(&frame.csrf))
        (parts::hidden(fields::ONCE, &view.once))
        (parts::hidden(names::PROBLEM, &problem.entry.to_string()))
        (parts::hidden(names::ADVISED, advised))
    }
}

fn one(view: &TroubleView<'_>, listed: &BraceProblem) -> Markup {
    html! {
        section.card.trouble-one {
            h3 { (words::capital(listed.kind.words())) }
            @if let Some(flag) = &listed.red_flag { p.trouble-flag { strong { (flag) } } }
            ul { @for advice in &listed.advice {
                li { (advice.words) span.rel { " (" (advice.source) ")" } (count(view.tally, listed.kind, &advice.key)) }
            } }
            @let own: Vec<_> = view.tally.in_free_text(listed.kind).collect();
            @if !own.is_empty() {
                h4 { "In own words here" }
                ul { @for (said, count) in own { li { (said) span.rel { " – here " (count.words()) } } } }
            }
        }
    }
}

fn count(tally: &AdviceTally, kind: ProblemKind, key: &str) -> Markup {
    html! { @if let Some(count) = tally.of(kind, key) { span.rel { strong { " – here " (count.words()) } } } }
}
