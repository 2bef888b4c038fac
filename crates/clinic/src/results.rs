//! The rows from which results are computed.
//!
//! Making the rows of a clinic reads every log once. It is done when results are first requested, for a large
//! clinic in the background, and the rows are saved in the cache. For a later generation of the log only the
//! children with new entries are read again; for a later day only the children whose row changes on that day.

use crate::ClinicRecords;
use archive::{Archive, ArchiveError, CacheKey, CacheValue, Outdated, RecomputeCost};
use audit::{ChildHistory, ClinicHistory, KnownBy, ResultsBasis, UnnumberedHistory};
use rayon::prelude::*;
use record::{ChildId, Day, Entry};
use std::{
    collections::{HashMap, HashSet},
    sync::Arc,
};

/// The largest clinic, in children, that is read while a page waits: about 0.2 ms each.
const SMALL: usize = 1_500;
/// Children whose logs are in memory at once while a clinic is read.
const AT_ONCE: usize = 512;
/// How many days the rows of an earlier day are moved forward at most, instead of reading every log.
const MOVED_DAYS: i32 = 31;
/// The kind of value in the cache.
const WHAT: &str = "results";

/// The rows of a clinic, with the place of each child in it.
#[derive(Clone)]
struct ResultsRows {
    clinic: ClinicHistory,
    places: HashMap<ChildId, usize>,
    /// Children without a row on the day, with the day of their next entry, which may give them one.
    waiting: HashMap<ChildId, Day>,
}

/// The day of the first entry after `as_of`; on it a child without a row may get one.
fn next_day(entries: &[Entry], as_of: Day) -> Option<Day> {
    entries.iter().map(|entry| entry.on).filter(|on| *on > as_of).min()
}

impl ResultsRows {
    /// The estimated size, about 250 bytes for a child.
    fn bytes(&self) -> usize {
        let place = size_of::<(ChildId, usize)>() + 8;
        self.clinic.children.len() * (size_of::<ChildHistory>() + place) + self.waiting.len() * 32
    }

    fn of(clinic: ClinicHistory, waiting: HashMap<ChildId, Day>) -> Self {
        let places = clinic.children.iter().enumerate().map(|(place, row)| (row.child, place)).collect();
        Self { clinic, places, waiting }
    }

    /// Moves to a later day; returns the children whose logs must be read again.
    fn move_to(&mut self, day: Day) -> HashSet<ChildId> {
        let mut due = self.clinic.move_to(day);
        due.extend(self.waiting.iter().filter(|(_, on)| **on <= day).map(|(child, _)| *child));
        due
    }

    /// Replaces or adds the row of a child, or removes it if no foot is affected any more.
    fn put(&mut self, child: ChildId, entries: &[Entry]) {
        let read = UnnumberedHistory::of(child, entries, &self.clinic.basis());
        let waits = if read.is_none() { next_day(entries, self.clinic.as_of) } else { None };
        match waits {
            Some(day) => self.waiting.insert(child, day),
            None => self.waiting.remove(&child),
        };
        let row = read.map(|read| self.clinic.row(read));
        self.set_row(child, row);
    }

    /// Replaces, adds or removes the row of a child.
    fn set_row(&mut self, child: ChildId, row: Option<ChildHistory>) {
        match (self.places.get(&child).copied(), row) {
            (Some(place), Some(row)) => self.clinic.children[place] = row,
            (None, Some(row)) => {
                self.places.insert(child, self.clinic.children.len());
                self.clinic.children.push(row);
            }
            (Some(place), None) => {
                self.clinic.children.swap_remove(place);
                self.places.remove(&child);
                if let Some(moved) = self.clinic.children.get(place) {
                    self.places.insert(moved.child, place);
                }
            }
            (None, None) => {}
        }
    }

    fn read_again(
        &mut self,
        archive: &Archive,
        children: impl IntoIterator<Item = ChildId>,
    ) -> Result<(), ArchiveError> {
        for child in children {
            self.put(child, &archive.entries(child)?);
        }
        Ok(())
    }
}

/// The rows of a clinic, shared with the cache.
pub struct SharedResults(Arc<ResultsRows>);

impl std::ops::Deref for SharedResults {
    type Target = ClinicHistory;

    fn deref(&self) -> &ClinicHistory {
        &self.0.clinic
    }
}

/// The rows of an earlier day, and the children with entries written since.
struct EarlierRows {
    rows: Arc<ResultsRows>,
    written: Vec<ChildId>,
}

fn key(basis: &ResultsBasis) -> CacheKey {
    CacheKey::clinic(WHAT).as_of(basis.as_of).with(detail(basis))
}

/// The plan is part of the key: who asks may have read it just before the protocol was changed.
fn detail(basis: &ResultsBasis) -> String {
    format!("{} {:?}", basis.known_by.key(), basis.plan)
}

