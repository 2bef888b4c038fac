//! Papers that the clinic prints for itself: what they say on every page, how they are tagged, where a row goes.

use super::{ReadPdf, dictionary, looks, tight};
use letters::{
    ClinicPaper, Language,
    pdf::{PaperSize, PdfFault, paper_pdf},
};
use messages::{PaperBit, PaperBlock, PaperCell, PaperChild, PaperRow, PaperTable, PaperText};

const CAUTION: &str = "The treating clinician decides.";

fn paper(blocks: Vec<PaperBlock>) -> ClinicPaper {
    ClinicPaper {
        language: Language::English,
        kind: "Tenotomies of a day".to_owned(),
        title: "Tenotomies on Thursday 6 March 2025".to_owned(),
        whose: None,
        blocks,
        foot: vec!["Harbour Hospital".to_owned(), "Made on 4 March 2025".to_owned()],
        caution: CAUTION.to_owned(),
        made: "2025-03-04".parse().unwrap(),
        most_pages: None,
    }
}

fn of_child() -> ClinicPaper {
    let whose = PaperChild {
        name: "Sunniva Vesterholt".to_owned(),
        facts: vec!["born 14 January 2025".to_owned(), "no. CF-110".to_owned()],
        feet: "LEFT foot".to_owned(),
    };
    // More than a page in the size of a list, so that a second one follows.
    let lines = (0..90).map(|n| PaperBlock::Paragraph(format!("Line {n} of the checklist.").into()));
    ClinicPaper { whose: Some(whose), ..paper(lines.collect()) }
}

fn printed(paper: &ClinicPaper) -> Vec<u8> {
    paper_pdf(paper, PaperSize::A4).unwrap_or_else(|fault| panic!("{}: {fault}", paper.title))
}

/// A row of a child in a list with heads, with words that nothing else has.
fn child_row(n: usize) -> PaperRow {
    let name = PaperText::default().strong(format!("Child-{n:02}"));
    let known = ["Weight 4800 g on 3 March 2025.", "Allergies: none known.", "Consent: given."];
    let known = known.map(PaperText::from).into_iter().chain([PaperText::of(format!("End-{n:02}."))]);
    PaperRow::of([PaperCell::of(format!("Begin-{n:02}")), PaperCell::of(name), PaperCell::lines(known)])
}

fn listed(rows: Vec<PaperRow>) -> PaperBlock {
    let heads = ["Time", "Who comes", "Recorded"].map(str::to_owned).to_vec();
    PaperBlock::Table(PaperTable { heads, widths: vec![20, 30, 50], names: 1, rows })
}

fn has(text: &str, words: &str) -> bool {
    tight(text).contains(&tight(words))
}

/// Forty children go on over pages: the heads are on each, and no child is on two.
#[test]
fn a_long_list_repeats_its_head_and_breaks_no_row() {
    let long = paper(vec![listed((0..40).map(child_row).collect())]);
    for size in PaperSize::ALL {
        let read = ReadPdf::of(&paper_pdf(&long, size).unwrap());
        assert!(read.pages() > 1, "{size:?}: {} page", read.pages());
        for (n, page) in read.page_texts.iter().enumerate() {
            assert!(has(page, "Who comes") && has(page, "Recorded"), "{size:?}, page {n}: {page}");
            let number = format!("{} / {}", n + 1, read.pages());
            for words in ["Harbour Hospital", "Made on 4 March 2025", number.as_str()] {
                assert!(has(page, words), "{size:?}, page {n} lacks {words}: {page}");
            }
        }
        for n in 0..40 {
            let on = |words: String| read.page_texts.iter().position(|page| has(page, &words));
            let (begin, end) = (on(format!("Begin-{n:02}")), on(format!("End-{n:02}")));
            assert!(begin.is_some() && begin == end, "{size:?}: child {n} is on {begin:?} and {end:?}");
        }
        // Read aloud, the heads are there once, and each child names its row: 3 + 40 cells.
        assert_eq!((read.count("Table"), read.count("TH")), (1, 43), "{size:?}");
        assert!(has(&read.text(), CAUTION));
    }
}

/// A row that is higher than a page is broken after all: nothing of it is lost.
#[test]
fn a_row_that_is_higher_than_a_page_is_not_cut_off() {
    let note = (0..900).map(|n| format!("word{n}")).collect::<Vec<_>>().join(" ");
    let cells = ["08:15", "Ada", note.as_str()].map(PaperCell::of);
    let read = ReadPdf::of(&printed(&paper(vec![listed(vec![PaperRow::of(cells)])])));
    assert!(read.pages() > 1, "{}", read.pages());
    let drawn = read.page_texts.join(" ");
    for n in 0..900 {
        assert!(has(&drawn, &format!("word{n}")), "word{n} is lost");
    }
}

