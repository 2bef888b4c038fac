//! Compares a copy of the records with the records themselves, up to the moment of the copy: every entry, the heads
//! of the chains, the seal, and every summary, computed anew on both sides.

use crate::{
    archive::Archive,
    chain::Hash,
    error::ArchiveError,
    finding,
    options::Options,
    reader, schema,
    seal::Seal,
    summaries::compute,
    summary::Summarise,
    witness::{FoundLog, WitnessPlace, read_log},
};
use rayon::prelude::*;
use record::{ChildId, Entry, EntryId};
use rusqlite::{Connection, Row};
use serde::Deserialize;
use std::{
    collections::{BTreeMap, HashMap, HashSet},
    path::Path,
};
use uuid::Uuid;

const CHILDREN_AT_A_TIME: usize = 512;

/// In what a copy differs from the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CopyDifference {
    /// An entry of the records is not in the copy, or not in its place.
    MissingEntry,
    /// An entry of the copy is not in the records.
    UnknownEntry,
    /// An entry has other contents than in the records.
    ChangedEntry,
    /// Kinds of entries are there in other numbers.
    KindCount,
    /// A chain ends with another entry than in the records at that length.
    ChainHead,
    /// What the copy holds besides the entries is not what was sealed, or its seal is not one of these records.
    Seal,
    /// A child's summary, computed from the copy, is not the one computed from the records.
    Summary,
}

impl CopyDifference {
    /// In words, as after a number.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MissingEntry => "entries of the records that are not in the copy",
            Self::UnknownEntry => "entries of the copy that are not in the records",
            Self::ChangedEntry => "entries with other contents than in the records",
            Self::KindCount => "kinds of entries in other numbers than in the records",
            Self::ChainHead => "chains that end with another entry than in the records",
            Self::Seal => "seals that do not fit",
            Self::Summary => "children whose summary is another than from the records",
        }
    }
}

/// What comparing a copy with the records gave.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CopyReport {
    /// Entries of the copy, erased ones included.
    pub entries: usize,
    /// Entries that were saved since.
    pub saved_since: usize,
    /// Entries that the copy still has and that were erased since.
    pub erased_since: usize,
    /// Entries of the copy by kind, without those erased since.
    pub kinds: BTreeMap<String, usize>,
    /// Children whose summaries were compared.
    pub summaries: usize,
    /// Whether there was a seal and a key to judge it by.
    pub seal_judged: bool,
    /// How many differences of each sort there are, with the first in words.
    pub differences: BTreeMap<CopyDifference, (usize, String)>,
}

impl CopyReport {
    /// Whether the copy equals the records up to its moment.
    #[must_use]
    pub fn is_equal(&self) -> bool {
        self.differences.is_empty()
    }

    fn differs(&mut self, what: CopyDifference, first: impl FnOnce() -> String) {
        self.differences.entry(what).or_insert_with(|| (0, first())).0 += 1;
    }
}

/// One row of a log.
struct LogRow {
    place: i64,
    id: [u8; 16],
    site: [u8; 16],
    sequence: i64,
    wire: Option<String>,
    hash: Hash,
}

const ROWS: &str = "SELECT e.place, e.id, s.id, e.sequence, e.wire, e.hash
                    FROM entries e JOIN sites s ON s.number = e.site ORDER BY e.place";

impl LogRow {
    fn of(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            place: row.get(0)?,
            id: row.get(1)?,
            site: row.get(2)?,
            sequence: row.get(3)?,
            wire: row.get(4)?,
            hash: row.get(5)?,
        })
    }

    fn name(&self) -> String {
        format!("entry {} of the log, {}", self.place, Uuid::from_bytes(self.id))
    }

    fn kind(&self) -> Option<String> {
        #[derive(Deserialize)]
        struct Kind {
            kind: String,
        }
        self.wire.as_deref().and_then(|wire| serde_json::from_str::<Kind>(wire).ok()).map(|kind| kind.kind)
    }
}

