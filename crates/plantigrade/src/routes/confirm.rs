//! What is asked before a form is saved: is it the right foot, and does it make sense?
//!
//! A form whose entries would raise a question about the side or the sense of a treatment is given back
//! with that question. It is saved once the person says in words why it is right; the words become a note
//! that follows the entry, and the note answers the question. There is one definition of what is in
//! doubt, [`course::QuestionKind::asks_confirmation`]: entries that come from elsewhere raise the same
//! question, and it stays open.

use super::write::{Draft, Pen, Written};
use crate::{app::App, web::Fail};
use course::{Question, QuestionKind};
use pages::fields::{CONFIRM, Filled};
use record::{Body, Entry, EntryId, Note};

/// Longest reason taken from the form, in characters.
const REASON_CHARS: usize = 500;

/// What became of a form.
#[derive(Debug)]
pub enum Outcome {
    /// It was written, or had been before.
    Done(Written),
    /// The form is given back with what has to be confirmed.
    Ask(Filled),
}

/// A doubt about entries that are about to be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryDoubt {
    /// One sentence.
    pub text: String,
    /// The entry that a confirming note follows.
    pub entry: EntryId,
}

impl EntryDoubt {
    /// Of the entries a question rests on, a new one is confirmed where there is any.
    fn of(question: Question, added: &[Entry]) -> Option<Self> {
        let new = |entry: &&EntryId| added.iter().any(|added| added.id == **entry);
        let entry = question.entries.iter().rfind(new).or(question.entries.last())?;
        Some(Self { entry: *entry, text: question.text })
    }
}

/// The questions that entries about to be saved would raise and that must be confirmed first.
#[must_use]
pub fn doubts(app: &App, known: &[Entry], added: &[Entry]) -> Vec<EntryDoubt> {
    let Some(child) = added.first().map(|entry| entry.child) else { return Vec::new() };
    let last = added.iter().chain(known).map(|entry| entry.on).max().unwrap_or(record::Day::FIRST);
    let asked = |entries: &[Entry]| -> Vec<Question> {
        let outlook = app.outlook(child, entries, last.max(app.clock.today()));
        outlook.course.questions.into_iter().filter(|question| question.kind.asks_confirmation()).collect()
    };
    let before = asked(known);
    let every: Vec<Entry> = known.iter().chain(added).cloned().collect();
    // A measurement that shows an older brace to fit badly is saved as it is: the brace is in doubt, not it.
    let sets_brace = added.iter().any(|new| matches!(new.body, Body::BraceFitted(_) | Body::BraceChanged(_)));
    let about = |question: &Question| question.kind != QuestionKind::BraceSettings || sets_brace;
    let after = asked(&every).into_iter().filter(about);
    after
        .filter(|question| !before.contains(question))
        .filter_map(|question| EntryDoubt::of(question, added))
        .collect()
}

/// Writes a form, or gives it back where something has to be confirmed first.
///
/// # Errors
/// When the records refuse; nothing is then written.
pub fn write(
    app: &App,
    pen: Pen,
    known: &[Entry],
    mut drafts: Vec<Draft>,
    filled: &Filled,
) -> Result<Outcome, Fail> {
    let added = pen.entries(app, drafts.clone());
    // A form sent twice is recognised by its entries, which may be among the known ones by now.
    let known: Vec<Entry> =
        known.iter().filter(|entry| !added.iter().any(|new| new.id == entry.id)).cloned().collect();
    let doubts = doubts(app, &known, &added);
    if !doubts.is_empty() {
        let Some(reason) = filled.given(CONFIRM) else {
            let mut filled = filled.clone();
            for doubt in doubts {
                filled = filled.wrong(CONFIRM, doubt.text);
            }
            return Ok(Outcome::Ask(filled));
        };
        let reason: String = reason.chars().take(REASON_CHARS).collect();
        let on = drafts.first().map_or_else(|| app.clock.today(), |draft| draft.on);
        for doubt in doubts {
            let text = format!("Confirmed: {reason} (asked: {})", doubt.text);
            drafts.push(Draft { follows: Some(doubt.entry), ..Draft::new(Note { text }, on) });
        }
    }
    Ok(Outcome::Done(pen.write(app, drafts)?))
}
