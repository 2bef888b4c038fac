//! Letters to colleagues as PDF: they say what the page says, each foot under its name, and are tagged.

use super::{ReadPdf, dictionary, logo, looks, photographs::pair, pictures, tight};
use crate::{
    children::{BRACE, CASTS, RELAPSE, clinic},
    colleagues::{TWO_FEET, letter},
    story::day,
};
use letters::{
    Block, ClinicContact, ColleagueBlock, ColleagueDocument, ColleagueDocumentKind, Letterhead,
    html::{PageFrame, colleague_page},
    pdf::{PaperSize, PdfFault, colleague_pdf},
};
use scraper::{Html, Selector};

/// A child in first casts, two different feet, a brace, a relapse, and a record in doubt, each with its day.
fn children() -> [(String, &'static str); 5] {
    let doubt = format!("{CASTS}\n| 2025-02-17 | right | tenotomy | dorsiflexion 20 |");
    [
        (CASTS.to_owned(), "2025-02-10"),
        (TWO_FEET.to_owned(), "2024-09-16"),
        (BRACE.to_owned(), "2024-11-11"),
        (RELAPSE.to_owned(), "2025-02-24"),
        (doubt, "2025-02-17"),
    ]
}

fn with_head() -> ClinicContact {
    let letterhead = Letterhead {
        lines: vec!["4 Harbour Road".to_owned(), "#panic() *not bold*".to_owned()],
        logo: Some(logo(960, 320)),
        signature: vec!["Senior physiotherapist".to_owned()],
        ..Letterhead::default()
    };
    ClinicContact { letterhead, ..clinic() }
}

/// Every letter of every child.
fn all(clinic: &ClinicContact) -> Vec<ColleagueDocument> {
    let of = |(rows, on): &(String, &str)| {
        ColleagueDocumentKind::ALL.map(|kind| letter(rows, on, kind, clinic).unwrap())
    };
    children().iter().flat_map(of).collect()
}

fn printed_on(document: &ColleagueDocument, clinic: &ClinicContact, paper: PaperSize) -> Vec<u8> {
    colleague_pdf(document, clinic.head().as_ref(), Vec::new(), paper, day("2025-02-24"))
        .unwrap_or_else(|fault| panic!("{}: {fault}", document.kind.key()))
}

fn printed(document: &ColleagueDocument, clinic: &ClinicContact) -> Vec<u8> {
    printed_on(document, clinic, PaperSize::A4)
}

/// The pieces of text on the page of a letter, without those of drawings.
fn on_page(document: &ColleagueDocument, clinic: &ClinicContact) -> Vec<String> {
    let head = clinic.head();
    let frame = PageFrame { style: "letters.css", above: None };
    let page = colleague_page(document, head.as_ref(), frame).unwrap().into_string();
    let page = Html::parse_document(&page);
    let main = page.select(&Selector::parse("main").unwrap()).next().unwrap();
    let pieces = main.descendants().filter_map(|node| {
        let text = node.value().as_text()?;
        let is_drawing = |outer: &scraper::Node| outer.as_element().is_some_and(|one| one.name() == "svg");
        let drawn = node.ancestors().any(|outer| is_drawing(outer.value()));
        (!drawn && !text.trim().is_empty()).then(|| text.trim().to_owned())
    });
    pieces.collect()
}

#[test]
fn the_pdf_says_every_sentence_of_the_page() {
    let clinic = with_head();
    let mut compared = 0;
    for document in all(&clinic) {
        let text = tight(&ReadPdf::of(&printed(&document, &clinic)).text());
        for piece in on_page(&document, &clinic) {
            assert!(text.contains(&tight(&piece)), "{}: “{piece}” is missing in {text}", document.kind.key());
            compared += 1;
        }
    }
    // 15 letters, of which the shortest has head, title, whose it is, two feet, steps, telephone and signature.
    assert!(compared > 15 * 20, "{compared}");
}

/// The text between the heading of a foot and the next heading.
fn under(read: &ReadPdf, heading: &str) -> String {
    let is_heading = |role: &str| role == "H1" || role == "H2";
    let from = read.tagged.iter().position(|one| is_heading(&one.role) && one.text.trim() == heading);
    let from = from.unwrap_or_else(|| panic!("no heading “{heading}”: {}", read.text())) + 1;
    let part = read.tagged[from..].iter().take_while(|one| !is_heading(&one.role));
    tight(&part.map(|one| one.text.as_str()).collect::<String>())
}

/// The wrong side is the worst error. The values are those of the rows of `TWO_FEET`.
#[test]
fn every_value_is_under_its_own_foot() {
    let clinic = clinic();
    let document = letter(TWO_FEET, "2024-09-16", ColleagueDocumentKind::ReferrerLetter, &clinic).unwrap();
    let read = ReadPdf::of(&printed(&document, &clinic));
    let (right, left) = (under(&read, "Right foot"), under(&read, "Left foot"));
    let has = |text: &str, words: &str| text.contains(&tight(words));
    for words in ["Pirani 3 of 6 (midfoot 0, hindfoot 3)", "+60° on", "heel cord cut", "just after +15°"] {
        assert!(has(&right, words) && !has(&left, words), "“{words}”: {right} | {left}");
    }
    for words in ["Pirani 0 of 6 (midfoot 0, hindfoot 0)", "+65° on", "+20° on"] {
        assert!(has(&left, words) && !has(&right, words), "“{words}”: {right} | {left}");
    }
    let headings = read.tagged.iter().filter(|one| one.role == "H2").map(|one| one.text.trim());
    let feet: Vec<&str> = headings.filter(|text| text.ends_with(" foot")).collect();
    assert_eq!(feet, ["Right foot", "Left foot"]);
    let document = letter(TWO_FEET, "2024-09-16", ColleagueDocumentKind::TransferSummary, &clinic).unwrap();
    let read = ReadPdf::of(&printed(&document, &clinic));
    let right = under(&read, "Course of the right foot");
    let left = under(&read, "Course of the left foot");
    assert!(has(&right, "heel-cord tenotomy") && has(&right, "−30°") && has(&right, "0 + 3"), "{right}");
    assert!(has(&left, "−5°") && has(&left, "1.5 + 1.5") && !has(&left, "tenotomy"), "{left}");
}

fn title_of(read: &ReadPdf) -> String {
    let info = dictionary(&read.file, read.file.trailer.get(b"Info").unwrap());
    lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap()
}

#[test]
fn letters_are_tagged_and_their_title_names_no_child() {
    let clinic = with_head();
    for document in all(&clinic) {
        let read = ReadPdf::of(&printed(&document, &clinic));
        let catalog = read.file.catalog().unwrap();
        assert_eq!(lopdf::decode_text_string(catalog.get(b"Lang").unwrap()).unwrap(), "en");
        assert_eq!(title_of(&read), document.kind.words());
        let (_, metadata) = read.file.dereference(catalog.get(b"Metadata").unwrap()).unwrap();
        let metadata = metadata.as_stream().unwrap();
        let metadata = metadata.decompressed_content().unwrap_or_else(|_| metadata.content.clone());
        assert!(String::from_utf8_lossy(&metadata).contains("pdfuaid:part"), "not marked as PDF/UA");
        check_roles(&document, &read);
    }
}

/// Headings, tables, lists and drawings are as many as the document has.
fn check_roles(document: &ColleagueDocument, read: &ReadPdf) {
    let key = document.kind.key();
    let sum = |of: fn(&Block) -> usize| document.blocks.iter().map(of).sum::<usize>();
    let headings = sum(|block| match block {
        Block::Heading(_) | Block::ForColleagues(ColleagueBlock::Doubt(_) | ColleagueBlock::Wide { .. }) => 1,
        Block::ForColleagues(ColleagueBlock::Feet(feet)) => feet.len(),
        _ => 0,
    });
    let tables = sum(|block| match block {
        Block::Dates(_) | Block::Table(_) | Block::ForColleagues(ColleagueBlock::Wide { .. }) => 1,
        Block::ForColleagues(ColleagueBlock::Feet(feet)) => {
            feet.iter().filter(|foot| foot.lines.is_some()).count()
        }
        _ => 0,
    });
    let lists = sum(|block| {
        usize::from(matches!(block, Block::List(_) | Block::ForColleagues(ColleagueBlock::Doubt(_))))
    });
    let charts: Vec<String> = document
        .blocks
        .iter()
        .flat_map(|block| match block {
            Block::ForColleagues(ColleagueBlock::Charts(charts)) => charts.as_slice(),
            _ => &[],
        })
        .map(|chart| format!("Course of the {0} foot: Cast of the {0} foot.", chart.side))
        .collect();
    assert_eq!((read.count("H1"), read.count("H2"), read.count("H3")), (1, headings, 0), "{key}");
    assert_eq!((read.count("Table"), read.count("L")), (tables, lists), "{key}");
    assert!(tables == 0 || read.count("TH") > 0, "{key}: a table without a heading cell");
    let figures = read.tagged.iter().filter(|element| element.role == "Figure");
    let alts: Vec<&str> = figures.map(|element| element.alt.as_deref().unwrap_or_default()).collect();
    assert_eq!(alts, charts, "{key}");
}

/// On one page as the clinic summary promises, and on two as the others do, on both papers. A summary that first has to
/// say what is in doubt may take two.
#[test]
fn letters_are_as_short_as_their_pages() {
    let clinic = with_head();
    for (number, document) in all(&clinic).into_iter().enumerate() {
        let is_doubt = |block: &Block| matches!(block, Block::ForColleagues(ColleagueBlock::Doubt(_)));
        let is_short = document.kind == ColleagueDocumentKind::ClinicSummary;
        let most = if is_short && !document.blocks.iter().any(is_doubt) { 1 } else { 2 };
        for paper in PaperSize::ALL {
            let pages = ReadPdf::of(&printed_on(&document, &clinic, paper)).pages();
            assert!(pages <= most, "{number}: {} on {paper:?}: {pages} pages", document.kind.key());
        }
    }
}

#[test]
fn the_same_letter_gives_the_same_bytes() {
    let clinic = with_head();
    let letters = all(&clinic);
    let first: Vec<Vec<u8>> = letters.iter().map(|document| printed(document, &clinic)).collect();
    for (document, bytes) in letters.iter().zip(&first) {
        assert_eq!(&printed(document, &clinic), bytes, "{}", document.kind.key());
        assert_ne!(&printed_on(document, &clinic, PaperSize::UsLetter), bytes);
    }
}

/// A script without a typeface is refused in the same words as in a document for a family, in a name and in a drawing.
#[test]
fn what_no_typeface_has_is_refused() {
    let clinic = clinic();
    let refused = |document: &ColleagueDocument| {
        let fault = colleague_pdf(document, None, Vec::new(), PaperSize::A4, day("2025-02-24")).unwrap_err();
        assert!(matches!(fault, PdfFault::NoTypeface(_)), "{fault:?}");
        assert!(fault.to_string().contains("Open the document as a page instead"), "{fault}");
    };
    for kind in ColleagueDocumentKind::ALL {
        let rows = CASTS.replace("Solveig", "小雨");
        refused(&letter(&rows, "2025-02-10", kind, &clinic).unwrap());
    }
    let mut drawn = letter(CASTS, "2025-02-10", ColleagueDocumentKind::ClinicSummary, &clinic).unwrap();
    for block in &mut drawn.blocks {
        if let Block::ForColleagues(ColleagueBlock::Charts(charts)) = block {
            charts[0].svg = charts[0].svg.replace("drawn", "小雨");
        }
    }
    refused(&drawn);
}

#[test]
fn letterhead_logo_and_signature_are_printed() {
    let clinic = with_head();
    for kind in ColleagueDocumentKind::ALL {
        let document = letter(CASTS, "2025-02-10", kind, &clinic).unwrap();
        let read = ReadPdf::of(&printed(&document, &clinic));
        assert_eq!(pictures(&read), [(960, 320)], "{kind:?}");
        let text = tight(&read.text());
        let at = |words: &str| text.find(&tight(words)).unwrap_or_else(|| panic!("{words}: {text}"));
        assert!(at("4 Harbour Road") < at("Solveig"), "{text}");
        assert!(at("#panic() *not bold*") < at("Solveig"), "what looks like markup is text: {text}");
        assert!(
            at("With kind regards") < at("Ida Brandt") && at("Ida Brandt") < at("Senior physiotherapist")
        );
    }
}

/// The square of the drawing in `colleagues::letter` is there: #8f5f2f is level 103 of grey
/// ((299 × 143 + 587 × 95 + 114 × 47) / 1000 = 103.9). Its 20 units are at least 10 points, so that it has 100 dots.
#[test]
fn the_course_of_each_foot_is_drawn() {
    let clinic = clinic();
    let kind = ColleagueDocumentKind::ClinicSummary;
    let dots = |document: &ColleagueDocument| {
        let page = looks::grey(&printed(document, &clinic), 1.0);
        page.rows().flatten().filter(|level| (101..=106).contains(*level)).count()
    };
    let with = letter(CASTS, "2025-02-10", kind, &clinic).unwrap();
    let mut without = with.clone();
    for block in &mut without.blocks {
        if let Block::ForColleagues(ColleagueBlock::Charts(charts)) = block {
            charts[0].svg = charts[0].svg.replace("#8f5f2f", "none");
        }
    }
    let (with, without) = (dots(&with), dots(&without));
    assert!(with > without + 60, "{with} and {without}");
}

/// Letters of which a typeface makes one glyph stood in the way of a minus behind them: the letter was refused, and a
/// picture showed 28° where −28° was meant.
#[test]
fn a_degree_below_zero_keeps_its_sign_in_a_drawing() {
    let clinic = clinic();
    let with_text = |text: &str| {
        let mut document =
            letter(CASTS, "2025-02-10", ColleagueDocumentKind::ClinicSummary, &clinic).unwrap();
        for block in &mut document.blocks {
            if let Block::ForColleagues(ColleagueBlock::Charts(charts)) = block {
                charts[0].svg = charts[0].svg.replace("drawn", text);
            }
        }
        looks::grey(&printed(&document, &clinic), 2.0).rows().flatten().filter(|level| **level < 128).count()
    };
    let (without, with) = (with_text("dorsiflexion 28°"), with_text("dorsiflexion −28°"));
    assert!(with > without, "{with} and {without} dark dots");
}

/// Behind the letter, on paper of their own that says whose they are; each in its place, and none is left out.
#[test]
fn photographs_are_behind_the_letter() {
    let clinic = clinic();
    let kind = ColleagueDocumentKind::ReferrerLetter;
    let (shown, jpegs): (Vec<_>, Vec<_>) = pair().into_iter().unzip();
    let plain = letter(CASTS, "2025-02-10", kind, &clinic).unwrap();
    let document = plain.clone().with_photographs(shown);
    let made = |jpegs| colleague_pdf(&document, None, jpegs, PaperSize::A4, day("2025-02-10"));
    let bytes = made(jpegs.clone()).unwrap();
    let read = ReadPdf::of(&bytes);
    let without =
        ReadPdf::of(&colleague_pdf(&plain, None, Vec::new(), PaperSize::A4, day("2025-02-10")).unwrap());
    assert_eq!(read.pages(), without.pages() + 1);
    let behind = under(&read, "Photographs");
    for words in ["Solveig", "These are photographs, not measurements.", "left foot, sole, 3 May 2024"] {
        assert!(behind.contains(&tight(words)), "“{words}” is missing in {behind}");
    }
    let figures = read.tagged.iter().filter(|element| element.role == "Figure");
    let alts: Vec<&str> = figures.map(|element| element.alt.as_deref().unwrap_or_default()).collect();
    let expected =
        ["Photograph: left foot, sole, 3 May 2024", "Photograph: left foot, sole, 1 February 2025"];
    assert_eq!(alts, expected);
    assert_eq!(made(jpegs.clone()).unwrap(), bytes, "the same again");
    let fewer = made(jpegs[..1].to_vec());
    assert!(matches!(fewer, Err(PdfFault::Typesetting(_))), "{fewer:?}");
}
