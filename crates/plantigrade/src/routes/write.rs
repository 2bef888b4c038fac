//! Writing what a form says: all of it or nothing, and a form sent twice counts once.

use crate::{app::App, web::Fail};
use clinic::ArchiveError;
use record::{Body, ChildId, Day, Entry, EntryId, UserId};
use uuid::Uuid;

/// One entry to be written.
#[derive(Debug, Clone)]
pub struct Draft {
    /// What was seen or done.
    pub body: Body,
    /// On which day.
    pub on: Day,
    /// Which entry it answers.
    pub follows: Option<EntryId>,
}

impl Draft {
    /// An entry that answers none.
    pub fn new(body: impl Into<Body>, on: Day) -> Self {
        Self { body: body.into(), on, follows: None }
    }
}

/// What became of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// Written now.
    Now,
    /// The very same form was written before; nothing was added.
    Before,
    /// A form with this token was written before and said something else; nothing was added.
    Otherwise,
}

/// Who writes about whom, in one form.
#[derive(Debug, Clone, Copy)]
pub struct Pen {
    /// The child.
    pub child: ChildId,
    /// The person.
    pub by: UserId,
    /// The form's token, from which its entries are numbered.
    pub once: Uuid,
}

impl Pen {
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

    /// Writes a form.
    ///
    /// # Errors
    /// When the records refuse; nothing is then written.
    pub fn write(&self, app: &App, drafts: Vec<Draft>) -> Result<Written, Fail> {
        let entries = self.entries(app, drafts);
        let result = app.records.append(entries.clone());
        match result {
            Ok(_) => Ok(Written::Now),
            Err(ArchiveError::Duplicate(_)) => written_before(app, &entries),
            Err(error) => Err(error.into()),
        }
    }
}

fn written_before(app: &App, entries: &[Entry]) -> Result<Written, Fail> {
    for entry in entries {
        let same = |old: Entry| {
            old.child == entry.child && old.body == entry.body && old.on == entry.on && old.by == entry.by
        };
        if !app.records.entry(entry.id)?.is_some_and(same) {
            return Ok(Written::Otherwise);
        }
    }
    Ok(Written::Before)
}

/// The form's token, or a new one where it has none.
#[must_use]
pub fn once(app: &App, text: &str) -> Uuid {
    let read = Uuid::parse_str(text).ok().filter(|id| id.get_version_num() == 7);
    read.map_or_else(|| app.once(), |id| Uuid::from_u128(id.as_u128() & !0xffff))
}
