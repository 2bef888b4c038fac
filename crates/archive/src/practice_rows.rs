//! Answers of people who learn to score: plain rows, only added.

use crate::{accounts::user, archive::Archive, error::ArchiveError};
use record::{ChildId, Day, EntryId, HalfPoint, Halves, Sign, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use uuid::Uuid;

/// An answer of a person about one sign of one drawn foot, as it is stored. The drawing itself is not: it follows from
/// seed and version.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PracticeRow {
    /// The id of the form that sent it.
    pub form: Uuid,
    /// Who answered.
    pub person: UserId,
    /// On which day.
    pub on: Day,
    /// Which sign was asked.
    pub sign: Sign,
    /// The seed of the drawn foot, below 2^63.
    pub seed: u64,
    /// The version of the drawings.
    pub drawing: u16,
    /// The level that was given.
    pub given: HalfPoint,
    /// The level that was right.
    pub reference: HalfPoint,
}

/// An answer of a person about one sign of a foot on a photograph, as it is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhotographPracticeRow {
    /// Who answered.
    pub person: UserId,
    /// On which day.
    pub on: Day,
    /// The child on the photograph.
    pub child: ChildId,
    /// The entry of the photograph.
    pub photograph: EntryId,
    /// Which sign was asked.
    pub sign: Sign,
    /// The level that was given.
    pub given: HalfPoint,
    /// The level that two people had given at the visit.
    pub reference: HalfPoint,
}

/// What came of an answer, with its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PracticeSaved {
    /// It is on disk.
    Saved(i64),
    /// The person had answered this case before, with the form of this id. Nothing was added: the first answer counts.
    Before(i64, Uuid),
}

/// The answers of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct PracticeRows(Archive);

impl Archive {
    /// The answers of people who learn to score.
    #[must_use]
    pub fn practice(&self) -> PracticeRows {
        PracticeRows(self.clone())
    }
}

const COLUMNS: &str = "number, form, account, day, sign, seed, drawing, given, reference";

impl PracticeRows {
    /// The answers of a person with their numbers, in the order in which they were saved.
    ///
    /// # Errors
    /// When the file cannot be read, or a row is not one of this program.
    pub fn of(&self, person: UserId) -> Result<Vec<(i64, PracticeRow)>, ArchiveError> {
        self.0.read(|conn| {
            let sql = format!("SELECT {COLUMNS} FROM practice_answers WHERE account = ?1 ORDER BY number");
            let mut query = conn.prepare_cached(&sql)?;
            let mut rows = query.query([person.uuid().as_bytes()])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(numbered(row)?);
            }
            Ok(found)
        })
    }

    /// Saves an answer. When this returns it is on disk.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such person; when the file cannot be written.
    pub fn add(&self, new: PracticeRow) -> Result<PracticeSaved, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            if let Some((number, form)) = before(conn, &new)? {
                return Ok(PracticeSaved::Before(number, form));
            }
            let known = "SELECT 1 FROM accounts WHERE id = ?1";
            if !conn.prepare_cached(known)?.exists([new.person.uuid().as_bytes()])? {
                return Err(ArchiveError::NoAccount);
            }
            insert(conn, &new)?;
            Ok(PracticeSaved::Saved(conn.last_insert_rowid()))
        })
    }

    /// The answers of a person about photographs, in the order in which they were saved.
    ///
    /// # Errors
    /// When the file cannot be read, or a row is not one of this program.
    pub fn on_photographs(&self, person: UserId) -> Result<Vec<PhotographPracticeRow>, ArchiveError> {
        self.0.read(|conn| {
            let sql = "SELECT account, day, child, photograph, sign, given, reference
                       FROM practice_photographs WHERE account = ?1 ORDER BY number";
            let mut query = conn.prepare_cached(sql)?;
            let mut rows = query.query([person.uuid().as_bytes()])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                found.push(of_photograph(row)?);
            }
            Ok(found)
        })
    }

    /// Saves an answer about a photograph, unless the person has answered about that child and sign before. When this
    /// returns it is on disk.
    ///
    /// # Errors
    /// When there is no such person, or the file cannot be written.
    pub fn add_on_photograph(&self, new: PhotographPracticeRow) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let before = "SELECT 1 FROM practice_photographs WHERE account = ?1 AND child = ?2 AND sign = ?3";
            let (person, child) = (new.person.uuid(), new.child.uuid());
            let mut before = conn.prepare_cached(before)?;
            if before.exists(params![person.as_bytes(), child.as_bytes(), new.sign.key()])? {
                return Ok(());
            }
            let sql = "INSERT INTO practice_photographs
                       (account, day, child, photograph, sign, given, reference)
                       VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)";
            conn.prepare_cached(sql)?.execute(params![
                person.as_bytes(),
                new.on.number(),
                child.as_bytes(),
                new.photograph.uuid().as_bytes(),
                new.sign.key(),
                new.given.halves().0,
                new.reference.halves().0
            ])?;
            Ok(())
        })
    }
}

