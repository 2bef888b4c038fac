//! A whole visit withdrawn or put right in one step: what the visit holds, what was wrong, and what it would
//! be afterwards.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    find, frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::{Day, EntryId};

/// What is wrong with a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitFault {
    /// It is of another child.
    Child,
    /// It is of the other foot.
    Foot,
    /// It was on another day.
    Day,
    /// It should not be on record at all.
    Withdraw,
}

/// The form field with what is wrong.
pub const HOW: &str = "how";
/// The form field with the other child or the other day.
pub const TO: &str = "to";
/// The form field that confirms that what has to be checked was looked at.
pub const CHECKED: &str = "checked";

/// The form field of an entry that is chosen.
#[must_use]
pub fn entry_field(entry: EntryId) -> String {
    format!("entry.{entry}")
}

impl VisitFault {
    /// The fault with a key from a form or a URL.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        [Self::Child, Self::Foot, Self::Day, Self::Withdraw].into_iter().find(|fault| fault.key() == key)
    }

    /// Its key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Child => "child",
            Self::Foot => "foot",
            Self::Day => "day",
            Self::Withdraw => "withdraw",
        }
    }

    /// The reason with which the form begins; empty where only the person knows it.
    #[must_use]
    pub const fn reason(self) -> &'static str {
        match self {
            Self::Child => "Recorded for the wrong child",
            Self::Foot => "Recorded for the wrong foot",
            Self::Day => "Recorded under the wrong day",
            Self::Withdraw => "",
        }
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Child => "Move the visit to another child",
            Self::Foot => "Exchange right and left",
            Self::Day => "Move the visit to another day",
            Self::Withdraw => "Withdraw the visit",
        }
    }
}

/// What a visit holds, and the children to whom it could be moved.
#[derive(Debug, Clone)]
pub struct VisitEntriesView {
    /// The child.
    pub who: Who,
    /// The day.
    pub on: Day,
    /// Its entries in words.
    pub entries: Vec<(EntryId, String)>,
    /// Whether a search was asked for that is not remembered any more.
    pub is_over: bool,
    /// What was searched for, if another child is being looked for.
    pub query: Option<String>,
    /// The children found, with the reason.
    pub found: Vec<(Who, String)>,
}

fn path(who: &Who, on: Day) -> String {
    format!("{}/visit/{on}/change", who.href())
}

/// The page on which a person says what is wrong with a visit.
#[must_use]
pub fn visit_entries(frame: &Frame, view: &VisitEntriesView) -> Markup {
    let (who, on) = (&view.who, view.on);
    let title = format!("Visit of {}", on.words());
    let body = html! {
        (parts::band(who, &title, frame.today))
        section.card {
            h2 { (words::weekday(on)) }
            @if view.entries.is_empty() { p { "Nothing is recorded under this day." } }
            ul.plain { @for (entry, said) in &view.entries {
                li { a href={ (who.href()) "/entry/" (entry) } { (said) } }
            } }
        }
        @if !view.entries.is_empty() { (faults(frame, view)) }
        p.actions { a.button href=(who.href()) { "Back to " (who.shown_name()) } }
    };
    frame::page(frame, HelpTopic::WholeVisit, "A whole visit", &body)
}

/// The ways to put it right. A single wrong entry is corrected on its own page.
fn faults(frame: &Frame, view: &VisitEntriesView) -> Markup {
    let path = path(&view.who, view.on);
    let to = |fault: VisitFault| format!("{path}?{HOW}={}", fault.key());
    html! {
        section.card.faults {
            h2 { "What is wrong with the whole visit?" }
            p.hint { "Every step shows what it would change before anything is saved, and can be taken back. If one entry is wrong, open that entry above." }
            div.fault-choices {
                a.button href=(to(VisitFault::Foot)) { "Wrong foot" }
                a.button href=(to(VisitFault::Withdraw)) { "It did not take place" }
            }
            (other_day(frame, view, &path))
            (other_child(frame, view, &path))
        }
    }
}

fn other_day(frame: &Frame, view: &VisitEntriesView, path: &str) -> Markup {
    html! {
        form.fault method="get" action=(path) {
            (parts::hidden(HOW, VisitFault::Day.key()))
            label for="to-day" { "Wrong day: it was on" }
            input id="to-day" name=(TO) type="date" max=(frame.today) value=(view.on) required;
            button type="submit" { "Show the change" }
        }
    }
}

fn other_child(frame: &Frame, view: &VisitEntriesView, path: &str) -> Markup {
    html! {
        (find::unremembered(view.is_over))
        form.fault method="post" action=(fields::SEARCH_PATH) role="search" {
            (find::search_fields(frame, &format!("{path}?{HOW}={}", VisitFault::Child.key())))
            label for="q-child" { "Wrong child: it is of" }
            input id="q-child" name="q" type="search" autocomplete="off" value=(view.query.as_deref().unwrap_or_default()) placeholder="name, number or date of birth" required;
            button type="submit" { "Find the child" }
        }
        @if let Some(query) = &view.query {
            @if view.found.is_empty() { p role="status" { "No other child found for “" (query) "”." } }
            @else {
                p role="status" { "Whose visit was it? Nothing is saved yet." }
                ul.found-list { @for (who, why) in &view.found { li.found {
                    div.day-who { (parts::who_line(who, frame.today)) @if !why.is_empty() { span.found-why { "found because: " (why) } } }
                    div.day-do { a.button.primary href={ (path) "?" (HOW) "=child&" (TO) "=" (who.id) } { "Visit of " (who.shown_name()) } }
                } } }
            }
        }
    }
}

