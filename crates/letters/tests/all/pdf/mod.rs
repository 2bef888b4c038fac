//! The documents as PDF: what they say, how they are tagged, what they look like.

mod colleagues;
mod looks;
mod papers;
mod photographs;
mod reading;

use crate::{
    children::{BRACE, CASTS, RELAPSE, with},
    languages::documents,
};
use letters::{
    Arg, Block, ClinicContact, ClinicLogo, FamilyDocument, FamilyDocumentKind, Language, LetterLanguage,
    Letterhead, PlanChoices, Sentence, Wording, family_plan,
    pdf::{PaperSize, PdfFault, pdf, pdf_of_many},
};
use reading::{ReadPdf, dictionary};
use std::{collections::BTreeSet, sync::LazyLock};

/// Three children, of whom every kind of document can be made.
fn children() -> [(String, &'static str); 4] {
    [
        (CASTS.to_owned(), "2025-02-10"),
        (BRACE.to_owned(), "2024-11-11"),
        (RELAPSE.to_owned(), "2025-02-24"),
        (format!("{CASTS}\n| 2025-02-17 | – | missed | |"), "2025-02-18"),
    ]
}

/// A document of each kind, of the first child of whom it can be made.
pub fn one_of_each() -> Vec<FamilyDocument> {
    let mut all: Vec<FamilyDocument> = Vec::new();
    for (rows, on) in children() {
        for document in with(&rows, on, |facts| documents(&facts.unwrap())) {
            let only_as_page = document.kind == FamilyDocumentKind::WearDiary;
            if !only_as_page && !all.iter().any(|other| other.kind == document.kind) {
                all.push(document);
            }
        }
    }
    // The diary is printed from its page.
    assert_eq!(all.len(), FamilyDocumentKind::ALL.len() - 1);
    all
}

fn made() -> record::Day {
    "2025-02-10".parse().unwrap()
}

fn printed(document: &FamilyDocument, language: Language) -> Vec<u8> {
    pdf(document, language, PaperSize::A4, made())
        .unwrap_or_else(|fault| panic!("{} {language:?}: {fault}", document.kind.key()))
}

/// Every kind in every language, printed once for all tests.
struct Printed {
    document: FamilyDocument,
    language: Language,
    bytes: Vec<u8>,
}

static ALL: LazyLock<Vec<Printed>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for document in one_of_each() {
        for language in Language::ALL {
            let bytes = printed(&document, language);
            all.push(Printed { document: document.clone(), language, bytes });
        }
    }
    all
});

fn named(name: &str) -> FamilyDocument {
    let rows = CASTS.replace("Solveig", name);
    with(&rows, "2025-02-10", |facts| family_plan(&facts.unwrap(), PlanChoices::default()))
}

/// The sentences of a document, in the order of reading.
pub fn sentences(document: &FamilyDocument) -> Vec<Sentence> {
    let mut all = vec![document.title.clone()];
    all.extend(document.whose.clone());
    for block in &document.blocks {
        match block {
            Block::Heading(sentence) => all.push(sentence.clone()),
            Block::Paragraph(sentences)
            | Block::List(sentences)
            | Block::Ring(sentences)
            | Block::Drawing(_, sentences) => all.extend(sentences.clone()),
            Block::Emergency(signs) => all.extend(signs.iter().map(|(_, sentence)| sentence.clone())),
            Block::Question(question, answer) => all.extend([question.clone(), answer.clone()]),
            Block::Table(rows) => {
                all.extend(rows.iter().flat_map(|(label, value)| [label.clone(), value.clone()]))
            }
            Block::Dates(lines) => all.extend(lines.iter().map(|line| line.what.clone())),
            Block::Way(points) => all.extend(points.iter().map(|point| Sentence::new(point.stage.message()))),
            Block::DiarySheet(_) | Block::Head(_) | Block::ForColleagues(_) | Block::Telephone(_) => {}
        }
    }
    all
}

/// Without spaces and places to break a word: lines are broken elsewhere than in the text. A hyphen at which a line of
/// Portuguese ends stands again at the beginning of the next, by the rules of that language.
fn tight(text: &str) -> String {
    let kept = |c: &char| !c.is_whitespace() && !matches!(c, '\u{200B}'..='\u{200D}' | '\u{AD}');
    text.chars().filter(kept).collect::<String>().replace("--", "-")
}

