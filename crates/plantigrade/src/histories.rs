//! The rows that results are computed from, kept as long as the program runs.
//!
//! Making the rows of a clinic means reading every log once, so it is done when results are first asked
//! for, for a large clinic in the background, and kept. A child written about is read again by itself
//! when results are next asked for. On a new day only the children whose row that day changes are read.

use archive::{Archive, ArchiveError};
use audit::{ClinicHistory, KnownBy, ResultsBasis, UnnumberedHistory};
use rayon::prelude::*;
use record::{ChildId, Day, Entry};
use std::{
    collections::{HashMap, HashSet},
    sync::{Arc, Mutex},
    thread,
};

/// Children up to whom a clinic is read while a page waits: some 0.2 ms each.
const SMALL: usize = 1_500;
/// Days kept of which results were asked for: some 25 MB each for 100,000 children.
const KEPT_DAYS: usize = 3;
/// Children whose logs are held at once while a clinic is read.
const AT_ONCE: usize = 512;
/// How far back a day may lie from which a later one is made rather than read afresh.
const MOVED_DAYS: i32 = 31;

/// A clinic with the place of each child in it.
#[derive(Clone)]
struct Rows {
    clinic: ClinicHistory,
    places: HashMap<ChildId, usize>,
    /// Children without a row on the day, of whom an entry of a later day may make one.
    waiting: HashMap<ChildId, Day>,
}

/// The first day after `as_of` on which anything is written for; on it a child without a row may get one.
fn next_day(entries: &[Entry], as_of: Day) -> Option<Day> {
    entries.iter().map(|entry| entry.on).filter(|on| *on > as_of).min()
}

impl Rows {
    fn of(clinic: ClinicHistory, waiting: HashMap<ChildId, Day>) -> Self {
        let places = clinic.children.iter().enumerate().map(|(place, row)| (row.child, place)).collect();
        Self { clinic, places, waiting }
    }

    /// Moves on to a later day; the children whose logs must be read again for it.
    fn move_to(&mut self, day: Day) -> HashSet<ChildId> {
        let mut due = self.clinic.move_to(day);
        due.extend(self.waiting.iter().filter(|(_, on)| **on <= day).map(|(child, _)| *child));
        due
    }

    /// Puts in the row of a child read again, or takes it out where no foot is affected any more.
    fn put(&mut self, child: ChildId, entries: &[Entry]) {
        let read = UnnumberedHistory::of(child, entries, &self.clinic.basis());
        let waits = if read.is_none() { next_day(entries, self.clinic.as_of) } else { None };
        match waits {
            Some(day) => self.waiting.insert(child, day),
            None => self.waiting.remove(&child),
        };
        let row = read.map(|read| self.clinic.row(read));
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

    fn read_again(&mut self, archive: &Archive, children: &HashSet<ChildId>) -> Result<(), ArchiveError> {
        for child in children {
            self.put(*child, &archive.entries(*child)?);
        }
        Ok(())
    }
}

/// As of which day, and which entries count as known on it.
type Shown = (Day, KnownBy);

/// What is kept of a basis. The plan is the clinic's own and one as long as the program runs.
const fn shown(basis: &ResultsBasis) -> Shown {
    (basis.as_of, basis.known_by)
}

#[derive(Default)]
struct Kept {
    rows: HashMap<Shown, Arc<Rows>>,
    /// Children written about since, for each day kept or being read.
    written: HashMap<Shown, HashSet<ChildId>>,
    at_work: HashSet<Shown>,
    /// Rises when everything is forgotten, so that what was read before is not kept after.
    forgotten: u64,
}

/// The rows kept.
#[derive(Default)]
pub struct Histories {
    kept: Mutex<Kept>,
}

/// A clinic's rows, shared.
pub struct Known(Arc<Rows>);

impl std::ops::Deref for Known {
    type Target = ClinicHistory;

    fn deref(&self) -> &ClinicHistory {
        &self.0.clinic
    }
}

impl Histories {
    /// The clinic as known on a day; `None` while it is being read in the background.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn clinic(
        self: &Arc<Self>,
        archive: &Archive,
        basis: &ResultsBasis,
    ) -> Result<Option<Known>, ArchiveError> {
        if let Some(found) = self.kept_rows(archive, basis)? {
            return Ok(Some(Known(found)));
        }
        if archive.children_count()? <= SMALL {
            self.read(archive, basis)?;
            return Ok(self.kept_rows(archive, basis)?.map(Known));
        }
        self.begin(archive, basis);
        Ok(None)
    }

