//! What a workbook may cost: everything is counted as it is read, because what a file declares about
//! itself cannot be relied on.

use crate::table::{MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT_BYTES};
use std::cell::Cell;

/// Most bytes that the parts of a packed workbook may unpack to, all together.
pub(super) const MOST_UNPACKED_BYTES: u64 = 512 << 20;
/// A part that unpacks to more than this is looked at for its ratio.
const RATIO_FROM_BYTES: u64 = 16 << 20;
/// Most bytes that one packed byte may unpack to in a large part. Sheets reach 10 to 40.
const MOST_RATIO: u64 = 200;
/// Most sheets.
const MOST_SHEETS: usize = 1000;
/// Most bytes without a tag between them: a cell holds 32,767 characters at most.
pub(super) const LONGEST_VALUE_BYTES: usize = 1 << 20;
/// Most values that a list of a workbook may have: shared texts, cell formats, merged areas.
pub(super) const MOST_LISTED: usize = 4_000_000;

/// Why a workbook is not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum WorkbookFault {
    /// Damaged, or not as the format prescribes.
    Broken(String),
    /// Locked with a password.
    Locked,
    /// More than is read; what of it.
    TooLarge(String),
    /// More rows than are read.
    Rows,
    /// More columns than are read: the row and the number of columns.
    Columns(usize, usize),
}

impl WorkbookFault {
    pub(super) fn broken(why: impl Into<String>) -> Self {
        Self::Broken(why.into())
    }

    fn large(what: impl Into<String>) -> Self {
        Self::TooLarge(what.into())
    }
}

/// What has been used so far, over all sheets.
#[derive(Debug, Default)]
pub(super) struct Budget {
    unpacked: Cell<u64>,
    cells: Cell<usize>,
    text: Cell<usize>,
}

impl Budget {
    /// Counts bytes just unpacked from a part of which `part_unpacked` bytes came from `part_packed`.
    pub(super) fn unpack(
        &self,
        bytes: usize,
        part_unpacked: u64,
        part_packed: u64,
    ) -> Result<(), WorkbookFault> {
        self.unpacked.set(self.unpacked.get().saturating_add(bytes as u64));
        self.declared(self.unpacked.get())?;
        if part_unpacked > RATIO_FROM_BYTES && part_unpacked / MOST_RATIO > part_packed {
            return Err(WorkbookFault::large(format!(
                "it unpacks to more than {MOST_RATIO} times its size, as no spreadsheet does"
            )));
        }
        Ok(())
    }

    /// Refuses a part that already declares too much.
    pub(super) fn declared(&self, bytes: u64) -> Result<(), WorkbookFault> {
        if bytes > MOST_UNPACKED_BYTES {
            return Err(WorkbookFault::large(format!(
                "it unpacks to more than {} MB",
                MOST_UNPACKED_BYTES >> 20
            )));
        }
        Ok(())
    }

    /// Counts a cell with its text.
    pub(super) fn cell(&self, text_bytes: usize) -> Result<(), WorkbookFault> {
        self.cells.set(self.cells.get() + 1);
        self.text.set(self.text.get().saturating_add(text_bytes));
        if self.cells.get() > MOST_CELLS {
            return Err(WorkbookFault::large(format!(
                "it has more than {} million cells",
                MOST_CELLS / 1_000_000
            )));
        }
        if self.text.get() > MOST_TEXT_BYTES {
            return Err(WorkbookFault::large(format!(
                "its cells hold more than {} MB",
                MOST_TEXT_BYTES >> 20
            )));
        }
        Ok(())
    }

    /// Checks the length of one value.
    pub(super) fn value(bytes: usize) -> Result<(), WorkbookFault> {
        if bytes > LONGEST_VALUE_BYTES {
            return Err(WorkbookFault::large(format!(
                "one value in it is longer than {} kB",
                LONGEST_VALUE_BYTES >> 10
            )));
        }
        Ok(())
    }

    /// Checks the length of a list.
    pub(super) fn listed(count: usize) -> Result<(), WorkbookFault> {
        if count > MOST_LISTED {
            return Err(WorkbookFault::large(format!("it has a list of more than {MOST_LISTED} values")));
        }
        Ok(())
    }

    /// Checks the number of sheets.
    pub(super) fn sheets(count: usize) -> Result<(), WorkbookFault> {
        if count > MOST_SHEETS {
            return Err(WorkbookFault::large(format!("it has more than {MOST_SHEETS} sheets")));
        }
        Ok(())
    }

    /// Checks the place of a cell.
    pub(super) fn place(row: usize, column: usize) -> Result<(), WorkbookFault> {
        if row >= MOST_ROWS {
            return Err(WorkbookFault::Rows);
        }
        if column >= MOST_COLUMNS {
            return Err(WorkbookFault::Columns(row + 1, column + 1));
        }
        Ok(())
    }
}