fn is_arabic(text: &str) -> bool {
    text.chars().any(|c| ('\u{600}'..='\u{6FF}').contains(&c))
}

/// Without the marks of Arabic, and every letter that is doubled once.
fn bare(text: &str) -> String {
    let is_mark = |c: &char| matches!(c, '\u{64B}'..='\u{65F}' | '\u{670}');
    let mut letters: Vec<char> = tight(text).chars().filter(|c| !is_mark(c)).collect();
    letters.dedup();
    letters.into_iter().collect()
}

/// Whether a text that was read from a file has the words of another.
///
/// Arabic is compared word by word, without its marks and not in its order: in the file the glyphs of a line stand from
/// left to right, and the library that writes it says a letter with a mark twice.
fn has_words(text: &str, wanted: &str) -> bool {
    if !is_arabic(wanted) {
        return tight(text).contains(&tight(wanted));
    }
    let text = bare(text);
    let is_sign = |c: char| c.is_ascii_punctuation() || "،؛؟".contains(c);
    wanted.split_whitespace().map(|word| word.trim_matches(is_sign)).all(|word| {
        let turned: String = word.chars().rev().collect();
        text.contains(&bare(if is_arabic(word) { &turned } else { word }))
    })
}

/// Every sentence of every document in every language is in the file, in the order of the document.
#[test]
fn a_pdf_says_what_the_document_says() {
    for Printed { document, language, bytes } in ALL.iter() {
        let read = ReadPdf::of(bytes).text();
        let (text, mut from) = (tight(&read), 0);
        for sentence in sentences(document) {
            let (key, wanted) = (document.kind.key(), language.text(&sentence).unwrap());
            if language.is_right_to_left() {
                assert!(has_words(&read, &wanted), "{key} {language:?}: “{wanted}” is missing in {read}");
                continue;
            }
            let wanted = tight(&wanted);
            let found = text[from..].find(&wanted).unwrap_or_else(|| {
                panic!("{key} {language:?}: “{wanted}” is missing after {from} in {text}")
            });
            from += found + wanted.len();
        }
    }
}

#[test]
fn the_comparison_finds_missing_words() {
    assert!(
        has_words("Plan for Solveig", "Plan for Solveig") && !has_words("Plan for Ada", "Plan for Solveig")
    );
    assert!(has_words("Solveig :جالعلا ةطخ", "خطة العلاج: Solveig"));
    assert!(!has_words("Solveig :جالعلا", "خطة العلاج: Solveig"));
}

/// Tagged, with title, language, headings, tables, lists and words for the drawing; marked as PDF/UA-1.
#[test]
fn a_pdf_is_tagged() {
    for Printed { document, language, bytes } in ALL.iter() {
        let read = ReadPdf::of(bytes);
        let catalog = read.file.catalog().unwrap();
        let lang = lopdf::decode_text_string(catalog.get(b"Lang").unwrap()).unwrap();
        assert_eq!(lang, language.tag());
        assert!(
            dictionary(&read.file, catalog.get(b"MarkInfo").unwrap())
                .get(b"Marked")
                .unwrap()
                .as_bool()
                .unwrap()
        );
        let view = dictionary(&read.file, catalog.get(b"ViewerPreferences").unwrap());
        assert!(view.get(b"DisplayDocTitle").unwrap().as_bool().unwrap());
        let info = dictionary(&read.file, read.file.trailer.get(b"Info").unwrap());
        let title = lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap();
        check_title(&title, document, *language);
        let (_, metadata) = read.file.dereference(catalog.get(b"Metadata").unwrap()).unwrap();
        let metadata = metadata.as_stream().unwrap();
        let metadata = metadata.decompressed_content().unwrap_or_else(|_| metadata.content.clone());
        assert!(String::from_utf8_lossy(&metadata).contains("pdfuaid:part"), "not marked as PDF/UA");
        check_roles(document, &read, *language);
    }
}

