//! Measuring an angle on a photograph: the points are tapped, or typed as numbers.

use super::{
    strip::PhotographShown,
    tapping::{EnlargedPart, Tapping},
};
use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};

/// An angle that can be measured on the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasureChoice {
    /// Its name.
    pub words: &'static str,
    /// What its sign means.
    pub sign: &'static str,
    /// What is published on how exactly such an angle is read.
    pub published: &'static str,
    /// The points in the order in which they are tapped: name and sentence.
    pub taps: Vec<(&'static str, &'static str)>,
}

/// The page.
#[derive(Debug, Clone)]
pub struct MeasureView {
    /// The child.
    pub who: Who,
    /// The photograph.
    pub photograph: PhotographShown,
    /// Width and height of the picture, in pixels.
    pub size: (u16, u16),
    /// The angle; `None` where none is measured on this view.
    pub guide: Option<MeasureChoice>,
    /// The values in the form.
    pub filled: Filled,
    /// The part of the picture that is tapped next, without the script.
    pub part: Option<EnlargedPart>,
    /// What the points give, in sentences; empty before.
    pub answer: Vec<String>,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn measure_photograph(frame: &Frame, view: &MeasureView) -> Markup {
    let (who, one) = (&view.who, &view.photograph);
    let body = html! {
        (parts::band(who, "measuring on a photograph", frame.today))
        (parts::error_summary(&view.filled))
        @match &view.guide {
            Some(guide) => (measuring(frame, view, guide)),
            None => p.message.warning { "No angle is measured on this view: " (one.what()) "." },
        }
        (parts::caution())
        p.actions { a.button href=(super::strip::pair_href(who, one.feet, one.view)) { "Back to " (one.what()) } }
    };
    frame::page(frame, HelpTopic::Photographs, "Measuring on a photograph", &body)
}

fn measuring(frame: &Frame, view: &MeasureView, guide: &MeasureChoice) -> Markup {
    let (who, one, filled) = (&view.who, &view.photograph, &view.filled);
    let tapping =
        Tapping { who, photograph: one, size: view.size, points: &guide.taps, filled, part: view.part };
    html! {
        section.card.photograph-measure aria-labelledby="measure-head" {
            h2 id="measure-head" { (words::capital(guide.words)) ", " (one.what()) ", " (one.on.words()) }
            p { "Tap the " (guide.taps.len()) " points in this order. " (guide.sign) }
            (tapping.picture())
            form method="post" action={ (who.href()) "/photographs/" (one.entry) "/measure" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                (tapping.fields())
                @if !view.answer.is_empty() {
                    div.message.note role="status" { @for said in &view.answer { p { (said) } } }
                }
                p.actions {
                    button type="submit" name=(fields::ACT) value="look" { "Show the angle" } " "
                    @if !view.answer.is_empty() { button.primary type="submit" name=(fields::ACT) value="save" { "Save for " (who.shown_name()) } }
                }
                (tapping.without_script())
            }
            p.hint { (guide.published) " An angle on a photograph is evidence of its own kind. No step and no forecast follows from it." }
        }
    }
}
