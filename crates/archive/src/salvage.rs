//! Reads what can be read of damaged records into new ones, and lists what is missing.
//!
//! An entry is taken only if the hash of its contents is the one that was stored with it, so that none is taken
//! that differs from what was written. In the new records every entry keeps its contents, its salt and its place;
//! the chain is linked again, because a link covers the entries before it, and some of those may be missing. The
//! content hash of an entry, by which it can be compared with earlier copies, does not change.

use crate::{
    archive::make_dir,
    chain::{self, Hash},
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    error::{ArchiveError, of_io},
    file_pages::{FilePages, RawRow, RawValue},
    lock::RecordsLock,
    salvage_tables::{PlainTable, TABLES},
    schema,
    seal::Seal,
};
use record::{ChildId, Entry, EntryId, SiteId};
use rusqlite::{Connection, params_from_iter, types::Value};
use std::{
    collections::{BTreeMap, BTreeSet, HashMap, HashSet},
    path::Path,
};
use uuid::Uuid;

/// An entry that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct MissingEntry {
    /// Its site, if that is known.
    pub site: Option<SiteId>,
    /// Its number in the chain of the site, from 1.
    pub sequence: i64,
}

/// What was read and what is missing.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Salvaged {
    /// Entries written to the new records, erased ones included.
    pub entries: usize,
    /// Children with an entry there.
    pub children: usize,
    /// Accounts written.
    pub accounts: usize,
    /// Entries that are missing, by their numbers in the chain.
    pub missing: Vec<MissingEntry>,
    /// Children of whom an entry is missing, as far as is known.
    pub affected: Vec<ChildId>,
    /// What could be read of those of them that were left out, so that they can be named.
    pub left_out: Vec<(ChildId, Vec<Entry>)>,
    /// Missing entries of which it is not known whom they are about: any child may be affected.
    pub of_unknown_children: usize,
    /// Whether it is known how many entries there were; otherwise more may be missing at the end.
    pub length_is_known: bool,
    /// Tables besides the entries of which not every row could be read.
    pub incomplete: Vec<&'static str>,
}

impl Salvaged {
    /// Whether nothing is missing.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.length_is_known && self.incomplete.is_empty()
    }
}

/// What is written of children of whom an entry is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartlyRead {
    /// What could be read, for somebody who completes it.
    Write,
    /// Nothing: shown, a course without some of its entries would be taken for the whole.
    LeaveOut,
}

/// A row of the log as it was stored, with its contents checked.
struct SavedRow {
    id: EntryId,
    child: ChildId,
    site: SiteId,
    sequence: i64,
    wire: Option<String>,
    salt: Option<Vec<u8>>,
    content: Hash,
}

/// Everything that was found on the pages.
#[derive(Default)]
struct Found {
    entries: BTreeMap<i64, SavedRow>,
    /// Erased entries, which name their child and site by number only.
    erased: Vec<(i64, ErasedRow)>,
    children: HashMap<i64, ChildId>,
    sites: HashMap<i64, (SiteId, i64)>,
    site_of_number: HashMap<i64, SiteId>,
    plain: Vec<(usize, Vec<Value>)>,
    erasures: BTreeMap<i64, Vec<Value>>,
}

struct ErasedRow {
    id: EntryId,
    child: i64,
    site: i64,
    sequence: i64,
    content: Hash,
}

