//! Measuring the length of a foot on a photograph beside a card.

use super::{
    strip::{PhotographShown, pair_href},
    tapping::{EnlargedPart, Tapping},
};
use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};

/// The points of a length: four corners of the card, heel and toe, each with a name and a sentence.
pub static LENGTH_POINTS: [(&str, &str); 6] = [
    ("first corner of the card", "Any corner, where the two edges would meet if it were not round."),
    ("second corner of the card", "The next one round the card, in either direction."),
    ("third corner of the card", "The one after that."),
    ("fourth corner of the card", "The last one."),
    ("back of the heel", "The point of the heel that is farthest from the toes."),
    ("tip of the longest toe", "The point of the toes that is farthest from the heel. It may be any toe."),
];

/// How many of the points are corners of the card.
pub const CARD_CORNERS: usize = 4;

/// The page.
#[derive(Debug, Clone)]
pub struct LengthView {
    /// The child.
    pub who: Who,
    /// The photograph.
    pub photograph: PhotographShown,
    /// Width and height of the picture, in pixels.
    pub size: (u16, u16),
    /// Whether a length is measured on this view.
    pub measurable: bool,
    /// The values in the form.
    pub filled: Filled,
    /// The part of the picture that is tapped next, without the script.
    pub part: Option<EnlargedPart>,
    /// What the search for the card gave, one sentence.
    pub found: Option<String>,
    /// What the points give, in sentences; empty before.
    pub answer: Vec<String>,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn measure_length(frame: &Frame, view: &LengthView) -> Markup {
    let (who, one) = (&view.who, &view.photograph);
    let body = html! {
        (parts::band(who, "measuring a length on a photograph", frame.today))
        (parts::error_summary(&view.filled))
        @if view.measurable { (measuring(frame, view)) }
        @else { p.message.warning { "No length is measured on this view: " (one.what()) ". The whole foot has to be seen from heel to toe beside the card: from the sole or from the outer side." } }
        (parts::caution())
        p.actions { a.button href=(pair_href(who, one.feet, one.view)) { "Back to " (one.what()) } }
    };
    frame::page(frame, HelpTopic::Photographs, "Measuring a length on a photograph", &body)
}

fn measuring(frame: &Frame, view: &LengthView) -> Markup {
    let (who, one, filled) = (&view.who, &view.photograph, &view.filled);
    let tapping =
        Tapping { who, photograph: one, size: view.size, points: &LENGTH_POINTS, filled, part: view.part };
    html! {
        section.card.photograph-measure aria-labelledby="measure-head" {
            h2 id="measure-head" { "Length, " (one.what()) ", " (one.on.words()) }
            (cautions())
            p { "Tap the six points in this order, or let the program look for the card first. Points that are set stay: to look again, empty the numbers of the corners." }
            form method="post" action={ (who.href()) "/photographs/" (one.entry) "/length" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                p.actions { button type="submit" name=(fields::ACT) value="find" formnovalidate { "Look for the card" } }
                @if let Some(found) = &view.found { p.message.note role="status" { (found) } }
                (tapping.picture())
                (tapping.without_script())
                (tapping.fields())
                @if !view.answer.is_empty() {
                    div.message.note role="status" { @for said in &view.answer { p { (said) } } }
                }
                p.actions {
                    button type="submit" name=(fields::ACT) value="look" { "Show the length" } " "
                    @if !view.answer.is_empty() { button.primary type="submit" name=(fields::ACT) value="save" { "Save for " (who.shown_name()) } }
                }
            }
            p.hint { "A length on a photograph is evidence of its own kind. It never chooses a boot and does not enter the growth of the foot: measure with a ruler or a gauge for that." }
        }
    }
}

/// What makes a length wrong without anybody noticing.
fn cautions() -> Markup {
    html! {
        ul.plain-list {
            li { "The card is any bank or identity card, 85.6 × 54 mm, flat, and " strong { "in the plane of the foot" } ": a foot nearer to the camera than the card is measured too long." }
            li { "Corners of cards are round. Tap where the edges would meet: whoever taps the rounding makes every length some 2 % longer." }
            li { "A card has a number and a name on it: lay it with that side down." }
        }
    }
}