/// In English the title is that of the page. In another language it has the words of the title of the document, and the
/// child is named in none.
fn check_title(title: &str, document: &FamilyDocument, language: Language) {
    let (key, words) = (document.kind.key(), document.kind.words());
    let Some((_, Arg::Text(name))) = document.title.args.first() else { panic!("{key}: nobody is named") };
    assert!(!title.contains(name), "{key} {language:?}: “{title}” names the child");
    assert_eq!(title == words, language == Language::English, "{key} {language:?}: {title}");
    if language == Language::English {
        return;
    }
    let whole = language.text(&document.title).unwrap();
    let pieces = whole.split(name.as_str());
    for piece in pieces.map(|piece| piece.trim_matches(|c: char| c.is_whitespace() || ":፦".contains(c))) {
        assert!(title.contains(piece), "{key} {language:?}: “{piece}” is missing in “{title}”");
    }
}

fn check_roles(document: &FamilyDocument, read: &ReadPdf, language: Language) {
    let count = |of: fn(&Block) -> bool| document.blocks.iter().filter(|block| of(block)).count();
    let key = document.kind.key();
    assert_eq!(read.count("H1"), 1, "{key}");
    let heads = count(|block| matches!(block, Block::Heading(_) | Block::Emergency(_) | Block::Ring(_)));
    assert_eq!(read.count("H2"), heads, "{key}");
    assert_eq!(read.count("H3"), count(|block| matches!(block, Block::Question(..))), "{key}");
    let tables = count(|block| matches!(block, Block::Dates(_) | Block::Table(_)));
    assert_eq!(read.count("Table"), tables, "{key}");
    assert!(tables == 0 || read.count("TH") > 0, "{key}: a table without a heading cell");
    let lists = count(|block| matches!(block, Block::List(_) | Block::Ring(_) | Block::Drawing(..)));
    assert_eq!(read.count("L"), lists, "{key}");
    for figure in read.tagged.iter().filter(|element| element.role == "Figure") {
        let alt = figure.alt.as_deref().unwrap_or_default();
        let known = ["drawing-leg-in-cast", "drawing-heel-and-straps"];
        let known = known.map(|id| language.text(&Sentence::new(id)).unwrap());
        assert!(known.contains(&alt.to_owned()), "{key}: {alt}");
    }
    assert_eq!(read.count("Figure"), count(|block| matches!(block, Block::Drawing(..))), "{key}");
}

/// Every font is one of ours, is in the file, and holds the glyphs that are used and no others.
#[test]
fn fonts_are_embedded_and_only_what_is_used() {
    for Printed { document, language, bytes } in ALL.iter() {
        let read = ReadPdf::of(bytes);
        let fonts = read.fonts();
        assert!(!fonts.is_empty());
        for (name, font) in fonts {
            let (subset, face) = name.split_once('+').unwrap_or_else(|| panic!("{name} is not a subset"));
            assert!(subset.len() == 6 && face.starts_with("Noto"), "{name}");
            let below = font.get(b"DescendantFonts").unwrap().as_array().unwrap()[0].clone();
            let below = dictionary(&read.file, &below);
            let descriptor = dictionary(&read.file, below.get(b"FontDescriptor").unwrap());
            let file =
                [b"FontFile2".as_slice(), b"FontFile3"].into_iter().find_map(|key| descriptor.get(key).ok());
            assert!(file.is_some(), "{name} is not in the file");
            assert!(font.has(b"ToUnicode"), "{name} cannot be read aloud");
        }
        // The whole faces have 2.9 MB.
        assert!(bytes.len() < 160_000, "{} {language:?}: {} bytes", document.kind.key(), bytes.len());
    }
}

/// Plan and diary on one page, and every other document too; on US Letter in languages with long texts.
#[test]
fn every_document_is_on_one_page() {
    let pages = |bytes: &[u8]| lopdf::Document::load_mem(bytes).unwrap().page_iter().count();
    let mut longer = BTreeSet::new();
    for Printed { document, language, bytes } in ALL.iter() {
        if pages(bytes) > 1 {
            longer.insert(format!("{} {language:?}", document.kind.key()));
        }
        if matches!(language, Language::Spanish | Language::Arabic) {
            let letter = pdf(document, *language, PaperSize::UsLetter, made()).unwrap();
            if pages(&letter) > 1 {
                longer.insert(format!("{} {language:?} on US Letter", document.kind.key()));
            }
        }
    }
    // The plans of the other children: in the brace, in casts again.
    for (rows, on) in children() {
        let plan = with(&rows, on, |facts| family_plan(&facts.unwrap(), PlanChoices::default()));
        for language in Language::ALL {
            if pages(&printed(&plan, language)) > 1 {
                longer.insert(format!("plan on {on} {language:?}"));
            }
        }
    }
    assert!(longer.is_empty(), "{longer:#?}");
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    for document in one_of_each() {
        for language in [Language::English, Language::Arabic] {
            let other = named("Somebody else");
            let first = printed(&document, language);
            // Something else in between, so that nothing is merely kept.
            assert_ne!(printed(&other, language), first);
            assert_eq!(printed(&document, language), first, "{}", document.kind.key());
        }
    }
    let document = named("Solveig");
    let later = pdf(&document, Language::English, PaperSize::A4, "2025-02-11".parse().unwrap()).unwrap();
    assert_ne!(later, printed(&document, Language::English), "the day is in the file");
}

