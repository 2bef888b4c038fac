//! Bring in a file: choose it, look at what would come of it, and what came.

use crate::{Frame, frame, parts, words};
use maud::{Markup, html};

/// The form to choose a file.
#[derive(Debug, Clone, Default)]
pub struct ImportView {
    /// Why the last file was not taken.
    pub error: Option<String>,
}

/// What would come of a file. Nothing is saved yet.
#[derive(Debug, Clone, Default)]
pub struct ImportPreview {
    /// By which the file is confirmed.
    pub token: String,
    /// Its name.
    pub file_name: String,
    /// How the file was read, a sentence each: encoding, delimiter, layout, order of dates and why.
    pub read_as: Vec<String>,
    /// Columns and what they were taken for.
    pub columns: Vec<ColumnGuess>,
    /// Why the file as a whole cannot be taken; then nothing can be confirmed.
    pub refusal: Option<String>,
    /// What would come of it.
    pub counts: Counts,
    /// How often each reason occurs.
    pub reasons: Vec<(String, usize)>,
    /// The rows that are not plain, in the order of the file, the first few hundred.
    pub rows: Vec<RowNote>,
    /// How many rows are not plain in all.
    pub rows_in_all: usize,
    /// Children who may be the same. They are never merged by themselves.
    pub possible: Vec<PossiblePair>,
}

/// How many of each.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Rows in the file.
    pub rows: usize,
    /// Children in it.
    pub children: usize,
    /// Children not known here before.
    pub new_children: usize,
    /// Affected feet.
    pub affected_feet: usize,
    /// Assessments.
    pub assessments: usize,
    /// Rows taken plainly.
    pub imported: usize,
    /// Rows taken with a question.
    pub question: usize,
    /// Rows already there.
    pub duplicate: usize,
    /// Rows refused.
    pub refused: usize,
}

/// One column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnGuess {
    /// Its header.
    pub header: String,
    /// What it was taken for; `None` when it is left out.
    pub means: Option<String>,
    /// Why: "header", "values", "map file".
    pub why: String,
    /// A few of its values.
    pub examples: Vec<String>,
}

/// One row that is not plain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowNote {
    /// Its number in the file; row 1 is the header.
    pub row: usize,
    /// "imported with a question", "already there", "refused".
    pub disposition: String,
    /// The column, where it is about one.
    pub column: String,
    /// The value as it stands there.
    pub value: String,
    /// Why.
    pub reason: String,
}

/// Two children who may be the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PossiblePair {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// What is alike.
    pub why: String,
}

/// What came of a file.
#[derive(Debug, Clone, Default)]
pub struct ImportDone {
    /// Its name.
    pub file_name: String,
    /// What came of it.
    pub counts: Counts,
    /// Entries written.
    pub entries: usize,
    /// Where the refused rows can be fetched, mended and brought in again.
    pub refused_href: Option<String>,
}

/// Choose a file.
#[must_use]
pub fn import(frame: &Frame, view: &ImportView) -> Markup {
    let error = view.error.as_ref().map(|_| "file-error");
    let body = html! {
        h1 { "Bring in a file" }
        p.lead { "A spreadsheet of the clinic: one row per visit, per foot or per child. You see what would come of it before anything is saved." }
        form.card.narrow method="post" action="/import" enctype="multipart/form-data" {
            (parts::csrf(&frame.csrf))
            div.field {
                label for="file" { "File " span.needed { "needed" } }
                p.hint id="file-hint" { "CSV with any delimiter, XLSX or ODS; at most 64 MB." }
                input id="file" name="file" type="file" required accept=".csv,.tsv,.txt,.xlsx,.ods,text/csv" aria-describedby={ "file-hint" @if let Some(error) = error { " " (error) } } aria-invalid=[error.map(|_| "true")];
                @if let Some(text) = &view.error { p.field-error id="file-error" { span.error-word { "Not accepted: " } (text) } }
            }
            div.field {
                label for="map" { "Map of columns" }
                p.hint id="map-hint" { "Only where the columns are not recognised by themselves: a TOML file that says what each column means." }
                input id="map" name="map" type="file" accept=".toml" aria-describedby="map-hint";
            }
            button.primary type="submit" { "Read the file" }
        }
        section.narrow {
            h2 { "What happens to each row" }
            ul.plain-list {
                li { strong { "Imported" } ", or " strong { "imported with a question" } " that then stands on the child's page." }
                li { strong { "Already there" } ": bringing in the same file twice adds nothing." }
                li { strong { "Refused" } ", with the column, the value and the reason. Refused rows can be fetched as a file, mended and brought in again." }
            }
        }
    };
    frame::page(frame, "Bring in a file", &body)
}

