//! The access log: who opened what, when and from which device.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
    parts::{Pager, Who},
    words,
};
use maud::{Markup, html};

/// The query field of the child: a number, a name or an id.
pub const CHILD: &str = "child";
/// The query field of the person, by id; [`NOBODY`] for commands without a sign-in.
pub const PERSON: &str = "person";
/// The value of [`PERSON`] for nobody.
pub const NOBODY: &str = "nobody";
/// The query field of the device, by name.
pub const DEVICE: &str = "device";
/// The query field of the first day.
pub const FROM: &str = "from";
/// The query field of the last day.
pub const TO: &str = "to";
/// The query field for refusals only.
pub const REFUSED: &str = "refused";
/// The query field for openings of restricted records only.
pub const RESTRICTED: &str = "restricted";
/// The form field for a check of the log.
pub const CHECK: &str = "check";

/// One row.
#[derive(Debug, Clone)]
pub struct AccessRowShown {
    /// Its number.
    pub number: i64,
    /// When, in words.
    pub when: String,
    /// Who.
    pub person: String,
    /// On which device.
    pub device: String,
    /// The child, as the reader may see it; `None` for a list.
    pub child: Option<Who>,
    /// What was opened, in words.
    pub what: String,
    /// What came of it, in words; empty where it was opened.
    pub outcome: String,
    /// Whether it was refused, or opened although restricted.
    pub marked: bool,
}

/// The page.
#[derive(Debug, Clone)]
pub struct AccessLogView {
    /// The rows of this page, the latest first.
    pub rows: Vec<AccessRowShown>,
    /// The filter as typed, with what is wrong.
    pub filled: Filled,
    /// Everybody: id and name.
    pub people: Vec<(String, String)>,
    /// The names of devices.
    pub devices: Vec<String>,
    /// Which page.
    pub pager: Pager,
    /// The query of the filter, to be put behind the addresses of the files.
    pub query: String,
    /// The last row and its fingerprint.
    pub head: Option<(i64, String)>,
    /// What the check found, sentence by sentence, where one was asked for; and whether nothing is wrong.
    pub checked: Option<(Vec<String>, bool)>,
    /// What a check shows and what not.
    pub check_words: &'static str,
}

/// The page.
#[must_use]
pub fn access_log(frame: &Frame, view: &AccessLogView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Access log" }
            p.tally { (words::count(view.pager.total as i64, "row", "rows")) }
        } }
        p.lead { "Who opened which record, when and from which device. Looking at the same page of the same child again within a minute is one row. A list is one row, without the children in it." }
        (parts::error_summary(&view.filled))
        @if let Some((sentences, sound)) = &view.checked { (check_result(sentences, *sound)) }
        (filter(frame, view))
        @if view.rows.is_empty() { (parts::empty("Nothing was found.", &html! {})) }
        @else { (table(&view.rows)) }
        (parts::pager(&view.pager))
        (files(view))
        (check(frame, view))
    };
    frame::page(frame, HelpTopic::AccessLog, "Access log", &body)
}

fn check_result(sentences: &[String], sound: bool) -> Markup {
    html! {
        div class={ "message " (if sound { "done" } else { "warning" }) } role="status" {
            @for sentence in sentences { p { (sentence) } }
        }
    }
}

fn filter(frame: &Frame, view: &AccessLogView) -> Markup {
    let filled = &view.filled;
    let child = Field::new(CHILD, "Child", What::Text).hint("Number or name.");
    let [from, to] = [(FROM, "From"), (TO, "To")].map(|(name, label)| Field::new(name, label, What::Day));
    let people = view.people.iter().map(|(id, name)| (id.as_str(), name.as_str()));
    let devices = view.devices.iter().map(|name| (name.as_str(), name.as_str()));
    html! {
        form.card.filters method="post" action="/access-log" role="search" aria-label="Rows of the access log" {
            (parts::csrf(&frame.csrf))
            div.grid {
                (parts::field(filled, &child))
                (select(filled, PERSON, "Person", people.chain([(NOBODY, "not signed in")])))
                (select(filled, DEVICE, "Device", devices))
                (parts::field(filled, &from))
                (parts::field(filled, &to))
            }
            @for (name, words) in [(REFUSED, "Only what was refused"), (RESTRICTED, "Only restricted records opened by somebody not named")] {
                p.check {
                    input type="checkbox" id={ "f-" (name) } name=(name) value="yes" checked[filled.value(name) == "yes"];
                    label for={ "f-" (name) } { (words) }
                }
            }
            p.actions { button.primary type="submit" { "Show" } " " a.button href="/access-log" { "Show all" } }
        }
    }
}

fn select<'a>(
    filled: &Filled,
    name: &str,
    label: &str,
    options: impl Iterator<Item = (&'a str, &'a str)>,
) -> Markup {
    html! {
        div.field {
            label for={ "f-" (name) } { (label) }
            select id={ "f-" (name) } name=(name) {
                option value="" { "any" }
                @for (value, words) in options { option value=(value) selected[filled.value(name) == value] { (words) } }
            }
        }
    }
}

fn table(rows: &[AccessRowShown]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Table: access log" { table.stack.history role="table" {
            thead role="rowgroup" { tr role="row" { @for head in ["When", "Who", "Child", "What", "Device", "Outcome"] { th role="columnheader" scope="col" { (head) } } } }
            tbody role="rowgroup" { @for row in rows { (line(row)) } }
        } }
    }
}

fn line(row: &AccessRowShown) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { (row.when) " " span.hint { "row " (row.number) } }
            td role="cell" data-label="Who" { (row.person) }
            td role="cell" data-label="Child" { @match &row.child { Some(who) => { a href=(who.href()) { (who.shown_name()) } ", " (who.number()) }, None => "–" } }
            td role="cell" data-label="What" { (row.what) }
            td role="cell" data-label="Device" { (row.device) }
            td role="cell" data-label="Outcome" { @if row.outcome.is_empty() { "opened" } @else if row.marked { strong { (row.outcome) } } @else { (row.outcome) } }
        }
    }
}

fn files(view: &AccessLogView) -> Markup {
    html! {
        p.actions {
            a.button href={ "/access-log.csv?" (view.query) } { "These rows as CSV" } " "
            a.button href={ "/access-log.json?" (view.query) } { "These rows as JSON" }
        }
    }
}

fn check(frame: &Frame, view: &AccessLogView) -> Markup {
    html! {
        section.card aria-labelledby="check-head" {
            h2 id="check-head" { "Was anything changed?" }
            p { (view.check_words) }
            @if let Some((row, fingerprint)) = &view.head { p { "Last row " strong { (row) } ", fingerprint " code { (fingerprint) } "." } }
            form method="post" action="/access-log" {
                (parts::csrf(&frame.csrf))
                button type="submit" name=(CHECK) value="yes" { "Check every row" }
            }
        }
    }
}
