//! PINs of people on devices: hashes, and how often in a row one was typed wrong.

use crate::{
    accounts::{TokenHash, user},
    archive::Archive,
    error::ArchiveError,
};
use record::{Timestamp, UserId};
use rusqlite::{OptionalExtension, params};

/// What a try of a PIN may compare with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PinTry {
    /// The person has no PIN on the device.
    None,
    /// It was typed wrong too often in a row: only the password helps.
    Off,
    /// The hash, and how many tries are left after this one.
    Compare {
        /// The hash of the PIN.
        pin_hash: String,
        /// The tries that are left if this one is wrong.
        left: u32,
    },
}

/// The PINs of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct Pins(Archive);

impl Archive {
    /// The PINs of people on devices.
    #[must_use]
    pub fn pins(&self) -> Pins {
        Pins(self.clone())
    }
}

impl Pins {
    /// Sets the PIN of a person on a device.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn set(
        &self,
        id: UserId,
        place: TokenHash,
        pin_hash: String,
        now: Timestamp,
    ) -> Result<(), ArchiveError> {
        self.0.accounts().change(move |conn| {
            let sql = "INSERT OR REPLACE INTO pins VALUES (?1, ?2, ?3, ?4, 0)";
            let id = id.uuid();
            conn.prepare_cached(sql)?.execute(params![id.as_bytes(), place, pin_hash, now.seconds()])?;
            Ok(())
        })
    }

    /// Removes the PIN of a person on a device.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remove(&self, id: UserId, place: TokenHash) -> Result<(), ArchiveError> {
        self.0.accounts().change(move |conn| {
            let sql = "DELETE FROM pins WHERE account = ?1 AND place = ?2";
            conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), place])?;
            Ok(())
        })
    }

    /// How often in a row the PIN of a person on a device was typed wrong; `None` where there is no PIN.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn wrong(&self, id: UserId, place: &TokenHash) -> Result<Option<u32>, ArchiveError> {
        self.0.read(|conn| {
            let sql = "SELECT wrong FROM pins WHERE account = ?1 AND place = ?2";
            let mut query = conn.prepare_cached(sql)?;
            Ok(query.query_row(params![id.uuid().as_bytes(), place], |row| row.get(0)).optional()?)
        })
    }

    /// The people who have a PIN on a device.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn people_at(&self, place: &TokenHash) -> Result<Vec<UserId>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached("SELECT account FROM pins WHERE place = ?1")?;
            let people = query.query_map([place], |row| row.get::<_, [u8; 16]>(0))?;
            Ok(people.map(|bytes| bytes.map(user)).collect::<Result<_, _>>()?)
        })
    }

    /// Begins a try: it counts as wrong until [`Pins::was_right`], so that many tries at once are counted too. After
    /// `most` wrong ones in a row there is nothing to compare with any more.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn begin_try(&self, id: UserId, place: TokenHash, most: u32) -> Result<PinTry, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let id = id.uuid();
            let sql = "SELECT pin_hash, wrong FROM pins WHERE account = ?1 AND place = ?2";
            let found: Option<(String, u32)> = conn
                .prepare_cached(sql)?
                .query_row(params![id.as_bytes(), place], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            let Some((pin_hash, wrong)) = found else { return Ok(PinTry::None) };
            if wrong >= most {
                return Ok(PinTry::Off);
            }
            let sql = "UPDATE pins SET wrong = wrong + 1 WHERE account = ?1 AND place = ?2";
            conn.prepare_cached(sql)?.execute(params![id.as_bytes(), place])?;
            Ok(PinTry::Compare { pin_hash, left: most - wrong - 1 })
        })
    }

    /// Wrong tries are forgotten: the PIN was right, or the password was given.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn was_right(&self, id: UserId, place: TokenHash) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "UPDATE pins SET wrong = 0 WHERE account = ?1 AND place = ?2 AND wrong > 0";
            conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), place])?;
            Ok(())
        })
    }
}
