//! Erasure on legal request: one person asks for it, another carries it out. What was erased, by kind, with reason
//! and both people, remains.

use crate::{
    archive::Archive,
    erase::{Erasure, erase_body, write_erasure},
    error::ArchiveError,
    keys::Lists,
    media::NamedMedia,
    reader::{child_number, entry_from},
    summaries::summarise_child,
    upgrade,
};
use record::{ChildId, Entry, EntryId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A request to be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewErasureRequest {
    /// The child.
    pub child: ChildId,
    /// Single entries; `None` for the whole record.
    pub entries: Option<Vec<EntryId>>,
    /// Who asks for it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
    /// The legal basis, in words.
    pub basis: String,
}

/// What became of a request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ErasureDecision {
    /// Who decided.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Whether it was carried out; otherwise it was refused or taken back.
    pub done: bool,
    /// The remark of the person who decided; may be empty.
    pub remark: String,
    /// The entries erased, by the key of their kind.
    pub kinds: Vec<(String, usize)>,
}

/// A request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ErasureRequest {
    /// Its number.
    pub number: i64,
    /// What was asked for.
    pub request: NewErasureRequest,
    /// What became of it; `None` while it waits.
    pub decision: Option<ErasureDecision>,
}

/// The requests of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct ErasureRequests(Archive);

impl Archive {
    /// The requests to erase.
    #[must_use]
    pub fn erasure_requests(&self) -> ErasureRequests {
        ErasureRequests(self.clone())
    }
}

const REQUEST: &str =
    "SELECT number, child, entries, by, at, reason, basis, decided_by, decided_at, done, decision
     FROM erasure_requests";

impl ErasureRequests {
    /// Every request, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all(&self) -> Result<Vec<ErasureRequest>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{REQUEST} ORDER BY number DESC"))?;
            let requests: Vec<ErasureRequest> = query.query_map([], request)?.collect::<Result<_, _>>()?;
            requests.into_iter().map(|request| with_kinds(conn, request)).collect()
        })
    }

    /// One request; `None` where there is none with this number.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn one(&self, number: i64) -> Result<Option<ErasureRequest>, ArchiveError> {
        self.0.read(|conn| match stored(conn, number)? {
            Some(request) => with_kinds(conn, request).map(Some),
            None => Ok(None),
        })
    }

    /// Stores a request and returns its number.
    ///
    /// # Errors
    /// When the reason or the basis is empty, the child has no record, or the file cannot be written.
    pub fn add(&self, new: NewErasureRequest) -> Result<i64, ArchiveError> {
        if new.reason.trim().is_empty() || new.basis.trim().is_empty() {
            return Err(ArchiveError::NoReason);
        }
        self.0.writer()?.run(move |conn| {
            let entries = new.entries.map(|entries| {
                let ids: Vec<String> = entries.iter().map(ToString::to_string).collect();
                ids.join(",")
            });
            let sql = "INSERT INTO erasure_requests (child, entries, by, at, reason, basis)
                       VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
            conn.prepare_cached(sql)?.execute(params![
                new.child.uuid().as_bytes(),
                entries,
                new.by.uuid().as_bytes(),
                new.at.seconds(),
                new.reason.trim(),
                new.basis.trim()
            ])?;
            Ok(conn.last_insert_rowid())
        })
    }

    /// Closes a request without erasing anything.
    ///
    /// # Errors
    /// When there is no such request, it was decided before, or the file cannot be written.
    pub fn refuse(&self, number: i64, by: UserId, at: Timestamp, remark: String) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            waiting(conn, number)?;
            decide(conn, number, by, at, false, &remark)
        })
    }

    /// Erases what a request asks for, in one transaction: the bodies of the entries, the summary and every list
    /// and word by which the child is found, and drafts of forms about it; then
    /// the photographs and videos that no other entry names. `expected` is the number of entries that the person saw and confirmed.
    /// Then the file is written anew, so that nothing of it remains in unused parts. Returns whether the
    /// write-ahead log could be emptied too; otherwise it is at the next start.
    ///
    /// # Errors
    /// When there is no such request, it was decided before, the same person asked for it
    /// ([`ArchiveError::SamePerson`]), the record has other entries than were confirmed
    /// ([`ArchiveError::ChangedMeanwhile`]), or the file cannot be written. Nothing is then erased.
    /// [`ArchiveError::WordsRemain`] when it is erased and the disk fails after that.
    pub fn carry_out(
        &self,
        number: i64,
        by: UserId,
        at: Timestamp,
        expected: usize,
    ) -> Result<bool, ArchiveError> {
        let (archive, summarising) = (&self.0, self.0.summarising());
        let (child, media) = archive.writer()?.run(move |conn| {
            let NewErasureRequest { child, entries, by: first, reason, .. } = waiting(conn, number)?.request;
            if first == by {
                return Err(ArchiveError::SamePerson);
            }
            let of_child = child_number(conn, child)?.ok_or(ArchiveError::ChangedMeanwhile)?;
            let wanted = wanted(conn, of_child, entries.as_deref())?;
            if wanted.len() != expected {
                return Err(ArchiveError::ChangedMeanwhile);
            }
            let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
            let mut media = NamedMedia::default();
            for entry in wanted {
                *kinds.entry(entry.kind().wire().to_owned()).or_default() += 1;
                media.add(&entry.body);
                erase_body(conn, entry.id)?;
                write_erasure(conn, &Erasure { entry: entry.id, reason: reason.clone(), by, at })?;
            }
            summarise_child(conn, &mut Lists::default(), of_child, child, &summarising.now())?;
            // A draft of a form about the child has what would have been recorded.
            conn.prepare_cached("DELETE FROM form_drafts WHERE child = ?1")?
                .execute([child.uuid().as_bytes()])?;
            for (kind, count) in kinds {
                let count = i64::try_from(count).unwrap_or(i64::MAX);
                conn.prepare_cached("INSERT INTO erased_kinds VALUES (?1, ?2, ?3)")?
                    .execute(params![number, kind, count])?;
            }
            decide(conn, number, by, at, true, "")?;
            Ok((child, media))
        })?;
        // Nothing erased may stay in memory, or in a copy from before an upgrade.
        archive.cache().clear();
        upgrade::remove_copies(archive.dir(), None)?;
        archive.remove_erased_media(&media)?;
        archive.forget_sent_media(child)?;
        archive.forget_old_pages()
    }
}

