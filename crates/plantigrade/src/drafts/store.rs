//! The drafts of all people: in the records, sealed; and in memory which there are, so that a page need not look.

use super::{DraftForm, DraftSecret};
use clinic::{ArchiveError, FormDraftRow, FormDraftRows};
use record::{ChildId, Day, Timestamp, UserId};
use serde::{Deserialize, Serialize};
use std::{
    collections::{BTreeMap, HashMap},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

/// After so many days a draft is listed as one that should be saved or discarded.
const LISTED_AS_DUE_DAYS: i64 = 30;
/// After so many days without a change a draft is deleted.
const DELETED_AFTER_DAYS: i64 = 90;
/// The most drafts of one person.
const MOST: usize = 200;
const DAY_SECONDS: i64 = 86_400;

/// What a form held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DraftContents {
    /// The values of its fields.
    pub values: BTreeMap<String, String>,
    /// The clinic's day on which it was begun.
    pub begun_on: Day,
    /// The number of the child's entries when it was begun; `None` where it is about no child on record.
    pub seen: Option<usize>,
}

/// Why a draft cannot be saved or shown.
#[derive(Debug, thiserror::Error)]
pub enum DraftError {
    /// The records cannot be read or written.
    #[error(transparent)]
    Records(#[from] ArchiveError),
    /// The secret cannot be read or made.
    #[error("drafts.key cannot be used: {0}")]
    Secret(#[from] std::io::Error),
    /// It was sealed with another secret, or was changed.
    #[error("the draft cannot be opened with the secret of this clinic")]
    Sealed,
    /// The person has too many drafts.
    #[error("there are {MOST} drafts of this person already")]
    TooMany,
}

/// Drafts of forms by person.
type OfPeople = HashMap<UserId, BTreeMap<String, FormDraftRow>>;

/// The drafts of all people.
pub struct FormDrafts {
    rows: FormDraftRows,
    secret: Arc<DraftSecret>,
    /// Which there are. Only this process writes them.
    known: Mutex<OfPeople>,
}

impl FormDrafts {
    /// The drafts stored with the records. Those that nobody changed for 90 days are deleted.
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn open(rows: FormDraftRows, secret: Arc<DraftSecret>, now: Timestamp) -> Result<Self, ArchiveError> {
        let mut known = OfPeople::new();
        let oldest = Timestamp::from_seconds(now.seconds() - DELETED_AFTER_DAYS * DAY_SECONDS);
        let all = rows.all()?;
        if all.iter().any(|row| row.saved_at < oldest) {
            let deleted = rows.delete_before(oldest)?;
            tracing::info!(
                "{deleted} drafts of forms were older than {DELETED_AFTER_DAYS} days and are deleted"
            );
        }
        for row in all.into_iter().filter(|row| row.saved_at >= oldest) {
            known.entry(row.person).or_default().insert(row.form.clone(), row);
        }
        Ok(Self { rows, secret, known: Mutex::new(known) })
    }

    fn known(&self) -> MutexGuard<'_, OfPeople> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The drafts of a person, the latest first.
    #[must_use]
    pub fn of(&self, person: UserId) -> Vec<FormDraftRow> {
        let mut rows: Vec<_> =
            self.known().get(&person).map(|rows| rows.values().cloned().collect()).unwrap_or_default();
        rows.sort_by_key(|row| std::cmp::Reverse(row.saved_at));
        rows
    }

    /// Forgets the drafts about a child, which were deleted with its record.
    pub fn forget_child(&self, child: ChildId) {
        self.known().values_mut().for_each(|rows| rows.retain(|_, row| row.child != Some(child)));
    }

    /// How many drafts a person has.
    #[must_use]
    pub fn count(&self, person: UserId) -> usize {
        self.known().get(&person).map_or(0, BTreeMap::len)
    }

    /// The draft of a form, if a person has one.
    #[must_use]
    pub fn find(&self, person: UserId, form: &str) -> Option<FormDraftRow> {
        self.known().get(&person).and_then(|rows| rows.get(form)).cloned()
    }

    /// What a draft holds; `None` if there is none.
    ///
    /// # Errors
    /// When it cannot be read or opened.
    pub fn contents(&self, person: UserId, form: &str) -> Result<Option<DraftContents>, DraftError> {
        if self.find(person, form).is_none() {
            return Ok(None);
        }
        let Some(sealed) = self.rows.sealed(person, form)? else {
            // An entry of the child was erased, and its drafts with it.
            self.forget(person, form);
            return Ok(None);
        };
        let contents = self.secret.open(person, form, &sealed)?.ok_or(DraftError::Sealed)?;
        serde_json::from_slice(&contents).map(Some).map_err(|_| DraftError::Sealed)
    }

    /// Saves a draft in place of an earlier one of the form; the day on which that was begun stays.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn save(
        &self,
        person: UserId,
        form: &DraftForm,
        mut contents: DraftContents,
        (saved_at, device): (Timestamp, String),
    ) -> Result<(), DraftError> {
        if self.find(person, &form.name).is_none() && self.count(person) >= MOST {
            return Err(DraftError::TooMany);
        }
        if let Ok(Some(earlier)) = self.contents(person, &form.name) {
            contents = DraftContents { values: contents.values, ..earlier };
        }
        let text = serde_json::to_vec(&contents).map_err(|_| DraftError::Sealed)?;
        let sealed = self.secret.seal(person, &form.name, &text)?;
        let row = FormDraftRow { person, form: form.name.clone(), child: form.child, saved_at, device };
        self.rows.save(row.clone(), sealed)?;
        self.known().entry(person).or_default().insert(form.name.clone(), row);
        Ok(())
    }

    /// Deletes a draft; nothing if there is none.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn discard(&self, person: UserId, form: &str) -> Result<(), ArchiveError> {
        if self.find(person, form).is_some() {
            self.rows.delete(person, form)?;
            self.forget(person, form);
        }
        Ok(())
    }

