//! Letters to colleagues, the letterhead, and the sheets for a power cut.

use super::{frame, in_casts};
use maud::Markup;
use pages::{BlankSheet, DocumentChoice, Here, LetterheadView, LettersView, LogoShown, fields::Filled};

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let settings = frame(Here::Settings);
    let choice = |key, name, why: Option<&str>| DocumentChoice {
        key,
        name,
        refused: why.map(str::to_owned),
        has_pdf: true,
        handed: None,
    };
    let letters = LettersView {
        who: in_casts(given).who(),
        letters: vec![
            choice("clinic-summary", "Clinic summary", None),
            choice("referrer-letter", "Letter to the referring doctor", Some("The child died.")),
        ],
        has_letterhead: false,
        open_questions: 2,
    };
    let set = LetterheadView {
        filled: Filled::default().with("letter_lines", "4 Harbour Road"),
        logo: Some(LogoShown {
            href: "data:image/png;base64,iVBORw0KGgo=".into(),
            words: "960 × 200 pixels".into(),
        }),
        logo_refused: None,
    };
    let refused = LetterheadView {
        filled: Filled::default().wrong("letter_lines", "At most 6 lines have room; these are 7."),
        logo: None,
        logo_refused: Some("This is neither a PNG nor a JPEG picture.".into()),
    };
    vec![
        ("letters", pages::colleague_letters(&frame(Here::Child), &letters)),
        ("letterhead", pages::letterhead(&settings, &set)),
        ("letterhead-refused", pages::letterhead(&settings, &refused)),
        ("sheets", pages::blank_sheets(&settings)),
        ("sheet-visit", pages::blank_sheet(&settings, BlankSheet::Visit)),
        ("sheet-tenotomy", pages::blank_sheet(&settings, BlankSheet::Tenotomy)),
    ]
}