/// Reads the records in the folder `from`, whatever of them is damaged, into new records in the folder `to`.
///
/// `key` is the one with which they are encrypted; the new ones are encrypted with it too. `expected` is how many entries there were, where that is known from elsewhere, such as the witness. Both files of
/// `from` are only read.
///
/// # Errors
/// When another process has the records open, there is no file, or the new one cannot be written.
pub fn salvage(
    from: &Path,
    to: &Path,
    partly: PartlyRead,
    expected: Option<i64>,
    key: Option<&DatabaseKey>,
) -> Result<Salvaged, ArchiveError> {
    let _lock = RecordsLock::take(from)?;
    let old = DatabaseFile::new(from.join(schema::FILE_NAME), key);
    let new = old.at(to.join(schema::FILE_NAME));
    if new.path.exists() {
        return Err(ArchiveError::Exists(new.path));
    }
    refuse_other_key(&old)?;
    make_dir(to)?;
    let pages = FilePages::read(&old).map_err(|error| of_io(&error, &old.path))?;
    // The trees, as far as they can be read, know what the pages alone do not.
    let trees = trees_of(&old, &pages);
    let mut found = Found::default();
    pages.each_row(&mut |row| found.take(row));
    let mut salvaged = Salvaged::default();
    found.complete_erasures(trees.as_ref(), &mut salvaged);
    found.place_erased();
    found.list_missing(trees.as_ref(), expected, &mut salvaged);
    let mut conn = schema::open_writer(&new)?;
    let transaction = conn.transaction()?;
    let left_out: HashSet<ChildId> = match partly {
        PartlyRead::Write => HashSet::new(),
        PartlyRead::LeaveOut => salvaged.affected.iter().copied().collect(),
    };
    found.write_entries(&transaction, &left_out, &mut salvaged)?;
    found.write_erasures(&transaction, &mut salvaged)?;
    for (at, table) in TABLES.iter().enumerate() {
        found.write_table(&transaction, (at, table), trees.as_ref(), &mut salvaged)?;
    }
    transaction.commit()?;
    Ok(salvaged)
}

/// Refuses records of another key: none of their pages could be read, which is no damage.
fn refuse_other_key(old: &DatabaseFile) -> Result<(), ArchiveError> {
    match old.connect_to_read() {
        Err(error @ (ArchiveError::OtherKey(_) | ArchiveError::NotEncrypted(_) | ArchiveError::NoCipher)) => {
            Err(error)
        }
        _ => Ok(()),
    }
}

/// SQLite's own way to the rows, as far as it can be used.
fn trees_of(old: &DatabaseFile, pages: &FilePages) -> Option<Connection> {
    #[cfg(feature = "encryption")]
    if old.key.is_some() {
        // A page that is not as it was written makes SQLCipher give up the whole file, so the pages that could be
        // decrypted are opened in memory.
        let image = pages.image()?;
        let mut conn = Connection::open_in_memory().ok()?;
        conn.deserialize_read_exact(rusqlite::MAIN_DB, &image[..], image.len(), true).ok()?;
        return Some(conn);
    }
    let _ = pages;
    schema::open_reader(old).ok()
}

impl Found {
    fn take(&mut self, row: RawRow) {
        use RawValue::{Bytes, Null, Number, Text};
        match (row.rowid, row.values.as_slice()) {
            (
                Some(place),
                [Null, Bytes(_), Number(_), Number(_), Number(_), Text(_), Bytes(_), Bytes(_), Bytes(_)],
            ) => {
                if let Some((number, saved)) = saved_row(&row.values) {
                    self.site_of_number.insert(number, saved.site);
                    self.entries.insert(place, saved);
                }
            }
            (
                Some(place),
                [
                    Null,
                    Bytes(id),
                    Number(child),
                    Number(site),
                    Number(sequence),
                    Null,
                    Null,
                    Bytes(content),
                    Bytes(_),
                ],
            ) => {
                if let (Some(id), Ok(content)) = (uuid(id), Hash::try_from(content.as_slice())) {
                    let row = ErasedRow {
                        id: EntryId::new(id),
                        child: *child,
                        site: *site,
                        sequence: *sequence,
                        content,
                    };
                    self.erased.push((place, row));
                }
            }
            (Some(number), [Null, Bytes(id)]) => {
                self.children.extend(uuid(id).map(|id| (number, ChildId::new(id))));
            }
            (Some(number), [Null, Bytes(id), Number(length), Bytes(head)]) if head.len() == 32 => {
                self.sites.extend(uuid(id).map(|id| (number, (SiteId::new(id), *length))));
            }
            (Some(number), [Null, Bytes(_), Text(_), Bytes(_), Number(_), Bytes(hash)])
                if hash.len() == 32 =>
            {
                self.erasures.insert(number, row.values.iter().skip(1).map(sql_value).collect());
            }
            // A table that numbers its rows stores nothing in place of the number.
            (rowid, [first, rest @ ..]) => {
                let first = rowid.map_or_else(|| first.clone(), Number);
                let values: Vec<RawValue> = std::iter::once(first).chain(rest.iter().cloned()).collect();
                let is_of = |table: &PlainTable| table.is_row.is_some_and(|is_row| is_row(&values));
                let table = TABLES.iter().position(is_of);
                self.plain.extend(table.map(|at| (at, values.iter().map(sql_value).collect())));
            }
            _ => {}
        }
    }

