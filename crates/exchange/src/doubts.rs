//! What stays in doubt about the columns of a file once their meanings are settled: facts in such columns
//! are asked about, never half read.

mod codes;
mod merged;
mod rows;
mod shared;
mod unused;

pub(crate) use unused::EACH;

use crate::{ColumnMap, Table, coding::ValueCoding, profile};
use std::collections::{BTreeMap, BTreeSet};

/// What a person has settled already of what may be in doubt.
#[derive(Debug, Clone, Default)]
pub(crate) struct DoubtAnswers {
    /// Whether a column repeats the state so far.
    pub(crate) first_change: BTreeMap<usize, bool>,
    /// Columns whose values have a coding.
    pub(crate) coded: BTreeSet<usize>,
    /// How the six signs are written.
    pub(crate) sign_coding: Option<ValueCoding>,
    /// What becomes of rows that look like a footer, and of blank cells.
    pub(crate) footers: Option<String>,
    pub(crate) blank_means: Option<String>,
    /// Other answers by the ids of their questions.
    pub(crate) others: BTreeMap<String, String>,
}

impl DoubtAnswers {
    fn answered(&self, id: &str) -> Option<&str> {
        self.others.get(id).map(String::as_str)
    }
}

/// Finds what is in doubt, with the questions about it.
pub(crate) fn find(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    map.first_change.clone_from(&said.first_change);
    shared::settle(table, map, said);
    codes::signs(table, map, said);
    codes::numbers_for_words(table, map, said);
    unused::find(table, map, said, &profile::of(table));
    merged::settle(table, map, said);
    rows::sheets(table, map, said);
    rows::footers(table, map, said);
    rows::blanks(table, map, said);
}
