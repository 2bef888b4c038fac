//! A row that gives one entry in full: its day and child count with it, and no other column.

use super::{Event, Reader, Refusal, RowRead};
use crate::{ImportReason, details, layout::VisitColumns, table::Cell};
use record::{Body, Day, SecondScore, Side};

impl<'a> Reader<'a> {
    /// The cell that gives an entry in full, where there is one.
    pub(super) fn entire(&self, row: usize, columns: &VisitColumns) -> Option<(usize, Cell<'a>)> {
        let column = columns.details.filter(|&at| !self.text(row, Some(at)).is_empty())?;
        Some((column, self.cell(row, column)))
    }

    /// Takes the entry. The foot of the row, where it names one, must be that of the entry.
    pub(super) fn take_entire(
        &self,
        (column, cell): (usize, Cell<'_>),
        day: Day,
        named: &[Side],
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let body = details::read(cell.trimmed())
            .map_err(|text| self.refuse(ImportReason::UnreadableValue, column, cell, text))?;
        if let Some(side) = body.side()
            && !named.is_empty()
            && named != [side]
        {
            let text = format!("The entry in full is about the {side} foot, the row about another.");
            return Err(self.refuse(ImportReason::UnknownSide, column, cell, text));
        }
        match body {
            Body::Registration(registration) => out.registration = Some((day, Box::new(registration))),
            // The entry it was paired with has another id here: the day and the foot lead to it.
            Body::SecondScore(second) => {
                out.events.push((day, Event::Body(SecondScore { first: None, ..second }.into())));
            }
            body => out.events.push((day, Event::Body(body))),
        }
        Ok(())
    }
}
