//! The parts of a figure of a page: the drawing for a wide screen, and the legend.

use super::plain::{Piece, pieces, plain};
use crate::parts::unescaped;
use maud::{Markup, PreEscaped};

/// A figure taken apart.
#[derive(Debug)]
pub(super) struct Figure {
    pub width: f64,
    pub height: f64,
    pub drawing: Markup,
    pub legend: Vec<LegendItem>,
}

/// A mark of the legend and what it means.
#[derive(Debug)]
pub(super) struct LegendItem {
    pub sample: Markup,
    pub words: String,
}

impl Figure {
    /// The parts of a figure; `None` where it has no drawing.
    pub fn of(markup: &str) -> Option<Self> {
        let pieces = pieces(markup);
        let drawings = drawings(&pieces);
        let (keys, whole): (Vec<Drawing<'_>>, Vec<_>) =
            drawings.into_iter().partition(|drawing| drawing.has_class("key"));
        let wide = whole.iter().find(|drawing| drawing.has_class("wide")).or_else(|| whole.first())?;
        let (width, height) = wide.size()?;
        let legend = keys.iter().filter_map(|key| {
            let words = words_after(&pieces, key.end);
            let (sample_width, sample_height) = key.size()?;
            let sample = PreEscaped(plain(key.pieces, (sample_width, sample_height)));
            (!words.is_empty()).then_some(LegendItem { sample, words })
        });
        Some(Self {
            width,
            height,
            drawing: PreEscaped(plain(wide.pieces, (width, height))),
            legend: legend.collect(),
        })
    }
}

/// An `svg` element within a figure.
struct Drawing<'a> {
    pieces: &'a [Piece<'a>],
    /// The place after its end.
    end: usize,
}

impl Drawing<'_> {
    fn attribute(&self, wanted: &str) -> &str {
        match self.pieces.first() {
            Some(Piece::Open { attributes, .. }) => {
                attributes.iter().find(|(name, _)| *name == wanted).map_or("", |(_, value)| value)
            }
            _ => "",
        }
    }

    fn has_class(&self, class: &str) -> bool {
        self.attribute("class").split_whitespace().any(|one| one == class)
    }

    /// Width and height, from the box in which it is drawn.
    fn size(&self) -> Option<(f64, f64)> {
        let mut numbers = self.attribute("viewBox").split_whitespace().skip(2);
        Some((numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?))
    }
}

fn drawings<'a>(pieces: &'a [Piece<'a>]) -> Vec<Drawing<'a>> {
    let mut found = Vec::new();
    let mut from = None;
    for (place, piece) in pieces.iter().enumerate() {
        match piece {
            Piece::Open { name: "svg", .. } => from = from.or(Some(place)),
            Piece::Close("svg") => {
                let drawn = from.take().and_then(|from| pieces.get(from..=place));
                found.extend(drawn.map(|pieces| Drawing { pieces, end: place + 1 }));
            }
            _ => {}
        }
    }
    found
}

/// The words beside a sample, up to the end of its item. They are escaped once more where they are written.
fn words_after(pieces: &[Piece<'_>], from: usize) -> String {
    let mut words = String::new();
    for piece in pieces.iter().skip(from) {
        match piece {
            Piece::Text(text) => words.push_str(text),
            Piece::Open { name: "svg" | "li", .. } | Piece::Close("li" | "figcaption") => break,
            Piece::Open { .. } | Piece::Close(_) => {}
        }
    }
    unescaped(&words).split_whitespace().collect::<Vec<_>>().join(" ")
}
