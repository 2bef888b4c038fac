//! One sign of one drawn foot, to be scored. The form works without the script.

use super::{
    ANSWER_PATH, LEARN_PATH,
    drawing::{blind_alternative, felt_note, foot, source_note, svg},
    practice_fields as names,
};
use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Tile},
};
use maud::{Markup, html};
use practice::{ConfirmedLevels, DrawnCase};
use record::{HalfPoint, Sign};

/// A sign to be scored. Nothing on the page says at which level it is drawn.
#[derive(Debug, Clone)]
pub struct ExerciseView {
    /// The foot.
    pub case: DrawnCase,
    /// The sign that is asked.
    pub sign: Sign,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
}

/// The page with the drawing and the three levels.
#[must_use]
pub fn exercise(frame: &Frame, view: &ExerciseView) -> Markup {
    let ExerciseView { case, sign, filled, once, confirmed } = view;
    let tiles: Vec<Tile<'_>> = HalfPoint::ALL
        .into_iter()
        .map(|level| Tile::new(level.text(), level.text()).meaning(sign.meaning(level)))
        .collect();
    let legend = html! { "Which level? " span.sr { (sign.name()) } };
    let title = format!("{}: drawn {}", sign.name(), foot(case.side));
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { (title) }
        (parts::error_summary(filled))
        div.practice-case {
            figure {
                (svg(&case.drawing(*sign), &blind_alternative(case, *sign), false))
                figcaption { (foot(case.side)) ", " (case.drawing(*sign).view.words()) ". A drawing, not a child." }
            }
            div {
                p { (sign.how()) "." }
                form.practice-form method="post" action=(ANSWER_PATH) {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden(fields::ONCE, once))
                    (parts::hidden(names::SIGN, sign.key()))
                    (parts::hidden(names::SEED, &case.key.seed.to_string()))
                    (parts::hidden(names::DRAWING, &case.key.drawing.to_string()))
                    (parts::tiles(filled, names::LEVEL, "practice-tiles", &legend, &tiles))
                    p.actions { button.primary type="submit" { "Answer" } " " a.button href=(LEARN_PATH) { "Leave without answering" } }
                }
                (felt_note(*sign))
            }
        }
        (source_note(confirmed, &[*sign]))
    };
    frame::page(frame, HelpTopic::LearnToScore, &title, &body)
}