/// The side, the name, the number and the day of birth are on every page, and the side is the largest text.
#[test]
fn the_side_is_on_every_page_and_the_largest_text() {
    let bytes = printed(&of_child());
    let read = ReadPdf::of(&bytes);
    assert!(read.pages() > 1, "{}", read.pages());
    for page in &read.page_texts {
        for words in ["LEFT foot", "Sunniva Vesterholt", "CF-110", "born 14 January 2025"] {
            assert!(has(page, words), "{words}: {page}");
        }
    }
    // What is repeated at the head is not read aloud; it is in the text too.
    for words in ["LEFT foot", "Sunniva Vesterholt", "CF-110", "born 14 January 2025"] {
        assert!(has(&read.text(), words), "{words}: {}", read.text());
    }
    // 24 points against at most 1.5 × 10.4 = 15.6 of the title.
    let sizes = type_sizes(&read);
    let largest = sizes.iter().map(|(size, _)| *size).fold(0.0, f32::max);
    let of_largest: String =
        sizes.iter().filter(|(size, _)| *size == largest).map(|(_, text)| text.as_str()).collect();
    assert!(largest > 20.0 && has(&of_largest, "LEFT foot"), "{largest}: {of_largest}");
    assert!(!has(&of_largest, "Sunniva") && !has(&of_largest, "Tenotomies"), "{of_largest}");
}

