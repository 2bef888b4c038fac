//! Blank sheets for a power cut, in the order of the forms into which they are entered later.
//!
//! Questions and answers come from the same declarations as the forms; tests compare the two, so that a field that is
//! added to a form is on the sheet too.

mod tenotomy;
mod visit;

use crate::{Frame, HelpTopic, fields::What, frame};
use maud::{Markup, html};
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
        p.actions.no-print { a.button href="/sheets" { "All sheets" } (crate::parts::print_button()) span.hint { "Print on both sides." } }
        div.blank-sheet {
            header { h1 { (sheet.title()) } p { (frame.clinic_name) } }
            (whose())
            @match sheet {
                BlankSheet::Visit => (visit::sheet()),
                BlankSheet::Tenotomy => (tenotomy::sheet()),
            }
            p.blank-foot { "Entered by ________________ on ____ / ____ / ______   Compared by ________________" }
        }
    };
    frame::page(frame, HelpTopic::PowerCut, sheet.title(), &body)
}

/// Who the child is, first of all: three things that have to agree.
fn whose() -> Markup {
    html! {
        table.blank-whose { tbody {
            tr { th scope="row" { "Name of the child" } td {} td.second { "Day of birth" } td { "____ / ____ / ______" } }
            tr { th scope="row" { "Hospital number" } td {} td.second { "Day of the visit" } td data-field=(crate::fields::ON) { "____ / ____ / ______" } }
            tr { th scope="row" { "Written by" } td {} td.second { "Affected" } td { span.tick { "right foot" } " " span.tick { "left foot" } } }
        } }
    }
}

fn foot_table(caption: &str, rows: &[FootRow]) -> Markup {
    html! {
        table.blank-feet {
            caption { (caption) }
            thead { tr { td {} @for side in Side::BOTH { th scope="col" { (side.title()) " foot" } } } }
            tbody { @for row in rows {
                tr {
                    th scope="row" { (row.label) @if !row.hint.is_empty() { span.hint { " " (row.hint) } } }
                    @for name in &row.names { td data-field=(name) { (room(&row.room)) } }
                }
            } }
        }
    }
}

fn child_table(caption: &str, rows: &[ChildRow]) -> Markup {
    html! {
        table.blank-child {
            caption { (caption) }
            tbody { @for row in rows { tr { th scope="row" { (row.label) } td data-field=(row.name) { (room(&row.room)) } } } }
        }
    }
}

fn room(room: &AnswerRoom) -> Markup {
    html! {
        @match room {
            AnswerRoom::Ticks(answers) => { @for answer in answers { span.tick { (answer) } " " } },
            AnswerRoom::Number(unit) => { span.blank-number {} " " (unit) },
            AnswerRoom::Day => "____ / ____ / ______",
            AnswerRoom::Line => span.blank-line {},
            AnswerRoom::Lines => { span.blank-line {} span.blank-line {} },
        }
    }
}