    fn forget(&self, person: UserId, form: &str) {
        if let Some(rows) = self.known().get_mut(&person) {
            rows.remove(form);
        }
    }
}

/// The day on which a draft is deleted if nobody changes it, once it is listed as due.
#[must_use]
pub fn due(row: &FormDraftRow, now: Timestamp) -> Option<Timestamp> {
    let old = now.seconds() - row.saved_at.seconds() >= LISTED_AS_DUE_DAYS * DAY_SECONDS;
    old.then(|| Timestamp::from_seconds(row.saved_at.seconds() + DELETED_AFTER_DAYS * DAY_SECONDS))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{
        app::{App, Mode},
        clock::Clock,
    };
    use uuid::Uuid;

    fn contents(text: &str) -> DraftContents {
        DraftContents {
            values: [("family_name".to_owned(), text.to_owned())].into(),
            begun_on: "2025-03-04".parse().unwrap(),
            seen: None,
        }
    }

    #[test]
    fn a_draft_outlives_the_program_and_an_old_one_does_not() {
        let dir = tempfile::tempdir().unwrap();
        let clock = Clock::new(Some("2025-03-04".parse().unwrap()));
        let form = DraftForm::of("/register").unwrap();
        let person = UserId::new(Uuid::from_u128(7));
        let other = UserId::new(Uuid::from_u128(8));
        let app = App::open(dir.path(), clock, Mode::default()).unwrap();
        for (id, name) in [(person, "one"), (other, "two")] {
            app.records
                .accounts()
                .create_account(clinic::Account {
                    id,
                    name: name.into(),
                    display_name: name.into(),
                    password_hash: "h".into(),
                    created_at: clock.now(),
                    disabled: false,
                    roles: record::Roles::FIRST,
                    one_time_until: None,
                    last_sign_in: None,
                })
                .unwrap();
        }
        let (now, here) = (clock.now(), "this computer".to_owned());
        app.drafts.save(person, &form, contents("Vesterholt"), (now, here.clone())).unwrap();
        let later = DraftContents { begun_on: "2025-03-05".parse().unwrap(), ..contents("Quist") };
        app.drafts.save(person, &form, later, (now, here)).unwrap();
        drop(app);
        let days_later = |days: i32| Clock::new(Some("2025-03-04".parse::<Day>().unwrap() + days));
        let app = App::open(dir.path(), days_later(30), Mode::default()).unwrap();
        let kept = app.drafts.contents(person, "/register").unwrap().unwrap();
        assert_eq!(kept, contents("Quist"), "the day on which it was begun stays");
        assert!(due(&app.drafts.of(person)[0], days_later(31).now()).is_some());
        assert_eq!(app.drafts.contents(other, "/register").unwrap(), None);
        drop(app);
        let app = App::open(dir.path(), days_later(92), Mode::default()).unwrap();
        assert_eq!(app.drafts.count(person), 0);
    }
}
