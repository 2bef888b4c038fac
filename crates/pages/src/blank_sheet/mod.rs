//! Blank sheets for a power cut, in the order of the forms into which they are entered later.
//!
//! Questions and answers come from the same declarations as the forms; tests compare the two, so that a field that is
//! added to a form is on the sheet too. A sheet is a list of parts, from which both its page and its paper are drawn.

mod tenotomy;
mod visit;

use crate::{
    Frame, HelpTopic,
    fields::{ON, What},
    frame, paper,
    parts::{self, paper_text},
};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBit, PaperBlock, PaperCell, PaperRow, PaperText};
use record::Side;

/// A sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlankSheet {
    /// A visit.
    Visit,
    /// A tenotomy.
    Tenotomy,
}

impl BlankSheet {
    /// Every sheet.
    pub const ALL: [Self; 2] = [Self::Visit, Self::Tenotomy];

    /// Its key in the address.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Visit => "visit",
            Self::Tenotomy => "tenotomy",
        }
    }

    /// From a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sheet| sheet.key() == key)
    }

    /// Its title.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Visit => "Visit sheet",
            Self::Tenotomy => "Tenotomy sheet",
        }
    }

    const fn about(self) -> &'static str {
        match self {
            Self::Visit => "Both feet, brace, problem and next appointment: three pages.",
            Self::Tenotomy => "Checks before the cut, what was done to each foot, and the cast.",
        }
    }

    /// On how many pages it is printed.
    const fn pages(self) -> u8 {
        match self {
            Self::Visit => 3,
            Self::Tenotomy => 1,
        }
    }

    fn parts(self) -> Vec<SheetPart> {
        match self {
            Self::Visit => visit::parts(),
            Self::Tenotomy => tenotomy::parts(),
        }
    }
}

