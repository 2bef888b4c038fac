//! Calls for attention and open questions, one row each.

use super::{Who, reason_list, who_line};
use crate::words;
use course::Question;
use guidance::Attention;
use maud::{Markup, html};
use record::{ChildId, Day, Side};

const fn foot_words(side: Option<Side>) -> &'static str {
    match side {
        Some(Side::Right) => "right foot",
        Some(Side::Left) => "left foot",
        None => "child",
    }
}

/// The sentence without the leading foot, which is shown separately.
fn without_foot(text: &str, side: Option<Side>) -> String {
    let foot = side.map(|side| format!("{} foot: ", side.title()));
    foot.and_then(|foot| text.strip_prefix(&foot)).map_or_else(|| text.to_owned(), words::capital)
}

/// One call for attention. With `who` the row names the child, for lists; without, it is for the child's own
/// page.
#[must_use]
pub fn attention_row(child: ChildId, attention: &Attention, who: Option<&Who>, today: Day) -> Markup {
    html! {
        li class={ "call call-" (attention.urgency.rank()) } {
            @if let Some(who) = who { div.call-who { (who_line(who, today)) } }
            div.call-what { (call_text(child, attention)) }
            div.call-when {
                (call_when(attention, today))
                @if let Some(words) = attention.place.words() { span.call-from { (words) } }
            }
        }
    }
}

fn call_text(child: ChildId, attention: &Attention) -> Markup {
    html! {
        p.call-text {
            span.call-foot { (words::capital(foot_words(attention.side))) } span.sr { ": " }
            (without_foot(&attention.text.words(), attention.side))
        }
        details.why { summary { "Why and source" } (reason_list(child, &attention.because)) }
    }
}

fn call_when(attention: &Attention, today: Day) -> Markup {
    html! {
        span.call-urgency { (attention.urgency.words()) }
        span.call-from {
            @if attention.from > today { "applies from " } @else { "since " }
            (words::day_and_relative(attention.from, today))
        }
    }
}

/// The row of a child in the list: its most urgent call, with the others folded.
#[must_use]
pub fn child_row(
    who: &Who,
    worst: &Attention,
    more: &[Attention],
    next_visit: Option<Day>,
    today: Day,
) -> Markup {
    html! {
        li class={ "call call-" (worst.urgency.rank()) } {
            div.call-who {
                (who_line(who, today))
                span.who-facts { @match next_visit.filter(|day| *day >= today) {
                    Some(day) => { "Next appointment " (words::day_and_relative(day, today)) },
                    None => "No next appointment",
                } }
            }
            div.call-what {
                (call_text(who.id, worst))
                (more_calls(who.id, more, today, ["more call", "more calls"]))
            }
            div.call-when {
                (call_when(worst, today))
                a href={ (who.href()) "/call?back=attention" } { "Call the family" span.sr { ": " (who.shown_name()) } }
                a href={ (who.href()) "/put-off" } { "Put off …" span.sr { ": " (who.shown_name()) } }
            }
        }
    }
}

/// Other calls of a child, folded under their number; the last argument is the singular and the plural of the
/// summary.
#[must_use]
pub fn more_calls(child: ChildId, calls: &[Attention], today: Day, [one, many]: [&str; 2]) -> Markup {
    html! {
        @if !calls.is_empty() {
            details.more-calls {
                summary { (words::count(calls.len() as i64, one, many)) }
                ul.calls { @for call in calls { (attention_row(child, call, None, today)) } }
            }
        }
    }
}

/// One open question, with links to the entries that raise it.
#[must_use]
pub fn question_row(child: ChildId, question: &Question) -> Markup {
    html! {
        li.question {
            span.call-foot { (words::capital(foot_words(question.side))) } span.sr { ": " }
            (words::day(question.on)) ": " (without_foot(&question.text, question.side)) " "
            @for (n, entry) in question.entries.iter().enumerate() {
                a href={ "/child/" (child) "/entry/" (entry) } {
                    "see entry" @if question.entries.len() > 1 { " " (n + 1) }
                }
                " "
            }
        }
    }
}
