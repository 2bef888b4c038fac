//! The rows that results are computed from, kept as long as the program runs.
//!
//! Making the rows of a clinic means reading every log once, so it is done when results are first asked
//! for, for a large clinic in the background, and kept. A child written about is read again by itself
//! when results are next asked for. On a new day only the children whose row that day changes are read.

use archive::{Archive, ArchiveError};
use audit::{Clinic, Read};
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
    clinic: Clinic,
    places: HashMap<ChildId, usize>,
    /// Children without a row on the day, of whom an entry of a later day may make one.
    waiting: HashMap<ChildId, Day>,
}

/// The first day after `as_of` on which anything is written for; on it a child without a row may get one.
fn next_day(entries: &[Entry], as_of: Day) -> Option<Day> {
    entries.iter().map(|entry| entry.on).filter(|on| *on > as_of).min()
}

impl Rows {
    fn of(clinic: Clinic, waiting: HashMap<ChildId, Day>) -> Self {
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
        let read = Read::of(child, entries, self.clinic.as_of);
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

#[derive(Default)]
struct Kept {
    rows: HashMap<Day, Arc<Rows>>,
    /// Children written about since, for each day kept or being read.
    written: HashMap<Day, HashSet<ChildId>>,
    at_work: HashSet<Day>,
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
    type Target = Clinic;

    fn deref(&self) -> &Clinic {
        &self.0.clinic
    }
}

impl Histories {
    /// The clinic as known on a day; `None` while it is being read in the background.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn clinic(self: &Arc<Self>, archive: &Archive, as_of: Day) -> Result<Option<Known>, ArchiveError> {
        if let Some(found) = self.kept_rows(archive, as_of)? {
            return Ok(Some(Known(found)));
        }
        if archive.children_count()? <= SMALL {
            self.read(archive, as_of)?;
            return Ok(self.kept_rows(archive, as_of)?.map(Known));
        }
        self.begin(archive, as_of);
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
    fn kept_rows(&self, archive: &Archive, as_of: Day) -> Result<Option<Arc<Rows>>, ArchiveError> {
        let Ok(mut kept) = self.kept.lock() else { return Ok(None) };
        if !kept.rows.contains_key(&as_of) {
            let before =
                kept.rows.keys().copied().filter(|day| (1..=MOVED_DAYS).contains(&(as_of - *day))).max();
            let Some(before) = before else { return Ok(None) };
            let Some(rows) = kept.rows.get(&before) else { return Ok(None) };
            let mut rows = Rows::clone(rows);
            let mut due = kept.written.get(&before).cloned().unwrap_or_default();
            due.extend(rows.move_to(as_of));
            rows.read_again(archive, &due)?;
            keep(&mut kept, as_of, Arc::new(rows));
        }
        let written = kept.written.get_mut(&as_of).map(std::mem::take).unwrap_or_default();
        let Some(rows) = kept.rows.get_mut(&as_of) else { return Ok(None) };
        if !written.is_empty() {
            // Copied only while somebody still computes from it.
            Arc::make_mut(rows).read_again(archive, &written)?;
        }
        Ok(Some(Arc::clone(rows)))
    }

    /// Reads the whole clinic and keeps it, unless everything was forgotten meanwhile.
    fn read(&self, archive: &Archive, as_of: Day) -> Result<(), ArchiveError> {
        let forgotten = self.kept.lock().map_or(0, |mut kept| {
            kept.written.entry(as_of).or_default();
            kept.forgotten
        });
        let rows = read_rows(archive, as_of)?;
        if let Ok(mut kept) = self.kept.lock()
            && kept.forgotten == forgotten
        {
            let written = kept.written.remove(&as_of).unwrap_or_default();
            keep(&mut kept, as_of, Arc::new(rows));
            kept.written.insert(as_of, written);
        }
        Ok(())
    }

    fn begin(self: &Arc<Self>, archive: &Archive, as_of: Day) {
        {
            // Looked at and entered under one lock, so that two requests never start it twice.
            let Ok(mut kept) = self.kept.lock() else { return };
            if !kept.at_work.insert(as_of) {
                return;
            }
        }
        let (histories, archive) = (Arc::clone(self), archive.clone());
        let started = thread::Builder::new().name("reading for results".to_owned()).spawn(move || {
            if let Err(error) = histories.read(&archive, as_of) {
                tracing::warn!("the clinic could not be read for its results: {error}");
            }
            histories.end(as_of);
        });
        if let Err(error) = started {
            tracing::warn!("the clinic is not read for its results: {error}");
            self.end(as_of);
        }
    }

    fn end(&self, as_of: Day) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.at_work.remove(&as_of);
        }
    }
}

/// Keeps the rows of a day; the earliest days go first.
fn keep(kept: &mut Kept, as_of: Day, rows: Arc<Rows>) {
    while kept.rows.len() >= KEPT_DAYS {
        let Some(earliest) = kept.rows.keys().copied().min() else { break };
        kept.rows.remove(&earliest);
        kept.written.remove(&earliest);
    }
    kept.rows.insert(as_of, rows);
    kept.written.insert(as_of, HashSet::new());
}

/// Every child of the archive, as known on a day. Logs are read one after the other and worked on side by
/// side.
///
/// # Errors
/// When the records cannot be read.
pub fn read_clinic(archive: &Archive, as_of: Day) -> Result<Clinic, ArchiveError> {
    Ok(read_rows(archive, as_of)?.clinic)
}

fn read_rows(archive: &Archive, as_of: Day) -> Result<Rows, ArchiveError> {
    let (mut clinic, mut waiting) = (Clinic::new(as_of), HashMap::new());
    let mut held: Vec<(ChildId, Vec<Entry>)> = Vec::with_capacity(AT_ONCE);
    let mut take = |held: &mut Vec<(ChildId, Vec<Entry>)>| {
        let read: Vec<Option<Read>> =
            held.par_iter().map(|(child, entries)| Read::of(*child, entries, as_of)).collect();
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