/// What would be markup for the typesetting is part of the name.
#[test]
fn a_name_is_never_markup() {
    let names = [
        "#let",
        "#panic()",
        "*Ada*",
        "_Ada_",
        "[Ada]",
        "\\Ada\\ ",
        "$x^2$",
        "`Ada`",
        "@Ada",
        "<Ada>",
        "= Ada",
        "- Ada",
        "+ Ada",
        "/ Ada: x",
        "// Ada",
        "/* Ada */",
        "~Ada~",
        "Ada--Bea",
        "\"Ada\"",
        "'Ada'",
        "{Ada}",
        "%Ada",
        "&amp;",
        "https://ada.example",
        "Ada\\u{41}",
    ];
    for name in names {
        let document = named(name);
        let title = Language::English.text(&document.title).unwrap();
        let read = ReadPdf::of(&printed(&document, Language::English));
        assert!(tight(&read.text()).contains(&tight(&title)), "{name}: {}", read.text());
        let links =
            read.file.page_iter().any(|page| !read.file.get_page_annotations(page).unwrap().is_empty());
        assert!(!links, "{name} became a link");
    }
}

/// Names in every script that there is a typeface for, long ones, and with accents that are combined.
#[test]
fn names_in_every_script() {
    let names = [
        "Nguyễn Thị Ánh Dương",
        "Žofie Őszi-Łęcka",
        "Владислава",
        "Ελευθερία",
        "عبد الرحمن",
        "شیرین‌گل",
        "अनुष्का क्षत्रिय",
        "শ্রেয়া র‍্যাহমান",
        "አበበ በቂላ",
        "a\u{302}\u{323}n",
        &"ab".repeat(60),
        &"a\u{301}".repeat(60),
        &"عبد الرحمن ".repeat(15),
        &"खुशी".repeat(30),
    ];
    for name in names {
        let document = named(name);
        for language in [Language::English, Language::Arabic, Language::Bengali] {
            let read = ReadPdf::of(&printed(&document, language));
            assert_eq!(read.pages(), 1, "{name}");
            let title = &read.tagged.iter().find(|element| element.role == "H1").unwrap().text;
            let wanted = language.text(&document.title).unwrap();
            assert!(has_words(title, &wanted), "{language:?}: {title} has not {wanted}");
        }
    }
}

/// A long name stays within the page: nothing is drawn beyond its edge.
#[test]
fn a_long_name_stays_on_the_page() {
    for name in ["W".repeat(120), "Wilhelmina ".repeat(11), "a\u{301}".repeat(60)] {
        let page = looks::grey(&printed(&named(&name), Language::English), 1.0);
        for (from, to) in [(0, 30), (page.width - 30, page.width)] {
            let dark = page.rows().any(|row| row[from..to].iter().any(|level| *level < 250));
            assert!(!dark, "something is drawn in the margin");
        }
    }
}

/// A script without a typeface is refused in words, and never printed as boxes.
#[test]
fn a_script_without_a_typeface_is_refused() {
    for (name, missing) in
        [("小雨", "小雨"), ("Ada 민준", "민준"), ("สมชาย", "สมชาย"), ("Ada \u{1F600}", "\u{1F600}")]
    {
        for language in Language::ALL {
            let fault = pdf(&named(name), language, PaperSize::A4, made()).unwrap_err();
            let PdfFault::NoTypeface(characters) = &fault else { panic!("{fault:?}") };
            assert!(missing.chars().all(|c| characters.contains(c)), "{characters}");
            assert!(fault.to_string().contains("Open the document as a page instead"));
        }
    }
}

