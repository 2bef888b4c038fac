//! The records as a whole: whether they are those that were saved, what is missing, and what a person decides.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What, settings::WHY},
    frame, parts,
};
use maud::{Markup, html};

/// The state of the records.
#[derive(Debug, Clone, Default)]
pub struct RecordsView {
    /// What is wrong.
    pub problem: Option<RecordsProblem>,
    /// The folder of the records.
    pub folder: String,
    /// How the log ends.
    pub mark: String,
    /// The last full check: when, and what it found.
    pub checked: Option<String>,
    /// The file of the witness.
    pub witness: Option<String>,
    /// The head of the witness as it is in the records.
    pub witness_head: Option<String>,
    /// The last drill of a backup: when, and what it found.
    pub drill: Option<String>,
    /// Whether the reader may look after backups.
    pub may_back_up: bool,
    /// What people decided about the records, the latest first.
    pub decisions: Vec<DecisionRow>,
    /// The form.
    pub filled: Filled,
}

/// What is wrong with the records, or with the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordsProblem {
    /// They are not those that the witness knows.
    NotThoseSaved {
        /// What was found.
        sentence: String,
        /// Whether the reader may decide to go on with them.
        may_accept: bool,
    },
    /// They are damaged.
    Damaged {
        /// What that means.
        sentence: String,
        /// What was found in the file.
        what: String,
        /// Numbers of the missing entries in the log.
        missing: Vec<i64>,
        /// The children that are not shown, each by name and number or by id.
        children: Vec<String>,
    },
    /// They were copied or moved here without their witness.
    CopiedHere {
        /// What that means.
        sentence: String,
        /// Whether the reader may confirm them.
        may_confirm: bool,
    },
    /// The clock is earlier than the last entry.
    Clock {
        /// Both times.
        sentence: String,
        /// Whether the reader may confirm it.
        may_confirm: bool,
    },
}

/// A decision.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecisionRow {
    /// When.
    pub when: String,
    /// Who.
    pub who: String,
    /// What it was about.
    pub about: String,
    /// Why.
    pub reason: String,
}

/// Missing entries that are listed; more are counted.
const LISTED: usize = 100;

/// The page.
#[must_use]
pub fn records(frame: &Frame, view: &RecordsView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "The records" }
            (parts::error_summary(&view.filled))
            @match &view.problem {
                None => p.lead { "No problem was found in these records." },
                Some(problem) => (problem_card(frame, view, problem)),
            }
            (facts(view))
            @if !view.decisions.is_empty() { (decisions(&view.decisions)) }
        }
    };
    frame::page(frame, HelpTopic::Backup, "The records", &body)
}

fn problem_card(frame: &Frame, view: &RecordsView, problem: &RecordsProblem) -> Markup {
    match problem {
        RecordsProblem::NotThoseSaved { sentence, may_accept } => {
            not_those_saved(frame, view, sentence, *may_accept)
        }
        RecordsProblem::Damaged { sentence, what, missing, children } => {
            damaged(view, sentence, what, missing, children)
        }
        RecordsProblem::CopiedHere { sentence, may_confirm } => copied(frame, view, sentence, *may_confirm),
        RecordsProblem::Clock { sentence, may_confirm } => clock(frame, view, sentence, *may_confirm),
    }
}

fn not_those_saved(frame: &Frame, view: &RecordsView, sentence: &str, may_accept: bool) -> Markup {
    html! {
        section.card aria-labelledby="found-head" {
            h2 id="found-head" { "These are not the records that were saved last" }
            p.lead { (sentence) }
            p { "Everything here can be read. Nothing can be saved until a lead has decided." }
            h3 { "To put back what is missing" }
            ol.numbered {
                li { "End the program. Keep the folder " code { (view.folder) } " under another name." }
                li { "Put the latest copy of the records in its place, and start the program." }
                li { "If the copy is older than the last entry, this page comes again. Then decide below." }
            }
            h3 { "To go on with these records" }
            @if may_accept {
                p { "What is missing is then missing for good. The decision, your name and the reason stay in the records." }
                (form(frame, view, "/records/accept", "Go on with these records"))
            } @else { p { "A lead of the clinic can decide that on this page." } }
        }
    }
}