impl Archive {
    /// Opens a copy of records for reading, in a folder in which nobody else opens it. A copy that an earlier version
    /// of the program made is brought up to date first. Its seal is not compared with a witness here.
    ///
    /// # Errors
    /// When there is no copy, it is damaged, newer or no records file.
    pub fn open_copy(dir: &Path, options: Options) -> Result<Self, ArchiveError> {
        let file = options.file_in(dir);
        if !file.path.is_file() {
            return Err(ArchiveError::NoRecords(dir.into()));
        }
        drop(schema::open_writer(&file)?);
        Self::open_for_reading(dir, Options { witness: None, ..options })
    }

    /// Compares a copy with these records, which may be written meanwhile.
    ///
    /// # Errors
    /// When one of them cannot be read; what differs is in the report.
    pub fn compare_copy(&self, copy: &Self) -> Result<CopyReport, ArchiveError> {
        let summarise = self.summarising().now();
        self.read(|live| {
            copy.read(|copy| {
                let mut report = CopyReport::default();
                let (last, erased) = compare_logs(live, copy, &mut report)?;
                if let Some(place) = self.witness_place() {
                    compare_seal(copy, place, &mut report)?;
                }
                compare_summaries((live, copy), last, &erased, &summarise, &mut report)?;
                Ok(report)
            })
        })
    }
}

/// Compares row by row. Returns the last place of the copy and the entries that were erased since.
fn compare_logs(
    live: &Connection,
    copy: &Connection,
    report: &mut CopyReport,
) -> Result<(i64, HashSet<EntryId>), ArchiveError> {
    let (mut of_live, mut of_copy) = (live.prepare(ROWS)?, copy.prepare(ROWS)?);
    let (mut live_rows, mut copy_rows) = (of_live.query([])?, of_copy.query([])?);
    let mut next_live = || live_rows.next()?.map(LogRow::of).transpose();
    let mut logs = LogPair::default();
    let mut before = next_live()?;
    let mut last = 0;
    while let Some(row) = copy_rows.next()? {
        let row = LogRow::of(row)?;
        last = row.place;
        report.entries += 1;
        while let Some(missing) = before.take_if(|live| live.place < row.place) {
            report.differs(CopyDifference::MissingEntry, || missing.name());
            logs.passed(&missing, None);
            before = next_live()?;
        }
        match before.take_if(|live| live.place == row.place) {
            Some(same) => {
                logs.compare(&same, &row, report);
                before = next_live()?;
            }
            None => report.differs(CopyDifference::UnknownEntry, || row.name()),
        }
    }
    while before.is_some() {
        report.saved_since += 1;
        before = next_live()?;
    }
    logs.finish(copy, report)?;
    Ok((last, logs.erased))
}

/// What two logs have in common so far.
#[derive(Default)]
struct LogPair {
    /// The chains of the records at the place reached.
    heads: HashMap<[u8; 16], (i64, Hash)>,
    kinds: BTreeMap<String, usize>,
    erased: HashSet<EntryId>,
}

impl LogPair {
    fn passed(&mut self, live: &LogRow, kind: Option<String>) {
        self.heads.insert(live.site, (live.sequence, live.hash));
        if let Some(kind) = kind.or_else(|| live.kind()) {
            *self.kinds.entry(kind).or_default() += 1;
        }
    }

    fn compare(&mut self, live: &LogRow, copy: &LogRow, report: &mut CopyReport) {
        let kind = live.kind();
        self.passed(live, kind.clone());
        if live.id != copy.id || live.hash != copy.hash {
            report.differs(CopyDifference::UnknownEntry, || copy.name());
            return;
        }
        match (&live.wire, &copy.wire) {
            (None, Some(_)) => {
                report.erased_since += 1;
                self.erased.insert(EntryId::new(Uuid::from_bytes(copy.id)));
                return;
            }
            (live, copy) if live == copy => {}
            _ => report.differs(CopyDifference::ChangedEntry, || copy.name()),
        }
        if let Some(kind) = copy.kind() {
            *report.kinds.entry(kind).or_default() += 1;
        }
    }

