//! A document as a PDF: the same blocks as on the page, typeset in the program.
//!
//! The text goes into the template as data, so that nothing in a name is read as markup. Typefaces, template and
//! pictures are compiled in; no font of the computer, no file, no network and no clock is used, and the same document
//! gives the same bytes. The file is tagged (PDF/UA-1, ISO 14289-1) with its language, its headings, lists, tables and
//! words for its drawings.
//!
//! What the clinic prints for itself ([`messages::ClinicPaper`]) has a template of its own (`paper.typ`); both have the
//! same look (`look.typ`).

mod content;
mod drawn_signs;
mod fault;
mod file_title;
mod letter;
mod paper;
mod pictures;
mod runs;
mod typefaces;
mod world;

pub use drawn_signs::with_signs;
pub use fault::PdfFault;
pub use paper::paper_pdf;
pub use typefaces::DRAWING_FACES;

use crate::{
    colleague_block::{ColleagueBlock, LetterPhotograph},
    colleagues::ColleagueDocument,
    document::{Block, FamilyDocument},
    letterhead::{ClinicLogo, DocumentHead},
    wording::Wording,
};
use data_encoding::HEXLOWER;
use messages::{Language, Sentence};
use record::Day;
use serde::Deserialize;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use typst::{
    comemo,
    diag::SourceDiagnostic,
    foundations::{Bytes, Smart},
};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use world::SheetWorld;

/// What is computed for one document is kept for this many more, so that the next one is quick.
const KEPT_FOR: usize = 8;

/// The paper that a clinic prints on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PaperSize {
    /// A4, 210 × 297 mm.
    #[default]
    A4,
    /// US Letter, 8.5 × 11 inches.
    #[serde(rename = "letter")]
    UsLetter,
}

impl PaperSize {
    /// Both.
    pub const ALL: [Self; 2] = [Self::A4, Self::UsLetter];

    /// The key in addresses and files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::UsLetter => "letter",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::A4 => "A4 (210 × 297 mm)",
            Self::UsLetter => "US Letter (8.5 × 11 inches)",
        }
    }

    /// From words.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|paper| paper.words() == words)
    }

    /// From a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|paper| paper.key() == key)
    }
}

/// A document as a PDF with the texts of the program. `made` is written into it as the day on which it was made.
///
/// # Errors
/// When a message is missing in the language, no typeface has a character of a name, the document is for the page
/// alone, or the typesetting fails. Half a document is never made.
pub fn pdf(
    document: &FamilyDocument,
    language: Language,
    paper: PaperSize,
    made: Day,
) -> Result<Vec<u8>, PdfFault> {
    pdf_as(document, &Wording::built_in(language), paper, made)
}

/// The same in the wording of the clinic.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_as(
    document: &FamilyDocument,
    wording: &Wording,
    paper: PaperSize,
    made: Day,
) -> Result<Vec<u8>, PdfFault> {
    pdf_of_many(&[(document, wording)], paper, made)
}

/// Documents in one PDF, each beginning on a page of its own. The title of the file is that of the first.
///
/// # Errors
/// As [`pdf`], for any of them, and when there is none.
pub fn pdf_of_many(
    documents: &[(&FamilyDocument, &Wording)],
    paper: PaperSize,
    made: Day,
) -> Result<Vec<u8>, PdfFault> {
    let (first, wording) = documents.first().ok_or(PdfFault::Nothing)?;
    let title = file_title::file_title(first, wording)?;
    let contents = documents
        .iter()
        .map(|(document, wording)| content::content(document, wording))
        .collect::<Result<Vec<_>, _>>()?;
    let logos = documents.iter().flat_map(|(document, _)| logos(document));
    let logos = logos.map(|logo| (logo_file(logo), Bytes::new(logo.png().to_vec()))).collect();
    let made = typeset(&SheetWorld::of(data(&title, paper, made, contents), logos));
    comemo::evict(KEPT_FOR);
    made
}

