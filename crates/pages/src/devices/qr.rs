//! An address as a square code (ISO/IEC 18004) that a camera reads.

use fast_qr::{ECL, QRBuilder};
use maud::{Markup, html};
use std::fmt::Write as _;

/// The empty margin around the code, in modules, as the standard asks for.
const MARGIN: usize = 4;

/// The picture of an address; nothing where the text is too long for one.
pub fn picture(text: &str) -> Markup {
    named_picture(text, &format!("Code for the camera: {text}"))
}

/// The picture with a name of its own, where the text is not to be read out.
pub fn named_picture(text: &str, name: &str) -> Markup {
    let Ok(code) = QRBuilder::new(text).ecl(ECL::M).build() else { return html! {} };
    let dark = (0..code.size).flat_map(|row| (0..code.size).map(move |column| (row, column)));
    let dark = dark
        .filter(|(row, column)| code.data.get(row * code.size + column).is_some_and(|module| module.value()));
    let path = dark.fold(String::new(), |mut path, (row, column)| {
        // Writing to a string does not fail.
        let _ = write!(path, "M{} {}h1v1h-1z", column + MARGIN, row + MARGIN);
        path
    });
    let side = code.size + 2 * MARGIN;
    html! {
        svg.qr role="img" aria-label=(name) viewBox={ "0 0 " (side) " " (side) } xmlns="http://www.w3.org/2000/svg" shape-rendering="crispEdges" {
            rect.qr-light width=(side) height=(side) {}
            path.qr-dark d=(path) {}
        }
    }
}
