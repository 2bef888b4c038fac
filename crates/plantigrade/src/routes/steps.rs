//! Saving what is written in one step in one record or in two: all of it or nothing, with the same questions
//! as a form about one child.

use super::confirm;
use crate::{
    app::App,
    web::{Fail, work},
};
use clinic::ArchiveError;
use pages::{
    RequestError,
    fields::{self, Filled},
};
use record::{Body, ChildId, Day, Entry, EntryId, Note, WrittenTogether};

/// The entries of a step, and the logs to which they are added.
pub struct StepToSave<'a> {
    /// The entries; those that list others are among them.
    pub entries: Vec<Entry>,
    /// Every log concerned, before the step.
    pub logs: Vec<(ChildId, &'a [Entry])>,
}

impl StepToSave<'_> {
    /// Saves the step, or returns the form with what is refused or has to be confirmed first.
    ///
    /// # Errors
    /// When the records refuse it; then nothing is saved.
    pub fn save(mut self, app: &App, filled: &Filled) -> Result<Result<(), Filled>, Fail> {
        if let Some(saved) = self.saved_before(app)? {
            return Ok(if saved { Ok(()) } else { Err(filled.clone().wrong(fields::SAVED_BEFORE, CHANGED)) });
        }
        let refused: Vec<String> = self
            .entries
            .iter()
            .filter_map(|entry| Some(crate::exit::sentence(&entry.refusal()?.text)))
            .collect();
        if !refused.is_empty() {
            let add = |filled: Filled, text: String| filled.wrong("", text);
            return Ok(Err(refused.into_iter().fold(filled.clone(), add)));
        }
        if let Err(asked) = self.confirm(app, filled) {
            return Ok(Err(asked));
        }
        app.append(self.entries)?.map_err(conflict)?;
        Ok(Ok(()))
    }

    /// Whether the same form was saved before; `None` if it was not, `false` if it was with other contents.
    fn saved_before(&self, app: &App) -> Result<Option<bool>, Fail> {
        let Some(first) = self.entries.first() else { return Ok(Some(true)) };
        let Some(old) = app.records.entry(first.id)? else { return Ok(None) };
        Ok(Some(old.child == first.child && old.body.kind() == first.body.kind() && old.by == first.by))
    }

    /// Asks what the step makes doubtful; what the person answers becomes a note of the step.
    fn confirm(&mut self, app: &App, filled: &Filled) -> Result<(), Filled> {
        let mut asked = filled.clone();
        let mut notes = Vec::new();
        for (child, log) in &self.logs {
            let added: Vec<Entry> =
                self.entries.iter().filter(|entry| entry.child == *child).cloned().collect();
            for doubt in confirm::doubts(app, log, &added) {
                asked = asked.wrong(fields::CONFIRM, doubt.text.clone());
                notes.push((*child, doubt));
            }
        }
        let Some(reason) = filled.given(fields::CONFIRM) else {
            return if notes.is_empty() { Ok(()) } else { Err(asked) };
        };
        for (child, doubt) in notes {
            let text = confirm::note_text(reason, &doubt.text);
            self.add(child, doubt.entry, Note { text }.into());
        }
        Ok(())
    }

    /// Adds an entry that follows another, and lists it with the others of that log.
    fn add(&mut self, child: ChildId, follows: EntryId, body: Body) {
        let Some(last) = self.entries.iter().max_by_key(|entry| entry.id) else { return };
        let id = EntryId::new(uuid::Uuid::from_u128(last.id.uuid().as_u128().wrapping_add(1)));
        let note = Entry { id, child, body, follows: Some(follows), ..last.clone() };
        let on = self.entries.first().map_or(note.on, |first| first.on);
        for entry in self.entries.iter_mut().filter(|entry| entry.child == child) {
            if let Some(list) = list_of(&mut entry.body) {
                list.entries.push(id);
            }
        }
        self.entries.push(Entry { on, ..note });
    }
}

const CHANGED: &str =
    "This step was already saved, and you have changed the form since. What was saved is unchanged.";

fn list_of(body: &mut Body) -> Option<&mut WrittenTogether> {
    match body {
        Body::VisitAmended(body) => Some(&mut body.together),
        Body::RecordsJoined(body) => Some(&mut body.together),
        _ => None,
    }
}

fn conflict(error: ArchiveError) -> Fail {
    match error {
        ArchiveError::Duplicate(_) => Fail(RequestError::Conflict(
            "This step was saved at the same moment from another window.".to_owned(),
        )),
        error => error.into(),
    }
}

/// The log of a child, whole.
///
/// # Errors
/// When the child is unknown or the log cannot be read.
pub fn log(app: &App, child: ChildId) -> Result<std::sync::Arc<clinic::ChildRecord>, Fail> {
    app.known(child, Day::LAST)
}

/// Refuses a record that was joined to another: nothing may be added to it any more.
///
/// # Errors
/// A conflict, if it was joined.
pub fn in_use(app: &App, child: ChildId) -> Result<(), Fail> {
    match app.joined_into(child)? {
        None => Ok(()),
        Some(_) => Err(Fail(RequestError::Conflict(
            "This record was joined to another record of the same child. Find the child and use that record."
                .to_owned(),
        ))),
    }
}

/// Runs work that returns a form to be shown again, or nothing once it is saved.
///
/// # Errors
/// Those of the work.
pub async fn form_work(
    app: &crate::web::Shared,
    to: String,
    save: impl FnOnce(&App) -> Result<Option<maud::Markup>, Fail> + Send + 'static,
) -> crate::web::PageResult {
    work(app, save).await?.map_or_else(|| crate::web::to(&to), crate::web::again)
}