/// A letter to a colleague as a PDF, with the head of the clinic where there is one. `jpegs` are the files of its
/// photographs, in their order; they go in as they are, on paper of their own behind the letter.
///
/// # Errors
/// As [`pdf`], and when a photograph is without its file or a file cannot be read.
pub fn colleague_pdf(
    document: &ColleagueDocument,
    head: Option<&DocumentHead>,
    jpegs: Vec<Vec<u8>>,
    paper: PaperSize,
    made: Day,
) -> Result<Vec<u8>, PdfFault> {
    let content = letter::letter(document, head)?;
    let mut files: BTreeMap<String, Bytes> = jpegs
        .into_iter()
        .enumerate()
        .map(|(n, jpeg)| (content::photograph_file(n), Bytes::new(jpeg)))
        .collect();
    let charts = letter::charts(document);
    files.extend(
        charts.map(|chart| {
            (letter::chart_file(chart), Bytes::from_string(with_signs(&chart.svg).into_owned()))
        }),
    );
    let logo = head.and_then(|head| head.logo.as_ref());
    files.extend(logo.map(|logo| (logo_file(logo), Bytes::new(logo.png().to_vec()))));
    let data = data(document.kind.words(), paper, made, vec![content]);
    let made = typeset(&SheetWorld::of(data, files));
    comemo::evict(KEPT_FOR);
    made
}

/// Photographs of a letter to a colleague as a PDF of their own, each with its JPEG: two beside each other, with whose
/// they are on every page, tagged like every document. The JPEGs go in as they are.
///
/// # Errors
/// As [`pdf`], and when a JPEG cannot be read.
pub fn photographs_pdf(
    whose: &[Sentence],
    photographs: Vec<(LetterPhotograph, Vec<u8>)>,
    paper: PaperSize,
    made: Day,
) -> Result<Vec<u8>, PdfFault> {
    if photographs.is_empty() {
        return Err(PdfFault::Nothing);
    }
    let (shown, jpegs): (Vec<_>, Vec<_>) = photographs.into_iter().unzip();
    let notes = ["clinic-photographs-no-measure", "clinic-photographs-consent"].map(Sentence::new);
    let blocks = [
        Block::Paragraph(notes.to_vec()),
        Block::ForColleagues(ColleagueBlock::Photographs(whose.to_vec(), shown)),
    ];
    let wording = Wording::built_in(Language::English);
    let title = Sentence::new("clinic-photographs-head");
    let content = content::content_of((&title, whose, blocks.as_slice()), &wording)?;
    let data = data("Photographs", paper, made, vec![content]);
    let files =
        jpegs.into_iter().enumerate().map(|(n, jpeg)| (content::photograph_file(n), Bytes::new(jpeg)));
    let made = typeset(&SheetWorld::of(data, files.collect()));
    comemo::evict(KEPT_FOR);
    made
}

/// What the template reads. The title of the file says what it is and names no child: it is shown in lists of files.
fn data(title: &str, paper: PaperSize, made: Day, documents: Vec<Value>) -> String {
    let date = made.date();
    let data = json!({
        "paper": paper.key(),
        "families": content::families(),
        "signs": typefaces::SIGNS_FAMILY,
        "title": title,
        "made": { "year": date.year(), "month": date.month(), "day": date.day() },
        "documents": documents,
    });
    data.to_string()
}

/// The pictures of the clinic in a document.
fn logos(document: &FamilyDocument) -> impl Iterator<Item = &ClinicLogo> {
    document.blocks.iter().filter_map(|block| match block {
        Block::Head(head) => head.logo.as_ref(),
        _ => None,
    })
}

/// The name of the file of a picture: the same picture in many documents is one file.
fn logo_file(logo: &ClinicLogo) -> String {
    format!("logo-{}.png", HEXLOWER.encode(&Sha256::digest(logo.png())))
}

fn typeset(world: &SheetWorld) -> Result<Vec<u8>, PdfFault> {
    let compiled = typst::compile::<PagedDocument>(world);
    let document = compiled.output.map_err(|faults| failed(&faults))?;
    // A warning here is a typeface that was not found or a layout that did not settle.
    if !compiled.warnings.is_empty() {
        return Err(failed(&compiled.warnings));
    }
    let standards = PdfStandards::new(&[PdfStandard::Ua_1])
        .map_err(|fault| PdfFault::Typesetting(fault.message().to_string()))?;
    let options = PdfOptions {
        creator: Smart::Custom(Some("Plantigrade".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(|faults| failed(&faults))
}

fn failed(faults: &[SourceDiagnostic]) -> PdfFault {
    let messages: Vec<&str> = faults.iter().map(|fault| fault.message.as_str()).collect();
    PdfFault::Typesetting(messages.join("; "))
}
