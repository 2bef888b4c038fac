//! What is known of the log at one moment: how far it goes, by which it is recognised, and the last line of its
//! witness.

use crate::{archive::Archive, chain::Hash, error::ArchiveError, schema, seal, verify::RecordsMark};
use record::{SiteId, Timestamp};
use rusqlite::Connection;
use std::fmt;
use uuid::Uuid;

/// The chain of one site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteChain {
    /// The site.
    pub site: SiteId,
    /// Its entries, erased ones included.
    pub entries: usize,
    /// The hash of the last one, hexadecimal.
    pub head: String,
}

/// The last line of the witness, as it is in the records: how many commits were sealed, and the first digits of the
/// code of the last one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WitnessHead {
    /// Sealed commits.
    pub number: u64,
    /// The first eight digits of the code, hexadecimal.
    pub digits: String,
}

impl fmt::Display for WitnessHead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} at line {}", self.digits, self.number)
    }
}

/// The state of the records at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordsState {
    /// By which the log is recognised.
    pub mark: RecordsMark,
    /// Children.
    pub children: usize,
    /// Every site with its chain, in the order of their ids.
    pub sites: Vec<SiteChain>,
    /// The head of the witness; `None` for records without one.
    pub witness: Option<WitnessHead>,
    /// When the latest of the last entries was written; `None` before the first.
    pub written: Option<Timestamp>,
    /// The layout of the file.
    pub layout: i64,
}

impl Archive {
    /// The present state.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn state(&self) -> Result<RecordsState, ArchiveError> {
        self.read(state)
    }

    /// The head of the witness as it is in the records; `None` for records without one.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn witness_head(&self) -> Result<Option<WitnessHead>, ArchiveError> {
        self.read(witness_head)
    }
}

pub(crate) fn state(conn: &Connection) -> Result<RecordsState, ArchiveError> {
    let children: i64 = conn.query_row("SELECT count(*) FROM children", [], |row| row.get(0))?;
    Ok(RecordsState {
        mark: crate::verify::mark(conn)?,
        children: usize::try_from(children).unwrap_or(0),
        sites: sites(conn)?,
        witness: witness_head(conn)?,
        written: seal::latest_after(conn, 0, i64::MAX)?.map(Timestamp::from_seconds),
        layout: schema::layout(conn)?,
    })
}

fn sites(conn: &Connection) -> Result<Vec<SiteChain>, ArchiveError> {
    let mut query = conn.prepare("SELECT id, length, head FROM sites WHERE length > 0 ORDER BY id")?;
    let sites = query.query_map([], |row| {
        Ok(SiteChain {
            site: SiteId::new(Uuid::from_bytes(row.get(0)?)),
            entries: usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0),
            head: hex(&row.get(2)?),
        })
    })?;
    Ok(sites.collect::<Result<_, _>>()?)
}

fn witness_head(conn: &Connection) -> Result<Option<WitnessHead>, ArchiveError> {
    Ok(seal::Seal::read(conn)?.map(|seal| WitnessHead {
        number: u64::try_from(seal.number).unwrap_or(0),
        digits: seal.mac.iter().take(4).map(|byte| format!("{byte:02x}")).collect(),
    }))
}

pub(crate) fn hex(hash: &Hash) -> String {
    blake3::Hash::from(*hash).to_hex().to_string()
}
