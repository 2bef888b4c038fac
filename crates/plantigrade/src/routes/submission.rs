//! Saving a form: all of its entries or none, and a form sent twice is saved once.

use crate::{app::App, web::Fail};
use clinic::{ArchiveError, StepStamp};
use pages::{
    RequestError,
    fields::{Filled, ONCE, SAVED_BEFORE},
};
use record::{Body, ChildId, Day, Entry, EntryId, UserId};
use uuid::Uuid;

/// One entry to be saved.
#[derive(Debug, Clone)]
pub struct Draft {
    /// Its contents.
    pub body: Body,
    /// Its clinical day.
    pub on: Day,
    /// The entry that it follows.
    pub follows: Option<EntryId>,
}

impl Draft {
    /// An entry that follows no other.
    pub fn new(body: impl Into<Body>, on: Day) -> Self {
        Self { body: body.into(), on, follows: None }
    }
}

/// Shown on a form that was saved and then changed and sent again: what was saved now, what before.
fn saved_before_words(entry: &Entry) -> String {
    let day = entry.on.words();
    format!(
        "Nothing was saved now; this form was saved before, for {day}, and what you have changed since is not part of it: save again only if everything below is to be added, otherwise correct what was saved."
    )
}

/// What happened to a form.
#[derive(Debug, Clone, PartialEq)]
pub enum SaveOutcome {
    /// It was saved.
    Saved,
    /// The same form was saved before; nothing was added.
    SavedBefore,
    /// A form with this token was saved before with other contents, of which this is the first entry; nothing was
    /// added.
    SavedOtherwise(Box<Entry>),
}

impl SaveOutcome {
    /// Nothing if the form is saved, otherwise the form with an error.
    ///
    /// # Errors
    /// The form, if it was saved before with other contents.
    pub fn or_form(self, filled: &Filled) -> Result<(), Filled> {
        match self {
            Self::Saved | Self::SavedBefore => Ok(()),
            Self::SavedOtherwise(entry) => {
                let address = format!("/child/{}/entry/{}", entry.child, entry.id);
                let filled = filled.clone().with(SAVED_BEFORE, address);
                Err(filled.wrong(SAVED_BEFORE, saved_before_words(&entry)))
            }
        }
    }
}

/// A form about a child, sent by a person.
#[derive(Debug, Clone, Copy)]
pub struct Submission {
    /// The child.
    pub child: ChildId,
    /// The person.
    pub by: UserId,
    /// The form's token, from which the ids of its entries are made.
    once: Uuid,
}

impl Submission {
    /// A submission with a new token.
    #[must_use]
    pub fn new(app: &App, child: ChildId, by: UserId) -> Self {
        Self { child, by, once: app.once() }
    }

    /// A submission with the form's token, or with a new one if the form has none.
    #[must_use]
    pub fn of_form(app: &App, child: ChildId, by: UserId, filled: &Filled) -> Self {
        let token = Uuid::parse_str(filled.value(ONCE)).ok().filter(|id| id.get_version_num() == 7);
        let once = token.map_or_else(|| app.once(), |id| Uuid::from_u128(id.as_u128() & !0xffff));
        Self { child, by, once }
    }

    /// The entries of a form.
    #[must_use]
    pub fn entries(&self, app: &App, drafts: Vec<Draft>) -> Vec<Entry> {
        let at = app.clock.now();
        let number = |index: usize| Uuid::from_u128(self.once.as_u128().wrapping_add(index as u128));
        let entry = |(index, draft): (usize, Draft)| Entry {
            id: EntryId::new(number(index)),
            child: self.child,
            body: draft.body,
            on: draft.on,
            at,
            by: self.by,
            site: app.site,
            follows: draft.follows,
        };
        drafts.into_iter().enumerate().map(entry).collect()
    }

    /// The stamp of a step whose entries are counted up from the form's token. A step that was saved before keeps
    /// the day on which it was, so that both can be compared.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn stamp(&self, app: &App, reason: String) -> Result<StepStamp, Fail> {
        let Self { by, once, .. } = *self;
        let on = self.saved_first(app)?.map_or_else(|| app.clock.today(), |entry| entry.on);
        Ok(StepStamp { on, at: app.clock.now(), by, site: app.site, reason, first_id: once })
    }

    /// Whether an entry was written by this form.
    #[must_use]
    pub fn wrote(&self, entry: &Entry) -> bool {
        let form = |id: Uuid| id.as_u128() & !0xffff;
        form(entry.id.uuid()) == form(self.once)
    }

    /// The first entry that a form with this token saved before.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn saved_first(&self, app: &App) -> Result<Option<Entry>, Fail> {
        Ok(app.records.entry(EntryId::new(self.once))?)
    }

    /// Whether a form with this token was saved before.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn is_saved(&self, app: &App) -> Result<bool, Fail> {
        Ok(self.saved_first(app)?.is_some())
    }

    /// Refuses what is sent to a record that was joined to another while the form was open.
    fn not_joined(&self, app: &App) -> Result<(), Fail> {
        let Some(kept) = app.joined_into(self.child)? else { return Ok(()) };
        let about = &app.known(kept, app.clock.today())?.outlook.course.about;
        Err(Fail(RequestError::Conflict(format!(
            "This record was joined to another record of the same child ({}, {}). Nothing was saved: find the child and record it there.",
            about.full_name(),
            about.numbers.first().map_or("no number", String::as_str),
        ))))
    }

    /// Saves a form.
    ///
    /// # Errors
    /// When the records refuse an entry, or the record was joined to another; then nothing is saved.
    pub fn save(&self, app: &App, drafts: Vec<Draft>) -> Result<SaveOutcome, Fail> {
        self.not_joined(app)?;
        let entries = self.entries(app, drafts);
        match app.append(entries.clone())? {
            Ok(_) => Ok(SaveOutcome::Saved),
            Err(ArchiveError::Duplicate(_)) => saved_before(app, &entries),
            Err(error) => Err(error.into()),
        }
    }
}

/// What was saved before under the ids of these entries, compared with them.
///
/// # Errors
/// When the records cannot be read.
pub fn saved_before(app: &App, entries: &[Entry]) -> Result<SaveOutcome, Fail> {
    let mut saved = Vec::with_capacity(entries.len());
    for entry in entries {
        saved.push(app.records.entry(entry.id)?);
    }
    let same = |(entry, old): (&Entry, &Option<Entry>)| {
        old.as_ref().is_some_and(|old| {
            old.child == entry.child && old.body == entry.body && old.on == entry.on && old.by == entry.by
        })
    };
    let unchanged = entries.iter().zip(&saved).all(same) && !saved_more(app, entries)?;
    let first = saved.into_iter().flatten().next().filter(|_| !unchanged);
    Ok(first.map_or(SaveOutcome::SavedBefore, |entry| SaveOutcome::SavedOtherwise(Box::new(entry))))
}

/// Whether the form was saved with more than these entries, so that something was taken back since. That the child
/// came is written only once and is no longer part of a form that is sent again.
fn saved_more(app: &App, entries: &[Entry]) -> Result<bool, Fail> {
    let Some(last) = entries.iter().max_by_key(|entry| entry.id) else { return Ok(false) };
    let next = EntryId::new(Uuid::from_u128(last.id.uuid().as_u128().wrapping_add(1)));
    Ok(app.records.entry(next)?.is_some_and(|more| !matches!(more.body, Body::AppointmentAttended(_))))
}