/// The sizes of type in a file, each with the text that is set in it, page by page.
fn type_sizes(read: &ReadPdf) -> Vec<(f32, String)> {
    let mut all = Vec::new();
    for page in read.file.page_iter() {
        let fonts = read.file.get_page_fonts(page).unwrap();
        let content = lopdf::content::Content::decode(&read.file.get_page_content(page)).unwrap();
        let mut font: Option<(f32, lopdf::Encoding<'_>)> = None;
        for operation in &content.operations {
            let operands = &operation.operands;
            if operation.operator == "Tf" {
                let found = &fonts[operands[0].as_name().unwrap()];
                let encoding = found.get_font_encoding(&read.file).unwrap();
                font = Some((operands[1].as_float().unwrap(), encoding));
            }
            let pieces = match operation.operator.as_str() {
                "Tj" => std::slice::from_ref(&operands[0]),
                "TJ" => operands[0].as_array().unwrap().as_slice(),
                _ => &[],
            };
            for piece in pieces {
                if let (lopdf::Object::String(bytes, _), Some((size, encoding))) = (piece, &font) {
                    all.push((*size, lopdf::Document::decode_text(encoding, bytes).unwrap()));
                }
            }
        }
    }
    all
}

/// Every kind of part and of room, once.
fn everything() -> Vec<PaperBlock> {
    let room = PaperText::of("Weight ")
        .with(PaperBit::Number("g".to_owned()))
        .and(" given by ")
        .blank()
        .and(" on ")
        .with(PaperBit::Day)
        .tick("asked")
        .tick("")
        .with(PaperBit::Line);
    let closed = [PaperCell::of("08:15"), PaperCell::of("Restricted record").across(2)];
    let marked = PaperRow { marked: true, ..PaperRow::of(closed) };
    let blank = PaperTable {
        heads: Vec::new(),
        widths: vec![1, 2],
        names: 0,
        rows: vec![PaperRow::of([PaperCell::of("Why it was worn less"), PaperCell::of(room.clone())])],
    };
    vec![
        PaperBlock::Heading("Before the operation".to_owned()),
        PaperBlock::Warning(vec![PaperText::default().strong("Stop: ").and("1 point has to be settled.")]),
        PaperBlock::List(vec!["Ask about apnoea.".into(), "Ask about fasting.".into()]),
        listed(vec![child_row(7), marked]),
        PaperBlock::Table(blank),
        PaperBlock::Small("Read: a handbook.".into()),
        PaperBlock::Together(vec![
            PaperBlock::Heading("LEFT foot: at the operation".to_owned()),
            PaperBlock::Paragraph(room),
        ]),
    ]
}

#[test]
fn every_part_is_printed_and_tagged() {
    let all = ClinicPaper { most_pages: Some(1), ..paper(everything()) };
    for size in PaperSize::ALL {
        let bytes = paper_pdf(&all, size).unwrap();
        let read = ReadPdf::of(&bytes);
        assert_eq!(read.pages(), 1, "{size:?}");
        let text = read.text();
        for words in [
            "Tenotomies on Thursday 6 March 2025",
            "Stop:",
            "1 point has to be settled.",
            "Ask about apnoea.",
            "Child-07",
            "Restricted record",
            "Why it was worn less",
            "Weight",
            "given by",
            "asked",
            "Read: a handbook.",
            "LEFT foot: at the operation",
            CAUTION,
        ] {
            assert!(has(&text, words), "{size:?}: {words} is missing in {text}");
        }
        assert_eq!((read.count("H1"), read.count("H2"), read.count("L")), (1, 2, 1), "{size:?}");
        // Heads of the first table, its row of a child and the row that names itself; the closed row has its name too.
        assert_eq!((read.count("Table"), read.count("TH")), (2, 3 + 2 + 1), "{size:?}");
        check_file(&read);
        for (name, font) in read.fonts() {
            let (subset, face) = name.split_once('+').unwrap_or_else(|| panic!("{name} is not a subset"));
            assert!(subset.len() == 6 && face.starts_with("Noto") && font.has(b"ToUnicode"), "{name}");
        }
    }
}

/// Marked as PDF/UA-1, with its language, and a title that says what it is and no more.
fn check_file(read: &ReadPdf) {
    let catalog = read.file.catalog().unwrap();
    assert_eq!(lopdf::decode_text_string(catalog.get(b"Lang").unwrap()).unwrap(), "en");
    let info = dictionary(&read.file, read.file.trailer.get(b"Info").unwrap());
    let title = lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap();
    assert_eq!(title, "Tenotomies of a day");
    let (_, metadata) = read.file.dereference(catalog.get(b"Metadata").unwrap()).unwrap();
    let metadata = metadata.as_stream().unwrap();
    let metadata = metadata.decompressed_content().unwrap_or_else(|_| metadata.content.clone());
    assert!(String::from_utf8_lossy(&metadata).contains("pdfuaid:part"), "not marked as PDF/UA");
}

#[test]
fn the_same_paper_gives_the_same_bytes() {
    let (one, two) = (paper(everything()), of_child());
    let first = printed(&one);
    // Something else in between, so that nothing is merely kept.
    assert_ne!(printed(&two), first);
    assert_eq!(printed(&one), first);
    assert_ne!(paper_pdf(&one, PaperSize::UsLetter).unwrap(), first);
    let later = ClinicPaper { made: "2025-03-05".parse().unwrap(), ..one };
    assert_ne!(printed(&later), first, "the day is in the file");
}

/// A script without a typeface is refused in the same words as in a document for a family, wherever it stands.
#[test]
fn what_no_typeface_has_is_refused_on_a_paper() {
    let name = "小雨".to_owned();
    let child = PaperChild { name: name.clone(), facts: Vec::new(), feet: "LEFT foot".to_owned() };
    let in_row = PaperRow::of([PaperCell::of("08:15"), PaperCell::of("Ada"), PaperCell::of(name.clone())]);
    for bad in [
        ClinicPaper { whose: Some(child), ..paper(Vec::new()) },
        ClinicPaper { foot: vec![name], ..paper(Vec::new()) },
        paper(vec![listed(vec![in_row])]),
    ] {
        let fault = paper_pdf(&bad, PaperSize::A4).unwrap_err();
        assert!(matches!(fault, PdfFault::NoTypeface(_)), "{fault:?}");
        assert!(fault.to_string().contains("Open the document as a page instead"), "{fault}");
    }
}

/// Long names and words stay within their cells and the page: nothing is drawn in the margins, on either side.
#[test]
fn nothing_is_drawn_beyond_the_edges() {
    for name in ["W".repeat(120), "Wilhelmina ".repeat(11), "Universitätskrankenhaus Wuhlheide".to_owned()] {
        let cells = [name.as_str(), name.as_str(), name.as_str()].map(PaperCell::of);
        let child = PaperChild {
            name: name.clone(),
            facts: vec![name.clone()],
            feet: "RIGHT foot and LEFT foot".to_owned(),
        };
        let mut long = paper(vec![listed(vec![PaperRow::of(cells)]), PaperBlock::Paragraph((&*name).into())]);
        long.whose = Some(child);
        long.foot.push(name.clone());
        let bytes = printed(&long);
        let page = looks::grey(&bytes, 1.0);
        for (from, to) in [(0, 30), (page.width - 30, page.width)] {
            let dark = page.rows().any(|row| row[from..to].iter().any(|level| *level < 250));
            assert!(!dark, "something is drawn in the margin at the side: {name}");
        }
        let height = page.levels.len() / page.width;
        for rows in [0..20, height - 12..height] {
            let dark = page.rows().skip(rows.start).take(rows.len()).flatten().any(|level| *level < 250);
            assert!(!dark, "something is drawn at the top or the bottom: {name}");
        }
        // The cells of the row have borders: no word of one runs into the next, so that each is read as a whole.
        let read = ReadPdf::of(&bytes);
        assert!(has(&read.text(), &name), "{}", read.text());
    }
}