    /// Erased entries whose child and site are known by their numbers, and whose erasure is known, join the others.
    fn place_erased(&mut self) {
        let erased = self.erased_entries();
        for (place, row) in std::mem::take(&mut self.erased) {
            let site =
                self.sites.get(&row.site).map(|(id, _)| *id).or(self.site_of_number.get(&row.site).copied());
            let (Some(child), Some(site)) = (self.children.get(&row.child), site) else { continue };
            if !erased.contains(&row.id.uuid()) {
                continue;
            }
            let (id, child, sequence, content) = (row.id, *child, row.sequence, row.content);
            self.entries
                .insert(place, SavedRow { id, child, site, sequence, wire: None, salt: None, content });
        }
    }

    /// What is missing of the log, and of which children.
    fn list_missing(&self, trees: Option<&Connection>, expected: Option<i64>, salvaged: &mut Salvaged) {
        let mut present: BTreeMap<SiteId, BTreeSet<i64>> = BTreeMap::new();
        for row in self.entries.values() {
            present.entry(row.site).or_default().insert(row.sequence);
        }
        let lengths: BTreeMap<SiteId, i64> = self.sites.values().copied().collect();
        let known: i64 = lengths.values().sum();
        let sealed = trees.and_then(|conn| Seal::read(conn).ok().flatten()).map(|seal| seal.entries);
        let expected = expected.or(sealed);
        salvaged.length_is_known = match expected {
            Some(expected) => {
                known == expected || i64::try_from(self.entries.len()).is_ok_and(|here| here == expected)
            }
            None => !lengths.is_empty(),
        };
        for site in present.keys().chain(lengths.keys()).collect::<BTreeSet<_>>() {
            let here = present.get(site);
            let last = here.and_then(|here| here.last()).copied().unwrap_or(0);
            let length = lengths.get(site).copied().unwrap_or(0).max(last);
            let gone = (1..=length).filter(|sequence| here.is_none_or(|here| !here.contains(sequence)));
            salvaged.missing.extend(gone.map(|sequence| MissingEntry { site: Some(*site), sequence }));
        }
        let named: Vec<ChildId> = self.missing_places(trees).into_iter().flatten().collect();
        salvaged.of_unknown_children = salvaged.missing.len().saturating_sub(named.len());
        salvaged.affected = named.into_iter().collect::<BTreeSet<_>>().into_iter().collect();
    }

