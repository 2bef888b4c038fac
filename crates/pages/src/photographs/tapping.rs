//! Setting points on a photograph: tapped in order and then moved in an enlarged part of it, or typed as numbers. Without
//! the script the enlarged part comes from the server, a step for each tap.

use super::strip::PhotographShown;
use crate::{
    fields::{Field, Filled, What},
    parts::{self, Who},
};
use maud::{Markup, html};

/// The names of the fields of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TapFields {
    /// Pixels from the left.
    pub across: &'static str,
    /// Pixels from the top.
    pub down: &'static str,
    /// How it was set, by [`how_set`]; nothing where it was tapped on the whole picture or typed.
    pub how: &'static str,
    /// That a person has looked at a point that was found.
    pub seen: &'static str,
}

const fn fields(
    across: &'static str,
    down: &'static str,
    how: &'static str,
    seen: &'static str,
) -> TapFields {
    TapFields { across, down, how, seen }
}

/// The fields of the most points of one measurement.
static TAP_FIELDS: [TapFields; 6] = [
    fields("x_1", "y_1", "how_1", "seen_1"),
    fields("x_2", "y_2", "how_2", "seen_2"),
    fields("x_3", "y_3", "how_3", "seen_3"),
    fields("x_4", "y_4", "how_4", "seen_4"),
    fields("x_5", "y_5", "how_5", "seen_5"),
    fields("x_6", "y_6", "how_6", "seen_6"),
];

/// The program found the point in the picture.
pub const HOW_FOUND: &str = "found";
/// The point was set in an enlarged part of the picture.
pub const HOW_MAGNIFIED: &str = "magnified";

/// What the form says of how a point was set. It names the point, so that it no longer holds once other numbers are
/// typed.
#[must_use]
pub fn how_set(how: &str, (x, y): (u16, u16)) -> String {
    format!("{how} {x},{y}")
}

/// The picture as a whole, tapped without the script; a browser adds `.x` and `.y`.
pub const TAPPED_WHOLE: &str = "whole";
/// An enlarged part, tapped without the script.
pub const TAPPED_PART: &str = "part";
/// Which part that is: the number of the point, the middle of the part and its side, separated by spaces.
pub const PART_SHOWN: &str = "part_shown";
/// The longer side of the picture where it is tapped without the script, in pixels of the screen: on a narrow telephone
/// it is shown as it is, because a browser counts the pixels that it shows.
pub const WHOLE_SIDE: u16 = 300;
/// The side of an enlarged part, in pixels of the screen.
pub const PART_SIDE: u16 = 300;
/// The side of the part in which a found point is looked at, in pixels of the picture.
const LOOKED_AT: u16 = 100;

/// The fields of the points of a measurement.
#[must_use]
pub fn tap_fields(points: usize) -> &'static [TapFields] {
    TAP_FIELDS.get(..points).unwrap_or(&TAP_FIELDS)
}

/// A part of a picture, shown enlarged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EnlargedPart {
    /// The number of the point, from 0.
    pub point: usize,
    /// Its middle, in pixels of the picture.
    pub middle: (u16, u16),
    /// Its side, in pixels of the picture.
    pub span: u16,
}

impl EnlargedPart {
    /// "2 812 403 120".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} {} {} {}", self.point, self.middle.0, self.middle.1, self.span)
    }

    /// What [`EnlargedPart::words`] wrote.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut numbers = text.split(' ');
        let mut number = || numbers.next()?.parse::<u16>().ok();
        let (point, x, y, span) = (number()?, number()?, number()?, number()?);
        (numbers.next().is_none() && span > 0).then_some(Self { point: point.into(), middle: (x, y), span })
    }

    fn src(&self, who: &Who, one: &PhotographShown) -> String {
        let Self { middle: (x, y), span, .. } = self;
        format!("{}/photographs/{}/part/{x}-{y}-{span}", who.href(), one.entry)
    }
}

/// A picture and the points that are set on it.
pub(super) struct Tapping<'a> {
    pub who: &'a Who,
    pub photograph: &'a PhotographShown,
    /// Width and height of the picture, in pixels.
    pub size: (u16, u16),
    /// The points in their order: name and sentence.
    pub points: &'a [(&'static str, &'static str)],
    pub filled: &'a Filled,
    /// The part that is tapped next, without the script.
    pub part: Option<EnlargedPart>,
}

