//! The typefaces of the PDF. They are compiled into the program; nothing is taken from the computer.

use std::sync::LazyLock;
use typst::{
    foundations::Bytes,
    text::{Font, FontBook},
    utils::LazyHash,
};

/// A typeface by the script for which it is there. Latin has Greek and Cyrillic too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum FontScript {
    Latin,
    Arabic,
    Devanagari,
    Bengali,
    Ethiopic,
}

impl FontScript {
    pub(super) const ALL: [Self; 5] =
        [Self::Latin, Self::Arabic, Self::Devanagari, Self::Bengali, Self::Ethiopic];

    /// The family, as the template names it.
    pub(super) const fn family(self) -> &'static str {
        match self {
            Self::Latin => "Noto Sans",
            Self::Arabic => "Noto Naskh Arabic",
            Self::Devanagari => "Noto Sans Devanagari",
            Self::Bengali => "Noto Sans Bengali",
            Self::Ethiopic => "Noto Sans Ethiopic",
        }
    }

    /// The script of a letter; `None` for what belongs to none, such as digits, spaces and accents, and for scripts
    /// without a typeface.
    pub(super) fn of(letter: char) -> Option<Self> {
        match u32::from(letter) {
            // Accents that are combined with letters of every script.
            0x0300..=0x036F => None,
            0x0600..=0x06FF | 0x0750..=0x077F | 0x08A0..=0x08FF | 0xFB50..=0xFDFF | 0xFE70..=0xFEFE => {
                Some(Self::Arabic)
            }
            // The full stops of Devanagari are those of Bengali too.
            0x0964 | 0x0965 => None,
            0x0900..=0x097F | 0xA8E0..=0xA8FF => Some(Self::Devanagari),
            0x0980..=0x09FF => Some(Self::Bengali),
            0x1200..=0x139F | 0x2D80..=0x2DDF | 0xAB00..=0xAB2F => Some(Self::Ethiopic),
            _ => letter.is_alphabetic().then_some(Self::Latin),
        }
    }

    /// Whether its typeface, or the Latin one that stands in for it, has a character, in regular and in bold, or the
    /// typeface of signs has it.
    pub(super) fn has(self, character: char) -> bool {
        [Some(self), Some(Self::Latin), None].into_iter().any(|script| covers(script, character))
    }
}

/// Whether the Latin typeface lacks a sign that the typeface of signs has.
pub(super) fn is_sign_alone(character: char) -> bool {
    !character.is_ascii() && covers(None, character) && !covers(Some(FontScript::Latin), character)
}

/// Whether every face of a script, or of signs, has a character.
fn covers(script: Option<FontScript>, character: char) -> bool {
    let mut faces = FACES.iter().filter(|face| face.script == script);
    faces.all(|face| face.font.info().coverage.contains(u32::from(character)))
}

/// The family of the signs that no typeface of a script has, such as the minus of a number below zero. Regular only.
pub(super) const SIGNS_FAMILY: &str = "Noto Sans Math";

/// A face: a script, regular or bold; no script for signs.
struct Face {
    script: Option<FontScript>,
    font: Font,
}

macro_rules! face {
    ($file:literal) => {
        include_bytes!(concat!("../../fonts/", $file, ".ttf"))
    };
}

/// The Latin faces of the family "Noto Sans", regular and bold, and the signs that they lack, for whatever else draws
/// text without the typefaces of the computer.
pub static DRAWING_FACES: [&[u8]; 3] =
    [face!("NotoSans-Regular"), face!("NotoSans-Bold"), face!("NotoSansMath-Regular")];

static FILES: [(Option<FontScript>, &[u8]); 11] = [
    (Some(FontScript::Latin), DRAWING_FACES[0]),
    (Some(FontScript::Latin), DRAWING_FACES[1]),
    (None, DRAWING_FACES[2]),
    (Some(FontScript::Arabic), face!("NotoNaskhArabic-Regular")),
    (Some(FontScript::Arabic), face!("NotoNaskhArabic-Bold")),
    (Some(FontScript::Devanagari), face!("NotoSansDevanagari-Regular")),
    (Some(FontScript::Devanagari), face!("NotoSansDevanagari-Bold")),
    (Some(FontScript::Bengali), face!("NotoSansBengali-Regular")),
    (Some(FontScript::Bengali), face!("NotoSansBengali-Bold")),
    (Some(FontScript::Ethiopic), face!("NotoSansEthiopic-Regular")),
    (Some(FontScript::Ethiopic), face!("NotoSansEthiopic-Bold")),
];

/// A face that cannot be read is missing, and a test reads every one.
static FACES: LazyLock<Vec<Face>> = LazyLock::new(|| {
    let face = |(script, file): (Option<FontScript>, &'static [u8])| {
        Font::new(Bytes::new(file), 0).map(|font| Face { script, font })
    };
    FILES.into_iter().filter_map(face).collect()
});

static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FACES.iter().map(|face| &face.font))));

/// What there is.
pub(super) fn book() -> &'static LazyHash<FontBook> {
    &BOOK
}

/// A face by its place in the book.
pub(super) fn font(place: usize) -> Option<Font> {
    FACES.get(place).map(|face| face.font.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_face_can_be_read_and_has_its_family() {
        assert_eq!(FACES.len(), FILES.len());
        for script in FontScript::ALL {
            assert_eq!(book().select_family(&script.family().to_lowercase()).count(), 2, "{script:?}");
        }
        assert_eq!(book().select_family(&SIGNS_FAMILY.to_lowercase()).count(), 1);
        for (script, letter) in [
            (FontScript::Latin, 'ế'),
            (FontScript::Latin, 'Я'),
            (FontScript::Arabic, 'ع'),
            (FontScript::Devanagari, 'ख'),
            (FontScript::Bengali, 'খ'),
            (FontScript::Ethiopic, 'አ'),
        ] {
            assert_eq!(FontScript::of(letter), Some(script));
            assert!(script.has(letter), "{letter}");
        }
        assert!(FontScript::ALL.iter().all(|script| !script.has('小')));
        // Degrees below zero, and limits.
        assert!(['−', '≤', '≥', '×', '°'].into_iter().all(|sign| FontScript::Latin.has(sign)));
    }
}
