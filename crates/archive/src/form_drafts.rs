//! Forms that were filled in and not saved: rows whose contents arrive sealed.

use crate::{accounts::user, archive::Archive, error::ArchiveError};
use record::{ChildId, Timestamp, UserId};
use rusqlite::{OptionalExtension, Row, params};
use uuid::Uuid;

/// A form that was filled in and not saved, without its contents.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormDraftRow {
    /// Who filled it in.
    pub person: UserId,
    /// Which form it is: its address within the program.
    pub form: String,
    /// The child that it is about, if it is about one.
    pub child: Option<ChildId>,
    /// When it was last saved as a draft.
    pub saved_at: Timestamp,
    /// The device, in words; empty where it is not known.
    pub device: String,
}

/// The drafts of forms of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct FormDraftRows(Archive);

impl Archive {
    /// The drafts of forms.
    #[must_use]
    pub fn form_drafts(&self) -> FormDraftRows {
        FormDraftRows(self.clone())
    }
}

fn draft(row: &Row<'_>) -> rusqlite::Result<FormDraftRow> {
    let child: Option<[u8; 16]> = row.get(2)?;
    Ok(FormDraftRow {
        person: user(row.get(0)?),
        form: row.get(1)?,
        child: child.map(|bytes| ChildId::new(Uuid::from_bytes(bytes))),
        saved_at: Timestamp::from_seconds(row.get(3)?),
        device: row.get(4)?,
    })
}

impl FormDraftRows {
    /// Every draft, without its contents.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all(&self) -> Result<Vec<FormDraftRow>, ArchiveError> {
        self.0.read(|conn| {
            let sql = "SELECT account, form, child, saved_at, device FROM form_drafts";
            let mut query = conn.prepare_cached(sql)?;
            Ok(query.query_map([], draft)?.collect::<Result<_, _>>()?)
        })
    }

    /// The sealed contents of a draft.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sealed(&self, person: UserId, form: &str) -> Result<Option<Vec<u8>>, ArchiveError> {
        self.0.read(|conn| {
            let sql = "SELECT sealed FROM form_drafts WHERE account = ?1 AND form = ?2";
            let mut query = conn.prepare_cached(sql)?;
            Ok(query.query_row(params![person.uuid().as_bytes(), form], |row| row.get(0)).optional()?)
        })
    }

    /// Saves a draft in place of an earlier one of the same form by the same person.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn save(&self, row: FormDraftRow, sealed: Vec<u8>) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let child = row.child.map(|child| *child.uuid().as_bytes());
            let (person, saved_at) = (row.person.uuid(), row.saved_at.seconds());
            conn.prepare_cached("INSERT OR REPLACE INTO form_drafts VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?
                .execute(params![person.as_bytes(), row.form, child, saved_at, row.device, sealed])?;
            Ok(())
        })
    }

    /// Deletes a draft. Returns whether there was one.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn delete(&self, person: UserId, form: &str) -> Result<bool, ArchiveError> {
        let form = form.to_owned();
        self.0.writer()?.run(move |conn| {
            let sql = "DELETE FROM form_drafts WHERE account = ?1 AND form = ?2";
            Ok(conn.prepare_cached(sql)?.execute(params![person.uuid().as_bytes(), form])? == 1)
        })
    }

    /// Deletes drafts that were last saved before `then`. Returns how many.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn delete_before(&self, then: Timestamp) -> Result<usize, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            Ok(conn.execute("DELETE FROM form_drafts WHERE saved_at < ?1", [then.seconds()])?)
        })
    }
}