fn damaged(view: &RecordsView, sentence: &str, what: &str, missing: &[i64], children: &[String]) -> Markup {
    html! {
        section.card aria-labelledby="found-head" {
            h2 id="found-head" { "The records file is damaged" }
            p.lead { (sentence) }
            p { "What is shown can be read as it was written. Nothing can be saved." }
            ol.numbered {
                li { "Do not delete anything in " code { (view.folder) } "." }
                li { "If there is a recent copy, put it in the place of that folder, and keep the folder under another name." }
                li { "Otherwise write what can be read into a new folder: " code { "plantigrade salvage --to NEWFOLDER" } ". It lists what is missing." }
                li { "Have the disk examined: damage rarely comes alone." }
            }
            @if !children.is_empty() {
                h3 { "Children that are not shown" }
                p { "An entry of each of them is missing, so that the rest could mislead. Use paper or a copy." }
                ul { @for child in children { li { (child) } } }
            }
            @if !missing.is_empty() {
                h3 { "Missing entries" }
                p { "Numbers in the log: " (numbers(missing)) "." }
            }
            p.quiet { "Found in the file: " (what) }
        }
    }
}

fn numbers(missing: &[i64]) -> String {
    let listed: Vec<String> = missing.iter().take(LISTED).map(ToString::to_string).collect();
    let more = missing.len().saturating_sub(LISTED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!("{}{more}", listed.join(", "))
}

fn copied(frame: &Frame, view: &RecordsView, sentence: &str, may_confirm: bool) -> Markup {
    html! {
        section.card aria-labelledby="found-head" {
            h2 id="found-head" { "These records came here without their witness" }
            p.lead { (sentence) }
            p { "Entries are saved as usual, and a new witness knows them. Compare the last visits with what you remember, or the end of the log with that of a printed page." }
            @if may_confirm {
                p { "If they are whole, confirm them. The confirmation, your name and the reason stay in the records." }
                (form(frame, view, "/records/accept", "These are the records to go on with"))
            } @else { p { "A lead of the clinic can confirm them on this page." } }
        }
    }
}

fn clock(frame: &Frame, view: &RecordsView, sentence: &str, may_confirm: bool) -> Markup {
    html! {
        section.card aria-labelledby="found-head" {
            h2 id="found-head" { "The clock of this computer is earlier than the last entry" }
            p.lead { (sentence) }
            p { "“Today” on every page is the day of that clock: what is due, and children recorded after it, are shown wrongly. Nothing can be saved." }
            h3 { "If the clock is wrong" }
            p { "Put it right in the settings of the computer, and load this page again." }
            h3 { "If the clock is right" }
            @if may_confirm {
                p { "Then the last entries were written while it was ahead. The confirmation, your name and the reason stay in the records." }
                (form(frame, view, "/records/clock", "The clock is right"))
            } @else { p { "A treating clinician or a lead can confirm that on this page." } }
        }
    }
}

fn form(frame: &Frame, view: &RecordsView, action: &str, button: &str) -> Markup {
    let why = Field::new(WHY, "Reason", What::Text).needed();
    html! {
        form method="post" action=(action) {
            (parts::csrf(&frame.csrf))
            (parts::field(&view.filled, &why))
            button.primary type="submit" { (button) }
        }
    }
}

fn facts(view: &RecordsView) -> Markup {
    html! {
        section.card aria-labelledby="facts-head" {
            h2 id="facts-head" { "How they are checked" }
            dl.facts {
                div { dt { "End of the log" } dd { code { (view.mark) } } }
                div { dt { "Last full check" } dd { (view.checked.as_deref().unwrap_or("None yet. It runs once a day while the program is open.")) } }
                div { dt { "Last drill of a backup" } dd { (view.drill.as_deref().unwrap_or("None yet.")) @if view.may_back_up { " " a href="/backups" { "Backups" } } } }
                @if let Some(head) = &view.witness_head { div { dt { "Head of the witness" } dd { code { (head) } } } }
                div { dt { "Witness" } dd { @match &view.witness { Some(path) => code { (path) }, None => "None: a loss of the last entries would not be noticed." } } }
            }
            p { "Each page has the end of the log at its foot, so that a printed page can be compared with the records later. The witness is a second file outside the records: it has the end of the log too." }
        }
    }
}

fn decisions(rows: &[DecisionRow]) -> Markup {
    html! {
        section.card aria-labelledby="decisions-head" {
            h2 id="decisions-head" { "Decisions" }
            ul { @for row in rows {
                li { p { strong { (row.when) ", " (row.who) ": " } (row.reason) } p.quiet { "About: " (row.about) } }
            } }
        }
    }
}
