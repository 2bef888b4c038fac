//! Makes records to be used again of a copy: cut at a moment if that is wanted, without what was erased since, and with
//! the decision to restore them, which the witness learns too, so that nobody is alarmed.
//!
//! All of it happens in a folder that nobody uses yet. [`admit_restored`] is the last step before that folder takes its
//! place.

use crate::{
    chain::{self, Hash},
    decisions::{self, RecordsDecision},
    erase::{Erasure, erase_body, read_erasures, write_erasure},
    error::ArchiveError,
    finding::Testimony,
    media::named_media,
    options::Options,
    pictures::Pictures,
    rebuild::{self, Summarising},
    schema,
    seal::{self},
    withheld::WithheldPictures,
    witness::{self, LineKind, WitnessLog, WitnessPlace},
};
use record::{ChildId, EntryId, Timestamp};
use rusqlite::{Connection, OptionalExtension, params};
use serde::Deserialize;
use std::{collections::HashSet, path::Path};
use uuid::Uuid;

/// How records are to be made of a copy.
#[derive(Debug, Clone)]
pub struct RestoreOrder {
    /// Entries behind the last one written at or before this moment are left out.
    pub until: Option<Timestamp>,
    /// Erasures that are known; what is among the entries is erased again.
    pub erasures: Vec<Erasure>,
    /// Children whose family took back the consent to photographs; their pictures are withheld.
    pub withheld: Vec<WithheldPictures>,
    /// Likewise children whose family took back the consent to videos.
    pub withheld_videos: Vec<WithheldPictures>,
    /// The decision, saved with the records.
    pub decision: RecordsDecision,
}

/// An entry that was left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOutEntry {
    /// Its id.
    pub id: EntryId,
    /// Whom it is about.
    pub child: ChildId,
    /// The key of its kind; `None` where it was erased.
    pub kind: Option<String>,
    /// When it was written; `None` where it was erased.
    pub at: Option<Timestamp>,
}

/// Records made of a copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestoredRecords {
    /// Entries, erased ones included.
    pub entries: usize,
    /// Entries of the copy that were left out because of the moment.
    pub left_out: Vec<LeftOutEntry>,
    /// Entries that the copy still had, and that were erased again.
    pub erased_again: usize,
}

#[derive(Deserialize)]
struct WrittenKind {
    at: Timestamp,
    kind: String,
}

/// Makes records of the copy in a folder. When this returns they are one file, flushed, without a seal. Everybody is
/// signed out in them; links and devices that wait for their codes are as they were.
///
/// # Errors
/// When the copy is damaged, newer or no records file, or the disk fails; the folder can then be deleted.
pub fn make_restored(
    dir: &Path,
    options: &Options,
    order: &RestoreOrder,
) -> Result<RestoredRecords, ArchiveError> {
    let file = options.file_in(dir);
    if !file.path.is_file() {
        return Err(ArchiveError::NoRecords(dir.into()));
    }
    let conn = schema::open_writer(&file)?;
    let change = conn.unchecked_transaction()?;
    let left_out = order.until.map_or(Ok(Vec::new()), |until| cut(&change, until))?;
    let erased_again = erase_again(&change, &order.erasures)?;
    change.execute_batch(
        "DELETE FROM sessions; DELETE FROM ended_sessions; DELETE FROM links; DELETE FROM seals;",
    )?;
    decisions::put(&change, &order.decision)?;
    change.commit()?;
    let summarising = Summarising::new(&options.summary_version, options.summarise.clone());
    if !left_out.is_empty() || erased_again > 0 || !summarising.is_stored(&conn)? {
        rebuild::rebuild(&conn, &summarising, options.on_rebuild.as_ref())?;
    }
    let pictures = Pictures::beside(dir, options.key.as_ref());
    pictures.remove_all_but(&named_media(&conn)?)?;
    pictures.withhold(&order.withheld)?;
    pictures.videos().withhold(&order.withheld_videos)?;
    // Nothing that was left out or erased remains in unused parts of the file.
    conn.execute_batch("VACUUM")?;
    conn.pragma_update(None, "journal_mode", "DELETE")?;
    let entries: i64 = conn.query_row("SELECT coalesce(sum(length), 0) FROM sites", [], |row| row.get(0))?;
    conn.close().map_err(|(_, error)| error)?;
    flush(&file.path)?;
    Ok(RestoredRecords { entries: usize::try_from(entries).unwrap_or(0), left_out, erased_again })
}

