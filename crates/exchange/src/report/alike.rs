//! Rows about which the same is reported, together.

use super::{Disposition, Remark, Report};
use std::collections::HashMap;

/// Rows of one sheet with the same result and the same remark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AlikeRows<'r> {
    /// The sheet, where several were read.
    pub sheet: Option<&'r str>,
    /// What became of them.
    pub disposition: Disposition,
    /// What is reported.
    pub remark: &'r Remark,
    /// The rows, in the order of the file.
    pub rows: Vec<usize>,
}

/// Rows that are named; the others are counted.
const ROWS_NAMED: usize = 5;

impl AlikeRows<'_> {
    /// The rows in words: `2`, `2, 5, 9`, or `2, 5, 9, 11, 12 and 80 more`.
    #[must_use]
    pub fn rows_words(&self) -> String {
        let named: Vec<String> = self.rows.iter().take(ROWS_NAMED).map(ToString::to_string).collect();
        let more = self.rows.len().saturating_sub(ROWS_NAMED);
        if more == 0 { named.join(", ") } else { format!("{} and {more} more", named.join(", ")) }
    }
}

impl Report {
    /// The remarks on rows, equal ones together, in the order of their first rows.
    #[must_use]
    pub fn alike_rows(&self) -> Vec<AlikeRows<'_>> {
        let mut groups: Vec<AlikeRows<'_>> = Vec::new();
        let mut place_of = HashMap::new();
        for row in &self.not_plain {
            let (sheet, remark) = (row.sheet.as_deref(), &row.remark);
            let key = (sheet, row.disposition, &remark.column, &remark.value, &remark.text);
            let place = *place_of.entry(key).or_insert(groups.len());
            match groups.get_mut(place) {
                Some(group) => group.rows.push(row.row),
                None => {
                    groups.push(AlikeRows {
                        sheet,
                        disposition: row.disposition,
                        remark,
                        rows: vec![row.row],
                    });
                }
            }
        }
        groups
    }
}
