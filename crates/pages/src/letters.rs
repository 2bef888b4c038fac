//! Letters to colleagues about a child: what can be made, and the file of the record that goes with a transfer.

use crate::{DocumentChoice, Frame, HelpTopic, frame, parts, parts::Who, words};
use maud::{Markup, html};
use record::Right;

/// The page.
#[derive(Debug, Clone)]
pub struct LettersView {
    /// The child.
    pub who: Who,
    /// The letters, each with why it cannot be made.
    pub letters: Vec<DocumentChoice>,
    /// Whether the clinic has set a letterhead.
    pub has_letterhead: bool,
    /// How many questions are open in the record; each letter prints them.
    pub open_questions: usize,
}

/// The page.
#[must_use]
pub fn colleague_letters(frame: &Frame, view: &LettersView) -> Markup {
    let href = view.who.href();
    let body = html! {
        (parts::band(&view.who, "letters to colleagues", frame.today))
        @if view.open_questions > 0 {
            p.message.warning {
                (words::count(view.open_questions as i64, "question is", "questions are")) " open in this record. Every letter prints them at its head. "
                a href=(href) { "Settle them first" } " if you can."
            }
        }
        @if !view.has_letterhead {
            p.message.note { "The clinic has no letterhead yet: letters have its name and telephone. " @if frame.may(Right::ChangeSettings) { a href="/settings/letterhead" { "Letterhead" } } }
        }
        section.card aria-labelledby="letters-head" {
            h2 id="letters-head" { "Letters" }
            ul.plain-list.document-list { @for letter in &view.letters {
                li { @match &letter.refused {
                    Some(why) => { span { (letter.name) } span.hint { (why) } },
                    None => {
                        a.button href={ (href) "/letters/" (letter.key) } { (letter.name) }
                        @if letter.has_pdf { " " a href={ (href) "/letters/" (letter.key) "/pdf" } aria-label={ (letter.name) " as PDF" } { "as PDF" } }
                    },
                } }
            } }
        }
        @if frame.may(Right::RecordClinical) {
            section.card aria-labelledby="file-head" {
                h2 id="file-head" { "The record as a file" }
                p { "For a clinic that continues the treatment and uses this program: it imports the file and then has the same course. The file has the names and numbers of the family: hand it over on a stick or encrypted, not in a plain message." }
                p.actions {
                    a.button href={ (href) "/record-file/record.xlsx" } download { "Save as a workbook" }
                    a.button href={ (href) "/record-file/record.csv" } download { "Save as CSV" }
                }
            }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Letters, "Letters to colleagues", &body)
}
