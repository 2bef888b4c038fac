//! One entry: its original contents, its corrections or withdrawal, and the forms to correct or withdraw it.

use crate::{
    Frame,
    add::{entry_fields, kind_title, on_field},
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    words,
};
use course::Fate;
use maud::{Markup, html};
use record::{Body, Day, Entry, EntryId, Kind};

/// An entry with its corrections and withdrawal.
#[derive(Debug, Clone)]
pub struct EntryView<'a> {
    /// The child.
    pub who: Who,
    /// The entry as it was first written.
    pub entry: &'a Entry,
    /// Name of the writer.
    pub by: String,
    /// When it was written, in the clinic's time, in words.
    pub written: String,
    /// Whether it is valid, corrected or withdrawn.
    pub fate: Fate,
    /// All its corrections and its withdrawal, oldest first.
    pub amendments: Vec<Amendment<'a>>,
    /// The current day and contents; `None` once withdrawn.
    pub current: Option<(Day, &'a Body)>,
    /// The form to correct it, filled with the current contents by `fields::values_of` and with `on`.
    pub correct: Filled,
    /// The form to withdraw it.
    pub withdraw: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// One correction or withdrawal.
#[derive(Debug, Clone)]
pub struct Amendment<'a> {
    /// The entry that corrects or withdraws the other.
    pub entry: &'a Entry,
    /// Name of the writer.
    pub by: String,
    /// When, in words.
    pub written: String,
}

/// The page of one entry.
#[must_use]
pub fn entry(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let title = kind_title(view.entry.kind());
    let body = html! {
        (parts::band(&view.who, &title, frame.today))
        (fate(view))
        section.card {
            h2 { "As written" }
            p.written { "For " (words::day(view.entry.on)) ". Written by " (view.by) ", " (view.written) "." }
            (parts::entry_body(view.who.id, &view.entry.body))
            @if view.entry.kind() == Kind::SecondScore {
                p.actions { a.button href={ (view.who.href()) "/both-scores/" (view.entry.id) } { "Both scores side by side" } }
            }
        }
        @for (n, amendment) in view.amendments.iter().enumerate() { (amended(view, n, amendment)) }
        @if can_be_amended(view) { (correct_form(frame, view)) (withdraw_form(frame, view)) }
        p.actions { a.button href=(view.who.href()) { "Back to " (view.who.shown_name()) } }
    };
    frame::page(frame, &format!("{title}: {}", view.who.shown_name()), &body)
}

fn can_be_amended(view: &EntryView<'_>) -> bool {
    !matches!(view.entry.kind(), Kind::Correction | Kind::Withdrawal) && view.current.is_some()
}

fn link(view: &EntryView<'_>, entry: EntryId) -> String {
    format!("{}/entry/{entry}", view.who.href())
}

fn fate(view: &EntryView<'_>) -> Markup {
    html! {
        @match view.fate {
            Fate::Unchanged => p.fate { "This entry is unchanged." },
            Fate::Corrected { .. } => p.fate.fate-amended { strong { "Corrected." } " The last correction below is now valid." },
            Fate::Withdrawn { .. } => p.fate.fate-amended { strong { "Withdrawn." } " It no longer counts, but stays readable here." },
            Fate::Amends { entry } => p.fate { "This entry amends " a href=(link(view, entry)) { "another entry" } "." },
        }
    }
}

fn amended(view: &EntryView<'_>, n: usize, amendment: &Amendment<'_>) -> Markup {
    let last = n + 1 == view.amendments.len();
    html! {
        section.card.amendment {
            @match &amendment.entry.body {
                Body::Correction(correction) => {
                    h2 { "Correction" @if last && view.current.is_some() { " " span.rel { "now valid" } } }
                    p { strong { "Reason: " } (correction.reason) }
                    @if let Some(on) = correction.on { p { "Day corrected to " (words::day(on)) "." } }
                    (parts::entry_body(view.who.id, &correction.body))
                },
                Body::Withdrawal(withdrawal) => { h2 { "Withdrawal" } p { strong { "Reason: " } (withdrawal.reason) } },
                other => { h2 { (kind_title(other.kind())) } },
            }
            p.written { "Written by " (amendment.by) ", " (amendment.written) "." }
        }
    }
}

fn reason_field(kind: &'static str) -> Field {
    Field::new(fields::REASON, "Reason", What::Text).needed().hint(kind)
}

/// The reason of a correction; its form field has another name because some kinds have a reason of their own.
fn correct_reason_field() -> Field {
    Field {
        name: fields::CORRECT_REASON.into(),
        ..reason_field("Why the entry was wrong, so that others can follow.")
    }
}

/// A folded form that amends the entry; open if it has errors.
fn amend_form(
    frame: &Frame,
    view: &EntryView<'_>,
    filled: &Filled,
    (path, title, hint): (&str, &str, &str),
    contents: &Markup,
) -> Markup {
    html! {
        details.card.amend open[!filled.errors.is_empty()] {
            summary { h2 { (title) } }
            p { (hint) }
            (parts::error_summary(filled))
            form method="post" action={ (link(view, view.entry.id)) (path) } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                (contents)
            }
        }
    }
}

fn correct_form(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let filled = &view.correct;
    let contents = html! {
        (parts::confirmation(filled))
        (parts::field(filled, &on_field(view.entry.kind())))
        (entry_fields(view.entry.kind(), filled))
        (parts::field(filled, &correct_reason_field()))
        p.actions { button.primary type="submit" { "Save correction for " (view.who.shown_name()) } }
    };
    let hint = "The original stays readable. What you save here replaces it.";
    amend_form(frame, view, filled, ("/correct", "Correct this entry", hint), &contents)
}

fn withdraw_form(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let filled = &view.withdraw;
    let field = Field {
        name: fields::WITHDRAW_REASON.into(),
        ..reason_field("For example: wrong child, wrong foot, did not happen.")
    };
    let contents = html! {
        (parts::field(filled, &field))
        p.actions { button.grave type="submit" { "Withdraw this entry of " (view.who.shown_name()) } }
    };
    let hint = "It will no longer count, but stays readable with your reason.";
    amend_form(frame, view, filled, ("/withdraw", "Withdraw this entry", hint), &contents)
}