    fn finish(&mut self, copy: &Connection, report: &mut CopyReport) -> Result<(), ArchiveError> {
        let kinds: HashSet<&String> = self.kinds.keys().chain(report.kinds.keys()).collect();
        let differing: Vec<String> = kinds
            .into_iter()
            .filter(|kind| self.kinds.get(*kind) != report.kinds.get(*kind))
            .map(|kind| {
                let count = |kinds: &BTreeMap<String, usize>| kinds.get(kind).copied().unwrap_or(0);
                format!("{kind}: {} in the copy, {} in the records", count(&report.kinds), count(&self.kinds))
            })
            .collect();
        for text in differing {
            report.differs(CopyDifference::KindCount, || text);
        }
        let mut query = copy.prepare("SELECT id, length, head FROM sites WHERE length > 0")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (site, length, head): ([u8; 16], i64, Hash) = (row.get(0)?, row.get(1)?, row.get(2)?);
            if self.heads.get(&site) != Some(&(length, head)) {
                let name = Uuid::from_bytes(site);
                report.differs(CopyDifference::ChainHead, || format!("the chain of site {name}"));
            }
        }
        Ok(())
    }
}

/// Whether the seal of the copy was made by these records, fits the copy, and is a line of the witness where that
/// line is still there.
fn compare_seal(
    copy: &Connection,
    place: &WitnessPlace,
    report: &mut CopyReport,
) -> Result<(), ArchiveError> {
    let (Some(key), Some(seal)) = (place.read_key()?, Seal::read(copy)?) else { return Ok(()) };
    report.seal_judged = true;
    if let Some(finding) = finding::of_records(copy, &seal, &key)? {
        report.differs(CopyDifference::Seal, || finding.sentence(&|at| at.to_string()));
        return Ok(());
    }
    if let FoundLog::Read(found) = read_log(place, &key) {
        let line = found.lines.iter().find(|line| line.seal.number == seal.number);
        if line.is_some_and(|line| line.seal.mac != seal.mac) {
            report.differs(CopyDifference::Seal, || {
                format!("line {} of the witness is another than the seal of the copy", seal.number)
            });
        }
    }
    Ok(())
}

/// A child with its log from the records up to the place of the copy, and from the copy.
type TwoLogs = (ChildId, Vec<Entry>, Vec<Entry>);

fn compare_summaries(
    (live, copy): (&Connection, &Connection),
    last: i64,
    erased: &HashSet<EntryId>,
    summarise: &Summarise,
    report: &mut CopyReport,
) -> Result<(), ArchiveError> {
    let mut query = copy.prepare("SELECT number, id FROM children ORDER BY number")?;
    let children = query.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, [u8; 16]>(1)?)))?;
    let children = children.collect::<Result<Vec<_>, _>>()?;
    for part in children.chunks(CHILDREN_AT_A_TIME) {
        let mut logs: Vec<TwoLogs> = Vec::with_capacity(part.len());
        for (number, id) in part {
            let child = ChildId::new(Uuid::from_bytes(*id));
            let of_live = match reader::child_number(live, child)? {
                Some(number) => reader::log_until(live, number, last)?,
                None => Vec::new(),
            };
            let mut of_copy = reader::log_of(copy, *number)?;
            of_copy.retain(|entry| !erased.contains(&entry.id));
            logs.push((child, of_live, of_copy));
        }
        let same: Vec<Result<(ChildId, bool), ArchiveError>> =
            logs.par_iter().map(|logs| Ok((logs.0, same_summary(logs, summarise)?))).collect();
        for compared in same {
            let (child, same) = compared?;
            report.summaries += 1;
            if !same {
                report.differs(CopyDifference::Summary, || format!("child {child}"));
            }
        }
    }
    Ok(())
}

fn same_summary((child, live, copy): &TwoLogs, summarise: &Summarise) -> Result<bool, ArchiveError> {
    let (live, copy) = (compute(*child, live, summarise)?, compute(*child, copy, summarise)?);
    Ok(live.map(|summary| summary.body) == copy.map(|summary| summary.body))
}
