//! Import of a spreadsheet: choose the file, say what it means, preview the result, and see the result.

mod preview;
mod questions;
mod sheet;

pub use preview::{
    ImportPreview, PossiblePair, PossiblePairsView, RowNote, SavedChoices, import_preview, import_work,
    possible_pairs,
};
pub use questions::{ImportAnswer, ImportQuestion};
pub use sheet::{ColumnMenus, Menu, MenuGroup, MenuOption, SheetMenus, SheetRow};

use crate::{Frame, HelpTopic, frame, parts, words};
use maud::{Markup, html};

/// The form to choose a file.
#[derive(Debug, Clone, Default)]
pub struct ImportView {
    /// Why the last file was refused.
    pub error: Option<String>,
}

/// The result of an import in numbers.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct ImportCounts {
    /// Rows in the file.
    pub rows: usize,
    /// Children in the file.
    pub children: usize,
    /// Children who were not registered before.
    pub new_children: usize,
    /// Affected feet.
    pub affected_feet: usize,
    /// Assessments.
    pub assessments: usize,
    /// Rows imported without a question.
    pub imported: usize,
    /// Rows imported with a question.
    pub question: usize,
    /// Rows already in the records.
    pub duplicate: usize,
    /// Rows refused.
    pub refused: usize,
    /// Rows that are no visits and were passed over: sums, footers.
    pub passed_over: usize,
}

/// The result of an import.
#[derive(Debug, Clone, Default)]
pub struct ImportDone {
    /// Name of the file.
    pub file_name: String,
    /// The result in numbers.
    pub counts: ImportCounts,
    /// Entries written.
    pub entries: usize,
    /// URL of the refused rows as a file, to be corrected and imported again.
    pub refused_href: Option<String>,
    /// What became of the choices about columns and words, one sentence; `None` if nothing was chosen.
    pub choices: Option<String>,
    /// Token of the import.
    pub token: String,
    /// Children who may be the same child; the first pairs.
    pub possible: Vec<PossiblePair>,
    /// The number of all such pairs.
    pub possible_in_all: usize,
}

/// The page to choose a file.
#[must_use]
pub fn import(frame: &Frame, view: &ImportView) -> Markup {
    let error = view.error.as_ref().map(|_| "file-error");
    let body = html! {
        h1 { "Import" }
        p.lead { "Import a spreadsheet of the clinic: one row per visit, per foot or per child. You see a preview before anything is saved." }
        form.card.narrow method="post" action="/import" enctype="multipart/form-data" {
            (parts::csrf(&frame.csrf))
            div.field {
                label for="file" { "File " span.needed { "required" } }
                p.hint id="file-hint" { "CSV with any delimiter, XLSX, XLS or ODS; at most 64 MB and about 250,000 rows." }
                input id="file" name="file" type="file" required accept=".csv,.tsv,.txt,.xlsx,.xls,.ods,text/csv" aria-describedby={ "file-hint" @if let Some(error) = error { " " (error) } } aria-invalid=[error.map(|_| "true")];
                @if let Some(text) = &view.error { p.field-error id="file-error" { span.error-word { "Not accepted: " } (text) } }
            }
            details.more {
                summary { "Use a column map from a file" }
                div.field {
                    label for="map" { "Column map" }
                    p.hint id="map-hint" { "Rarely needed: what the columns mean is chosen on the next page, and saved for the next file with the same headings. A map file comes from another clinic or computer." }
                    input id="map" name="map" type="file" accept=".toml" aria-describedby="map-hint";
                }
            }
            button.primary type="submit" { "Read the file" }
        }
        p { a href="/import/past" { "Imports so far" } ", each of which can be undone." }
        section.narrow {
            h2 { "What happens next" }
            ul.plain-list {
                li { "You see the first rows of your sheet, with a menu above each column for what it means." }
                li { "Words that are not understood are asked about once each, with the number of rows." }
                li { "Nothing is saved until you press " strong { "Import" } "." }
            }
        }
        section.narrow {
            h2 { "What happens to each row" }
            ul.plain-list {
                li { strong { "Imported" } ", or " strong { "imported with a question" } "; the question is then shown on the child's page." }
                li { strong { "Already there" } ": importing the same file twice adds nothing." }
                li { strong { "Refused" } ", with the column, the value and the reason. Refused rows can be downloaded as a file, corrected and imported again." }
            }
        }
    };
    frame::page(frame, HelpTopic::Import, "Import", &body)
}

pub(super) fn counts(counts: &ImportCounts) -> Markup {
    let facts = [
        ("Rows", counts.rows),
        ("Imported", counts.imported),
        ("Imported with a question", counts.question),
        ("Already there", counts.duplicate),
        ("Refused", counts.refused),
        ("Children", counts.children),
        ("of them new", counts.new_children),
        ("Affected feet", counts.affected_feet),
        ("Assessments", counts.assessments),
    ];
    let footers = Some(("Sums and footers passed over", counts.passed_over)).filter(|(_, n)| *n > 0);
    html! { dl.counts { @for (word, n) in facts.into_iter().chain(footers) { div { dt { (word) } dd { (n) } } } } }
}

/// The page with the result.
#[must_use]
pub fn import_done(frame: &Frame, view: &ImportDone) -> Markup {
    let body = html! {
        h1 { "Import finished" }
        p.lead { strong { (view.file_name) } ": " (words::count(view.entries as i64, "entry", "entries")) " saved." }
        (counts(&view.counts))
        @if let Some(text) = &view.choices { p.message.note { (text) } }
        @if let Some(href) = &view.refused_href {
            section.card.look { h2 { "Refused rows" }
                p { (words::count(view.counts.refused as i64, "row was", "rows were")) " refused. Download them, correct them in a spreadsheet and import them again; nothing is added twice." }
                p.actions { a.button href=(href) { "Download the refused rows" } }
            }
        }
        @if !view.possible.is_empty() {
            section.card.look { h2 { "May be the same child " span.count { (view.possible_in_all) } }
                p { (preview::pairs_words(true)) }
                (preview::pairs(&view.possible))
                @if view.possible.len() < view.possible_in_all { p { a href=(preview::pairs_href(&view.token, 2)) { "Show more pairs" } } }
            }
        }
        p.actions { a.button.primary href="/attention" { "See what needs attention" } " " a.button href="/import" { "Import another file" } }
    };
    frame::page(frame, HelpTopic::Import, "Import finished", &body)
}
