//! What has to be confirmed before a form is saved: is it the right foot, and does it make sense?
//!
//! If the entries of a form would raise a question about the side or the sense of a treatment, the form is
//! shown again with that question. It is saved once the person explains in words why it is right; the
//! explanation becomes a note that follows the entry, and the note answers the question. There is one
//! definition of what is in doubt, [`course::QuestionKind::asks_confirmation`]: entries from other sources
//! raise the same question, and it stays open.

use super::submission::{Draft, SaveOutcome, Submission};
use crate::{app::App, web::Fail};
use course::{Question, QuestionKind};
use pages::fields::{CONFIRM, Filled};
use record::{Body, Entry, EntryId, Note};

/// The longest explanation that is saved, in characters.
const REASON_CHARS: usize = 500;

/// What happened to a form that may need confirmation.
#[derive(Debug)]
pub enum ConfirmOutcome {
    /// Nothing had to be confirmed, or everything was.
    Done(SaveOutcome),
    /// Nothing was saved; the form with what has to be confirmed.
    Ask(Filled),
}

impl ConfirmOutcome {
    /// Nothing if the form is saved, otherwise the form with what is wrong or has to be confirmed.
    ///
    /// # Errors
    /// The form, if it is not saved.
    pub fn or_form(self, filled: &Filled) -> Result<(), Filled> {
        match self {
            Self::Done(outcome) => outcome.or_form(filled),
            Self::Ask(asked) => Err(asked),
        }
    }
}

/// A doubt about entries that are about to be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryDoubt {
    /// What is in doubt, one sentence.
    pub text: String,
    /// The entry that a confirming note follows.
    pub entry: EntryId,
}

impl EntryDoubt {
    /// The doubt of a question. The note follows a new entry if the question is about one.
    fn of(question: Question, added: &[Entry]) -> Option<Self> {
        let new = |entry: &&EntryId| added.iter().any(|added| added.id == **entry);
        let entry = question.entries.iter().rfind(new).or(question.entries.last())?;
        Some(Self { entry: *entry, text: question.text })
    }
}

/// The questions that entries about to be saved would raise and that have to be confirmed first.
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
    // A measurement that shows a poor fit of an older brace is saved as it is: the brace is in doubt, not the
    // measurement.
    let sets_brace = added.iter().any(|new| matches!(new.body, Body::BraceFitted(_) | Body::BraceChanged(_)));
    let about = |question: &Question| question.kind != QuestionKind::BraceSettings || sets_brace;
    let after = asked(&every).into_iter().filter(about);
    after
        .filter(|question| !before.contains(question))
        .filter_map(|question| EntryDoubt::of(question, added))
        .collect()
}

/// The note that confirms what was in doubt.
#[must_use]
pub fn note_text(reason: &str, doubt: &str) -> String {
    let reason: String = reason.chars().take(REASON_CHARS).collect();
    format!("Confirmed: {reason} (asked: {doubt})")
}

/// Saves a form, or returns it if something has to be confirmed first.
///
/// # Errors
/// When the records refuse an entry; then nothing is saved.
pub fn save(
    app: &App,
    submission: Submission,
    known: &[Entry],
    mut drafts: Vec<Draft>,
    filled: &Filled,
) -> Result<ConfirmOutcome, Fail> {
    let added = submission.entries(app, drafts.clone());
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
            return Ok(ConfirmOutcome::Ask(filled));
        };
        let on = drafts.first().map_or_else(|| app.clock.today(), |draft| draft.on);
        for doubt in doubts {
            let text = note_text(reason, &doubt.text);
            drafts.push(Draft { follows: Some(doubt.entry), ..Draft::new(Note { text }, on) });
        }
    }
    Ok(ConfirmOutcome::Done(submission.save(app, drafts)?))
}
