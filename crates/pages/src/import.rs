//! Import of a spreadsheet: choose the file, preview the result, and see the result.

use crate::{Frame, frame, parts, words};
use maud::{Markup, html};

/// The form to choose a file.
#[derive(Debug, Clone, Default)]
pub struct ImportView {
    /// Why the last file was refused.
    pub error: Option<String>,
}

/// The preview of an import. Nothing is saved yet.
#[derive(Debug, Clone, Default)]
pub struct ImportPreview {
    /// Token by which the import is confirmed.
    pub token: String,
    /// Name of the file.
    pub file_name: String,
    /// How the file was read, one sentence each: encoding, delimiter, layout, order of dates and why.
    pub read_as: Vec<String>,
    /// The columns and their meanings.
    pub columns: Vec<ColumnGuess>,
    /// Why the whole file is refused; then nothing can be confirmed.
    pub refusal: Option<String>,
    /// The expected result.
    pub counts: ImportCounts,
    /// The reasons, each with the number of rows.
    pub reasons: Vec<(String, usize)>,
    /// The first few hundred rows with a question or refusal, in the order of the file.
    pub rows: Vec<RowNote>,
    /// The number of all such rows.
    pub rows_in_all: usize,
    /// Children who may be the same child. They are never merged automatically.
    pub possible: Vec<PossiblePair>,
    /// The number of all such pairs.
    pub possible_in_all: usize,
}

/// A part of the children who may be the same child.
#[derive(Debug, Clone, Default)]
pub struct PossiblePairsView {
    /// Token of the import.
    pub token: String,
    /// Name of the file.
    pub file_name: String,
    /// The pairs of this part.
    pub pairs: Vec<PossiblePair>,
    /// The number of the first of them, counted from 1.
    pub first: usize,
    /// The number of pairs that can be shown.
    pub listed: usize,
    /// The number of all pairs.
    pub in_all: usize,
    /// The number of the part, from 1.
    pub part: usize,
    /// The number of parts.
    pub parts: usize,
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
}

/// A column and its meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnGuess {
    /// Its header.
    pub header: String,
    /// Its meaning; `None` if it is ignored.
    pub means: Option<String>,
    /// How the meaning was recognised: "header", "values", "map file".
    pub why: String,
    /// A few of its values.
    pub examples: Vec<String>,
}

/// A row with a question or refusal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowNote {
    /// Its number in the file; row 1 is the header.
    pub row: usize,
    /// "imported with a question", "already there", "refused".
    pub disposition: String,
    /// The column that it concerns, if any.
    pub column: String,
    /// The value in the file.
    pub value: String,
    /// The reason.
    pub reason: String,
}

/// Two children who may be the same child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PossiblePair {
    /// One child.
    pub one: String,
    /// The other child.
    pub other: String,
    /// What matches.
    pub why: String,
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
                p.hint id="file-hint" { "CSV with any delimiter, XLSX, XLS or ODS; at most 64 MB." }
                input id="file" name="file" type="file" required accept=".csv,.tsv,.txt,.xlsx,.xls,.ods,text/csv" aria-describedby={ "file-hint" @if let Some(error) = error { " " (error) } } aria-invalid=[error.map(|_| "true")];
                @if let Some(text) = &view.error { p.field-error id="file-error" { span.error-word { "Not accepted: " } (text) } }
            }
            div.field {
                label for="map" { "Column map" }
                p.hint id="map-hint" { "Only needed if the columns are not recognised automatically: a TOML file that gives the meaning of each column." }
                input id="map" name="map" type="file" accept=".toml" aria-describedby="map-hint";
            }
            button.primary type="submit" { "Read the file" }
        }
        p { a href="/import/past" { "Imports so far" } ", each of which can be undone." }
        section.narrow {
            h2 { "What happens to each row" }
            ul.plain-list {
                li { strong { "Imported" } ", or " strong { "imported with a question" } "; the question is then shown on the child's page." }
                li { strong { "Already there" } ": importing the same file twice adds nothing." }
                li { strong { "Refused" } ", with the column, the value and the reason. Refused rows can be downloaded as a file, corrected and imported again." }
            }
        }
    };
    frame::page(frame, "Import", &body)
}

/// The preview before anything is saved.
#[must_use]
pub fn import_preview(frame: &Frame, view: &ImportPreview) -> Markup {
    let body = html! {
        h1 { "Preview of the import" }
        p.lead { strong { (view.file_name) } ": nothing is saved yet." }
        @match &view.refusal {
            Some(text) => div.errors role="alert" { h2 { "This file cannot be imported" } p { (text) } },
            None => (confirm(frame, view)),
        }
        (counts(&view.counts))
        @if !view.read_as.is_empty() { section { h2 { "How the file was read" } ul.plain-list { @for line in &view.read_as { li { (line) } } } } }
        (columns(&view.columns))
        (possible(view))
        (rows(view))
    };
    frame::page(frame, "Preview of the import", &body)
}

fn confirm(frame: &Frame, view: &ImportPreview) -> Markup {
    let to_import = view.counts.imported + view.counts.question;
    html! {
        form.confirm method="post" action="/import/confirm" {
            (parts::csrf(&frame.csrf))
            (parts::hidden("token", &view.token))
            @if to_import > 0 { button.primary type="submit" { "Import " (words::count(to_import as i64, "row", "rows")) } }
            @else { p { "There is nothing new in this file." } }
            " " a.button href="/import" { "Choose another file" }
            @if view.counts.refused > 0 { " " a href={ "/import/refused?token=" (view.token) } { "Download the " (words::count(view.counts.refused as i64, "refused row", "refused rows")) } }
        }
    }
}