/// A part of a sheet.
enum SheetPart {
    /// Questions about each foot, below a caption.
    Feet(&'static str, Vec<FootRow>),
    /// Questions about the child, below a caption.
    Child(&'static str, Vec<ChildRow>),
    /// A warning.
    Caution(&'static str),
    /// A line with room to write.
    Line(PaperText),
}

/// The room for an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
enum AnswerRoom {
    /// One of these is ticked.
    Ticks(Vec<String>),
    /// A number with its unit.
    Number(&'static str),
    /// A day.
    Day,
    /// A line.
    Line,
    /// Several lines.
    Lines,
}

/// A question about each foot.
#[derive(Debug, Clone, PartialEq, Eq)]
struct FootRow {
    label: String,
    hint: String,
    /// The names of the fields of the form, right before left.
    names: [String; 2],
    room: AnswerRoom,
}

/// A question about the child.
#[derive(Debug, Clone, PartialEq, Eq)]
struct ChildRow {
    label: String,
    name: String,
    room: AnswerRoom,
}

impl AnswerRoom {
    /// The room as it is printed.
    fn printed(&self) -> PaperText {
        let text = PaperText::default();
        match self {
            Self::Ticks(answers) => answers.iter().fold(text, PaperText::tick),
            Self::Number(unit) => text.with(PaperBit::Number((*unit).to_owned())),
            Self::Day => text.with(PaperBit::Day),
            Self::Line => text.with(PaperBit::Line),
            Self::Lines => text.with(PaperBit::Line).with(PaperBit::Line),
        }
    }
}

impl FootRow {
    fn new(label: impl Into<String>, name: impl Fn(Side) -> String, room: AnswerRoom) -> Self {
        Self { label: label.into(), hint: String::new(), names: Side::BOTH.map(name), room }
    }

    fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: hint.into(), ..self }
    }
}

impl ChildRow {
    fn new(label: impl Into<String>, name: impl Into<String>, room: AnswerRoom) -> Self {
        Self { label: label.into(), name: name.into(), room }
    }
}

fn ticks<T: AsRef<str>>(answers: impl IntoIterator<Item = T>) -> AnswerRoom {
    AnswerRoom::Ticks(answers.into_iter().map(|answer| answer.as_ref().to_owned()).collect())
}

/// The room for what a declared field takes.
fn room_of(what: &What) -> AnswerRoom {
    match what {
        What::Choice(answers) => ticks(answers.iter().map(|(_, words)| *words)),
        What::Whole { unit, .. } | What::Decimal { unit, .. } => AnswerRoom::Number(unit),
        What::Day => AnswerRoom::Day,
        What::Long => AnswerRoom::Lines,
        _ => AnswerRoom::Line,
    }
}

/// The page with the sheets, and how they are entered later.
#[must_use]
pub fn blank_sheets(frame: &Frame) -> Markup {
    let body = html! {
        header.page-head { div { h1 { "Sheets for a power cut" } p.tally { "Print a stack of each now, while there is power, and keep it in the clinic." } } }
        section.card aria-labelledby="sheets-head" {
            h2 id="sheets-head" { "To print" }
            ul.plain-list.document-list { @for sheet in BlankSheet::ALL {
                li { a.button href={ "/sheets/" (sheet.key()) } { (sheet.title()) } span.hint { (sheet.about()) } }
            } }
        }
        section.card aria-labelledby="later-head" {
            h2 id="later-head" { "When the power is back" }
            ol.numbered {
                li { "Find the child by the hospital number on the sheet. Compare name and day of birth before you go on." }
                li { "Press " em { "Record visit" } ", open " em { "Day of the visit" } " and choose the day that is on the sheet, not today." }
                li { "Copy the right foot from the column " em { "Right foot" } " and the left foot from the column " em { "Left foot" } ". Leave blank what is blank on the sheet." }
                li { "Save, write your name and the day on the sheet, and keep the sheet until somebody has compared it." }
            }
            p { "Each entry keeps both days: that of the visit, and that on which it was written. The page of an entry shows both." }
        }
    };
    frame::page(frame, HelpTopic::PowerCut, "Sheets for a power cut", &body)
}

/// One sheet.
#[must_use]
pub fn blank_sheet(frame: &Frame, sheet: BlankSheet) -> Markup {
    let body = html! {
        p.actions.no-print { a.button href="/sheets" { "All sheets" } (parts::print_button()) (parts::pdf_link(&format!("/sheets/{}/pdf", sheet.key()))) span.hint { "Print on both sides." } }
        div.blank-sheet {
            header { h1 { (sheet.title()) } p { (frame.clinic_name) } }
            (whose())
            @for part in sheet.parts() { (drawn(&part)) }
            p.blank-foot { (paper_text(&entered_later())) }
        }
    };
    frame::page(frame, HelpTopic::PowerCut, sheet.title(), &body)
}

/// The same on paper. It is blank: no child is named on it.
#[must_use]
pub fn blank_sheet_paper(frame: &Frame, sheet: BlankSheet) -> ClinicPaper {
    let rows = whose_rows().map(|row| PaperRow::of(row.into_iter().flat_map(WhoseQuestion::cells)));
    let whose = paper::table(&[], &[17, 33, 17, 33], 0, rows.into());
    let parts = sheet.parts().into_iter().flat_map(printed);
    let entered = PaperBlock::Paragraph(entered_later());
    let blocks = [whose].into_iter().chain(parts).chain([entered]).collect();
    ClinicPaper { most_pages: Some(sheet.pages()), ..paper::paper(frame, sheet.title(), blocks) }
}

/// A question about who the child is.
struct WhoseQuestion {
    label: &'static str,
    /// The name of the field of the form, if it has one.
    field: Option<&'static str>,
    room: PaperText,
}

impl WhoseQuestion {
    fn of(label: &'static str, room: PaperText) -> Self {
        Self { label, field: None, room }
    }

    fn cells(self) -> [PaperCell; 2] {
        [PaperCell::of(self.label), PaperCell::of(self.room)]
    }
}

/// Who the child is, first of all: three things that have to agree.
fn whose_rows() -> [[WhoseQuestion; 2]; 3] {
    let (line, day) = (|| AnswerRoom::Line.printed(), || AnswerRoom::Day.printed());
    let feet = ticks(Side::BOTH.map(|side| format!("{side} foot"))).printed();
    let visit = WhoseQuestion { field: Some(ON), ..WhoseQuestion::of("Day of the visit", day()) };
    [
        [WhoseQuestion::of("Name of the child", line()), WhoseQuestion::of("Day of birth", day())],
        [WhoseQuestion::of("Hospital number", line()), visit],
        [WhoseQuestion::of("Written by", line()), WhoseQuestion::of("Affected", feet)],
    ]
}

fn whose() -> Markup {
    html! {
        table.blank-whose { tbody { @for [first, second] in whose_rows() {
            tr {
                th scope="row" { (first.label) } td data-field=[first.field] {}
                td.second { (second.label) } td data-field=[second.field] { (paper_text(&second.room)) }
            }
        } } }
    }
}

/// What is filled in once the sheet is entered.
fn entered_later() -> PaperText {
    let by = PaperText::of("Entered by ").blank().and(" on ").with(PaperBit::Day);
    by.and("   Compared by ").blank()
}

fn drawn(part: &SheetPart) -> Markup {
    match part {
        SheetPart::Feet(caption, rows) => foot_table(caption, rows),
        SheetPart::Child(caption, rows) => child_table(caption, rows),
        SheetPart::Caution(text) => html! { p.blank-caution { (text) } },
        SheetPart::Line(text) => html! { p { (paper_text(text)) } },
    }
}

fn foot_table(caption: &str, rows: &[FootRow]) -> Markup {
    html! {
        table.blank-feet {
            caption { (caption) }
            thead { tr { td {} @for head in foot_heads() { th scope="col" { (head) } } } }
            tbody { @for row in rows {
                tr {
                    th scope="row" { (row.label) @if !row.hint.is_empty() { span.hint { " " (row.hint) } } }
                    @for name in &row.names { td data-field=(name) { (paper_text(&row.room.printed())) } }
                }
            } }
        }
    }
}

fn foot_heads() -> [String; 2] {
    Side::BOTH.map(|side| format!("{} foot", side.title()))
}

fn child_table(caption: &str, rows: &[ChildRow]) -> Markup {
    html! {
        table.blank-child {
            caption { (caption) }
            tbody { @for row in rows { tr { th scope="row" { (row.label) } td data-field=(row.name) { (paper_text(&row.room.printed())) } } } }
        }
    }
}

/// A part on paper. The names of the feet are repeated wherever a table goes on.
fn printed(part: SheetPart) -> Vec<PaperBlock> {
    match part {
        SheetPart::Feet(caption, rows) => {
            let [right, left] = foot_heads();
            let rows = rows.iter().map(foot_row).collect();
            let heads = [String::new(), right, left];
            vec![PaperBlock::Heading(caption.to_owned()), paper::table(&heads, &[26, 37, 37], 0, rows)]
        }
        SheetPart::Child(caption, rows) => {
            let row = |row: ChildRow| paper::row([row.label.into(), row.room.printed()]);
            let rows = rows.into_iter().map(row).collect();
            vec![PaperBlock::Heading(caption.to_owned()), paper::table(&[], &[26, 74], 0, rows)]
        }
        SheetPart::Caution(text) => vec![PaperBlock::Warning(vec![text.into()])],
        SheetPart::Line(text) => vec![PaperBlock::Paragraph(text)],
    }
}

fn foot_row(row: &FootRow) -> PaperRow {
    let hint = (!row.hint.is_empty()).then(|| PaperText::of(&row.hint));
    let label = PaperCell::lines([PaperText::of(&row.label)].into_iter().chain(hint));
    let rooms = row.names.iter().map(|_| PaperCell::of(row.room.printed()));
    PaperRow::of([label].into_iter().chain(rooms))
}
