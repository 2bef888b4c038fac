//! Two records of one child: found, laid beside each other, and joined.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    find, frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::{Day, EntryId};

/// The form field of a detail of the child on which the records disagree.
#[must_use]
pub fn detail_field(key: &str) -> String {
    format!("detail.{key}")
}

/// The form field of two entries that contradict each other, named by that of the other record.
#[must_use]
pub fn clash_field(entry: EntryId) -> String {
    format!("clash.{entry}")
}

/// A record that may be of the same child.
#[derive(Debug, Clone)]
pub struct JoinCandidate {
    /// The child of that record.
    pub who: Who,
    /// What is alike.
    pub alike: String,
    /// What differs; empty if nothing does.
    pub differs: String,
    /// Whether the two look like twins or siblings.
    pub may_be_siblings: bool,
}

/// The records that may be of the same child.
#[derive(Debug, Clone)]
pub struct JoinFindView {
    /// The child.
    pub who: Who,
    /// What was searched for.
    pub query: String,
    /// Whether a search was asked for that is not remembered any more.
    pub is_over: bool,
    /// The records found.
    pub found: Vec<JoinCandidate>,
}

/// The page that looks for the other record of a child.
#[must_use]
pub fn join_find(frame: &Frame, view: &JoinFindView) -> Markup {
    let path = format!("{}/join", view.who.href());
    let body = html! {
        (parts::band(&view.who, "the same child is registered twice", frame.today))
        (find::unremembered(view.is_over))
        form.find method="post" action=(fields::SEARCH_PATH) role="search" {
            (find::search_fields(frame, &path))
            label for="q" { "The other record: any part of a name, a number or a date of birth" }
            div.find-row {
                input id="q" name="q" type="search" value=(view.query) autocomplete="off";
                button.primary type="submit" { "Find" }
            }
        }
        @if view.found.is_empty() { p role="status" { "No other record found." } }
        ul.found-list { @for found in &view.found { (candidate(frame, &path, found)) } }
        p.actions { a.button href=(view.who.href()) { "Back to " (view.who.shown_name()) } }
    };
    frame::page(frame, HelpTopic::RegisteredTwice, "Registered twice", &body)
}

fn candidate(frame: &Frame, path: &str, found: &JoinCandidate) -> Markup {
    html! {
        li.found {
            div.day-who { (parts::who_line(&found.who, frame.today)) }
            div.day-feet {
                @if !found.alike.is_empty() { p.found-why { (words::capital(&found.alike)) } }
                @if !found.differs.is_empty() { p { strong { "Differs: " } (found.differs) } }
                @if found.may_be_siblings { p.step-caution { "May be a twin, a brother or a sister." } }
            }
            div.day-do { a.button href={ (path) "/" (found.who.id) } { "Compare" span.sr { " with " (found.who.shown_name()) } } }
        }
    }
}

/// A detail of the child in both records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinDetail {
    /// Its key.
    pub key: &'static str,
    /// Its label.
    pub label: String,
    /// What the record that is kept says.
    pub kept: Option<String>,
    /// What the other says.
    pub other: Option<String>,
    /// Whether they disagree.
    pub differs: bool,
}

/// Two entries about the same thing that disagree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinClashRow {
    /// The day.
    pub on: Day,
    /// The entry of the other record.
    pub entry: EntryId,
    /// What the record that is kept says.
    pub kept: String,
    /// What the other says.
    pub other: String,
}

/// Two records beside each other.
#[derive(Debug, Clone)]
pub struct JoinView {
    /// The record that is kept, and the other.
    pub both: [Who; 2],
    /// The details of the child.
    pub details: Vec<JoinDetail>,
    /// What both say alike.
    pub same: Vec<(Day, String)>,
    /// Where they contradict each other.
    pub clashes: Vec<JoinClashRow>,
    /// The number of entries of the other record that would be recorded again.
    pub recorded_again: usize,
    /// What each record holds, latest first.
    pub entries: [Vec<(Day, String)>; 2],
    /// Whether the two look like twins or siblings.
    pub may_be_siblings: bool,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// What the form was made from.
    pub seen: String,
}