fn counts(counts: &ImportCounts) -> Markup {
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
    html! { dl.counts { @for (word, n) in facts { div { dt { (word) } dd { (n) } } } } }
}

fn columns(columns: &[ColumnGuess]) -> Markup {
    html! {
        @if !columns.is_empty() {
            section { h2 { "Columns" }
                div.scroll tabindex="0" role="region" aria-label="Table: columns" { table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Column" } th role="columnheader" scope="col" { "Meaning" } th role="columnheader" scope="col" { "Recognised by" } th role="columnheader" scope="col" { "For example" } } }
                    tbody role="rowgroup" { @for column in columns { tr role="row" {
                        th role="rowheader" scope="row" { (column.header) }
                        td role="cell" data-label="Meaning" { @match &column.means { Some(means) => (means), None => em { "ignored" } } }
                        td role="cell" data-label="Recognised by" { (column.why) }
                        td.examples role="cell" data-label="For example" { (examples(column)) }
                    } } }
                } }
            }
        }
    }
}

fn possible(view: &ImportPreview) -> Markup {
    html! {
        @if !view.possible.is_empty() {
            section.card.look { h2 { "May be the same child " span.count { (view.possible_in_all) } }
                p { "They are imported as two children; nothing is merged automatically." }
                (pairs(&view.possible))
                @if view.possible.len() < view.possible_in_all { p { a href=(pairs_href(&view.token, 2)) { "Show more pairs" } } }
            }
        }
    }
}

fn pairs(pairs: &[PossiblePair]) -> Markup {
    html! { ul.plain-list { @for pair in pairs { li { strong { (pair.one) } " and " strong { (pair.other) } ": " (pair.why) } } } }
}

fn pairs_href(token: &str, part: usize) -> String {
    format!("/import/pairs?token={token}&part={part}")
}

/// A page with a part of the children who may be the same child.
#[must_use]
pub fn possible_pairs(frame: &Frame, view: &PossiblePairsView) -> Markup {
    let last = view.first + view.pairs.len().saturating_sub(1);
    let body = html! {
        h1 { "May be the same child" }
        p.lead { strong { (view.file_name) } ": pairs " (view.first) " to " (last) " of " (view.in_all) ". They are imported as two children; nothing is merged automatically." }
        @if view.listed < view.in_all { p { "Only the first " (view.listed) " are listed." } }
        (pairs(&view.pairs))
        nav.actions aria-label="Parts of the list" {
            @if view.part > 1 { a.button rel="prev" href=(pairs_href(&view.token, view.part - 1)) { "Previous pairs" } " " }
            @if view.part < view.parts { a.button rel="next" href=(pairs_href(&view.token, view.part + 1)) { "Next pairs" } }
        }
    };
    frame::page(frame, "May be the same child", &body)
}

fn rows(view: &ImportPreview) -> Markup {
    html! {
        @if !view.rows.is_empty() {
            section { h2 { "Rows to check " span.count { (view.rows_in_all) } }
                @if !view.reasons.is_empty() { ul.plain-list { @for (reason, n) in &view.reasons { li { (n) " × " (reason) } } } }
                @if view.rows.len() < view.rows_in_all { p { "The first " (view.rows.len()) " are shown." } }
                div.scroll tabindex="0" role="region" aria-label="Table: rows to check" { table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Row" } th role="columnheader" scope="col" { "Result" } th role="columnheader" scope="col" { "Column" } th role="columnheader" scope="col" { "Value" } th role="columnheader" scope="col" { "Why" } } }
                    tbody role="rowgroup" { @for row in &view.rows { tr role="row" {
                        th role="rowheader" scope="row" { span.stack-only { "Row " } (row.row) }
                        td role="cell" data-label="Result" { (row.disposition) }
                        td role="cell" data-label="Column" { (row.column) }
                        td.value role="cell" data-label="Value" { (row.value) }
                        td role="cell" data-label="Why" { (row.reason) }
                    } } }
                } }
            }
        }
    }
}

/// The page with the result.
#[must_use]
pub fn import_done(frame: &Frame, view: &ImportDone) -> Markup {
    let body = html! {
        h1 { "Import finished" }
        p.lead { strong { (view.file_name) } ": " (words::count(view.entries as i64, "entry", "entries")) " saved." }
        (counts(&view.counts))
        @if let Some(href) = &view.refused_href {
            section.card.look { h2 { "Refused rows" }
                p { (words::count(view.counts.refused as i64, "row was", "rows were")) " refused. Download them, correct them in a spreadsheet and import them again; nothing is added twice." }
                p.actions { a.button href=(href) { "Download the refused rows" } }
            }
        }
        p.actions { a.button.primary href="/attention" { "See what needs attention" } " " a.button href="/import" { "Import another file" } }
    };
    frame::page(frame, "Import finished", &body)
}

fn examples(column: &ColumnGuess) -> String {
    let examples: Vec<&str> =
        column.examples.iter().map(|text| text.trim()).filter(|text| !text.is_empty()).collect();
    examples.join(" · ")
}