#[test]
fn many_documents_in_one_file_begin_on_pages_of_their_own() {
    let (one, two) = (named("Solveig"), named("Amina"));
    let [english, arabic] = [Language::English, Language::Arabic].map(Wording::built_in);
    let both = [(&one, &english), (&two, &arabic), (&one, &english)];
    let read = ReadPdf::of(&pdf_of_many(&both, PaperSize::A4, made()).unwrap());
    assert_eq!((read.pages(), read.count("H1")), (3, 3));
    assert_eq!(pdf_of_many(&[], PaperSize::A4, made()), Err(PdfFault::Nothing));
}

/// A picture of so many pixels, in two colours.
fn logo(width: u32, height: u32) -> ClinicLogo {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let dots: Vec<u8> = (0..width * height)
        .flat_map(|n| if n % width < width / 2 { [20, 60, 90, 255] } else { [20, 60, 90, 0] })
        .collect();
    encoder.write_header().unwrap().write_image_data(&dots).unwrap();
    ClinicLogo::new(&bytes)
}

/// The pictures of dots in a file, by width and height; what is transparent is a picture of its own.
fn pictures(read: &ReadPdf) -> Vec<(i64, i64)> {
    let number = |stream: &lopdf::Stream, key: &[u8]| stream.dict.get(key).unwrap().as_i64().unwrap();
    let streams = read.file.objects.values().filter_map(|object| object.as_stream().ok());
    let images = streams.filter(|stream| {
        let is = |key: &[u8], value: &[u8]| {
            stream.dict.get(key).and_then(|found| found.as_name()).is_ok_and(|name| name == value)
        };
        is(b"Subtype", b"Image") && !is(b"ColorSpace", b"DeviceGray")
    });
    images.map(|image| (number(image, b"Width"), number(image, b"Height"))).collect()
}

/// The picture of the clinic is above the title, once in the file, and not read aloud.
#[test]
fn the_logo_is_at_the_head() {
    let head = |logo| ClinicContact {
        name: "Harbour Hospital".to_owned(),
        telephone: None,
        letterhead: Letterhead { lines: vec!["4 Harbour Road".to_owned()], logo, ..Letterhead::default() },
    };
    let document = |logo| named("Solveig").with_letterhead(&head(logo));
    let plain = ReadPdf::of(&printed(&document(None), Language::English));
    for (width, height) in [(960, 320), (40, 320), (960, 4)] {
        let document = document(Some(logo(width, height)));
        let read = ReadPdf::of(&printed(&document, Language::English));
        assert_eq!(pictures(&read), [(width.into(), height.into())]);
        assert_eq!((read.count("Figure"), read.pages()), (plain.count("Figure"), 1));
        let text = tight(&read.text());
        // What is set in bold is an element within that of the line, and read by itself.
        let at =
            |words: &str| text.find(&tight(words)).unwrap_or_else(|| panic!("{words} is missing in {text}"));
        let title = at("Plan for Solveig");
        assert!(at("Harbour Hospital") < title && at("4 Harbour Road") < title, "{text}");
    }
    assert!(pictures(&plain).is_empty());
    let (one, english) = (document(Some(logo(96, 32))), Wording::built_in(Language::English));
    let many = pdf_of_many(&[(&one, &english), (&one, &english)], PaperSize::A4, made()).unwrap();
    assert_eq!(pictures(&ReadPdf::of(&many)), [(96, 32)], "once for both");
}

/// Dots of the picture are where the head is: in the upper left corner.
#[test]
fn the_logo_is_drawn() {
    let letterhead = Letterhead { logo: Some(logo(960, 320)), ..Letterhead::default() };
    let clinic = ClinicContact { name: "Harbour Hospital".to_owned(), telephone: None, letterhead };
    let page = looks::grey(&printed(&named("Solveig").with_letterhead(&clinic), Language::English), 1.0);
    // Margins of 14 and 12 mm; a picture three times as wide as high is 12 mm high: 36 × 12 mm, dark on its left half.
    // One dot is a point, 2.835 to the millimetre.
    let (x, y) = (40 + 20, 34 + 17);
    let dark = page.rows().nth(y).unwrap()[x];
    assert!((40..80).contains(&dark), "{dark}");
    assert_eq!(page.rows().nth(y).unwrap()[40 + 90], 255, "the right half is transparent");
}
