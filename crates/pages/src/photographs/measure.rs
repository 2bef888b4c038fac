//! Measuring an angle on a photograph: the points are tapped, or typed as numbers.

use super::strip::PhotographShown;
use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};

/// The most points of one angle.
const MOST_TAPS: usize = 4;
/// The names of the fields of the points: across and down, each from 1.
static TAP_FIELDS: [(&str, &str); MOST_TAPS] =
    [("x_1", "y_1"), ("x_2", "y_2"), ("x_3", "y_3"), ("x_4", "y_4")];

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
    /// What the points give, in sentences; empty before.
    pub answer: Vec<String>,
    /// Token that makes a double submit harmless.
    pub once: String,
}

impl MeasureView {
    /// The names of the fields of each point.
    #[must_use]
    pub fn tap_fields(taps: usize) -> &'static [(&'static str, &'static str)] {
        TAP_FIELDS.get(..taps).unwrap_or(&TAP_FIELDS)
    }
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
    let (who, one, filled, (width, height)) = (&view.who, &view.photograph, &view.filled, view.size);
    html! {
        section.card.photograph-measure aria-labelledby="measure-head" {
            h2 id="measure-head" { (words::capital(guide.words)) ", " (one.what()) ", " (one.on.words()) }
            p { "Tap the " (guide.taps.len()) " points in this order. " (guide.sign) }
            ol { @for (name, sentence) in &guide.taps { li { strong { (name) } ": " (sentence) } } }
            figure.tapped data-width=(width) data-height=(height) {
                img src=(one.src(who, false)) alt=(one.alt(who)) width=(width) height=(height);
            }
            form method="post" action={ (who.href()) "/photographs/" (one.entry) "/measure" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                details.more open {
                    summary { "The points as numbers" }
                    p.hint { "In pixels of the picture, which is " (width) " wide and " (height) " high, from its upper left corner." }
                    @for (n, (&(x, y), &(name, _))) in MeasureView::tap_fields(guide.taps.len()).iter().zip(&guide.taps).enumerate() {
                        fieldset.grid {
                            legend { "Point " (n + 1) ": " (name) }
                            (parts::field(filled, &across(x, n, width)))
                            (parts::field(filled, &down(y, n, height)))
                        }
                    }
                }
                @if !view.answer.is_empty() {
                    div.message.note role="status" { @for said in &view.answer { p { (said) } } }
                }
                p.actions {
                    button type="submit" name=(fields::ACT) value="look" { "Show the angle" } " "
                    @if !view.answer.is_empty() { button.primary type="submit" name=(fields::ACT) value="save" { "Save for " (who.shown_name()) } }
                }
            }
            p.hint { (guide.published) " An angle on a photograph is evidence of its own kind. No step and no forecast follows from it." }
        }
    }
}

fn across(name: &'static str, n: usize, width: u16) -> Field {
    let what = What::Whole { min: 0, max: width.into(), unit: "px" };
    Field::new(name, format!("Point {}: across", n + 1), what).needed()
}

fn down(name: &'static str, n: usize, height: u16) -> Field {
    let what = What::Whole { min: 0, max: height.into(), unit: "px" };
    Field::new(name, format!("Point {}: down", n + 1), what).needed()
}
