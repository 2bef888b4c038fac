//! Planning an import: `exchange` plans entries row by row, and the records show what is known already.

use crate::ClinicRecords;
use archive::{ArchiveError, Summary};
use course::{CorrectedLog, Fate};
use exchange::{ColumnMap, HoldingEntry, KnownChild, Nothing, Plan, Stamp, Table};
use record::{ChildId, Day, Entry, EntryId};
use std::{cell::RefCell, collections::HashSet, rc::Rc};
use uuid::Uuid;

/// Similar children compared per row of a file.
const SIMILAR: usize = 12;

/// What an import of a table would write; without records every child is new. The records are only read. New
/// entries and children are numbered from `first_id`.
///
/// # Errors
/// When the records cannot be read: a child that could not be looked up must not be taken for new.
pub fn plan_import(
    records: Option<&ClinicRecords>,
    (table, map): (&Table, &ColumnMap),
    stamp: &Stamp,
    first_id: Uuid,
    progress: &mut dyn FnMut(usize),
) -> Result<Plan, ArchiveError> {
    let mut next = first_id.as_u128();
    let mut new_id = || {
        next += 1;
        Uuid::from_u128(next)
    };
    let Some(records) = records else {
        return Ok(exchange::plan(table, map, &Nothing, stamp, &mut new_id, progress));
    };
    let known = records.known()?;
    let plan = exchange::plan(table, map, &known, stamp, &mut new_id, progress);
    known.checked(plan)
}

/// The records as an import queries them. [`exchange::Known`] has no way to return an error, so the first one
/// is saved until [`KnownRecords::checked`].
pub struct KnownRecords<'a> {
    records: &'a ClinicRecords,
    any_undone: bool,
    /// The log read last: each child is asked about in two ways, one after the other.
    last: RefCell<Option<(ChildId, Rc<Vec<Entry>>)>>,
    error: RefCell<Option<ArchiveError>>,
}

impl ClinicRecords {
    /// The records as an import queries them.
    ///
    /// # Errors
    /// When the list of past imports cannot be read.
    pub fn known(&self) -> Result<KnownRecords<'_>, ArchiveError> {
        let any_undone = self.past_imports()?.iter().any(|import| import.undone.is_some());
        Ok(KnownRecords { records: self, any_undone, last: RefCell::default(), error: RefCell::default() })
    }
}

impl KnownRecords<'_> {
    /// What was planned from the answers, if every query could be answered.
    ///
    /// # Errors
    /// The first error that a query met.
    pub fn checked<T>(self, planned: T) -> Result<T, ArchiveError> {
        self.error.into_inner().map_or(Ok(planned), Err)
    }

    fn or_save<T: Default>(&self, result: Result<T, ArchiveError>) -> T {
        result.unwrap_or_else(|error| {
            self.error.borrow_mut().get_or_insert(error);
            T::default()
        })
    }
}

impl KnownRecords<'_> {
    /// The log of a child without what an undone import brought and without the withdrawals of that: the file
    /// may be imported again as if it never had been. What a person withdrew stays known.
    fn log(&self, child: ChildId) -> Rc<Vec<Entry>> {
        if let Some((_, log)) = self.last.borrow().as_ref().filter(|(of, _)| *of == child) {
            return Rc::clone(log);
        }
        let mut entries = self.or_save(self.records.entries(child));
        if self.any_undone {
            let undone = self.or_save(self.records.archive().undone_entries(child));
            leave_out_withdrawn(&mut entries, &undone);
        }
        let log = Rc::new(entries);
        *self.last.borrow_mut() = Some((child, Rc::clone(&log)));
        log
    }
}

/// Leaves out those of the entries that are withdrawn, each with its withdrawal.
fn leave_out_withdrawn(entries: &mut Vec<Entry>, undone: &HashSet<EntryId>) {
    let log = CorrectedLog::of(entries, Day::LAST);
    let mut left_out = HashSet::new();
    for line in log.lines.iter().filter(|line| undone.contains(&line.entry.id)) {
        if let Fate::Withdrawn { by } = line.fate {
            left_out.extend([line.entry.id, by]);
        }
    }
    entries.retain(|entry| !left_out.contains(&entry.id));
}

impl exchange::Known for KnownRecords<'_> {
    fn by_number(&self, number: &str) -> Vec<ChildId> {
        self.or_save(self.records.by_number(number))
    }

    fn alike(&self, family: &str, given: &str, born: Option<Day>) -> Vec<KnownChild> {
        let name = format!("{family} {given}");
        let mut found = Vec::new();
        if !name.trim().is_empty() {
            let hits = self.or_save(self.records.search(&name, SIMILAR));
            // A carer of this name is no reason to take two children for one.
            found.extend(hits.into_iter().filter(|hit| hit.own).map(|hit| hit.summary));
        }
        if let Some(born) = born {
            found.extend(self.or_save(self.records.archive().born_on(born)));
        }
        let known = |summary: Summary| KnownChild {
            id: summary.child,
            family_name: summary.family_name,
            given_name: summary.given_name,
            born: summary.born,
            numbers: summary.numbers,
        };
        found.into_iter().map(known).collect()
    }

    fn holding(&self, child: ChildId) -> Vec<HoldingEntry> {
        let entries = self.log(child);
        let log = CorrectedLog::of(&entries, Day::LAST);
        let holds = log.lines.iter().filter(|line| line.fate.holds());
        holds.map(|line| HoldingEntry { id: line.entry.id, on: line.on, body: line.body.clone() }).collect()
    }

    fn entries(&self, child: ChildId) -> Vec<Entry> {
        self.log(child).to_vec()
    }
}
