//! From cells, one after the other, to the grid of a sheet.

use super::budget::{Budget, WorkbookFault};
use crate::{
    table::{CellKind, Grid},
    text::column_letter,
};
use std::collections::BTreeMap;

/// A merged area: its first and its last row and column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct MergedArea {
    pub(super) first: (usize, usize),
    pub(super) last: (usize, usize),
}

/// Most cells that may come out of their order, or take their value from a merged area.
const MOST_LATE: usize = 500_000;
/// Most cells that all merged areas may cover.
const MOST_MERGED: usize = 10_000_000;

/// Takes the cells of a sheet that hold anything. Rows and columns keep the numbers they have in the
/// workbook: blank ones above and to the left are filled in.
pub(super) struct SheetBuilder<'b> {
    budget: &'b Budget,
    grid: Grid,
    /// Where the next cell in order may be.
    next: (usize, usize),
    /// Cells that came later than their place.
    late: BTreeMap<(usize, usize), (String, CellKind)>,
    merged: Vec<MergedArea>,
    /// Merged areas that run over several columns.
    across: Vec<MergedArea>,
    /// Merged areas that run over several rows, as far as their value holds.
    down: Vec<MergedArea>,
}

impl<'b> SheetBuilder<'b> {
    pub(super) fn new(budget: &'b Budget) -> Self {
        let (late, merged) = (BTreeMap::new(), Vec::new());
        let (across, down) = (Vec::new(), Vec::new());
        Self { budget, grid: Grid::typed(), next: (0, 0), late, merged, across, down }
    }

    /// Adds a cell. Blank text is passed over.
    pub(super) fn push(
        &mut self,
        (row, column): (usize, usize),
        text: &str,
        kind: CellKind,
    ) -> Result<(), WorkbookFault> {
        if text.is_empty() {
            return Ok(());
        }
        Budget::place(row, column)?;
        if (row, column) < self.next {
            return self.push_late((row, column), text, kind);
        }
        self.fill_up_to(row, column)?;
        self.budget.cell(text.len())?;
        self.grid.push(text, kind);
        self.next = (row, column + 1);
        Ok(())
    }

    fn fill_up_to(&mut self, row: usize, column: usize) -> Result<(), WorkbookFault> {
        while self.grid.height() < row {
            self.grid.end_row();
        }
        while self.grid.open_cells() < column {
            self.budget.cell(0)?;
            self.grid.push("", CellKind::Text);
        }
        Ok(())
    }

    fn push_late(&mut self, place: (usize, usize), text: &str, kind: CellKind) -> Result<(), WorkbookFault> {
        self.budget.cell(text.len())?;
        if self.late.len() >= MOST_LATE {
            let what = format!("more than {MOST_LATE} of its cells are merged or not in order");
            return Err(WorkbookFault::TooLarge(what));
        }
        let there = !self.grid.cell(place.0, place.1).is_blank();
        if there || self.late.insert(place, (text.to_owned(), kind)).is_some() {
            let (row, column) = place;
            return Err(WorkbookFault::broken(format!(
                "the cell {}{} is in it twice",
                column_letter(column),
                row + 1
            )));
        }
        Ok(())
    }

    /// Adds a merged area.
    pub(super) fn merge(&mut self, area: MergedArea) -> Result<(), WorkbookFault> {
        Budget::listed(self.merged.len() + 1)?;
        self.merged.push(area);
        Ok(())
    }

    /// The grid. `spreads` says of a merged value whether it holds across its columns as well.
    pub(super) fn finish(mut self, spreads: impl Fn(&str) -> bool) -> Result<Grid, WorkbookFault> {
        if self.grid.open_cells() > 0 {
            self.grid.end_row();
        }
        if !self.late.is_empty() {
            self.grid = self.with_late();
        }
        self.spread(spreads)?;
        if !self.late.is_empty() {
            self.grid = self.with_late();
        }
        // In order, so that each goes to the end of the list.
        self.across.sort_by_key(|area| area.first);
        for MergedArea { first: (row, from), last: (_, to) } in self.across {
            self.grid.mark_across(row, from, to);
        }
        self.down.sort_by_key(|area| (area.first.1, area.first.0));
        for MergedArea { first: (from, left), last: (to, right) } in self.down {
            (left..=right).for_each(|column| self.grid.mark_down(column, from, to));
        }
        Ok(self.grid)
    }

    /// A value merged down several rows (a name next to a right and a left row) holds for each of them.
    /// Across, only a heading such as "Right" or "Visit 1" holds for each of its columns.
    fn spread(&mut self, spreads: impl Fn(&str) -> bool) -> Result<(), WorkbookFault> {
        let mut covered = 0_usize;
        for area in std::mem::take(&mut self.merged) {
            let ((top, left), (bottom, right)) = (area.first, area.last);
            let value = self.grid.cell(top, left);
            let height = self.grid.height();
            if value.is_blank() {
                continue;
            }
            let (text, kind) = (value.text.to_owned(), value.kind);
            if right > left {
                self.across.push(area);
            }
            let right = if spreads(&text) { right } else { left };
            let bottom = bottom.min(height.saturating_sub(1));
            let (rows, columns) = ((bottom + 1).saturating_sub(top), (right + 1).saturating_sub(left));
            covered = covered.saturating_add(rows.saturating_mul(columns));
            if covered > MOST_MERGED {
                let what =
                    format!("its merged areas cover more than {} million cells", MOST_MERGED / 1_000_000);
                return Err(WorkbookFault::TooLarge(what));
            }
            if bottom > top {
                self.down.push(MergedArea { first: (top, left), last: (bottom, right) });
            }
            for row in top..=bottom {
                for column in left..=right {
                    Budget::place(row, column)?;
                    let place = (row, column);
                    if self.grid.cell(row, column).is_blank() && !self.late.contains_key(&place) {
                        self.push_late(place, &text, kind)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// The grid once more, with the late cells in their places.
    fn with_late(&mut self) -> Grid {
        let (old, late) = (std::mem::take(&mut self.grid), std::mem::take(&mut self.late));
        let mut grid = Grid::typed();
        let mut late = late.into_iter().peekable();
        for row in 0..old.height() {
            let mut column = 0;
            loop {
                let due = late.next_if(|&((at, place), _)| at == row && place == column);
                let more = late.peek().is_some_and(|&((at, _), _)| at == row);
                match due {
                    Some((_, (text, kind))) => grid.push(&text, kind),
                    None if column < old.width_of(row) => {
                        let cell = old.cell(row, column);
                        grid.push(cell.text, cell.kind);
                    }
                    None if more => grid.push("", CellKind::Text),
                    None => break,
                }
                column += 1;
            }
            grid.end_row();
        }
        grid
    }
}