fn flush(path: &Path) -> Result<(), ArchiveError> {
    let flushed = std::fs::File::options().write(true).open(path).and_then(|file| file.sync_all());
    flushed.map_err(|error| crate::error::of_io(&error, path))
}

/// How many entries the witness of a place knows, by its last line; `None` where nothing is known.
///
/// # Errors
/// When the witness cannot be read, as where its disk is unplugged.
pub fn witnessed_entries(place: &WitnessPlace) -> Result<Option<usize>, ArchiveError> {
    let testimony = Testimony::read(place)?;
    refuse_away(&testimony)?;
    Ok(testimony.last().map(|last| usize::try_from(last.entries).unwrap_or(0)))
}

/// The last step before restored records take their place: where something is known of the witness that `options` name,
/// the records get a seal, and the witness a line that says that a person decided so. Where nothing is known the
/// first start begins a witness.
///
/// # Errors
/// When the records or the witness cannot be written.
pub fn admit_restored(dir: &Path, options: &Options) -> Result<(), ArchiveError> {
    let Some(place) = &options.witness else { return Ok(()) };
    let known = place.read_key()?.is_some();
    if !known && !place.log_file().exists() {
        return Ok(());
    }
    let key = place.key_or_new()?;
    let file = options.file_in(dir);
    let conn = schema::open_writer(&file)?;
    let testimony = Testimony::read(place)?;
    refuse_away(&testimony)?;
    let compared = testimony.compare(&conn, place)?;
    let number = compared.lines.iter().map(|line| line.seal.number).max().unwrap_or(0) + 1;
    let change = conn.unchecked_transaction()?;
    let new = seal::seal(&change, &key, number, None)?;
    change.commit()?;
    conn.pragma_update(None, "journal_mode", "DELETE")?;
    conn.close().map_err(|(_, error)| error)?;
    flush(&file.path)?;
    witness::begin_log(place)?;
    if compared.log_is_changed || !known {
        witness::put_aside(place, number)?;
    }
    let mut log = WitnessLog::new(place, key);
    log.add(LineKind::Accepted, &new).map_err(|error| {
        ArchiveError::Witness(format!("the witness cannot be written: {}", log.warning(&error)))
    })
}

/// Restored records of which the witness does not learn would be taken for an older copy later.
fn refuse_away(testimony: &Testimony) -> Result<(), ArchiveError> {
    match testimony.away() {
        None => Ok(()),
        Some(why) => Err(ArchiveError::Witness(format!(
            "the witness of that folder cannot be read ({why}): connect its disk, so that it learns of the restored records"
        ))),
    }
}

/// Cuts the log behind the last entry written at or before a moment. Accounts, roles, devices and settings stay as they
/// are in the copy.
fn cut(conn: &Connection, until: Timestamp) -> Result<Vec<LeftOutEntry>, ArchiveError> {
    let last = last_place(conn, until)?;
    let left_out = behind(conn, last)?;
    if left_out.is_empty() {
        return Ok(left_out);
    }
    let erased: HashSet<EntryId> = left_out.iter().map(|entry| entry.id).collect();
    conn.execute("DELETE FROM entries WHERE place > ?1", [last])?;
    conn.execute_batch(
        "DELETE FROM children WHERE number NOT IN (SELECT child FROM entries);
         DELETE FROM practice_photographs WHERE child NOT IN (SELECT id FROM children);
         DELETE FROM form_drafts;",
    )?;
    shorten_chains(conn)?;
    shorten_imports(conn, last)?;
    link_erasures_anew(conn, &erased)?;
    Ok(left_out)
}

