//! A chart as PNG: its SVG, drawn at twice its size with a typeface that is part of the program, so that it is the
//! same on every computer.

use letters::pdf::{DRAWING_FACES, with_signs};
use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{
        Options, Tree,
        fontdb::{Database, Source},
    },
};
use std::sync::{Arc, LazyLock};

/// Pixels for each unit of the drawing.
const SCALE: f32 = 2.0;

/// The typefaces; those of the computer are not asked for.
static TYPEFACES: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut typefaces = Database::new();
    for face in DRAWING_FACES {
        typefaces.load_font_source(Source::Binary(Arc::new(face)));
    }
    Arc::new(typefaces)
});

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PngFault {
    /// The drawing cannot be read.
    #[error("the drawing cannot be read: {0}")]
    Drawing(String),
    /// The picture cannot be made.
    #[error("the picture cannot be made: {0}")]
    Picture(String),
}

/// The picture of a drawing.
///
/// # Errors
/// When the drawing cannot be read or is too large to be drawn.
pub fn png(svg: &str) -> Result<Vec<u8>, PngFault> {
    let options =
        Options { fontdb: Arc::clone(&TYPEFACES), font_family: "Noto Sans".to_owned(), ..Options::default() };
    let tree =
        Tree::from_str(&with_signs(svg), &options).map_err(|error| PngFault::Drawing(error.to_string()))?;
    let size = tree.size().to_int_size().scale_by(SCALE);
    let pixmap = size.and_then(|size| Pixmap::new(size.width(), size.height()));
    let mut pixmap = pixmap.ok_or_else(|| PngFault::Picture("it has no size".to_owned()))?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut pixmap.as_mut());
    pixmap.encode_png().map_err(|error| PngFault::Picture(error.to_string()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::png;

    fn drawn(text: &str) -> Vec<u8> {
        png(&format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='40' height='20'><text x='4' y='16' font-size='14'>{text}</text></svg>"
        ))
        .unwrap()
    }

    /// A degree below zero without its sign would be another degree.
    #[test]
    fn signs_are_drawn_and_not_left_out() {
        let (empty, unknown) = (drawn(""), drawn("\u{e000}"));
        for sign in ["−", "≤", "≥", "×", "°", "–"] {
            let sign_drawn = drawn(sign);
            assert!(sign_drawn != empty && sign_drawn != unknown, "{sign}");
        }
        assert_ne!(drawn("−5"), drawn("5"));
        // Where letters before the sign are one glyph in its first typeface and two in the other.
        assert_ne!(drawn("fl−5"), drawn("fl\u{e000}5"));
    }
}
