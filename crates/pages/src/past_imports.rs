//! Imports so far, and undoing one of them.

use crate::{Frame, HelpTopic, frame, parts, words};
use maud::{Markup, html};

/// An import that was written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PastImportRow {
    /// Its page.
    pub href: String,
    /// Name of the file.
    pub file: String,
    /// When, and by whom.
    pub when: String,
    /// Who imported it.
    pub by: String,
    /// Entries that it brought.
    pub entries: usize,
    /// Children they are about.
    pub children: usize,
    /// How it was undone: when, by whom and why.
    pub undone: Option<String>,
}

/// An import with what undoing it would do, or did.
#[derive(Debug, Clone, Default)]
pub struct UndoImportView {
    /// The import.
    pub import: PastImportRow,
    /// Entries that would be withdrawn.
    pub withdrawn: usize,
    /// Entries that were withdrawn one by one before.
    pub withdrawn_before: usize,
    /// Children of whom nothing would be left.
    pub children_gone: usize,
    /// Entries that would be kept; the first few hundred.
    pub kept: Vec<KeptRow>,
    /// How many would be kept in all.
    pub kept_in_all: usize,
    /// The reason as it was sent, where it was refused.
    pub reason: String,
    /// Why it was refused.
    pub error: Option<String>,
}

/// An entry that is kept although its import is undone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptRow {
    /// Its page.
    pub href: String,
    /// What it is, with its day.
    pub what: String,
    /// Whose it is.
    pub child: String,
    /// Why it is kept.
    pub why: String,
}

/// The list of imports, the latest first.
#[must_use]
pub fn past_imports(frame: &Frame, imports: &[PastImportRow]) -> Markup {
    let body = html! {
        h1 { "Imports so far" }
        p.lead { "An import can be undone: what it brought is withdrawn, and what was changed since is kept. Nothing is deleted." }
        @if imports.is_empty() { p { "Nothing was imported yet." } }
        @else {
            div.scroll tabindex="0" role="region" aria-label="Table: imports" { table.stack role="table" {
                thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "File" } th role="columnheader" scope="col" { "When" } th role="columnheader" scope="col" { "By" } th role="columnheader" scope="col" { "Entries" } th role="columnheader" scope="col" { "Children" } th role="columnheader" scope="col" { "State" } } }
                tbody role="rowgroup" { @for import in imports { (row(import)) } }
            } }
        }
        p.actions { a.button href="/import" { "Import a file" } }
    };
    frame::page(frame, HelpTopic::PastImports, "Imports so far", &body)
}

fn row(import: &PastImportRow) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { a href=(import.href) { (import.file) } }
            td role="cell" data-label="When" { (import.when) }
            td role="cell" data-label="By" { (import.by) }
            td role="cell" data-label="Entries" { (import.entries) }
            td role="cell" data-label="Children" { (import.children) }
            td role="cell" data-label="State" { @match &import.undone { Some(undone) => { "Undone: " (undone) }, None => "On record" } }
        }
    }
}

/// One import with the form to undo it.
#[must_use]
pub fn undo_import(frame: &Frame, view: &UndoImportView) -> Markup {
    let import = &view.import;
    let body = html! {
        h1 { "Undo an import" }
        p.lead { strong { (import.file) } ", imported " (import.when) " by " (import.by) ": " (entries(import.entries)) " about " (children(import.children)) "." }
        @match &import.undone {
            Some(undone) => section.card { h2 { "It was undone" } p { (undone) } },
            None => { (effect(view)) (form(frame, view)) (kept(view)) },
        }
        p.actions { a.button href="/import/past" { "All imports" } }
    };
    frame::page(frame, HelpTopic::PastImports, "Undo an import", &body)
}

fn entries(count: usize) -> String {
    words::count(count as i64, "entry", "entries")
}

fn children(count: usize) -> String {
    words::count(count as i64, "child", "children")
}

fn effect(view: &UndoImportView) -> Markup {
    let facts = [
        ("Entries withdrawn", view.withdrawn),
        ("Entries kept", view.kept_in_all),
        ("Withdrawn before", view.withdrawn_before),
        ("Children without any entry", view.children_gone),
    ];
    html! {
        section { h2 { "What would happen" }
            dl.counts { @for (word, n) in facts { div { dt { (word) } dd { (n) } } } }
            p { "Withdrawn entries stay readable on the page of the child, with your reason. The file can be imported again afterwards." }
        }
    }
}

fn form(frame: &Frame, view: &UndoImportView) -> Markup {
    let error = view.error.as_ref().map(|_| "reason-error");
    html! {
        form.card.narrow method="post" action=(view.import.href) {
            (parts::csrf(&frame.csrf))
            div.field {
                label for="reason" { "Reason " span.needed { "required" } }
                input id="reason" name="reason" type="text" required maxlength="400" value=(view.reason) aria-describedby=[error] aria-invalid=[error.map(|_| "true")];
                @if let Some(text) = &view.error { p.field-error id="reason-error" { span.error-word { "Not accepted: " } (text) } }
            }
            button.primary type="submit" { "Withdraw " (entries(view.withdrawn)) }
        }
    }
}

fn kept(view: &UndoImportView) -> Markup {
    html! {
        @if !view.kept.is_empty() {
            section { h2 { "Entries that are kept " span.count { (view.kept_in_all) } }
                @if view.kept.len() < view.kept_in_all { p { "The first " (view.kept.len()) " are shown." } }
                ul.plain-list { @for kept in &view.kept { li { a href=(kept.href) { (kept.what) } ", " (kept.child) ": " (kept.why) } } }
            }
        }
    }
}
