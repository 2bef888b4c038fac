//! What is only mentioned: a tenotomy in a remark, in a column for something else, or in one that is not
//! read. Nothing is taken as done, and the row is asked about, so that none is lost in silence.

use super::{Event, Reader, RowRead, feet_of};
use crate::{
    ImportReason, Meaning,
    dates::{self, DateCell},
    sides::named_within,
    table::{Cell, CellKind},
    values::{self, Read},
    words::done::{self, Act, tenotomy},
};
use record::{Body, Day, Side, TenotomyDone};
use std::collections::BTreeSet;

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
            let mut remark = self.remark(ImportReason::TenotomyInWords, column.index, cell, why);
            if column.meaning == Some(Meaning::Remarks) && dates::dates_in(text).len() == 1 {
                if self.tenotomy_in_remarks(column.index) == Some("note") {
                    continue;
                }
                remark = self.ask_about_tenotomy(column.index, remark);
            }
            out.questions.push(remark);
        }
    }

    /// Tenotomies that remarks name with their date, where the user stated that these were done.
    pub(super) fn tenotomies_by_answer(&self, row: usize, out: &mut RowRead) {
        let [side] = feet_of(out)[..] else { return };
        for &(of, column) in self.layout.visits.iter().flat_map(|visit| &visit.remarks) {
            let text = self.text(row, Some(column));
            if self.tenotomy_in_remarks(column) != Some("done") || !tenotomy::is_mentioned(text) {
                continue;
            }
            let (right, left) = named_within(text);
            let opposite = if side == Side::Right { left } else { right };
            let other = opposite || of.is_some_and(|of| of != side);
            let [date] = dates::dates_in(text)[..] else { continue };
            if let Some(day) = self.day_in_words(date).filter(|_| !other) {
                let body: Body = TenotomyDone::on(side).into();
                if !out.events.iter().any(|(on, event)| *on == day && *event == Event::Body(body.clone())) {
                    out.events.push((day, Event::Body(body)));
                }
            }
        }
    }

    /// Asks about each remark that holds a date of its own: something that happened on another day is not
    /// taken in with the visit. A row that is asked about the same cell already is not asked twice.
    pub(super) fn dates_in_words(&self, row: usize, out: &mut RowRead) {
        let cut: Vec<Side> = out.events.iter().filter_map(|(_, event)| cut_in(event)).collect();
        for &(_, column) in self.layout.visits.iter().flat_map(|visit| &visit.remarks) {
            let text = self.text(row, Some(column));
            let dates = dates::dates_in(text);
            if self.dates_are_notes(column) || told_of_tenotomy(text, &cut) {
                continue;
            }
            let own = |date: &&str| self.day_in_words(date).is_none_or(|day| Some(day) != out.sat_on);
            let Some(date) = dates.into_iter().find(own) else { continue };
            let name = Some(self.column_name(column));
            if out.questions.iter().any(|asked| asked.column == name) {
                continue;
            }
            let why = format!(
                "The words name the date {date}; they are kept as a note, and nothing is taken as done on that day."
            );
            let remark = self.remark(ImportReason::DateInWords, column, self.cell(row, column), why);
            out.questions.push(self.ask_about_dates(column, remark));
        }
    }

    /// The columns of remarks in which what was done is written down, though nothing is read from them.
    pub(super) fn remarks_with_acts(&self) -> BTreeSet<usize> {
        let remarks = self.layout.visits.iter().flat_map(|visit| &visit.remarks);
        let open = remarks.map(|&(_, column)| column).filter(|&column| !self.map.settled.contains(&column));
        open.filter(|&column| self.holds_acts(column)).collect()
    }

    fn holds_acts(&self, column: usize) -> bool {
        let filled =
            self.table.rows().map(|row| self.text(row, Some(column))).filter(|text| !text.is_empty());
        let (mut seen, mut acts) = (0, 0);
        for text in filled.take(REMARKS_LOOKED_AT) {
            seen += 1;
            acts += usize::from(done::acts_in(text).is_ok_and(|acts| acts.iter().any(is_treatment)));
        }
        acts >= 3 && acts * 5 >= seen
    }

    /// Asks about each remark that names a treatment in a column where treatments are written down, unless the
    /// row brings one from another column.
    pub(super) fn acts_in_words(&self, row: usize, out: &mut RowRead) {
        if self.treated_in_remarks.is_empty() || out.events.iter().any(|(_, event)| is_treated(event)) {
            return;
        }
        for &column in &self.treated_in_remarks {
            let text = self.text(row, Some(column));
            let name = Some(self.column_name(column));
            if !done::names_treatment(text) || out.questions.iter().any(|asked| asked.column == name) {
                continue;
            }
            let why = "A treatment is named here, and nothing is taken as done, since the column is one of remarks.";
            let remark = self.remark(ImportReason::ActInWords, column, self.cell(row, column), why);
            out.questions.push(self.ask_about_acts(column, remark));
        }
    }

    /// The day that a date within a text means, where the order of dates in this file is settled.
    pub(super) fn day_in_words(&self, date: &str) -> Option<Day> {
        let cell = Cell { kind: CellKind::Text, text: date };
        match dates::read(cell, self.dates.pivot) {
            DateCell::Day(day) => Some(day),
            DateCell::Figures(figures) => {
                let order = self.dates.order.or_else(|| figures.only())?;
                figures.under(order, self.dates.pivot)
            }
            _ => None,
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

/// Remarks looked at for treatments.
const REMARKS_LOOKED_AT: usize = 300;

fn is_treatment(act: &Act) -> bool {
    matches!(act, Act::Cast(_) | Act::Tenotomy | Act::TenotomyOnly | Act::Brace { .. } | Act::Relapse)
}

/// Whether an event is a treatment.
pub(super) fn is_treated(event: &Event) -> bool {
    match event {
        Event::Brace(_) => true,
        Event::Body(body) => {
            matches!(
                body,
                Body::CastApplied(_) | Body::TenotomyDone(_) | Body::BraceFitted(_) | Body::RelapseNoted(_)
            )
        }
    }
}

/// The foot of a tenotomy done or booked.
pub(super) fn cut_in(event: &Event) -> Option<Side> {
    match event {
        Event::Body(Body::TenotomyDone(done)) => Some(done.side),
        Event::Body(Body::TenotomyBooked(booked)) => Some(booked.side),
        _ => None,
    }
}

/// Whether the date of a text is that of a tenotomy which the row brings.
fn told_of_tenotomy(text: &str, cut: &[Side]) -> bool {
    tenotomy::is_mentioned(text) && is_told(text, cut)
}

/// Whether the tenotomies that the row brings are those the words name.
pub(super) fn is_told(text: &str, cut: &[Side]) -> bool {
    let (right, left) = named_within(text);
    !cut.is_empty() && (!right || cut.contains(&Side::Right)) && (!left || cut.contains(&Side::Left))
}
