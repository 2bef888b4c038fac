//! Devices on the clinic's network: plain rows. Codes and tokens arrive hashed.

use crate::{accounts::TokenHash, archive::Archive, error::ArchiveError};
use record::{DeviceId, Timestamp, UserId};
use rusqlite::{OptionalExtension, Row, params};
use uuid::Uuid;

/// A device before it is enrolled: it waits for its one-time code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewDevice {
    /// Its id.
    pub id: DeviceId,
    /// The name by which the clinic knows it.
    pub name: String,
    /// Who made the code.
    pub made_by: UserId,
    /// When the code was made.
    pub made_at: Timestamp,
    /// The hash of the code.
    pub code_hash: TokenHash,
    /// When the code expires.
    pub code_expires: Timestamp,
}

/// A device that is enrolled, or was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Its id.
    pub id: DeviceId,
    /// The name by which the clinic knows it.
    pub name: String,
    /// Who made its code.
    pub made_by: UserId,
    /// When the code was made.
    pub made_at: Timestamp,
    /// When the code expires, or would have expired.
    pub code_expires: Timestamp,
    /// When it was enrolled; `None` while its code was not used.
    pub enrolled_at: Option<Timestamp>,
    /// When it was last used, as last recorded.
    pub last_used: Option<Timestamp>,
    /// Who removed it and when; a removed device is not admitted.
    pub removed: Option<(UserId, Timestamp)>,
}

const DEVICE: &str = "SELECT id, name, made_by, made_at, code_expires, enrolled_at, last_used, removed_by, removed_at FROM devices";

fn device(row: &Row<'_>) -> rusqlite::Result<Device> {
    let instant = |column| row.get::<_, Option<i64>>(column).map(|at| at.map(Timestamp::from_seconds));
    let person = |bytes: [u8; 16]| UserId::new(Uuid::from_bytes(bytes));
    Ok(Device {
        id: DeviceId::new(Uuid::from_bytes(row.get(0)?)),
        name: row.get(1)?,
        made_by: person(row.get(2)?),
        made_at: Timestamp::from_seconds(row.get(3)?),
        code_expires: Timestamp::from_seconds(row.get(4)?),
        enrolled_at: instant(5)?,
        last_used: instant(6)?,
        removed: row.get::<_, Option<[u8; 16]>>(7)?.map(person).zip(instant(8)?),
    })
}

/// The devices of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct Devices(Archive);

impl Archive {
    /// The devices on the clinic's network.
    #[must_use]
    pub fn devices(&self) -> Devices {
        Devices(self.clone())
    }
}

impl Devices {
    /// Every device, the latest first, removed ones too; without those whose code expired before `now` unused.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all(&self, now: Timestamp) -> Result<Vec<Device>, ArchiveError> {
        self.0.read(|conn| {
            let sql = format!(
                "{DEVICE} WHERE enrolled_at IS NOT NULL OR (removed_at IS NULL AND code_expires > ?1)
                 ORDER BY made_at DESC, id DESC"
            );
            let mut query = conn.prepare_cached(&sql)?;
            Ok(query.query_map([now.seconds()], device)?.collect::<Result<_, _>>()?)
        })
    }

    /// Stores a device that waits for its code. Devices whose code expired unused are deleted.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn expect_device(&self, new: NewDevice) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let unused = "DELETE FROM devices WHERE enrolled_at IS NULL AND code_expires <= ?1";
            conn.prepare_cached(unused)?.execute([new.made_at.seconds()])?;
            let sql = "INSERT INTO devices (id, name, made_by, made_at, code_hash, code_expires) VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
            conn.prepare_cached(sql)?.execute(params![
                new.id.uuid().as_bytes(),
                new.name,
                new.made_by.uuid().as_bytes(),
                new.made_at.seconds(),
                new.code_hash,
                new.code_expires.seconds()
            ])?;
            Ok(())
        })
    }

    /// Enrols the device that waits for a code, under a token. `None` when the code is unknown, expired or used
    /// already: of two requests at once only one gets it.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn enrol(
        &self,
        code_hash: TokenHash,
        token_hash: TokenHash,
        now: Timestamp,
    ) -> Result<Option<Device>, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "UPDATE devices SET code_hash = NULL, token_hash = ?2, enrolled_at = ?3, last_used = ?3
                       WHERE code_hash = ?1 AND code_expires > ?3 AND removed_at IS NULL";
            let changed = conn.prepare_cached(sql)?.execute(params![code_hash, token_hash, now.seconds()])?;
            if changed == 0 {
                return Ok(None);
            }
            let mut query = conn.prepare_cached(&format!("{DEVICE} WHERE token_hash = ?1"))?;
            Ok(query.query_row([token_hash], device).optional()?)
        })
    }

    /// The device of a token, unless it was removed.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn device(&self, token_hash: &TokenHash) -> Result<Option<Device>, ArchiveError> {
        self.0.read(|conn| {
            let sql = format!("{DEVICE} WHERE token_hash = ?1 AND removed_at IS NULL");
            Ok(conn.prepare_cached(&sql)?.query_row([token_hash], device).optional()?)
        })
    }

    /// Records the last use of a device. This writes to disk, so it is not for every page.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn touch(&self, id: DeviceId, now: Timestamp) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql =
                "UPDATE devices SET last_used = max(last_used, ?2) WHERE id = ?1 AND removed_at IS NULL";
            conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), now.seconds()])?;
            Ok(())
        })
    }

    /// Removes a device: its token and its code are forgotten. Returns whether there was one to remove.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remove(&self, id: DeviceId, by: UserId, now: Timestamp) -> Result<bool, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql =
                "UPDATE devices SET code_hash = NULL, token_hash = NULL, removed_by = ?2, removed_at = ?3
                       WHERE id = ?1 AND removed_at IS NULL";
            let (id, by) = (id.uuid(), by.uuid());
            let changed =
                conn.prepare_cached(sql)?.execute(params![id.as_bytes(), by.as_bytes(), now.seconds()])?;
            Ok(changed == 1)
        })
    }
}
