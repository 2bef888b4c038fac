//! The drawings of the page as files for the PDF: the same shapes with the same rules of style.

use crate::{
    document::{FamilyDrawing, SignPicture},
    html::{self, STYLE},
};
use maud::{Markup, html as markup};

/// Digits in drawings, whose typeface on the page is that of the device.
const DIGITS: &str = ".digit{font-family:'Noto Sans';font-weight:700;font-size:15px}";

impl SignPicture {
    /// Every sign.
    pub(super) const ALL: [Self; 6] =
        [Self::Toes, Self::HiddenToes, Self::Fever, Self::Blood, Self::Crying, Self::Skin];

    /// Its file.
    pub(super) const fn file(self) -> &'static str {
        match self {
            Self::Toes => "toes.svg",
            Self::HiddenToes => "hidden-toes.svg",
            Self::Fever => "fever.svg",
            Self::Blood => "blood.svg",
            Self::Crying => "crying.svg",
            Self::Skin => "skin.svg",
        }
    }
}

impl FamilyDrawing {
    /// Every drawing.
    pub(super) const ALL: [Self; 2] = [Self::LegInCast, Self::HeelAndStraps];

    /// Its file.
    pub(super) const fn file(self) -> &'static str {
        match self {
            Self::LegInCast => "leg-in-cast.svg",
            Self::HeelAndStraps => "heel-and-straps.svg",
        }
    }
}

/// Every picture: the name of its file and the file.
pub(super) fn files() -> Vec<(&'static str, String)> {
    let signs =
        SignPicture::ALL.map(|sign| (sign.file(), file("sign", "0 0 48 48", &html::sign_shapes(sign))));
    let drawings = FamilyDrawing::ALL.map(|drawing| {
        let (view_box, shapes) = html::drawing_shapes(drawing);
        (drawing.file(), file("drawing", view_box, &shapes))
    });
    signs.into_iter().chain(drawings).collect()
}

fn file(class: &str, view_box: &str, shapes: &Markup) -> String {
    let begin = format!(".{class} ");
    let rules: String = STYLE.lines().filter(|line| line.starts_with(&begin)).collect();
    let drawn = markup! {
        svg.(class) xmlns="http://www.w3.org/2000/svg" viewBox=(view_box) {
            style { (rules) (DIGITS) }
            (shapes)
        }
    };
    drawn.into_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_picture_has_its_shapes_and_rules() {
        let files = files();
        assert_eq!(files.len(), 8);
        for (name, text) in files {
            assert!(text.contains("<path") && text.contains("stroke-width"), "{name}: {text}");
            // A rule with a variable is dropped by the library that reads these files.
            assert!(!text.contains("var("), "{name}");
        }
    }
}