    /// The children of the entries that the index of children lists and whose row could not be read. `None` for a
    /// child whose id is lost too.
    fn missing_places(&self, trees: Option<&Connection>) -> Vec<Option<ChildId>> {
        let Some(conn) = trees else { return Vec::new() };
        let sql = "SELECT place, child FROM entries INDEXED BY entries_of_child ORDER BY child";
        let mut missing = Vec::new();
        // Ends at the first damaged page of the index; what it would have named stays unknown.
        let _ = conn.prepare(sql).and_then(|mut query| {
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                let (place, child): (i64, i64) = (row.get(0)?, row.get(1)?);
                if !self.entries.contains_key(&place) {
                    missing.push(self.children.get(&child).copied());
                }
            }
            Ok(())
        });
        missing
    }

    /// The entries of a child that could be read, in the order written.
    fn entries_of(&self, child: ChildId) -> Vec<Entry> {
        let rows = self.entries.values().filter(|row| row.child == child);
        rows.filter_map(|row| Entry::from_json(row.wire.as_deref()?).ok()).collect()
    }

    fn write_entries(
        &self,
        conn: &Connection,
        left_out: &HashSet<ChildId>,
        salvaged: &mut Salvaged,
    ) -> Result<(), ArchiveError> {
        let mut children: HashMap<ChildId, i64> = HashMap::new();
        let mut sites: HashMap<SiteId, (i64, i64, Hash)> = HashMap::new();
        let mut insert = conn.prepare(
            "INSERT INTO entries (place, id, child, site, sequence, wire, salt, content, hash)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        )?;
        salvaged.left_out = left_out.iter().map(|child| (*child, self.entries_of(*child))).collect();
        salvaged.left_out.sort_by_key(|(child, _)| *child);
        for (place, row) in self.entries.iter().filter(|(_, row)| !left_out.contains(&row.child)) {
            let next = i64::try_from(children.len()).unwrap_or(0) + 1;
            let child = *children.entry(row.child).or_insert(next);
            let next = i64::try_from(sites.len()).unwrap_or(0) + 1;
            let site = sites.entry(row.site).or_insert_with(|| (next, 0, chain::beginning(row.site)));
            site.1 += 1;
            site.2 = chain::link(&site.2, row.id, row.child, &row.content);
            let id = row.id.uuid();
            insert.execute(rusqlite::params![
                place,
                id.as_bytes(),
                child,
                site.0,
                site.1,
                row.wire,
                row.salt,
                row.content,
                site.2
            ])?;
            salvaged.entries += 1;
        }
        salvaged.children = children.len();
        let mut insert = conn.prepare("INSERT INTO children (number, id) VALUES (?1, ?2)")?;
        for (id, number) in children {
            insert.execute(rusqlite::params![number, id.uuid().as_bytes()])?;
        }
        let mut insert =
            conn.prepare("INSERT INTO sites (number, id, length, head) VALUES (?1, ?2, ?3, ?4)")?;
        for (id, (number, length, head)) in sites {
            insert.execute(rusqlite::params![number, id.uuid().as_bytes(), length, head])?;
        }
        Ok(())
    }

    /// Erasures from their tree too, and whether all of them could be read.
    fn complete_erasures(&mut self, trees: Option<&Connection>, salvaged: &mut Salvaged) {
        let columns = ["number", "entry", "reason", "by", "at", "hash"];
        let (listed, whole) = trees.map(|trees| rows_of(trees, "erasures", &columns)).unwrap_or_default();
        for row in listed {
            if let Some((Value::Integer(number), rest)) = row.split_first() {
                self.erasures.insert(*number, rest.to_vec());
            }
        }
        let last = self.erasures.keys().last().copied().unwrap_or(0);
        let gaps = i64::try_from(self.erasures.len()).is_ok_and(|rows| rows != last);
        if gaps || (!whole && trees.is_some()) {
            salvaged.incomplete.push("erasures");
        }
    }

    /// The entries of which an erasure could be read.
    fn erased_entries(&self) -> HashSet<Uuid> {
        let of_row = |row: &Vec<Value>| match row.first() {
            Some(Value::Blob(entry)) => uuid(entry),
            _ => None,
        };
        self.erasures.values().filter_map(of_row).collect()
    }

    /// Erasures are linked again too: each covers the one before it. Where the erased entry itself is missing there
    /// is nothing left that the erasure would account for.
    fn write_erasures(&self, conn: &Connection, salvaged: &mut Salvaged) -> Result<(), ArchiveError> {
        let mut hash = chain::beginning_of_erasures();
        for row in self.erasures.values() {
            let [Value::Blob(entry), Value::Text(reason), Value::Blob(by), Value::Integer(at), _] =
                row.as_slice()
            else {
                continue;
            };
            let (Some(entry), Some(by)) = (uuid(entry), uuid(by)) else { continue };
            let (id, who) = (EntryId::new(entry), record::UserId::new(by));
            let written = "SELECT 1 FROM entries WHERE id = ?1 AND wire IS NULL";
            if !conn.prepare_cached(written)?.exists([entry.as_bytes()])? {
                if !salvaged.incomplete.contains(&"erasures") {
                    salvaged.incomplete.push("erasures");
                }
                continue;
            }
            hash = chain::erasure_link(&hash, id, who, record::Timestamp::from_seconds(*at), reason);
            conn.execute(
                "INSERT INTO erasures (entry, reason, by, at, hash) VALUES (?1, ?2, ?3, ?4, ?5)",
                rusqlite::params![entry.as_bytes(), reason, by.as_bytes(), at, hash],
            )?;
        }
        Ok(())
    }

    /// A table row by row: from its tree, and where that ends early from the pages.
    fn write_table(
        &self,
        conn: &Connection,
        (at, table): (usize, &PlainTable),
        trees: Option<&Connection>,
        salvaged: &mut Salvaged,
    ) -> Result<(), ArchiveError> {
        let (mut rows, whole) =
            trees.map(|trees| rows_of(trees, table.name, table.columns)).unwrap_or_default();
        if !whole {
            // A row written before a column was added ends before it.
            let fitted = |row: &Vec<Value>| {
                let mut row = row.clone();
                row.resize(table.columns.len(), Value::Null);
                row
            };
            rows.extend(self.plain.iter().filter(|(of, _)| *of == at).map(|(_, row)| fitted(row)));
            if trees.is_some() || table.is_row.is_none() {
                salvaged.incomplete.push(table.name);
            }
        }
        let marks = vec!["?"; table.columns.len()].join(", ");
        let sql = format!("INSERT INTO {} ({}) VALUES ({marks})", table.name, table.columns.join(", "));
        let mut insert = conn.prepare(&sql)?;
        let mut met: Vec<Vec<Value>> = Vec::new();
        for row in rows {
            let key: Vec<Value> = row.iter().take(table.key).cloned().collect();
            if met.contains(&key) {
                continue;
            }
            // A row that the table does not take, as one whose account is lost, is one that is missing.
            if insert.execute(params_from_iter(row)).is_ok() {
                met.push(key);
            } else if !salvaged.incomplete.contains(&table.name) {
                salvaged.incomplete.push(table.name);
            }
        }
        if table.name == "accounts" {
            salvaged.accounts = met.len();
        }
        Ok(())
    }
}

