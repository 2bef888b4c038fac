//! Saving a form: all of its entries or none, and a form sent twice is saved once.

use crate::{app::App, web::Fail};
use clinic::ArchiveError;
use pages::fields::{Filled, ONCE};
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

/// Shown on a form that was saved and then changed and sent again.
const SAVED_ALREADY: &str = "This form was already saved, and you have changed it since. The saved entries are unchanged; save again only if this is to be added to them.";

/// What happened to a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveOutcome {
    /// It was saved.
    Saved,
    /// The same form was saved before; nothing was added.
    SavedBefore,
    /// A form with this token was saved before with other contents; nothing was added.
    SavedOtherwise,
}

impl SaveOutcome {
    /// Nothing if the form is saved, otherwise the form with an error.
    ///
    /// # Errors
    /// The form, if it was saved before with other contents.
    pub fn or_form(self, filled: &Filled) -> Result<(), Filled> {
        match self {
            Self::Saved | Self::SavedBefore => Ok(()),
            Self::SavedOtherwise => Err(filled.clone().wrong("", SAVED_ALREADY)),
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

    /// Saves a form.
    ///
    /// # Errors
    /// When the records refuse an entry; then nothing is saved.
    pub fn save(&self, app: &App, drafts: Vec<Draft>) -> Result<SaveOutcome, Fail> {
        let entries = self.entries(app, drafts);
        let result = app.records.append(entries.clone());
        match result {
            Ok(_) => Ok(SaveOutcome::Saved),
            Err(ArchiveError::Duplicate(_)) => saved_before(app, &entries),
            Err(error) => Err(error.into()),
        }
    }
}

fn saved_before(app: &App, entries: &[Entry]) -> Result<SaveOutcome, Fail> {
    for entry in entries {
        let same = |old: Entry| {
            old.child == entry.child && old.body == entry.body && old.on == entry.on && old.by == entry.by
        };
        if !app.records.entry(entry.id)?.is_some_and(same) {
            return Ok(SaveOutcome::SavedOtherwise);
        }
    }
    Ok(SaveOutcome::SavedBefore)
}
