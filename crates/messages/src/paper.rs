//! A paper that the clinic prints for itself: a checklist, a list of a day, a sheet that is filled in by hand. It has
//! words and room to write, and no layout: a page builds it from what it shows, the typesetting prints it.

use crate::Language;
use record::Day;

/// A paper of the clinic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClinicPaper {
    /// The language of its words.
    pub language: Language,
    /// What it is, for the title of the file. It names no child.
    pub kind: String,
    /// Its heading.
    pub title: String,
    /// The child whose it is, named at the head of every page; `None` for a list, and for a sheet that is blank.
    pub whose: Option<PaperChild>,
    /// Its parts.
    pub blocks: Vec<PaperBlock>,
    /// What is at the foot of every page beside its number: the clinic, whose it is, the day on which it was made.
    pub foot: Vec<String>,
    /// What is at its end: that the clinician decides.
    pub caution: String,
    /// The day on which it was made.
    pub made: Day,
    /// On how many pages it is put where smaller type can do that; `None` where it goes on over as many as it needs.
    pub most_pages: Option<u8>,
}

/// Whose a paper is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperChild {
    /// The name, or a text in its place.
    pub name: String,
    /// What tells the child from others: day of birth, number.
    pub facts: Vec<String>,
    /// The feet that it is about, in words. It is the largest text of each page.
    pub feet: String,
}

/// A part of a paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperBlock {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Paragraph(PaperText),
    /// A list.
    List(Vec<PaperText>),
    /// A warning in a strong frame, a line each.
    Warning(Vec<PaperText>),
    /// What is less important, in small type.
    Small(PaperText),
    /// A table.
    Table(PaperTable),
    /// Parts that stay together on one page.
    Together(Vec<Self>),
}

/// A table. No row is broken over two pages, and its head is repeated on each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperTable {
    /// The heads of the columns; none where each row names itself.
    pub heads: Vec<String>,
    /// How wide each column is in comparison with the others.
    pub widths: Vec<u16>,
    /// The column, counted from 0, whose cells say what their row is about.
    pub names: usize,
    /// Its rows.
    pub rows: Vec<PaperRow>,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperRow {
    /// Its cells; together they cover every column.
    pub cells: Vec<PaperCell>,
    /// Whether it is shaded, so that it is found; its words say why.
    pub marked: bool,
}

/// A cell of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperCell {
    /// Its lines.
    pub lines: Vec<PaperText>,
    /// How many columns it covers.
    pub span: u8,
}

/// Words and room to write, in one line that may be broken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PaperText(Vec<PaperBit>);

/// A piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperBit {
    /// Words.
    Words(String),
    /// Words in bold type.
    Strong(String),
    /// Room for a word or two.
    Blank,
    /// Room for a number, with its unit.
    Number(String),
    /// Room for a day.
    Day,
    /// Room for a whole line.
    Line,
    /// A box to tick, with its words; without words where they follow.
    Tick(String),
}

impl PaperText {
    /// With words.
    #[must_use]
    pub fn of(words: impl Into<String>) -> Self {
        Self::default().and(words)
    }

    /// With one more piece.
    #[must_use]
    pub fn with(mut self, bit: PaperBit) -> Self {
        self.0.push(bit);
        self
    }

    /// With more words.
    #[must_use]
    pub fn and(self, words: impl Into<String>) -> Self {
        self.with(PaperBit::Words(words.into()))
    }

    /// With more words, in bold type.
    #[must_use]
    pub fn strong(self, words: impl Into<String>) -> Self {
        self.with(PaperBit::Strong(words.into()))
    }

    /// With room for a word or two.
    #[must_use]
    pub fn blank(self) -> Self {
        self.with(PaperBit::Blank)
    }

    /// With a box to tick, and its words.
    #[must_use]
    pub fn tick(self, words: impl Into<String>) -> Self {
        self.with(PaperBit::Tick(words.into()))
    }

    /// Its pieces.
    #[must_use]
    pub fn bits(&self) -> &[PaperBit] {
        &self.0
    }
}

impl From<&str> for PaperText {
    fn from(words: &str) -> Self {
        Self::of(words)
    }
}

impl From<String> for PaperText {
    fn from(words: String) -> Self {
        Self::of(words)
    }
}

impl PaperCell {
    /// With one line.
    #[must_use]
    pub fn of(line: impl Into<PaperText>) -> Self {
        Self::lines([line.into()])
    }

    /// With several lines.
    #[must_use]
    pub fn lines(lines: impl IntoIterator<Item = PaperText>) -> Self {
        Self { lines: lines.into_iter().collect(), span: 1 }
    }

    /// The same over several columns.
    #[must_use]
    pub fn across(self, span: u8) -> Self {
        Self { span, ..self }
    }
}

impl PaperRow {
    /// A row of cells.
    #[must_use]
    pub fn of(cells: impl IntoIterator<Item = PaperCell>) -> Self {
        Self { cells: cells.into_iter().collect(), marked: false }
    }
}