/// The number and the form of the person's earlier answer to the same case.
fn before(conn: &Connection, new: &PracticeRow) -> Result<Option<(i64, Uuid)>, ArchiveError> {
    let sql = "SELECT number, form FROM practice_answers
               WHERE account = ?1 AND sign = ?2 AND seed = ?3 AND drawing = ?4";
    let mut query = conn.prepare_cached(sql)?;
    let of = |row: &Row<'_>| Ok((row.get(0)?, Uuid::from_bytes(row.get(1)?)));
    let seed = seed(new)?;
    Ok(query
        .query_row(params![new.person.uuid().as_bytes(), new.sign.key(), seed, new.drawing], of)
        .optional()?)
}

fn insert(conn: &Connection, new: &PracticeRow) -> Result<(), ArchiveError> {
    let sql = "INSERT INTO practice_answers (form, account, day, sign, seed, drawing, given, reference)
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
    conn.prepare_cached(sql)?.execute(params![
        new.form.as_bytes(),
        new.person.uuid().as_bytes(),
        new.on.number(),
        new.sign.key(),
        seed(new)?,
        new.drawing,
        new.given.halves().0,
        new.reference.halves().0
    ])?;
    Ok(())
}

/// The seed as the file holds it.
fn seed(row: &PracticeRow) -> Result<i64, ArchiveError> {
    i64::try_from(row.seed)
        .map_err(|_| ArchiveError::Database("the seed of a drawn foot is too large".into()))
}

fn numbered(row: &Row<'_>) -> Result<(i64, PracticeRow), ArchiveError> {
    let answer = PracticeRow {
        form: Uuid::from_bytes(row.get(1)?),
        person: user(row.get(2)?),
        on: Day::from_number(row.get(3)?),
        sign: sign(&row.get::<_, String>(4)?)?,
        seed: u64::try_from(row.get::<_, i64>(5)?).map_err(|_| foreign())?,
        drawing: row.get(6)?,
        given: level(row.get(7)?)?,
        reference: level(row.get(8)?)?,
    };
    Ok((row.get(0)?, answer))
}

fn foreign() -> ArchiveError {
    ArchiveError::Damaged("an answer of practice is not one of this program".into())
}

fn sign(key: &str) -> Result<Sign, ArchiveError> {
    Sign::from_key(key).ok_or_else(foreign)
}

fn level(halves: u8) -> Result<HalfPoint, ArchiveError> {
    HalfPoint::from_halves(Halves(halves)).ok_or_else(foreign)
}

fn of_photograph(row: &Row<'_>) -> Result<PhotographPracticeRow, ArchiveError> {
    Ok(PhotographPracticeRow {
        person: user(row.get(0)?),
        on: Day::from_number(row.get(1)?),
        child: ChildId::new(Uuid::from_bytes(row.get(2)?)),
        photograph: EntryId::new(Uuid::from_bytes(row.get(3)?)),
        sign: sign(&row.get::<_, String>(4)?)?,
        given: level(row.get(5)?)?,
        reference: level(row.get(6)?)?,
    })
}
