//! A tenotomy that is only mentioned: in a remark, in a column for something else, or in one that is not
//! read. Nothing is taken as done, and the row is asked about, so that none is lost in silence.

use super::{Event, Reader, RowRead};
use crate::{
    ImportReason, Meaning,
    sides::named_within,
    values::{self, Read},
    words::done::tenotomy,
};
use record::{Body, Side};

impl Reader<'_> {
    /// Asks about each cell that names a tenotomy which the row does not bring. Columns that are read for it
    /// ask by themselves.
    pub(super) fn tenotomies_in_words(&self, row: usize, out: &mut RowRead) {
        let cut: Vec<Side> = out.events.iter().filter_map(|(_, event)| cut_in(event)).collect();
        for column in &self.map.columns {
            let read_for_it = matches!(
                column.meaning,
                Some(
                    Meaning::Done
                        | Meaning::Tenotomy
                        | Meaning::TenotomyDate
                        | Meaning::EarlierTreatment
                        | Meaning::Details
                )
            );
            let text = self.text(row, Some(column.index));
            if read_for_it || text.is_empty() || !self.names_tenotomy(column.index, column.meaning, text) {
                continue;
            }
            if is_told(text, &cut) {
                continue;
            }
            let name = Some(self.column_name(column.index));
            if out.questions.iter().any(|asked| asked.column == name) {
                continue;
            }
            let why = "A tenotomy is named here, and none is taken as done. If one was done, write it with its day and its foot.";
            let cell = self.cell(row, column.index);
            out.questions.push(self.remark(ImportReason::TenotomyInWords, column.index, cell, why));
        }
    }

    /// Whether the cell names one, or says yes under a heading that is not read and names one.
    fn names_tenotomy(&self, at: usize, meaning: Option<Meaning>, text: &str) -> bool {
        if tenotomy::is_mentioned(text) {
            return true;
        }
        let heading = || self.table.headers.get(at).is_some_and(|heading| tenotomy::is_mentioned(heading));
        meaning.is_none() && heading() && values::yes_no(text) != Read::Value(false)
    }
}

/// The foot of a tenotomy done or booked.
fn cut_in(event: &Event) -> Option<Side> {
    match event {
        Event::Body(Body::TenotomyDone(done)) => Some(done.side),
        Event::Body(Body::TenotomyBooked(booked)) => Some(booked.side),
        _ => None,
    }
}

/// Whether the tenotomies that the row brings are those the words name.
fn is_told(text: &str, cut: &[Side]) -> bool {
    let (right, left) = named_within(text);
    !cut.is_empty() && (!right || cut.contains(&Side::Right)) && (!left || cut.contains(&Side::Left))
}
