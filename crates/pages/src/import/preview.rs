//! The preview of an import, with everything that can be chosen about it.

use super::{ImportCounts, ImportQuestion, SheetMenus, counts, questions, sheet};
use crate::{Frame, HelpTopic, frame, parts, words};
use maud::{Markup, html};

/// The preview of an import. Nothing is saved yet.
#[derive(Debug, Clone, Default)]
pub struct ImportPreview {
    /// Token by which the import is confirmed.
    pub token: String,
    /// Number of the preview; a form made from an earlier one is not accepted.
    pub revision: usize,
    /// Minutes after which the file is forgotten.
    pub kept_minutes: i64,
    /// Name of the file.
    pub file_name: String,
    /// How the file was read, one sentence each: encoding, delimiter, layout, order of dates and why.
    pub read_as: Vec<String>,
    /// The clinic's saved choices that are used here, if there are any for these headings.
    pub saved: Option<SavedChoices>,
    /// Why choices saved for these headings are not used, if so.
    pub unused: Option<String>,
    /// The sheet with its menus.
    pub sheet: SheetMenus,
    /// The questions in the order in which they came up, the blocking ones first.
    pub questions: Vec<ImportQuestion>,
    /// Id of a question that stays in its place though it was just answered.
    pub in_place: Option<String>,
    /// Why the last choices were not taken, if they were not.
    pub trouble: Option<String>,
    /// Whether an import was asked for while blocking questions were open.
    pub missed: bool,
    /// The expected result.
    pub counts: ImportCounts,
    /// The reasons, each with the number of rows.
    pub reasons: Vec<(String, usize)>,
    /// The first few hundred questions and refusals, equal ones together, in the order of the file.
    pub rows: Vec<RowNote>,
    /// How many there are in all.
    pub remarks_in_all: usize,
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
    /// Whether the file is imported.
    pub imported: bool,
    /// The number of the part, from 1.
    pub part: usize,
    /// The number of parts.
    pub parts: usize,
}

/// Choices saved for files with the same headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SavedChoices {
    /// When they were saved, in words.
    pub when: String,
}

/// Rows with the same question or refusal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowNote {
    /// Their sheet, where several are read together; otherwise empty.
    pub sheet: String,
    /// Their numbers in the file or sheet, "2, 5 and 80 more"; row 1 is the header.
    pub rows: String,
    /// How many rows.
    pub count: usize,
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
    /// The record of the other child, where it was on record before.
    pub other_href: Option<String>,
    /// The page that joins the two records, once the file is imported.
    pub join_href: Option<String>,
}

/// The page before anything is saved.
#[must_use]
pub fn import_preview(frame: &Frame, view: &ImportPreview) -> Markup {
    let body = html! {
        h1 { "Preview of the import" }
        p.lead { strong { bdi { (view.file_name) } } ": nothing is saved yet." }
        p.hint { "The file is in memory only. It is forgotten " (view.kept_minutes) " minutes after you last looked at it, or when you choose a fourth one." }
        p.sr id="import-said" role="status" {}
        div id="import-work" data-import="" { (import_work(frame, view)) }
    };
    frame::page(frame, HelpTopic::Import, "Preview of the import", &body)
}

/// The part of the preview that changes with what is chosen.
#[must_use]
pub fn import_work(frame: &Frame, view: &ImportPreview) -> Markup {
    html! {
        @if let Some(text) = &view.trouble { div.errors id="import-trouble" role="alert" { h2 { "Not taken" } p { (text) } } }
        @if let Some(saved) = &view.saved { (saved_choices(frame, view, saved)) }
        @if let Some(unused) = &view.unused { div.message.note { p { (unused) } } }
        p.import-now id="import-now" { (now(view)) }
        form.import-form method="post" action="/import/confirm" data-settle="" {
            (parts::csrf(&frame.csrf))
            (parts::hidden("token", &view.token))
            (parts::hidden("revision", &view.revision.to_string()))
            (parts::hidden("shown_from", &view.sheet.from.to_string()))
            // Enter in a field must never import: the first button of a form is the one it presses.
            button.sr type="submit" formaction="/import/settle" formnovalidate tabindex="-1" { "Show again" }
            (sheet::sheet(&view.sheet))
            (questions::questions(&view.questions, view.in_place.as_deref()))
            (confirm(view))
        }
        (choices_file(view))
        (read_as(&view.read_as))
        (possible(view))
        (rows(view))
    }
}

/// What would happen now, in one sentence.
fn now(view: &ImportPreview) -> Markup {
    let ImportCounts { rows, imported, question, duplicate, refused, .. } = view.counts;
    let open = view.questions.iter().filter(|question| question.is_open).count();
    html! {
        strong { (imported + question) } " of " (words::count(rows as i64, "row", "rows")) " would be imported"
        @if duplicate > 0 { ", " (duplicate) (if duplicate == 1 { " is" } else { " are" }) " already there" }
        @if refused > 0 { ", " (refused) " refused" }
        ". "
        @if open > 0 { a href="#questions" { (words::count(open as i64, "question is", "questions are")) " open" } ". " }
        a href="#confirm" { "Go to the import" } "."
    }
}

fn saved_choices(frame: &Frame, view: &ImportPreview, saved: &SavedChoices) -> Markup {
    html! {
        div.message.note {
            p { "The choices that this clinic saved for sheets with these headings are used (saved " (saved.when) ")." }
            form.inline method="post" action="/import/forget" {
                (parts::csrf(&frame.csrf))
                (parts::hidden("token", &view.token))
                button type="submit" { "Discard these choices and start again" }
            }
        }
    }
}

