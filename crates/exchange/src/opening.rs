//! A clinic's file opened as its map says: the sheets, the rows of the headings, the form of the rows.

use crate::{
    MapFile, Meaning, ReadError, Table,
    table::{self, RowForm},
};

/// Reads a file as [`crate::read_table`] does, with the sheets, the header row and the form of the rows that a
/// map file names.
///
/// # Errors
/// As [`crate::read_table`], and where the sheet or the header row is not there.
pub fn read_mapped(bytes: &[u8], file_name: &str, map: Option<&MapFile>) -> Result<Table, ReadError> {
    let choice = map.map(MapFile::sheet_choice).unwrap_or_default();
    Ok(shaped(table::read(bytes, file_name, &choice)?, map))
}

/// The table with one row for each visit and foot, where its rows hold one measurement each.
#[must_use]
pub fn shaped(table: Table, map: Option<&MapFile>) -> Table {
    let column = |meaning| map.and_then(|map| map.column_for(&table, meaning));
    let form = RowForm {
        long: map.and_then(MapFile::layout).map(|layout| layout == "long"),
        item: column(Meaning::Item),
        value: column(Meaning::ItemValue),
    };
    table.shaped(&form)
}