impl Tapping<'_> {
    /// The points in words and the picture.
    pub(super) fn picture(&self) -> Markup {
        let (width, height) = self.size;
        html! {
            ol { @for (name, sentence) in self.points { li { strong { (name) } ": " (sentence) } } }
            figure.tapped data-width=(width) data-height=(height) {
                img src=(self.photograph.src(self.who, false)) alt=(self.photograph.alt(self.who)) width=(width) height=(height);
            }
        }
    }

    /// The fields of every point.
    pub(super) fn fields(&self) -> Markup {
        let (width, height) = self.size;
        html! {
            @if self.any_found() { (self.found()) }
            details.more open {
                summary { "The points as numbers" }
                p.hint { "In pixels of the picture, which is " (width) " wide and " (height) " high, from its upper left corner." }
                @for (n, (fields, &(name, _))) in tap_fields(self.points.len()).iter().zip(self.points).enumerate() {
                    fieldset.grid {
                        legend { "Point " (n + 1) ": " (name) }
                        (parts::field(self.filled, &number(fields.across, format!("Point {}: across", n + 1), width)))
                        (parts::field(self.filled, &number(fields.down, format!("Point {}: down", n + 1), height)))
                        (parts::hidden(fields.how, self.filled.value(fields.how)))
                    }
                }
            }
        }
    }

    fn any_found(&self) -> bool {
        tap_fields(self.points.len()).iter().any(|fields| self.found_at(fields).is_some())
    }

    fn found_at(&self, fields: &TapFields) -> Option<(u16, u16)> {
        let point = self.point(fields)?;
        (self.filled.value(fields.how) == how_set(HOW_FOUND, point)).then_some(point)
    }

    /// Every point that the program found, enlarged, to be confirmed by itself.
    fn found(&self) -> Markup {
        html! {
            div.photograph-found role="group" aria-labelledby="found-head" {
                h3 id="found-head" { "Are the found corners right?" }
                p { "Look at each one. The cross is to be where the two edges would meet if the corner were not round. Tick it, or move the point." }
                @for (n, fields) in tap_fields(self.points.len()).iter().enumerate() {
                    @if let Some(middle) = self.found_at(fields) { (self.confirmed(n, fields, middle)) }
                }
            }
        }
    }

    fn confirmed(&self, n: usize, fields: &TapFields, middle: (u16, u16)) -> Markup {
        let part = EnlargedPart { point: n, middle, span: LOOKED_AT };
        let id = parts::field_id(fields.seen);
        html! {
            div.photograph-corner data-point=(n + 1) {
                span.photograph-part { img src=(part.src(self.who, self.photograph)) alt={ "Point " (n + 1) ", enlarged" } width=(PART_SIDE) height=(PART_SIDE); }
                label for=(id) {
                    input id=(id) type="checkbox" name=(fields.seen) value="yes" checked[self.filled.value(fields.seen) == "yes"]
                        aria-describedby=[self.filled.has_error(fields.seen).then(|| format!("{id}-error"))];
                    " Corner " (n + 1) " is right"
                }
                (parts::field_error(self.filled, fields.seen))
            }
        }
    }

    fn point(&self, fields: &TapFields) -> Option<(u16, u16)> {
        let number = |name: &str| self.filled.value(name).trim().parse().ok();
        number(fields.across).zip(number(fields.down))
    }

    /// The picture, or a part of it, as a button: each tap is sent to the server.
    pub(super) fn without_script(&self) -> Markup {
        let (width, height) = self.size;
        let longer = f64::from(width.max(height).max(1));
        let shown = |side: u16| (f64::from(side) / longer * f64::from(WHOLE_SIDE)).round();
        let next = tap_fields(self.points.len()).iter().position(|fields| self.point(fields).is_none());
        let name = |point: usize| self.points.get(point).map_or("", |(name, _)| *name);
        html! {
            noscript {
                @if let Some(part) = self.part {
                    (parts::hidden(PART_SHOWN, &part.words()))
                    p { label for="f-part" { "Point " (part.point + 1) ", " (name(part.point)) ": tap exactly where it is." } }
                    input.photograph-tap id="f-part" type="image" name=(TAPPED_PART) src=(part.src(self.who, self.photograph)) alt={ "The picture around point " (part.point + 1) ", enlarged" } width=(PART_SIDE) height=(PART_SIDE) formnovalidate;
                } @else if let Some(next) = next {
                    p { label for="f-whole" { "Point " (next + 1) ", " (name(next)) ": tap roughly where it is. The part around it is then shown enlarged." } }
                    input.photograph-tap id="f-whole" type="image" name=(TAPPED_WHOLE) src=(self.photograph.src(self.who, false)) alt={ (self.photograph.alt(self.who)) ", to be tapped" } width=(shown(width)) height=(shown(height)) formnovalidate;
                }
                p.hint { "To set a point again, empty its two numbers and press a button." }
            }
        }
    }
}

fn number(name: &'static str, label: String, most: u16) -> Field {
    Field::new(name, label, What::Whole { min: 0, max: most.into(), unit: "px" }).needed()
}