fn last_place(conn: &Connection, until: Timestamp) -> Result<i64, ArchiveError> {
    let mut query =
        conn.prepare("SELECT place, wire FROM entries WHERE wire IS NOT NULL ORDER BY place DESC")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        if written(row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?)?.at <= until {
            return Ok(row.get(0)?);
        }
    }
    Ok(0)
}

fn written(wire: &str) -> Result<WrittenKind, ArchiveError> {
    serde_json::from_str(wire)
        .map_err(|error| ArchiveError::Damaged(format!("an entry cannot be read: {error}")))
}

fn behind(conn: &Connection, place: i64) -> Result<Vec<LeftOutEntry>, ArchiveError> {
    let sql = "SELECT e.id, c.id, e.wire FROM entries e JOIN children c ON c.number = e.child
               WHERE e.place > ?1 ORDER BY e.place";
    let mut query = conn.prepare(sql)?;
    let mut rows = query.query([place])?;
    let mut behind = Vec::new();
    while let Some(row) = rows.next()? {
        let wire: Option<String> = row.get(2)?;
        let written = wire.as_deref().map(written).transpose()?;
        behind.push(LeftOutEntry {
            id: EntryId::new(Uuid::from_bytes(row.get(0)?)),
            child: ChildId::new(Uuid::from_bytes(row.get(1)?)),
            at: written.as_ref().map(|written| written.at),
            kind: written.map(|written| written.kind),
        });
    }
    Ok(behind)
}

/// Every chain ends with the last entry that is left of it.
fn shorten_chains(conn: &Connection) -> Result<(), ArchiveError> {
    let mut query = conn.prepare("SELECT number, id FROM sites")?;
    let sites = query.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, [u8; 16]>(1)?)))?;
    for (number, id) in sites.collect::<Result<Vec<_>, _>>()? {
        let last: Option<(i64, Hash)> = conn
            .query_row(
                "SELECT sequence, hash FROM entries WHERE site = ?1 ORDER BY place DESC LIMIT 1",
                [number],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let beginning = || (0, chain::beginning(record::SiteId::new(Uuid::from_bytes(id))));
        let (length, head) = last.unwrap_or_else(beginning);
        conn.execute(
            "UPDATE sites SET length = ?2, head = ?3 WHERE number = ?1",
            params![number, length, head],
        )?;
    }
    Ok(())
}

fn shorten_imports(conn: &Connection, last: i64) -> Result<(), ArchiveError> {
    conn.execute(
        "DELETE FROM undone_imports WHERE import IN (SELECT id FROM imports WHERE first_place > ?1)",
        [last],
    )?;
    conn.execute("DELETE FROM imports WHERE first_place > ?1", [last])?;
    conn.execute("UPDATE imports SET last_place = ?1 WHERE last_place > ?1", [last])?;
    Ok(())
}

/// Erasures of entries that are gone go too; the others are linked anew, because each link covers the one before.
fn link_erasures_anew(conn: &Connection, gone: &HashSet<EntryId>) -> Result<(), ArchiveError> {
    let erasures = read_erasures(conn)?;
    if !erasures.iter().any(|erasure| gone.contains(&erasure.entry)) {
        return Ok(());
    }
    conn.execute("DELETE FROM erasures", [])?;
    erasures
        .iter()
        .filter(|erasure| !gone.contains(&erasure.entry))
        .try_for_each(|one| write_erasure(conn, one))
}

fn erase_again(conn: &Connection, erasures: &[Erasure]) -> Result<usize, ArchiveError> {
    let mut again = 0;
    for erasure in erasures {
        match erase_body(conn, erasure.entry) {
            Ok(_) => {
                write_erasure(conn, erasure)?;
                again += 1;
            }
            // Saved after the copy, or erased before it.
            Err(ArchiveError::NoEntry(_) | ArchiveError::AlreadyErased(_)) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(again)
}