impl ClinicRecords {
    /// The rows of the clinic as known on a day; `None` while they are made in the background.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn results(&self, basis: &ResultsBasis) -> Result<Option<SharedResults>, ArchiveError> {
        let (key, generation) = (key(basis), self.archive().generation()?);
        if let Some(found) = self.cache().get(&key, generation) {
            return Ok(Some(SharedResults(found)));
        }
        if self.is_quick(&key, basis)? {
            let rows = self.cache().once(&key, generation, |outdated| self.rows(basis, outdated))?;
            return Ok(Some(SharedResults(rows)));
        }
        let basis = basis.clone();
        self.in_background(&key, generation, move |records| records.rows(&basis, None));
        Ok(None)
    }

    /// The rows of the clinic as known on a day, made while the caller waits: for commands, which run once.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn results_at_once(&self, basis: &ResultsBasis) -> Result<ClinicHistory, ArchiveError> {
        Ok(read_rows(self.archive(), basis)?.clinic)
    }

    /// Whether the rows can be made while a page waits: the clinic is small, or most of them are in the cache.
    fn is_quick(&self, key: &CacheKey, basis: &ResultsBasis) -> Result<bool, ArchiveError> {
        if self.archive().children_count()? <= SMALL {
            return Ok(true);
        }
        let updatable = match self.cache().latest::<ResultsRows>(key) {
            Some(outdated) => self.archive().written_since(outdated.generation)?.is_some(),
            None => false,
        };
        Ok(updatable || self.earlier(basis)?.is_some())
    }

    /// The rows, made in the fastest possible way.
    fn rows(
        &self,
        basis: &ResultsBasis,
        outdated: Option<Outdated<ResultsRows>>,
    ) -> Result<CacheValue<ResultsRows>, ArchiveError> {
        let value = match self.updated(outdated)? {
            Some(rows) => rows,
            None => match self.moved(basis)? {
                Some(rows) => rows,
                None => read_rows(self.archive(), basis)?,
            },
        };
        Ok(CacheValue { bytes: value.bytes(), value, cost: RecomputeCost::Slow })
    }

    /// Rows of an earlier generation, updated with the children who have newer entries.
    fn updated(&self, outdated: Option<Outdated<ResultsRows>>) -> Result<Option<ResultsRows>, ArchiveError> {
        let Some(outdated) = outdated else { return Ok(None) };
        let Some(written) = self.archive().written_since(outdated.generation)? else { return Ok(None) };
        // Copied only if another thread still uses it.
        let mut rows = Arc::unwrap_or_clone(outdated.value);
        rows.read_again(self.archive(), written)?;
        Ok(Some(rows))
    }

    /// The rows of a recent day, moved forward to the day.
    fn moved(&self, basis: &ResultsBasis) -> Result<Option<ResultsRows>, ArchiveError> {
        let Some(earlier) = self.earlier(basis)? else { return Ok(None) };
        let mut rows = ResultsRows::clone(&earlier.rows);
        let mut due: HashSet<ChildId> = earlier.written.into_iter().collect();
        due.extend(rows.move_to(basis.as_of));
        rows.read_again(self.archive(), due)?;
        Ok(Some(rows))
    }

    /// The cached rows of the most recent earlier day, with the children who have newer entries. `None` for what
    /// had been written by a day: a late entry may have any earlier clinical day.
    fn earlier(&self, basis: &ResultsBasis) -> Result<Option<EarlierRows>, ArchiveError> {
        if basis.known_by != KnownBy::ClinicalDay {
            return Ok(None);
        }
        let shortly_before = |key: &CacheKey| {
            let day = key.as_of.filter(|day| (1..=MOVED_DAYS).contains(&(basis.as_of - *day)));
            day.filter(|_| key.detail == detail(basis))
        };
        let keys = self.cache().keys(WHAT);
        let Some(before) =
            keys.into_iter().filter(|key| shortly_before(key).is_some()).max_by_key(|key| key.as_of)
        else {
            return Ok(None);
        };
        let Some(outdated) = self.cache().latest::<ResultsRows>(&before) else { return Ok(None) };
        let written = self.archive().written_since(outdated.generation)?;
        Ok(written.map(|written| EarlierRows { rows: outdated.value, written }))
    }
}

/// The rows of every child in the archive, as known on a day. Logs are read one after the other and evaluated in
/// parallel.
fn read_rows(archive: &Archive, basis: &ResultsBasis) -> Result<ResultsRows, ArchiveError> {
    let as_of = basis.as_of;
    let (mut clinic, mut waiting) = (ClinicHistory::new(basis.clone()), HashMap::new());
    let mut held: Vec<(ChildId, Vec<Entry>)> = Vec::with_capacity(AT_ONCE);
    let mut take = |held: &mut Vec<(ChildId, Vec<Entry>)>| {
        let read: Vec<Option<UnnumberedHistory>> =
            held.par_iter().map(|(child, entries)| UnnumberedHistory::of(*child, entries, basis)).collect();
        for (read, (child, entries)) in read.into_iter().zip(held.iter()) {
            match read {
                Some(read) => {
                    let row = clinic.row(read);
                    clinic.children.push(row);
                }
                None => waiting.extend(next_day(entries, as_of).map(|day| (*child, day))),
            }
        }
        held.clear();
    };
    archive.for_each_child(&mut |child, entries| {
        held.push((child, entries));
        if held.len() >= AT_ONCE {
            take(&mut held);
        }
    })?;
    take(&mut held);
    clinic.children.shrink_to_fit();
    Ok(ResultsRows::of(clinic, waiting))
}
