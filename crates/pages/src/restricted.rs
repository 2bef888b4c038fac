//! Restricted records: opening one for a stated reason, setting and lifting a restriction, and the openings that a
//! lead has to look at.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
    parts::Who,
    words,
};
use maud::{Markup, html};
use record::{ChildId, UserId};

/// The form field of why a record is opened: a key of [`WHY_OPENED`].
pub const WHY: &str = "why_opened";
/// The form field of the reason in words.
pub const REASON: &str = "reason";
/// The form field of the page to go to.
pub const THEN: &str = "then";
/// The form field that says what a form is to do.
pub const DO: &str = "do";
/// Lifts a restriction.
pub const LIFT: &str = "lift";
/// The form field of the last opening that was shown.
pub const UP_TO: &str = "up_to";
/// The fewest characters of a reason in words.
pub const REASON_CHARS: usize = 10;
/// The key of the answer that needs the reason in words.
pub const OTHER: &str = "other";
/// Why a restricted record is opened: key and words.
pub const WHY_OPENED: [(&str, &str); 3] = [
    ("emergency", "Emergency care"),
    ("covering", "I am covering for a colleague who is named"),
    (OTHER, "Another reason, written below"),
];

/// The form field of a person.
#[must_use]
pub fn person_field(person: UserId) -> String {
    format!("person.{person}")
}

/// A restricted record that the person may open for a stated reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestrictedRefused {
    /// The child.
    pub child: ChildId,
    /// Where the form leads once the record is open.
    pub then: String,
    /// The form, with what is wrong.
    pub filled: Filled,
}

/// What is asked before a restricted record is opened.
pub(crate) fn open_form(frame: &Frame, refused: &RestrictedRefused) -> Markup {
    let why = Field::new(WHY, "Why do you open it?", What::Choice(WHY_OPENED.to_vec())).needed();
    let reason = Field::new(REASON, "In words", What::Long).hint(
        "At least 10 characters for another reason. Do not write a name: the reason stays in the access log.",
    );
    html! {
        (parts::error_summary(&refused.filled))
        p.lead { "Only the people whom a lead has named open this record. If you need it now for care, state why: it opens for you for 60 minutes. Every lead is told, and it is noted in the access log." }
        form.card method="post" action={ "/child/" (refused.child) "/open-restricted" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(THEN, &refused.then))
            (parts::field(&refused.filled, &why))
            (parts::field(&refused.filled, &reason))
            p.actions { button.primary type="submit" { "Open the record for 60 minutes" } }
        }
    }
}

/// One step in the history of a restriction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestrictionRow {
    /// When, in words.
    pub when: String,
    /// Who.
    pub who: String,
    /// "Restricted to …" or "Lifted".
    pub what: String,
    /// Why.
    pub reason: String,
}

/// The restriction of a record.
#[derive(Debug, Clone)]
pub struct RestrictionView {
    /// The child.
    pub who: Who,
    /// Everybody who can be named: person, name and whether named now.
    pub people: Vec<(UserId, String, bool)>,
    /// Whether the record is restricted.
    pub restricted: bool,
    /// What was done before, the latest first.
    pub history: Vec<RestrictionRow>,
    /// The form, with what is wrong.
    pub filled: Filled,
}