fn confirm(view: &ImportPreview) -> Markup {
    let to_import = view.counts.imported + view.counts.question;
    let blocked = view.questions.iter().any(ImportQuestion::holds_back);
    html! {
        section.import-confirm id="confirm" aria-labelledby="confirm-head" {
            h2 id="confirm-head" { "Import" }
            (counts(&view.counts))
            (questions::held_back(&view.questions, view.missed))
            div.confirm {
                button type="submit" formaction="/import/settle" formnovalidate { "Show again with these choices" }
                @if to_import > 0 { button.primary type="submit" {
                    "Import " (words::count(to_import as i64, "row", "rows"))
                    @if blocked { " without them" }
                } }
                @else { p { "There is nothing new in this file." } }
                a.button href="/import" { "Choose another file" }
                @if view.counts.refused > 0 { a href={ "/import/refused?token=" (view.token) } { "Download the " (words::count(view.counts.refused as i64, "refused row", "refused rows")) } }
            }
        }
    }
}

/// What is chosen, as a file.
fn choices_file(view: &ImportPreview) -> Markup {
    html! {
        details.more.import-choices id="choices" {
            summary { "Use these choices elsewhere" }
            p { "What you choose is saved when you import, and is used for the next sheet with the same headings. You can also download it as a map file: for another computer, or for the command " code { "plantigrade import FILE --columns MAP" } "." }
            p { a.button href={ "/import/map?token=" (view.token) } { "Download the map file" } }
        }
    }
}

fn read_as(lines: &[String]) -> Markup {
    html! { @if !lines.is_empty() { section { h2 { "How the file was read" } ul.plain-list { @for line in lines { li { (line) } } } } } }
}

fn possible(view: &ImportPreview) -> Markup {
    html! {
        @if !view.possible.is_empty() {
            section.card.look { h2 { "May be the same child " span.count { (view.possible_in_all) } }
                p { (pairs_words(false)) }
                (pairs(&view.possible))
                @if view.possible.len() < view.possible_in_all { p { a href=(pairs_href(&view.token, 2)) { "Show more pairs" } } }
            }
        }
    }
}

pub(super) fn pairs(pairs: &[PossiblePair]) -> Markup {
    html! { ul.plain-list.pairs { @for pair in pairs { li {
        strong { bdi { (pair.one) } } " and "
        @match &pair.other_href {
            Some(href) => a href=(href) { strong { bdi { (pair.other) } } },
            None => strong { bdi { (pair.other) } },
        }
        ": " (pair.why)
        @if let Some(href) = &pair.join_href { " " a.button href=(href) { "Join these records" span.sr { ": " (pair.one) " and " (pair.other) } } }
    } } } }
}

/// What is said above pairs of children who may be one, by whether they are imported yet.
pub(super) const fn pairs_words(imported: bool) -> &'static str {
    if imported {
        "They were imported as two children. Where it is one child, join the two records; you see both beside each other first."
    } else {
        "They are imported as two children; nothing is merged automatically. Once they are imported, their records can be joined."
    }
}

pub(super) fn pairs_href(token: &str, part: usize) -> String {
    format!("/import/pairs?token={token}&part={part}")
}

/// A page with a part of the children who may be the same child.
#[must_use]
pub fn possible_pairs(frame: &Frame, view: &PossiblePairsView) -> Markup {
    let last = view.first + view.pairs.len().saturating_sub(1);
    let body = html! {
        h1 { "May be the same child" }
        p.lead { strong { (view.file_name) } ": pairs " (view.first) " to " (last) " of " (view.in_all) ". " (pairs_words(view.imported)) }
        @if view.listed < view.in_all { p { "Only the first " (view.listed) " are listed." } }
        (pairs(&view.pairs))
        nav.actions aria-label="Parts of the list" {
            @if view.part > 1 { a.button rel="prev" href=(pairs_href(&view.token, view.part - 1)) { "Previous pairs" } " " }
            @if view.part < view.parts { a.button rel="next" href=(pairs_href(&view.token, view.part + 1)) { "Next pairs" } }
        }
    };
    frame::page(frame, HelpTopic::Import, "May be the same child", &body)
}

fn rows(view: &ImportPreview) -> Markup {
    html! {
        @if !view.rows.is_empty() {
            section { h2 { "Rows to check " span.count { (view.rows_in_all) } }
                @if !view.reasons.is_empty() { ul.plain-list { @for (reason, n) in &view.reasons { li { (n) " × " (reason) } } } }
                @if view.rows.len() < view.remarks_in_all { p { "The first " (view.rows.len()) " of " (view.remarks_in_all) " remarks are shown." } }
                div.scroll tabindex="0" role="region" aria-label="Table: rows to check" { table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Rows" } th role="columnheader" scope="col" { "Result" } th role="columnheader" scope="col" { "Column" } th role="columnheader" scope="col" { "Value" } th role="columnheader" scope="col" { "Why" } } }
                    tbody role="rowgroup" { @for row in &view.rows { tr role="row" {
                        th role="rowheader" scope="row" { @if !row.sheet.is_empty() { bdi { (row.sheet) } ", " } span.stack-only { @if row.count == 1 { "Row " } @else { "Rows " } } (row.rows) }
                        td role="cell" data-label="Result" { (row.disposition) }
                        td role="cell" data-label="Column" dir="auto" { (row.column) }
                        td.value role="cell" data-label="Value" dir="auto" { (row.value) }
                        td role="cell" data-label="Why" { (row.reason) }
                    } } }
                } }
            }
        }
    }
}
