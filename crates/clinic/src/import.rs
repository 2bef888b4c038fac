//! Planning an import: `exchange` plans entries row by row, the archive says what is known already.

use archive::{Archive, ArchiveError};
use exchange::{ColumnMap, KnownChild, Nothing, Plan, Stamp, Table};
use record::{ChildId, Day, Entry};
use std::cell::RefCell;
use uuid::Uuid;

/// Similar children looked at per row of a file.
const SIMILAR: usize = 12;

/// What an import of a table would write; where there are no records yet every child is new. The records are
/// only read. New entries and children are numbered from `first_id`.
///
/// # Errors
/// When the records cannot be read: a child that could not be looked up must not be taken for new.
pub fn plan_import(
    archive: Option<&Archive>,
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
    let Some(archive) = archive else {
        return Ok(exchange::plan(table, map, &Nothing, stamp, &mut new_id, progress));
    };
    let known = KnownToArchive { archive, error: RefCell::default() };
    let plan = exchange::plan(table, map, &known, stamp, &mut new_id, progress);
    known.error.into_inner().map_or(Ok(plan), Err)
}

/// The records as an import asks them. The first error is saved, because the questions have no way to answer
/// with one.
struct KnownToArchive<'a> {
    archive: &'a Archive,
    error: RefCell<Option<ArchiveError>>,
}

impl KnownToArchive<'_> {
    fn or_save<T: Default>(&self, result: Result<T, ArchiveError>) -> T {
        result.unwrap_or_else(|error| {
            self.error.borrow_mut().get_or_insert(error);
            T::default()
        })
    }
}

impl exchange::Known for KnownToArchive<'_> {
    fn by_number(&self, number: &str) -> Vec<ChildId> {
        self.or_save(self.archive.by_number(number))
    }

    fn alike(&self, family: &str, given: &str, born: Option<Day>) -> Vec<KnownChild> {
        let name = format!("{family} {given}");
        let mut found = Vec::new();
        if !name.trim().is_empty() {
            let hits = self.or_save(self.archive.search(&name, SIMILAR));
            found.extend(hits.into_iter().map(|hit| hit.summary));
        }
        if let Some(born) = born {
            found.extend(self.or_save(self.archive.born_on(born)));
        }
        let known = |summary: archive::Summary| KnownChild {
            id: summary.child,
            family_name: summary.family_name,
            given_name: summary.given_name,
            born: summary.born,
            numbers: summary.numbers,
        };
        found.into_iter().map(known).collect()
    }

    fn entries(&self, child: ChildId) -> Vec<Entry> {
        self.or_save(self.archive.entries(child))
    }
}
