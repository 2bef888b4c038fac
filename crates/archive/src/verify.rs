//! The check of the records: whether the file is intact, every entry is as it was written, none is missing,
//! and the summaries agree with the log.

use crate::{
    archive::Archive,
    chain::{self, Hash},
    error::ArchiveError,
    finding::{Compared, Testimony, WitnessFinding, states_to_pass},
    keys::{self, Prepared, RowCounts},
    reader, seal,
    summaries::compute,
};
use rayon::prelude::*;
use record::{ChildId, Entry, EntryId, SiteId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension};
use std::{
    collections::{HashMap, HashSet},
    fmt,
};
use uuid::Uuid;

/// Faults that are listed; more are only counted.
const LISTED_FAULTS: usize = 20;
const CHILDREN_AT_A_TIME: usize = 1_024;

/// The place of a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaultKind {
    /// The file itself, by SQLite's own check.
    File,
    /// The log: an entry changed, lost, added or out of order.
    Log,
    /// A summary or a list; these can be computed again.
    Summary,
    /// The records are not those that the witness knows.
    Witness,
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The place.
    pub kind: FaultKind,
    /// The entry, if it is about a certain entry.
    pub entry: Option<EntryId>,
    /// The site of the chain, and the number in it from 1.
    pub place: Option<(SiteId, i64)>,
    /// The message, one sentence.
    pub text: String,
}

/// By which a state of the log is recognised: its length and the first digits of its hash. Written on copies and on
/// printed pages, it can be compared with the records later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordsMark {
    /// Entries, erased ones included.
    pub entries: usize,
    /// The first eight digits of the hash, hexadecimal.
    pub digits: String,
}

impl fmt::Display for RecordsMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} at entry {}", self.digits, self.entries)
    }
}

/// What comparing with the witness gave.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WitnessCheck {
    /// States of the log that the witness knows and that the log was compared with.
    pub states: usize,
    /// Entries at the first of these states.
    pub from_entry: usize,
    /// How the records differ from what the witness knows.
    pub finding: Option<WitnessFinding>,
    /// Why the witness could not be compared.
    pub warning: Option<String>,
}

/// The result of a check.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct VerifyReport {
    /// Number of entries, erased ones included.
    pub entries: usize,
    /// Number of erased entries.
    pub erased: usize,
    /// Number of children.
    pub children: usize,
    /// Number of sites.
    pub sites: usize,
    /// Whether summaries were compared; they are not if another program version computed them.
    pub summaries_compared: bool,
    /// The state of the log; `None` where it could not be read.
    pub mark: Option<RecordsMark>,
    /// What the witness tells; `None` for records without one.
    pub witness: Option<WitnessCheck>,
    /// The first faults found.
    pub faults: Vec<Fault>,
    /// Number of all faults.
    pub faults_count: usize,
}

impl VerifyReport {
    /// Whether there is no fault.
    #[must_use]
    pub const fn is_sound(&self) -> bool {
        self.faults_count == 0
    }

    fn fault(&mut self, kind: FaultKind, entry: Option<EntryId>, place: Option<(SiteId, i64)>, text: String) {
        self.faults_count += 1;
        if self.faults.len() < LISTED_FAULTS {
            self.faults.push(Fault { kind, entry, place, text });
        }
    }

    fn error(&mut self, error: &ArchiveError) {
        self.fault(FaultKind::File, None, None, error.to_string());
    }
}

impl fmt::Display for VerifyReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { entries, erased, children, sites, faults_count, .. } = self;
        writeln!(f, "Checked {entries} entries ({erased} erased) of {children} children at {sites} sites.")?;
        if let Some(mark) = &self.mark {
            writeln!(f, "The log ends with {mark}.")?;
        }
        if !self.summaries_compared {
            writeln!(f, "The lists were not compared with the entries.")?;
        }
        for fault in &self.faults {
            writeln!(f, "- {}", fault.text)?;
        }
        match faults_count {
            0 => write!(f, "Nothing is wrong."),
            1 => write!(f, "One fault was found. Nothing was changed."),
            _ => write!(f, "{faults_count} faults were found. Nothing was changed."),
        }
    }
}