/// The page on which two records are compared and joined.
#[must_use]
pub fn join(frame: &Frame, view: &JoinView) -> Markup {
    let [kept, other] = &view.both;
    let (name, path) = (kept.shown_name(), format!("{}/join/{}", kept.href(), other.id));
    let reason = Field::new(fields::REASON, "How do you know that it is one child?", What::Text)
        .needed()
        .hint("For example: the mother showed both cards.");
    let id = parts::field_id(fields::SURE);
    let body = html! {
        (parts::band(kept, "join another record of this child", frame.today))
        (parts::error_summary(&view.filled))
        form.join method="post" action=(path) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::hidden(fields::SEEN, &view.seen))
            @if view.may_be_siblings { p.message.warning { strong { "Two children? " } "These records may be of twins, or of a brother and a sister. Look at what differs below." } }
            (records(frame, view))
            (parts::confirmation(&view.filled))
            (clashes(view))
            (same(view))
            div.amend-bar {
                (parts::field(&view.filled, &reason))
                p.check {
                    input type="checkbox" id=(id) name=(fields::SURE) value="yes" checked[view.filled.value(fields::SURE) == "yes"] aria-describedby=[view.filled.has_error(fields::SURE).then(|| format!("{id}-error"))];
                    label for=(id) { (name) " (" (kept.number()) ") and " (other.shown_name()) " (" (other.number()) ") are one child" }
                }
                (parts::field_error(&view.filled, fields::SURE))
                p.actions { button.primary type="submit" { "Join both in the record of " (name) ", " (kept.number()) } " " a.button href=(kept.href()) { "Leave without saving" } }
            }
        }
        (held(view))
        p { a href={ (other.href()) "/join/" (kept.id) } { "Keep the record " (other.number()) " instead" } }
    };
    frame::page(frame, HelpTopic::RegisteredTwice, "Join records", &body)
}

fn records(frame: &Frame, view: &JoinView) -> Markup {
    let [kept, other] = &view.both;
    html! {
        section.card {
            h2 { "Both records" }
            div.scroll tabindex="0" role="region" aria-label="Table: both records" { table.stack role="table" {
                thead role="rowgroup" { tr role="row" {
                    th role="columnheader" scope="col" { "Detail" }
                    th role="columnheader" scope="col" { "This record is kept" }
                    th role="columnheader" scope="col" { "Its entries are added" }
                } }
                tbody role="rowgroup" {
                    (who_row("Child", html! { (parts::who_line(kept, frame.today)) }, html! { (parts::who_line(other, frame.today)) }))
                    (who_row("Affected", html! { (parts::feet_words(kept.sides)) }, html! { (parts::feet_words(other.sides)) }))
                    (who_row("Numbers", html! { (kept.numbers.join(", ")) }, html! { (other.numbers.join(", ")) }))
                    @for detail in &view.details { @if detail.kept.is_some() || detail.other.is_some() { (detail_row(&view.filled, detail)) } }
                }
            } }
            p { (words::count(view.recorded_again as i64, "entry", "entries")) " of the other record would be recorded again here, each with a link to where it was." }
        }
    }
}

fn who_row(label: &str, kept: Markup, other: Markup) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { (label) }
            td role="cell" data-label="This record is kept" { (kept) }
            td role="cell" data-label="Its entries are added" { (other) }
        }
    }
}

fn detail_row(filled: &Filled, detail: &JoinDetail) -> Markup {
    let name = detail_field(detail.key);
    let id = parts::field_id(&name);
    let cell = |key: &str, value: &Option<String>| {
        let id = format!("{id}-{key}");
        let said = value.as_deref().unwrap_or("not recorded");
        html! {
            @if detail.differs {
                span.pick {
                    input type="radio" id=(id) name=(name) value=(key) checked[filled.value(&name) == key] aria-describedby=[(key == "kept" && filled.has_error(&name)).then(|| format!("{}-error", parts::field_id(&name)))];
                    label for=(id) { (said) span.sr { ", " (detail.label) } }
                }
            } @else { (said) }
        }
    };
    html! {
        tr.changed[detail.differs] role="row" id=[detail.differs.then_some(&id)] {
            th role="rowheader" scope="row" { (detail.label) @if detail.differs { " " span.changed-note { "differs: choose" } } }
            td role="cell" data-label="This record is kept" { (cell("kept", &detail.kept)) (parts::field_error(filled, &name)) }
            td role="cell" data-label="Its entries are added" { (cell("other", &detail.other)) }
        }
    }
}

fn clashes(view: &JoinView) -> Markup {
    html! {
        @if !view.clashes.is_empty() {
            section.card {
                h2 { "The records contradict each other" }
                @for clash in &view.clashes {
                    @let name = clash_field(clash.entry);
                    @let answers = [
                        parts::Tile::new("kept", "only that of this record").meaning(&clash.kept),
                        parts::Tile::new("other", "only that of the other record").meaning(&clash.other),
                        parts::Tile::new("both", "both").meaning("two things were done or measured"),
                    ];
                    (parts::tiles(&view.filled, &name, "words wide", &html! { (clash.on.words()) }, &answers))
                }
            }
        }
    }
}

fn same(view: &JoinView) -> Markup {
    html! {
        @if !view.same.is_empty() {
            details.card { summary { "The same in both records, counted once (" (view.same.len()) ")" }
                ul.plain { @for (on, said) in &view.same { li { (words::day(*on)) ": " (said) } } }
            }
        }
    }
}

fn held(view: &JoinView) -> Markup {
    html! {
        div.beside { @for (who, entries) in view.both.iter().zip(&view.entries) {
            details.card { summary { "All entries of " (who.shown_name()) ", " (who.number()) " (" (entries.len()) ")" }
                ul.plain { @for (on, said) in entries { li { (words::day(*on)) ": " (said) } } }
            }
        } }
    }
}
