//! What is said about an answer: what was given, what is right, what to look at.

use super::{
    LEARN_PATH, PROGRESS_PATH,
    drawing::{amount, felt_note, foot, source_note, svg},
    levels::range,
    sign_path,
};
use crate::{Frame, HelpTopic, frame};
use maud::{Markup, html};
use practice::{
    AnswerExplained, CannotShowAnswer, ConfirmedLevels, DrawnCase, PracticeAnswer, SET, SignSchedule,
};
use record::{HalfPoint, Sign};

/// An answer, just given or looked at again.
#[derive(Debug, Clone)]
pub struct PracticeAnswerView {
    /// The stored answer.
    pub answer: PracticeAnswer,
    /// The schedule of its sign after it.
    pub schedule: SignSchedule,
    /// The sign to be asked next; `None` if nothing is due.
    pub next: Option<Sign>,
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
}

/// The page.
#[must_use]
pub fn practice_answer(frame: &Frame, view: &PracticeAnswerView) -> Markup {
    let sign = view.answer.sign;
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { (sign.name()) ": answer" }
        @match view.answer.explained() {
            Ok((case, said)) => (shown(&case, &said)),
            Err(why) => (not_shown(&view.answer, why)),
        }
        p.hint { (after(&view.schedule)) }
        p.actions {
            @match view.next {
                Some(next) => a.button.primary href=(sign_path(next)) { "Next foot: " (next.name().to_lowercase()) },
                None => a.button href=(sign_path(sign)) { "Another foot: " (sign.name().to_lowercase()) },
            }
            " " a.button href=(PROGRESS_PATH) { "Your progress" }
        }
        (source_note(&view.confirmed, &[sign]))
    };
    frame::page(frame, HelpTopic::LearnToScore, &format!("{}: answer", sign.name()), &body)
}

fn shown(case: &DrawnCase, said: &AnswerExplained) -> Markup {
    let drawing = case.drawing(said.sign);
    let alternative = format!(
        "Drawing of a {} {}, level {}: {} {}: {}.",
        foot(case.side),
        drawing.view.words(),
        said.right.text(),
        said.drawn,
        crate::words::capital(said.item.words()),
        amount(said.item, said.value)
    );
    html! {
        div.practice-case {
            figure {
                (svg(&drawing, &alternative, true))
                figcaption { (foot(case.side)) ", " (drawing.view.words()) ". What to look at is marked in red." }
            }
            div {
                (verdict(said.given, said.right))
                p { strong { "Drawn: " (said.right.text()) ". " } (said.drawn) }
                @if let Some(other) = said.given_would_be { p { strong { "Your " (said.given.text()) " would be: " } (other) } }
                p { strong { "Look at: " } (said.item.words()) ". Here " (amount(said.item, said.value)) "; a " (said.right.text()) " is drawn with " (range(said.item, said.range)) "." }
                p { strong { "How: " } (said.how) "." }
                (felt_note(said.sign))
            }
        }
    }
}

fn verdict(given: HalfPoint, right: HalfPoint) -> Markup {
    html! {
        @if given == right { p.message.done role="status" { strong { "✓ The same. " } "You gave " (given.text()) ", and it is drawn at " (right.text()) "." } }
        @else {
            @let way = if given > right { "higher" } else { "lower" };
            p.message.note role="status" { strong { "≠ Different. " } "You gave " (given.text()) ", and it is drawn at " (right.text()) ": yours is " (way) "." }
        }
    }
}

fn not_shown(answer: &PracticeAnswer, why: CannotShowAnswer) -> Markup {
    html! {
        p.message.warning role="status" { strong { "The drawing cannot be shown. " } (crate::words::capital(&why.to_string())) "." }
        p { "You gave " strong { (answer.given.text()) } "; stored as right was " strong { (answer.reference.text()) } "." }
    }
}

fn after(schedule: &SignSchedule) -> String {
    match (schedule.in_set, schedule.due) {
        (0, Some(due)) => {
            format!("The set is complete. This sign is asked again on {}.", due.words())
        }
        (n, _) => format!("{n} of {SET} feet of this set are scored."),
    }
}