/// The entries to be erased: those of a list, or all that are left of the child.
fn wanted(conn: &Connection, child: i64, listed: Option<&[EntryId]>) -> Result<Vec<Entry>, ArchiveError> {
    let sql =
        "SELECT id, wire, salt, content FROM entries WHERE child = ?1 AND wire IS NOT NULL ORDER BY place";
    let mut query = conn.prepare_cached(sql)?;
    let mut rows = query.query([child])?;
    let mut wanted = Vec::new();
    while let Some(row) = rows.next()? {
        let Some(entry) = entry_from(row, 0)? else { continue };
        if listed.is_none_or(|listed| listed.contains(&entry.id)) {
            wanted.push(entry);
        }
    }
    Ok(wanted)
}

fn stored(conn: &Connection, number: i64) -> Result<Option<ErasureRequest>, ArchiveError> {
    let mut query = conn.prepare_cached(&format!("{REQUEST} WHERE number = ?1"))?;
    Ok(query.query_row([number], request).optional()?)
}

/// The request, if nothing was decided yet.
fn waiting(conn: &Connection, number: i64) -> Result<ErasureRequest, ArchiveError> {
    let found = stored(conn, number)?.ok_or(ArchiveError::NoRequest(number))?;
    if found.decision.is_some() { Err(ArchiveError::Decided(number)) } else { Ok(found) }
}

fn decide(
    conn: &Connection,
    number: i64,
    by: UserId,
    at: Timestamp,
    done: bool,
    remark: &str,
) -> Result<(), ArchiveError> {
    let sql = "UPDATE erasure_requests SET decided_by = ?2, decided_at = ?3, done = ?4, decision = ?5
               WHERE number = ?1";
    let by = by.uuid();
    conn.prepare_cached(sql)?.execute(params![number, by.as_bytes(), at.seconds(), done, remark.trim()])?;
    Ok(())
}

fn with_kinds(conn: &Connection, mut request: ErasureRequest) -> Result<ErasureRequest, ArchiveError> {
    if let Some(decision) = &mut request.decision {
        let sql = "SELECT kind, count FROM erased_kinds WHERE request = ?1 ORDER BY kind";
        let mut query = conn.prepare_cached(sql)?;
        let kinds = query.query_map([request.number], |row| {
            Ok((row.get(0)?, usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0)))
        })?;
        decision.kinds = kinds.collect::<Result<_, _>>()?;
    }
    Ok(request)
}

fn request(row: &Row<'_>) -> rusqlite::Result<ErasureRequest> {
    let user = |bytes: [u8; 16]| UserId::new(Uuid::from_bytes(bytes));
    let entries: Option<String> = row.get(2)?;
    let decision = match (row.get::<_, Option<[u8; 16]>>(7)?, row.get::<_, Option<i64>>(8)?) {
        (Some(by), Some(at)) => Some(ErasureDecision {
            by: user(by),
            at: Timestamp::from_seconds(at),
            done: row.get::<_, Option<bool>>(9)?.unwrap_or(false),
            remark: row.get::<_, Option<String>>(10)?.unwrap_or_default(),
            kinds: Vec::new(),
        }),
        _ => None,
    };
    Ok(ErasureRequest {
        number: row.get(0)?,
        request: NewErasureRequest {
            child: ChildId::new(Uuid::from_bytes(row.get(1)?)),
            entries: entries.map(|ids| ids.split(',').filter_map(|id| id.parse().ok()).collect()),
            by: user(row.get(3)?),
            at: Timestamp::from_seconds(row.get(4)?),
            reason: row.get(5)?,
            basis: row.get(6)?,
        },
        decision,
    })
}
