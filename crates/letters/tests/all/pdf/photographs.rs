//! Photographs of a letter: foot, view and day of each beside it and for whoever cannot see it, and whose they are.

use super::{ReadPdf, dictionary, made, named, tight};
use letters::{
    Language, LetterLanguage, LetterPhotograph,
    pdf::{PaperSize, PdfFault, photographs_pdf},
};
use record::{PhotographView, Sides};

/// Colours that run into each other, drawn by a program.
const DRAWN: [&[u8]; 2] = [include_bytes!("drawn-1.jpg"), include_bytes!("drawn-2.jpg")];

fn photograph(on: &str, feet: Sides, view: PhotographView) -> LetterPhotograph {
    LetterPhotograph { on: on.parse().unwrap(), feet, view, src: "/child/x/photographs/y/whole".into() }
}

pub fn pair() -> Vec<(LetterPhotograph, Vec<u8>)> {
    let days = ["2024-05-03", "2025-02-01"];
    let of = |on| photograph(on, Sides::Left, PhotographView::Sole);
    days.into_iter().zip(DRAWN).map(|(on, jpeg)| (of(on), jpeg.to_vec())).collect()
}

fn alts(read: &ReadPdf) -> Vec<&str> {
    let figures = read.tagged.iter().filter(|element| element.role == "Figure");
    figures.map(|element| element.alt.as_deref().unwrap_or_default()).collect()
}

#[test]
fn each_photograph_has_its_words_and_the_page_whose_they_are() {
    let whose = named("Solveig").whose;
    let bytes = photographs_pdf(&whose, pair(), PaperSize::A4, made()).unwrap();
    let read = ReadPdf::of(&bytes);
    let expected =
        ["Photograph: left foot, sole, 3 May 2024", "Photograph: left foot, sole, 1 February 2025"];
    assert_eq!(alts(&read), expected);
    let text = tight(&read.text());
    for words in expected.into_iter().chain(["These are photographs, not measurements."]) {
        assert!(text.contains(&tight(words)), "{words}: {text}");
    }
    for sentence in &whose {
        assert!(text.contains(&tight(&Language::English.text(sentence).unwrap())), "{sentence:?}: {text}");
    }
    let info = dictionary(&read.file, read.file.trailer.get(b"Info").unwrap());
    let title = lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap();
    assert_eq!((title.as_str(), read.pages(), read.count("H1")), ("Photographs", 1, 1));
    // Typefaces and text of a document have at most 160 kB.
    let pictures: usize = DRAWN.iter().map(|jpeg| jpeg.len()).sum();
    assert!(bytes.len() > pictures && bytes.len() < pictures + 160_000, "{} bytes", bytes.len());
    assert_eq!(photographs_pdf(&whose, pair(), PaperSize::A4, made()).unwrap(), bytes, "the same again");
}

#[test]
fn eight_photographs_go_on_and_every_page_says_whose_they_are() {
    let whose = named("Solveig").whose;
    let eight: Vec<_> = [pair(), pair(), pair(), pair()].concat();
    let bytes = photographs_pdf(&whose, eight, PaperSize::UsLetter, made()).unwrap();
    let read = ReadPdf::of(&bytes);
    assert_eq!(alts(&read).len(), 8);
    assert!(read.pages() > 1, "{} pages", read.pages());
    let name = Language::English.text(&whose[0]).unwrap();
    // Footers are no part of the text that is read aloud: they are read from the pages themselves.
    for page in 1..=read.pages() as u32 {
        let words = read.file.extract_text(&[page]).unwrap();
        assert!(tight(&words).contains(&tight(&name)), "page {page}: {words}");
    }
}

#[test]
fn both_feet_are_named_as_both_and_no_photograph_is_no_file() {
    let both = photograph("2025-02-01", Sides::Both, PhotographView::BothFeet);
    let squatting = photograph("2025-02-01", Sides::Both, PhotographView::Squatting);
    let two = vec![(both, DRAWN[0].to_vec()), (squatting, DRAWN[1].to_vec())];
    let bytes = photographs_pdf(&named("Solveig").whose, two, PaperSize::A4, made()).unwrap();
    let expected = [
        "Photograph: both feet together, 1 February 2025",
        "Photograph: both feet, squatting, 1 February 2025",
    ];
    assert_eq!(alts(&ReadPdf::of(&bytes)), expected);
    let none = photographs_pdf(&[], Vec::new(), PaperSize::A4, made());
    assert_eq!(none, Err(PdfFault::Nothing));
    let broken = vec![(photograph("2025-02-01", Sides::Left, PhotographView::Sole), b"no picture".to_vec())];
    let refused = photographs_pdf(&[], broken, PaperSize::A4, made());
    assert!(matches!(refused, Err(PdfFault::Typesetting(_))), "{refused:?}");
}
