//! Saving what is written in one step in one record or in two: all of it or nothing, with the same questions
//! as a form about one child.

use super::{
    confirm,
    submission::{self, SaveOutcome, Submission},
};
use crate::{
    app::App,
    web::{Fail, work},
};
use clinic::{ArchiveError, ChildRecord};
use course::Course;
use pages::{
    RequestError,
    fields::{self, FieldError, Filled},
    visit_remedy::CHECKED,
};
use record::{Body, ChildId, Day, Entry, EntryId, Note, WrittenTogether};
use std::sync::Arc;

/// The log of a child to which a step is added, as it was before the step.
pub struct StepLog {
    /// The child.
    pub child: ChildId,
    known: Arc<ChildRecord>,
    /// Number of entries before those that the step's own form saved.
    before: usize,
    /// The generation of the records that was read before the log.
    planned_at: u64,
}

impl StepLog {
    /// The whole log, without what `form` saved before: a form that is sent again is planned as it was then, so
    /// that it can be compared with what it saved.
    ///
    /// # Errors
    /// When the child is unknown or the log cannot be read.
    pub fn of(app: &App, child: ChildId, form: Option<&Submission>) -> Result<Self, Fail> {
        // Read first, so that a write during the planning counts as later than the plan.
        let planned_at = app.records.generation()?;
        let known = app.known(child, Day::LAST)?;
        let own = |form: &Submission| known.entries.iter().position(|entry| form.wrote(entry));
        let before = form.and_then(own).unwrap_or(known.entries.len());
        Ok(Self { child, known, before, planned_at })
    }

    /// Its entries, in the order written.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        self.known.entries.get(..self.before).unwrap_or_default()
    }

    /// The course of the child as it is now.
    #[must_use]
    pub fn course(&self) -> &Course {
        &self.known.outlook.course
    }
}

/// What a form about these logs was made from. A form that was made from less is shown again.
#[must_use]
pub fn seen(logs: &[&StepLog]) -> String {
    logs.iter().map(|log| log.entries().len().to_string()).collect::<Vec<_>>().join("+")
}

/// The form with what is wrong in it; where it was saved before, that is what is said.
///
/// # Errors
/// When the records cannot be read.
pub fn refused(
    app: &App,
    form: &Submission,
    filled: &Filled,
    errors: Vec<FieldError>,
) -> Result<Filled, Fail> {
    let saved = form.saved_first(app)?;
    let wrong = || Filled { errors, ..filled.clone() };
    Ok(saved.map_or_else(wrong, |entry| saved_otherwise(&entry, filled)))
}

/// The entries of a step, and the logs to which they are added.
pub struct StepToSave<'a> {
    /// The form.
    pub form: Submission,
    /// The entries; those that list others are among them.
    pub entries: Vec<Entry>,
    /// Every log concerned, before the step.
    pub logs: Vec<&'a StepLog>,
}

impl StepToSave<'_> {
    /// Saves the step, or returns the form with what is refused or has to be confirmed first. Where somebody wrote
    /// about a child since the form was made, nothing is saved.
    ///
    /// # Errors
    /// When the records refuse it; then nothing is saved.
    pub fn save(mut self, app: &App, filled: &Filled) -> Result<Result<(), Filled>, Fail> {
        if let Some(saved) = self.form.saved_first(app)? {
            let answered = self.confirm(app, filled).is_ok();
            return if answered {
                self.saved_before(app, filled)
            } else {
                Ok(Err(saved_otherwise(&saved, filled)))
            };
        }
        if filled.value(fields::SEEN) != seen(&self.logs) {
            return Ok(Err(changed_meanwhile(filled)));
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
        self.append(app, filled)
    }

    fn append(self, app: &App, filled: &Filled) -> Result<Result<(), Filled>, Fail> {
        let planned_at = self.logs.iter().map(|log| log.planned_at).min().unwrap_or_default();
        app.may_write(&self.entries)?;
        match app.records.append_planned(self.entries.clone(), planned_at) {
            Ok(_) => Ok(Ok(())),
            Err(ArchiveError::ChangedMeanwhile) => Ok(Err(changed_meanwhile(filled))),
            // The same form, sent twice at once.
            Err(ArchiveError::Duplicate(_)) => self.saved_before(app, filled),
            Err(error) => Err(error.into()),
        }
    }

    /// The step, sent again: it is as saved only if it says the same.
    fn saved_before(&self, app: &App, filled: &Filled) -> Result<Result<(), Filled>, Fail> {
        Ok(match submission::saved_before(app, &self.entries)? {
            SaveOutcome::SavedOtherwise(entry) => Err(saved_otherwise(&entry, filled)),
            SaveOutcome::Saved | SaveOutcome::SavedBefore => Ok(()),
        })
    }

    /// Asks what the step makes doubtful; what the person answers becomes a note of the step.
    fn confirm(&mut self, app: &App, filled: &Filled) -> Result<(), Filled> {
        let mut asked = filled.clone();
        let mut notes = Vec::new();
        for log in &self.logs {
            let added: Vec<Entry> =
                self.entries.iter().filter(|entry| entry.child == log.child).cloned().collect();
            for doubt in confirm::doubts(app, log.entries(), &added) {
                asked = asked.wrong(fields::CONFIRM, doubt.text.clone());
                notes.push((log.child, doubt));
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

/// The form of a step that was saved before with other contents, with the way to what was saved.
fn saved_otherwise(entry: &Entry, filled: &Filled) -> Filled {
    let day = entry.on.words();
    let text = format!(
        "Nothing was saved now; this step was saved before, on {day}, and what you have changed since is not part of it. The page shows the record as it is now: if what was saved is wrong, take it back."
    );
    let address = format!("/child/{}/entry/{}", entry.child, entry.id);
    looked_at_again(filled).with(fields::SAVED_BEFORE, address).wrong(fields::SAVED_BEFORE, text)
}

/// The form of a step that no longer fits the record.
fn changed_meanwhile(filled: &Filled) -> Filled {
    looked_at_again(filled).wrong("", MEANWHILE)
}

/// What was ticked about an earlier state of the record is not ticked about the present one.
fn looked_at_again(filled: &Filled) -> Filled {
    filled.clone().with(fields::SURE, "").with(CHECKED, "")
}

const MEANWHILE: &str = "Something was recorded here in the meantime, so nothing was saved. The page now shows the record as it is: look at it again before you save.";

fn list_of(body: &mut Body) -> Option<&mut WrittenTogether> {
    match body {
        Body::VisitAmended(body) => Some(&mut body.together),
        Body::RecordsJoined(body) => Some(&mut body.together),
        _ => None,
    }
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
