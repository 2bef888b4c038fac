//! What stays in doubt about the columns of a file once their meanings are settled: facts in such columns
//! are asked about, never half read.

use crate::{ColumnMap, MapFile, Table};

/// Finds what is in doubt, with the questions about it.
pub(crate) fn find(_table: &Table, _map: &mut ColumnMap, _said: &MapFile) {}
