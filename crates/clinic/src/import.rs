//! Planning an import: `exchange` plans entries row by row, the records say what is known already.

use crate::ClinicRecords;
use archive::{ArchiveError, Summary};
use exchange::{ColumnMap, KnownChild, Nothing, Plan, Stamp, Table};
use record::{ChildId, Day, Entry};
use std::cell::RefCell;
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
    let known = records.known();
    let plan = exchange::plan(table, map, &known, stamp, &mut new_id, progress);
    known.checked(plan)
}

/// The records as an import queries them. [`exchange::Known`] has no way to return an error, so the first one
/// is saved until [`KnownRecords::checked`].
pub struct KnownRecords<'a> {
    records: &'a ClinicRecords,
    error: RefCell<Option<ArchiveError>>,
}

impl ClinicRecords {
    /// The records as an import queries them.
    #[must_use]
    pub fn known(&self) -> KnownRecords<'_> {
        KnownRecords { records: self, error: RefCell::default() }
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

impl exchange::Known for KnownRecords<'_> {
    fn by_number(&self, number: &str) -> Vec<ChildId> {
        self.or_save(self.records.by_number(number))
    }

    fn alike(&self, family: &str, given: &str, born: Option<Day>) -> Vec<KnownChild> {
        let name = format!("{family} {given}");
        let mut found = Vec::new();
        if !name.trim().is_empty() {
            let hits = self.or_save(self.records.search(&name, SIMILAR));
            found.extend(hits.into_iter().map(|hit| hit.summary));
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

    fn entries(&self, child: ChildId) -> Vec<Entry> {
        self.or_save(self.records.entries(child))
    }
}