impl Archive {
    /// The mark of the present state of the log.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn mark(&self) -> Result<RecordsMark, ArchiveError> {
        self.read(mark)
    }

    /// Checks everything. It only reads, and may run during other work.
    ///
    /// # Errors
    /// Only when the file cannot be opened; damage is in the report.
    pub fn verify(&self) -> Result<VerifyReport, ArchiveError> {
        // Before the records: whoever writes them meanwhile adds the line of the witness afterwards.
        let testimony = self.witness_place().map(Testimony::read).transpose()?;
        self.read(|conn| {
            let mut report = VerifyReport::default();
            let summarising = self.summarising();
            if let Err(error) = check_file(conn, &mut report) {
                report.error(&error);
            }
            let mut states = Vec::new();
            if let (Some(testimony), Some(place)) = (testimony, self.witness_place()) {
                match testimony.compare(conn, place) {
                    Ok(compared) => states = check_witness(compared, &mut report),
                    Err(error) => report.error(&error),
                }
            }
            report.mark = mark(conn).ok();
            if let Err(error) = check_log(conn, &states, &mut report) {
                report.error(&error);
            }
            if let Err(error) = check_erasures(conn, &mut report) {
                report.error(&error);
            }
            let log_is_sound = report.is_sound();
            // Asked of what is being read: the way of computing may be changed while the log is checked.
            let summarise = summarising.now();
            if log_is_sound && summarising.is_stored(conn)? {
                report.summaries_compared = true;
                if let Err(error) = check_summaries(conn, &summarise, &mut report) {
                    report.error(&error);
                }
            }
            Ok(report)
        })
    }
}

pub(crate) fn mark(conn: &Connection) -> Result<RecordsMark, ArchiveError> {
    let (entries, log) = seal::log_state(conn)?;
    let digits = log.iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    Ok(RecordsMark { entries: usize::try_from(entries).unwrap_or(0), digits })
}

/// Notes what the witness tells. Returns the states that the log must have passed through.
fn check_witness(compared: Compared, report: &mut VerifyReport) -> Vec<(i64, Hash)> {
    let states = states_to_pass(&compared.lines);
    let (mut finding, mut warning) = (compared.finding, compared.warning);
    // Elsewhere than where they were saved, as in a folder of copies, records have no witness: that is no fault.
    if let Some(none @ WitnessFinding::NoKey(_)) = &finding {
        warning = Some(none.sentence(&|at| at.to_string()));
        finding = None;
    }
    if let Some(finding) = &finding {
        report.fault(FaultKind::Witness, None, None, finding.sentence(&|at| at.to_string()));
    }
    report.witness = Some(WitnessCheck {
        states: states.len(),
        from_entry: states.first().map_or(0, |(entries, _)| usize::try_from(*entries).unwrap_or(0)),
        finding,
        warning,
    });
    states
}

fn check_file(conn: &Connection, report: &mut VerifyReport) -> Result<(), ArchiveError> {
    let mut query = conn.prepare("PRAGMA integrity_check(20)")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let result: String = row.get(0)?;
        if result != "ok" {
            report.fault(FaultKind::File, None, None, format!("The records file is damaged: {result}"));
        }
    }
    Ok(())
}

/// The position of the check in a site's chain.
struct Walk {
    site: SiteId,
    sequence: i64,
    hash: Hash,
}

/// One row of the log in the file.
struct Line {
    id: EntryId,
    child: Option<ChildId>,
    site: i64,
    sequence: i64,
    wire: Option<String>,
    salt: Option<Vec<u8>>,
    content: Hash,
    hash: Hash,
}

fn check_log(
    conn: &Connection,
    states: &[(i64, Hash)],
    report: &mut VerifyReport,
) -> Result<(), ArchiveError> {
    let mut states = states.iter().peekable();
    let mut sites = sites(conn)?;
    report.sites = sites.len();
    let count = "SELECT count(*) FROM children";
    report.children = usize::try_from(conn.query_row(count, [], |row| row.get::<_, i64>(0))?).unwrap_or(0);
    let mut query = conn.prepare(
        "SELECT e.id, c.id, e.site, e.sequence, e.wire, e.salt, e.content, e.hash
         FROM entries e LEFT JOIN children c ON c.number = e.child ORDER BY e.place",
    )?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        check_line(&line(row)?, &mut sites, report);
        let entries = i64::try_from(report.entries).unwrap_or(i64::MAX);
        while let Some((at, log)) = states.next_if(|(at, _)| *at <= entries) {
            if *at == entries && state_of(&sites) != *log {
                let text = format!("The first {at} entries are not those that the witness saw.");
                report.fault(FaultKind::Witness, None, None, text);
                // Every later state differs too.
                states = [].iter().peekable();
            }
        }
    }
    check_ends(conn, &sites, report)
}