/// The page on which a record is restricted.
#[must_use]
pub fn restriction(frame: &Frame, view: &RestrictionView) -> Markup {
    let reason = Field::new(REASON, "Reason", What::Long)
        .needed()
        .hint("Stays in the history and in the access log, also after an erasure: write no names.");
    let body = html! {
        (parts::band(&view.who, "restriction", frame.today))
        (parts::error_summary(&view.filled))
        p.lead { @if view.restricted { "This record is restricted to the people marked below." } @else { "This record is not restricted: everybody whose role allows it can open it." } }
        p { "To everybody else a restricted record is shown as “Restricted record” with its number and the day on which it is due. They can open it for 60 minutes by stating a reason; every lead is then told." }
        form.card method="post" action={ (view.who.href()) "/restriction" } {
            (parts::csrf(&frame.csrf))
            fieldset.roles id="f-people" tabindex="-1" aria-describedby=[view.filled.has_error("people").then_some("f-people-error")] {
                legend { "Who may open it " span.needed { "at least one" } }
                (parts::field_error(&view.filled, "people"))
                @for (id, name, named) in &view.people {
                    @let field = person_field(*id);
                    p.check {
                        input type="checkbox" id={ "p-" (id) } name=(field) value="yes" checked[*named];
                        label for={ "p-" (id) } { (name) }
                    }
                }
            }
            (parts::field(&view.filled, &reason))
            p.actions {
                button.primary type="submit" name=(DO) value="restrict" { @if view.restricted { "Save who may open it" } @else { "Restrict this record" } }
                @if view.restricted { " " button type="submit" name=(DO) value=(LIFT) { "Lift the restriction" } }
            }
        }
        (history(&view.history))
        p.actions { a.button href="/restricted" { "All restricted records" } " " a.button href=(view.who.href()) { "Back to the record" } }
    };
    frame::page(frame, HelpTopic::Restricted, "Restriction", &body)
}

fn history(rows: &[RestrictionRow]) -> Markup {
    html! {
        @if !rows.is_empty() {
            section aria-labelledby="history-head" {
                h2 id="history-head" { "What was done before" }
                ul.plain { @for row in rows { li { strong { (row.what) } ", " (row.when) ", by " (row.who) ": " (row.reason) } } }
            }
        }
    }
}

/// An opening that a lead has to look at.
#[derive(Debug, Clone)]
pub struct OpeningRow {
    /// The child.
    pub who: Who,
    /// Who opened it.
    pub by: String,
    /// When and until when, in words.
    pub when: String,
    /// On which device.
    pub device: String,
    /// Why.
    pub reason: String,
}

/// The restricted records.
#[derive(Debug, Clone)]
pub struct RestrictedView {
    /// The records, with the names of those who may open each.
    pub records: Vec<(Who, String)>,
    /// The openings that this lead has not acknowledged.
    pub openings: Vec<OpeningRow>,
    /// The number of the last of them.
    pub up_to: i64,
}

/// The page of restricted records.
#[must_use]
pub fn restricted_records(frame: &Frame, view: &RestrictedView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Restricted records" }
            p.tally { (words::count(view.records.len() as i64, "record", "records")) }
        } }
        @if !view.openings.is_empty() {
            section.card aria-labelledby="opened-head" {
                h2 id="opened-head" { "Opened by somebody who is not named" }
                ul.plain { @for row in &view.openings { li {
                    strong { (row.by) } " opened " a href=(row.who.href()) { (row.who.shown_name()) } ", " (row.who.number()) ", "
                    (row.when) ", on " (row.device) ": " (row.reason)
                } } }
                form method="post" action="/restricted" {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden(UP_TO, &view.up_to.to_string()))
                    p.actions { button.primary type="submit" { "I have looked at these" } }
                }
                p.hint { "Every lead acknowledges for themselves. The openings stay in the access log." }
            }
        }
        @if view.records.is_empty() { (parts::empty("No record is restricted.", &html! { p { "A record is restricted from the child’s own page, for instance that of a colleague’s child." } })) }
        @else { ul.plain { @for (who, named) in &view.records { li {
            a href={ (who.href()) "/restriction" } { (who.shown_name()) } ", " (who.number()) ": " (named)
        } } } }
        p.actions {
            a.button href="/access-log?restricted=yes" { "Openings in the access log" } " "
            a.button href="/erasures" { "Erasures" } " "
            a.button href="/retention" { "Records that fall due" }
        }
    };
    frame::page(frame, HelpTopic::Restricted, "Restricted records", &body)
}