/// One entry of a visit, before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RemedyRow {
    /// The entry.
    pub entry: EntryId,
    /// In words, as it is.
    pub before: String,
    /// In words, as it would be; `None` where it would be withdrawn only.
    pub after: Option<String>,
    /// Whether it would change if it is chosen.
    pub changes: bool,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// What would be done with a visit.
#[derive(Debug, Clone)]
pub struct VisitRemedyView {
    /// The child.
    pub who: Who,
    /// The day of the visit.
    pub on: Day,
    /// What is wrong.
    pub fault: VisitFault,
    /// The other child.
    pub other: Option<Who>,
    /// The other day.
    pub to: Option<Day>,
    /// The entries, before and after.
    pub rows: Vec<RemedyRow>,
    /// What has to be looked at before it is saved: what speaks against it, and what was written since.
    pub to_check: Vec<String>,
    /// What the other child's record, or the other day, holds already.
    pub held_there: Vec<String>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// What the form was made from.
    pub seen: String,
}

/// The page that shows what would change, with the reason and the button that saves.
#[must_use]
pub fn visit_remedy(frame: &Frame, view: &VisitRemedyView) -> Markup {
    let VisitRemedyView { who, on, fault, filled, .. } = view;
    let title = format!("{}, {}", fault.title(), on.words());
    let to = match (&view.other, view.to) {
        (Some(other), _) => other.id.to_string(),
        (None, Some(day)) => day.to_string(),
        (None, None) => String::new(),
    };
    let reason = Field::new(fields::REASON, "Reason", What::Text)
        .needed()
        .hint("It stays with every entry that is changed.");
    let body = html! {
        (parts::band(who, &title, frame.today))
        (parts::error_summary(filled))
        form.remedy method="post" action=(path(who, *on)) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::hidden(fields::SEEN, &view.seen))
            (parts::hidden(HOW, fault.key()))
            (parts::hidden(TO, &to))
            @if let Some(other) = &view.other { (both_names(frame, who, other)) }
            (parts::confirmation(filled))
            @if view.rows.is_empty() {
                p { "Nothing is recorded under this day." }
                p.actions { a.button href=(who.href()) { "Back to " (who.shown_name()) } }
            } @else {
                (rows(view))
                (held_there(view))
                (to_check(view))
                div.amend-bar {
                    (parts::field(filled, &reason))
                    p.actions { button.primary type="submit" { (save_words(view)) } " " a.button href=(who.href()) { "Leave without saving" } }
                }
            }
        }
    };
    frame::page(frame, HelpTopic::WholeVisit, fault.title(), &body)
}

/// Both children, so that the move is confirmed with both names before the eyes.
fn both_names(frame: &Frame, from: &Who, to: &Who) -> Markup {
    html! {
        section.card.from-to {
            h2.sr { "From whom to whom" }
            div { p.scope { "From the record of" } (parts::who_line(from, frame.today)) }
            div { p.scope { "to the record of" } (parts::who_line(to, frame.today)) }
        }
    }
}

fn rows(view: &VisitRemedyView) -> Markup {
    html! {
        fieldset.card.changes {
            legend { "What changes" }
            ul.change-list { @for row in &view.rows { (row_of(row)) } }
            p.hint { "Take the tick away where an entry is right as it is. Every entry stays readable as it was written." }
        }
    }
}

fn row_of(row: &RemedyRow) -> Markup {
    let name = entry_field(row.entry);
    let id = parts::field_id(&name);
    html! {
        li.change {
            @if row.changes {
                input type="checkbox" id=(id) name=(name) value="yes" checked[row.chosen];
                label for=(id) { (change_words(row)) }
            } @else {
                span.change-same { (row.before) " " span.rel { "names no foot and stays" } }
            }
        }
    }
}

fn change_words(row: &RemedyRow) -> Markup {
    let after = row.after.as_deref().unwrap_or("withdrawn");
    html! {
        @if row.chosen { s { (row.before) } " " span.change-after { "→ " (after) } }
        @else { (row.before) " " span.rel { "stays; if you choose it: " (after) } }
    }
}

fn held_there(view: &VisitRemedyView) -> Markup {
    let place = match (&view.other, view.to) {
        (Some(other), _) => format!("{} has entries of {} already", other.shown_name(), view.on.words()),
        (None, Some(day)) => format!("{} has entries already", day.words()),
        (None, None) => return html! {},
    };
    html! {
        @if !view.held_there.is_empty() {
            section.card.message.warning { h2 { (place) }
                p { "The visit is added to them. What both records contain is recorded once." }
                ul.plain { @for said in &view.held_there { li { (said) } } }
            }
        }
    }
}

fn to_check(view: &VisitRemedyView) -> Markup {
    let id = parts::field_id(CHECKED);
    html! {
        @if !view.to_check.is_empty() {
            section.card.message.warning { h2 { "Please check" }
                ul.plain { @for said in &view.to_check { li { (said) } } }
                p.check {
                    input type="checkbox" id=(id) name=(CHECKED) value="yes" checked[view.filled.value(CHECKED) == "yes"] aria-describedby=[view.filled.has_error(CHECKED).then(|| format!("{id}-error"))];
                    label for=(id) { "I have seen this; change the visit anyway" }
                }
                (parts::field_error(&view.filled, CHECKED))
            }
        }
    }
}

fn save_words(view: &VisitRemedyView) -> String {
    let name = view.who.shown_name();
    match (view.fault, &view.other, view.to) {
        (VisitFault::Child, Some(other), _) => format!("Move from {name} to {}", other.shown_name()),
        (VisitFault::Day, _, Some(day)) => format!("Move to {} for {name}", day.words()),
        (VisitFault::Foot, ..) => format!("Exchange the feet for {name}"),
        _ => format!("Withdraw this visit of {name}"),
    }
}
