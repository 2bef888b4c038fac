//! The import maps that the clinic saved: what the columns of its sheets mean.

use crate::{
    Frame, HelpTopic,
    fields::{self, settings::MAP},
    frame, parts,
};
use maud::{Markup, html};

/// A saved or a deleted map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportMapRow {
    /// Its key.
    pub key: String,
    /// When it was saved and by whom, in words; empty if the file does not say.
    pub when: String,
    /// The headings that it settles, with their meanings.
    pub columns: Vec<(String, String)>,
    /// How many other answers it holds, such as words and codes.
    pub answers: usize,
    /// Why it cannot be read.
    pub error: Option<String>,
}

impl ImportMapRow {
    fn name(&self) -> String {
        if self.when.is_empty() {
            "Saved on a day that is not recorded".to_owned()
        } else {
            format!("Saved {}", self.when)
        }
    }
}

/// The maps.
#[derive(Debug, Clone, Default)]
pub struct ImportMapsView {
    /// Those in use.
    pub saved: Vec<ImportMapRow>,
    /// Those that were deleted and can be restored.
    pub deleted: Vec<ImportMapRow>,
}

/// The page.
#[must_use]
pub fn import_maps(frame: &Frame, view: &ImportMapsView) -> Markup {
    let body = html! {
        h1 { "Import maps" }
        p.lead { "What was chosen at an import is saved for the next sheet with the same headings. A deleted map can be restored; the next sheet is then read as before." }
        @if view.saved.is_empty() {
            (parts::empty("No map is saved.", &html! { p { "A map is saved when a sheet is imported and something about its columns was chosen. " a href="/import" { "Import a file" } } }))
        }
        @for row in &view.saved { (map(frame, row, false)) }
        @if !view.deleted.is_empty() {
            h2 { "Deleted maps" }
            @for row in &view.deleted { (map(frame, row, true)) }
        }
        p.actions { a.button href="/settings" { "Settings" } a.button href="/import" { "Import a file" } }
    };
    frame::page(frame, HelpTopic::Settings, "Import maps", &body)
}

fn map(frame: &Frame, row: &ImportMapRow, deleted: bool) -> Markup {
    let (what, value) = if deleted { ("Restore", "restore") } else { ("Delete", "delete") };
    html! {
        section.card.import-map {
            @if deleted { h3 { (row.name()) } } @else { h2 { (row.name()) } }
            @match &row.error {
                Some(error) => p.message.warning { "This map cannot be read: " (error) },
                None => (covers(row)),
            }
            form.actions method="post" action="/settings/maps" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(MAP, &row.key))
                @if !deleted { a.button href={ "/settings/maps/" (row.key) } { "Download" span.sr { ": " (row.name()) } } }
                button type="submit" name=(fields::settings::DO) value=(value) { (what) span.sr { ": " (row.name()) } }
            }
        }
    }
}

fn covers(row: &ImportMapRow) -> Markup {
    html! {
        @if row.columns.is_empty() { p { "It settles no column by itself." } }
        @else {
            dl.facts { @for (heading, meaning) in &row.columns { div { dt { (heading) } dd { (meaning) } } } }
        }
        @if row.answers > 0 { p.hint { "It also holds " (row.answers) @if row.answers == 1 { " answer" } @else { " answers" } " about words and codes in the cells." } }
    }
}