fn line(row: &rusqlite::Row<'_>) -> Result<Line, ArchiveError> {
    Ok(Line {
        id: EntryId::new(Uuid::from_bytes(row.get(0)?)),
        child: row.get::<_, Option<[u8; 16]>>(1)?.map(|id| ChildId::new(Uuid::from_bytes(id))),
        site: row.get(2)?,
        sequence: row.get(3)?,
        wire: row.get(4)?,
        salt: row.get(5)?,
        content: row.get(6)?,
        hash: row.get(7)?,
    })
}

fn sites(conn: &Connection) -> Result<HashMap<i64, Walk>, ArchiveError> {
    let mut query = conn.prepare("SELECT number, id FROM sites")?;
    let mut rows = query.query([])?;
    let mut sites = HashMap::new();
    while let Some(row) = rows.next()? {
        let site = SiteId::new(Uuid::from_bytes(row.get(1)?));
        sites.insert(row.get(0)?, Walk { site, sequence: 0, hash: chain::beginning(site) });
    }
    Ok(sites)
}

/// The state of the log at this point of the check.
fn state_of(sites: &HashMap<i64, Walk>) -> Hash {
    let mut walks: Vec<_> =
        sites.values().map(|walk| (*walk.site.uuid().as_bytes(), walk.sequence, walk.hash)).collect();
    walks.sort_unstable();
    seal::state_of(walks.into_iter()).1
}

fn check_line(line: &Line, sites: &mut HashMap<i64, Walk>, report: &mut VerifyReport) {
    report.entries += 1;
    report.erased += usize::from(line.wire.is_none());
    let id = line.id;
    let Some(walk) = sites.get_mut(&line.site) else {
        let text = format!("Entry {id} belongs to a site that is not in the records.");
        return report.fault(FaultKind::Log, Some(id), None, text);
    };
    let here = Some((walk.site, line.sequence));
    if let Some(text) = step_fault(line, walk) {
        report.fault(FaultKind::Log, Some(id), here, text);
    } else if let Some(text) = body_fault(line, walk.site) {
        report.fault(FaultKind::Log, Some(id), here, text);
    }
    // Continues from the stored hash, so that one fault is not reported for every later entry.
    walk.sequence = line.sequence.max(walk.sequence + 1);
    walk.hash = line.hash;
}

/// The fault of an entry's place in its chain.
fn step_fault(line: &Line, walk: &Walk) -> Option<String> {
    let (id, expected) = (line.id, walk.sequence + 1);
    if line.sequence > expected {
        return Some(match line.sequence - expected {
            1 => format!("The entry before {id} is missing (number {expected} of its site)."),
            more => format!("{more} entries before {id} are missing (from number {expected} of their site)."),
        });
    }
    if line.sequence < expected {
        return Some(format!(
            "Entry {id} is out of order (it has number {} of its site where {expected} is expected).",
            line.sequence
        ));
    }
    let Some(child) = line.child else {
        return Some(format!("The child of entry {id} is not in the records."));
    };
    (chain::link(&walk.hash, id, child, &line.content) != line.hash).then(|| {
        format!("Entry {id} does not fit the entry before it: its id, its child or its hash was changed.")
    })
}

/// The fault of an entry's contents.
fn body_fault(line: &Line, site: SiteId) -> Option<String> {
    let id = line.id;
    let wire = line.wire.as_deref()?;
    if chain::content(line.salt.as_deref().unwrap_or_default(), wire) != line.content {
        return Some(format!("The contents of entry {id} were changed after it was written."));
    }
    match Entry::from_json(wire) {
        Err(error) => Some(format!("Entry {id} cannot be read: {error}.")),
        Ok(entry) if entry.id != id || Some(entry.child) != line.child || entry.site != site => {
            Some(format!("Entry {id} is filed under another id, child or site than its contents have."))
        }
        Ok(_) => None,
    }
}