    /// A child was written about; any child where none is named.
    pub fn forget(&self, child: Option<ChildId>) {
        let Ok(mut kept) = self.kept.lock() else { return };
        match child {
            Some(child) => kept.written.values_mut().for_each(|written| {
                written.insert(child);
            }),
            None => {
                kept.rows.clear();
                kept.written.clear();
                kept.forgotten += 1;
            }
        }
    }

    /// What is kept of a day, with what was written since read again; or made from a day shortly before.
    /// What had been written by a day is not made from another: a late entry may be of any day before.
    fn kept_rows(&self, archive: &Archive, basis: &ResultsBasis) -> Result<Option<Arc<Rows>>, ArchiveError> {
        let wanted = shown(basis);
        let (as_of, known_by) = wanted;
        let Ok(mut kept) = self.kept.lock() else { return Ok(None) };
        if !kept.rows.contains_key(&wanted) {
            let before = |one: &Shown| {
                (1..=MOVED_DAYS).contains(&(as_of - one.0)) && *one == (one.0, KnownBy::ClinicalDay)
            };
            let before = kept.rows.keys().copied().filter(before).max_by_key(|one| one.0);
            let before = before.filter(|_| known_by == KnownBy::ClinicalDay);
            let Some(before) = before else { return Ok(None) };
            let Some(rows) = kept.rows.get(&before) else { return Ok(None) };
            let mut rows = Rows::clone(rows);
            let mut due = kept.written.get(&before).cloned().unwrap_or_default();
            due.extend(rows.move_to(as_of));
            rows.read_again(archive, &due)?;
            keep(&mut kept, wanted, Arc::new(rows));
        }
        let written = kept.written.get_mut(&wanted).map(std::mem::take).unwrap_or_default();
        let Some(rows) = kept.rows.get_mut(&wanted) else { return Ok(None) };
        if !written.is_empty() {
            // Copied only while somebody still computes from it.
            Arc::make_mut(rows).read_again(archive, &written)?;
        }
        Ok(Some(Arc::clone(rows)))
    }

    /// Reads the whole clinic and keeps it, unless everything was forgotten meanwhile.
    fn read(&self, archive: &Archive, basis: &ResultsBasis) -> Result<(), ArchiveError> {
        let wanted = shown(basis);
        let forgotten = self.kept.lock().map_or(0, |mut kept| {
            kept.written.entry(wanted).or_default();
            kept.forgotten
        });
        let rows = read_rows(archive, basis)?;
        if let Ok(mut kept) = self.kept.lock()
            && kept.forgotten == forgotten
        {
            let written = kept.written.remove(&wanted).unwrap_or_default();
            keep(&mut kept, wanted, Arc::new(rows));
            kept.written.insert(wanted, written);
        }
        Ok(())
    }

    fn begin(self: &Arc<Self>, archive: &Archive, basis: &ResultsBasis) {
        let wanted = shown(basis);
        {
            // Looked at and entered under one lock, so that two requests never start it twice.
            let Ok(mut kept) = self.kept.lock() else { return };
            if !kept.at_work.insert(wanted) {
                return;
            }
        }
        let (histories, archive, basis) = (Arc::clone(self), archive.clone(), basis.clone());
        let started = thread::Builder::new().name("reading for results".to_owned()).spawn(move || {
            if let Err(error) = histories.read(&archive, &basis) {
                tracing::warn!("the clinic could not be read for its results: {error}");
            }
            histories.end(wanted);
        });
        if let Err(error) = started {
            tracing::warn!("the clinic is not read for its results: {error}");
            self.end(wanted);
        }
    }

    fn end(&self, wanted: Shown) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.at_work.remove(&wanted);
        }
    }
}

/// Keeps the rows of a day; the earliest days go first.
fn keep(kept: &mut Kept, wanted: Shown, rows: Arc<Rows>) {
    while kept.rows.len() >= KEPT_DAYS {
        let Some(earliest) = kept.rows.keys().copied().min_by_key(|one| one.0) else { break };
        kept.rows.remove(&earliest);
        kept.written.remove(&earliest);
    }
    kept.rows.insert(wanted, rows);
    kept.written.insert(wanted, HashSet::new());
}

/// Every child of the archive, as known on a day. Logs are read one after the other and worked on side by
/// side.
///
/// # Errors
/// When the records cannot be read.
pub fn read_clinic(archive: &Archive, basis: &ResultsBasis) -> Result<ClinicHistory, ArchiveError> {
    Ok(read_rows(archive, basis)?.clinic)
}

fn read_rows(archive: &Archive, basis: &ResultsBasis) -> Result<Rows, ArchiveError> {
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
    Ok(Rows::of(clinic, waiting))
}
