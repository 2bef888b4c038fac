//! What stays in doubt about the columns of a file once their meanings are settled: facts in such columns
//! are asked about, never half read.

mod codes;
mod rows;
mod shared;
mod unused;

use crate::{ColumnMap, MapFile, Table, guess::Profile};

/// Finds what is in doubt, with the questions about it.
pub(crate) fn find(table: &Table, map: &mut ColumnMap, said: &MapFile, profiles: &[Profile]) {
    for column in &map.columns {
        if let Some(state) = said.repeats_state(column) {
            map.first_change.insert(column.index, state);
        }
    }
    shared::settle(table, map, said);
    codes::signs(table, map, said);
    codes::numbers_for_words(table, map, said);
    unused::find(map, said, profiles);
    rows::sheets(table, map, said);
    rows::footers(table, map, said);
    rows::blanks(table, map, said);
}