/// Look before saving.
#[must_use]
pub fn import_preview(frame: &Frame, view: &ImportPreview) -> Markup {
    let body = html! {
        h1 { "Before it is brought in" }
        p.lead { strong { (view.file_name) } ": nothing is saved yet." }
        @match &view.refusal {
            Some(text) => div.errors role="alert" { h2 { "This file cannot be brought in" } p { (text) } },
            None => (confirm(frame, view)),
        }
        (counts(&view.counts))
        @if !view.read_as.is_empty() { section { h2 { "How the file was read" } ul.plain-list { @for line in &view.read_as { li { (line) } } } } }
        (columns(&view.columns))
        (possible(&view.possible))
        (rows(view))
    };
    frame::page(frame, "Before it is brought in", &body)
}

fn confirm(frame: &Frame, view: &ImportPreview) -> Markup {
    let taken = view.counts.imported + view.counts.question;
    html! {
        form.confirm method="post" action="/import/confirm" {
            (parts::csrf(&frame.csrf))
            (parts::hidden("token", &view.token))
            @if taken > 0 { button.primary type="submit" { "Bring in " (words::count(taken as i64, "row", "rows")) } }
            @else { p { "There is nothing new in this file." } }
            " " a.button href="/import" { "Choose another file" }
            @if view.counts.refused > 0 { " " a href={ "/import/refused?token=" (view.token) } { "Fetch the " (words::count(view.counts.refused as i64, "refused row", "refused rows")) } }
        }
    }
}

fn counts(counts: &Counts) -> Markup {
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
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Column" } th role="columnheader" scope="col" { "Taken for" } th role="columnheader" scope="col" { "Because" } th role="columnheader" scope="col" { "For example" } } }
                    tbody role="rowgroup" { @for column in columns { tr role="row" {
                        th role="rowheader" scope="row" { (column.header) }
                        td role="cell" data-label="Taken for" { @match &column.means { Some(means) => (means), None => em { "left out" } } }
                        td role="cell" data-label="Because" { (column.why) }
                        td.examples role="cell" data-label="For example" { (examples(column)) }
                    } } }
                } }
            }
        }
    }
}

fn possible(pairs: &[PossiblePair]) -> Markup {
    html! {
        @if !pairs.is_empty() {
            section.card.look { h2 { "May be the same child" }
                p { "They come in as two children; nothing is merged by itself." }
                ul.plain-list { @for pair in pairs { li { strong { (pair.one) } " and " strong { (pair.other) } ": " (pair.why) } } }
            }
        }
    }
}

fn rows(view: &ImportPreview) -> Markup {
    html! {
        @if !view.rows.is_empty() {
            section { h2 { "Rows to look at " span.count { (view.rows_in_all) } }
                @if !view.reasons.is_empty() { ul.plain-list { @for (reason, n) in &view.reasons { li { (n) " × " (reason) } } } }
                @if view.rows.len() < view.rows_in_all { p { "The first " (view.rows.len()) " are shown." } }
                div.scroll tabindex="0" role="region" aria-label="Table: rows to look at" { table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Row" } th role="columnheader" scope="col" { "Becomes" } th role="columnheader" scope="col" { "Column" } th role="columnheader" scope="col" { "Value" } th role="columnheader" scope="col" { "Why" } } }
                    tbody role="rowgroup" { @for row in &view.rows { tr role="row" {
                        th role="rowheader" scope="row" { span.stack-only { "Row " } (row.row) }
                        td role="cell" data-label="Becomes" { (row.disposition) }
                        td role="cell" data-label="Column" { (row.column) }
                        td.value role="cell" data-label="Value" { (row.value) }
                        td role="cell" data-label="Why" { (row.reason) }
                    } } }
                } }
            }
        }
    }
}

/// What came of it.
#[must_use]
pub fn import_done(frame: &Frame, view: &ImportDone) -> Markup {
    let body = html! {
        h1 { "Brought in" }
        p.lead { strong { (view.file_name) } ": " (words::count(view.entries as i64, "entry", "entries")) " written." }
        (counts(&view.counts))
        @if let Some(href) = &view.refused_href {
            section.card.look { h2 { "Refused rows" }
                p { (words::count(view.counts.refused as i64, "row was", "rows were")) " refused. Fetch them, mend them in a spreadsheet, and bring them in again; what is already here is not added twice." }
                p.actions { a.button href=(href) { "Fetch the refused rows" } }
            }
        }
        p.actions { a.button.primary href="/attention" { "See what needs attention" } " " a.button href="/import" { "Bring in another file" } }
    };
    frame::page(frame, "Brought in", &body)
}

fn examples(column: &ColumnGuess) -> String {
    let said: Vec<&str> =
        column.examples.iter().map(|text| text.trim()).filter(|text| !text.is_empty()).collect();
    said.join(" · ")
}