/// A row of the log, with the number of its site, if its contents are those that were written.
fn saved_row(values: &[RawValue]) -> Option<(i64, SavedRow)> {
    let [
        _,
        RawValue::Bytes(id),
        _,
        RawValue::Number(number),
        RawValue::Number(sequence),
        RawValue::Text(wire),
        RawValue::Bytes(salt),
        RawValue::Bytes(content),
        _,
    ] = values
    else {
        return None;
    };
    let content = Hash::try_from(content.as_slice()).ok()?;
    if salt.len() > 1_024 || chain::content(salt, wire) != content {
        return None;
    }
    let entry = Entry::from_json(wire).ok()?;
    let row = SavedRow {
        id: entry.id,
        child: entry.child,
        site: entry.site,
        sequence: *sequence,
        wire: Some(wire.clone()),
        salt: Some(salt.clone()),
        content,
    };
    (uuid(id)? == entry.id.uuid()).then_some((*number, row))
}

/// The rows of a table through its tree from both ends, and whether those are all.
fn rows_of(conn: &Connection, table: &str, columns: &[&str]) -> (Vec<Vec<Value>>, bool) {
    let mut rows = Vec::new();
    let mut read = |order: &str| {
        let first = columns.first().copied().unwrap_or_default();
        let sql = format!("SELECT {} FROM {table} ORDER BY {first} {order}", columns.join(", "));
        let mut query = conn.prepare(&sql)?;
        let mut found = query.query([])?;
        while let Some(row) = found.next()? {
            rows.push((0..columns.len()).map(|at| row.get(at)).collect::<Result<Vec<Value>, _>>()?);
        }
        Ok::<_, rusqlite::Error>(())
    };
    let whole = read("ASC").is_ok();
    if !whole {
        let _ = read("DESC");
    }
    (rows, whole)
}

fn sql_value(value: &RawValue) -> Value {
    match value {
        RawValue::Null => Value::Null,
        RawValue::Number(number) => Value::Integer(*number),
        RawValue::Real(number) => Value::Real(*number),
        RawValue::Text(text) => Value::Text(text.clone()),
        RawValue::Bytes(bytes) => Value::Blob(bytes.clone()),
    }
}

fn uuid(bytes: &[u8]) -> Option<Uuid> {
    Uuid::from_slice(bytes).ok()
}
