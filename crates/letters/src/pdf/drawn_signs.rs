//! Signs in the drawings of the program.
//!
//! What sets the text of a drawing tries another typeface for a sign that the first one lacks, and gives up where the
//! two make a different number of glyphs of the text: "flexion −28°" has a ligature in one and not in the other, and
//! its minus was lost. A sign that names its typeface needs no second try.

use super::typefaces::{SIGNS_FAMILY, is_sign_alone};
use std::borrow::Cow;

/// A drawing of the program in which every sign that the Latin typeface lacks names the typeface of signs.
///
/// ```
/// let drawing = letters::pdf::with_signs("<svg><text>flexion −28°</text></svg>");
/// assert_eq!(
///     drawing,
///     "<svg><text>flexion <tspan font-family=\"Noto Sans Math\">−</tspan>28°</text></svg>",
/// );
/// ```
#[must_use]
pub fn with_signs(svg: &str) -> Cow<'_, str> {
    if !svg.chars().any(is_sign_alone) {
        return Cow::Borrowed(svg);
    }
    let mut texts = svg.split("<text");
    let mut drawing = texts.next().unwrap_or_default().to_owned();
    for text in texts {
        let end = text.find("</text>").unwrap_or(0);
        let (inside, after) = text.split_at(end);
        drawing.push_str("<text");
        push_with_signs(&mut drawing, inside);
        drawing.push_str(after);
    }
    Cow::Owned(drawing)
}

/// Signs of the content get an element of their own; those of attributes stay.
fn push_with_signs(drawing: &mut String, text: &str) {
    let mut in_tag = true;
    for character in text.chars() {
        match character {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ => {}
        }
        if !in_tag && is_sign_alone(character) {
            drawing.push_str(&format!("<tspan font-family=\"{SIGNS_FAMILY}\">{character}</tspan>"));
        } else {
            drawing.push(character);
        }
    }
}
