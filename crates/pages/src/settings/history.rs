//! The history of settings: who changed what, when, from what to what, and why.

use crate::{Frame, HelpTopic, frame, parts};
use maud::{Markup, html};

/// One change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryRow {
    /// The name of the setting.
    pub what: String,
    /// Its page, if it has one.
    pub href: Option<String>,
    /// When, in words.
    pub when: String,
    /// Who; `None` if the value was changed in its file.
    pub who: Option<String>,
    /// The value before; empty for none.
    pub from: String,
    /// The value after; empty for none.
    pub to: String,
    /// The reason, if one was given.
    pub why: Option<String>,
}

/// A history.
#[derive(Debug, Clone)]
pub struct HistoryView {
    /// The section of the manual about it.
    pub topic: HelpTopic,
    /// The heading.
    pub title: &'static str,
    /// What stands in it.
    pub about: &'static str,
    /// The page that it belongs to: address and name.
    pub back: (&'static str, &'static str),
    /// The changes, the latest first.
    pub rows: Vec<HistoryRow>,
    /// Changes that are not shown, because there are too many.
    pub left_out: usize,
    /// Lines of the file that are damaged.
    pub unreadable: usize,
    /// The name of the file.
    pub file: &'static str,
}

/// The page.
#[must_use]
pub fn setting_history(frame: &Frame, view: &HistoryView) -> Markup {
    let body = html! {
        h1 { (view.title) }
        p.lead { (view.about) }
        @if view.unreadable > 0 { p.message.warning { strong { (view.unreadable) " lines of " code { (view.file) } " cannot be read. " } "Compare the file with the latest copy of the records." } }
        @if view.rows.is_empty() { (parts::empty("Nothing was changed yet.", &html! { p { "Every value is the one that came with the program." } })) }
        @else { (table(&view.rows)) }
        @if view.left_out > 0 { p { (view.left_out) " earlier changes are in the file " code { (view.file) } " in the folder of the records." } }
        p.actions { a.button href=(view.back.0) { (view.back.1) } }
    };
    frame::page(frame, view.topic, view.title, &body)
}

/// The table of changes.
pub(crate) fn table(rows: &[HistoryRow]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Table: changes" { table.stack.history role="table" {
            thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Setting" } th role="columnheader" scope="col" { "From" } th role="columnheader" scope="col" { "To" } th role="columnheader" scope="col" { "When" } th role="columnheader" scope="col" { "Who" } th role="columnheader" scope="col" { "Why" } } }
            tbody role="rowgroup" { @for row in rows { (line(row)) } }
        } }
    }
}

fn line(row: &HistoryRow) -> Markup {
    let shown = |text: &str| if text.is_empty() { "–".to_owned() } else { text.to_owned() };
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { @match &row.href { Some(href) => a href=(href) { (row.what) }, None => (row.what) } }
            td role="cell" data-label="From" { (shown(&row.from)) }
            td role="cell" data-label="To" { strong { (shown(&row.to)) } }
            td role="cell" data-label="When" { (row.when) }
            td role="cell" data-label="Who" { @match &row.who { Some(who) => (who), None => "changed in the file" } }
            td role="cell" data-label="Why" { @match &row.why { Some(why) => (why), None => "–" } }
        }
    }
}