/// Checks the end of each chain, because a loss at the end leaves no gap.
fn check_ends(
    conn: &Connection,
    sites: &HashMap<i64, Walk>,
    report: &mut VerifyReport,
) -> Result<(), ArchiveError> {
    let mut query = conn.prepare("SELECT length, head FROM sites WHERE number = ?1")?;
    for (number, walk) in sites {
        let (length, head): (i64, Hash) = query.query_row([number], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let place = Some((walk.site, walk.sequence));
        if walk.sequence != length {
            let text = format!(
                "Site {} should have {length} entries and ends with number {}.",
                walk.site, walk.sequence
            );
            report.fault(FaultKind::Log, None, place, text);
        } else if walk.hash != head {
            let text = format!("The last entry of site {} is not the one that was written last.", walk.site);
            report.fault(FaultKind::Log, None, place, text);
        }
    }
    Ok(())
}

/// Checks the chain of erasures, and that exactly the erased entries have no body.
fn check_erasures(conn: &Connection, report: &mut VerifyReport) -> Result<(), ArchiveError> {
    let mut erased = HashSet::new();
    let mut hash = chain::beginning_of_erasures();
    let mut query = conn.prepare("SELECT entry, by, at, reason, hash FROM erasures ORDER BY number")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let entry = EntryId::new(Uuid::from_bytes(row.get(0)?));
        let by = UserId::new(Uuid::from_bytes(row.get(1)?));
        let (at, reason): (i64, String) = (row.get(2)?, row.get(3)?);
        let stored: Hash = row.get(4)?;
        if chain::erasure_link(&hash, entry, by, Timestamp::from_seconds(at), &reason) != stored {
            let text =
                format!("The note of the erasure of entry {entry} was changed, or one before it is missing.");
            report.fault(FaultKind::Log, Some(entry), None, text);
        }
        hash = stored;
        erased.insert(entry);
    }
    let mut query = conn.prepare("SELECT id FROM entries WHERE wire IS NULL")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let entry = EntryId::new(Uuid::from_bytes(row.get(0)?));
        if !erased.remove(&entry) {
            let text = format!("The contents of entry {entry} are gone, and no erasure accounts for it.");
            report.fault(FaultKind::Log, Some(entry), None, text);
        }
    }
    for entry in erased {
        let text = format!("Entry {entry} was erased, but its contents or a row of its own are there.");
        report.fault(FaultKind::Log, Some(entry), None, text);
    }
    Ok(())
}

/// Checks that every summary is the one computed from the log.
fn check_summaries(
    conn: &Connection,
    summarise: &crate::Summarise,
    report: &mut VerifyReport,
) -> Result<(), ArchiveError> {
    let mut query = conn.prepare("SELECT number, id FROM children ORDER BY number")?;
    let mut rows = query.query([])?;
    let mut part = Vec::new();
    let mut expected = RowCounts::default();
    loop {
        let row = rows.next()?;
        let done = row.is_none();
        if let Some(row) = row {
            let number: i64 = row.get(0)?;
            part.push((number, ChildId::new(Uuid::from_bytes(row.get(1)?)), reader::log_of(conn, number)?));
        }
        if part.len() >= CHILDREN_AT_A_TIME || done {
            compare(conn, &part, summarise, &mut expected, report)?;
            part.clear();
        }
        if done {
            break;
        }
    }
    if report.is_sound() && keys::row_counts(conn)? != expected {
        let text = "The lists hold lines that no entry accounts for; they can be computed again.".to_owned();
        report.fault(FaultKind::Summary, None, None, text);
    }
    Ok(())
}

fn compare(
    conn: &Connection,
    part: &[(i64, ChildId, Vec<Entry>)],
    summarise: &crate::Summarise,
    expected: &mut RowCounts,
    report: &mut VerifyReport,
) -> Result<(), ArchiveError> {
    let computed: Vec<Result<Option<Prepared>, ArchiveError>> =
        part.par_iter().map(|(_, child, log)| compute(*child, log, summarise)).collect();
    for ((number, child, _), computed) in part.iter().zip(computed) {
        let agrees = match computed? {
            Some(computed) => {
                for (sum, rows) in expected.iter_mut().zip(computed.row_counts()) {
                    *sum += rows;
                }
                keys::agrees(conn, *number, &computed)?
            }
            None => {
                let mut query = conn.prepare_cached("SELECT 1 FROM summaries WHERE child = ?1")?;
                query.query_row([number], |_| Ok(())).optional()?.is_none()
            }
        };
        if !agrees {
            let text = format!(
                "The lists do not agree with the entries of child {child}; they can be computed again."
            );
            report.fault(FaultKind::Summary, None, None, text);
        }
    }
    Ok(())
}
