//! One visit of a row: its day, its feet, and what each of them brings.

use super::{Reader, Refusal, Refusals, RowRead, RowVisit, foot::FootValues, needs_foot};
use crate::{ImportReason, Meaning, layout::VisitColumns};
use record::{Day, Side};

impl Reader<'_> {
    pub(super) fn visit(
        &self,
        row: usize,
        columns: &VisitColumns,
        out: &mut RowRead,
    ) -> Result<(), Refusals> {
        let own_side = columns.side.map_or(Ok(None), |column| self.side(row, column));
        let day = self.visit_day(row, columns);
        let (own_side, day) = match (own_side, day) {
            (Ok(side), Ok(day)) => (side, day),
            (side, day) => {
                let reasons = side.err().into_iter().chain(day.err());
                return Err(reasons.map(|refusal| *refusal).collect());
            }
        };
        let named: Vec<Side> = own_side.map_or_else(|| out.feet.clone(), |sides| sides.each().to_vec());
        let filled = self.is_filled(row, columns);
        let Some((day, cast_dated)) = day else {
            let Some(column) = filled else { return Ok(()) };
            let at = columns.date.or(columns.cast_dates.first().map(|&(_, at)| at)).unwrap_or(column);
            let text = "There is no date for what this row says.";
            return Err(vec![self.remark(ImportReason::NoDate, at, self.cell(row, at), text)]);
        };
        let before = (out.events.len(), out.questions.len(), out.left_out.len());
        let read = self.visit_on(row, columns, (day, cast_dated), named, out);
        if read.is_err() {
            // What the visit had brought by then goes with it.
            out.events.truncate(before.0);
            out.questions.truncate(before.1);
            out.left_out.truncate(before.2);
        } else {
            out.sat_on = out.sat_on.or(Some(day));
        }
        read
    }

    fn visit_on(
        &self,
        row: usize,
        columns: &VisitColumns,
        (day, cast_dated): (Day, bool),
        named: Vec<Side>,
        out: &mut RowRead,
    ) -> Result<(), Refusals> {
        let alone = |refusal: Refusal| vec![*refusal];
        if let Some((column, cell)) = self.entire(row, columns) {
            return self.take_entire((column, cell), day, &named, out).map_err(alone);
        }
        let mut visit = RowVisit {
            day,
            row,
            columns,
            named,
            cast_dated,
            missed: false,
            came: false,
            acts: Vec::new(),
            noted: Vec::new(),
        };
        self.said(&mut visit, out);
        let feet = self.feet(&visit, out)?;
        self.write(visit, feet, out).map_err(alone)
    }

    /// The day of a visit, and whether it is known from the date of a cast.
    pub(super) fn visit_day(
        &self,
        row: usize,
        columns: &VisitColumns,
    ) -> Result<Option<(Day, bool)>, Refusal> {
        let mut day = None;
        if let Some(column) = columns.date {
            day = self.date(row, column)?.map(|day| (day, false));
        }
        for &(_, column) in &columns.cast_dates {
            if day.is_none() {
                day = self.date(row, column)?.map(|day| (day, true));
            }
        }
        Ok(day)
    }

    /// The first column of the visit that holds something besides dates.
    fn is_filled(&self, row: usize, columns: &VisitColumns) -> Option<usize> {
        let foot = columns.foot.iter().map(|&(_, _, at)| at);
        let done = columns.done.iter().map(|&(_, at)| at);
        let remarks = columns.remarks.iter().map(|&(_, at)| at);
        let more = [columns.attended, columns.hours, columns.brace, columns.next, columns.details]
            .into_iter()
            .flatten();
        let declared = columns.declared.iter().map(|&(_, at)| at);
        let mut all = foot.chain(done).chain(remarks).chain(more).chain(declared);
        all.find(|&at| !self.text(row, Some(at)).is_empty())
    }

    /// The first column of a foot, or of no foot by name, in which the row holds something.
    fn first_of(&self, visit: &RowVisit<'_>, wanted: Option<Side>) -> Option<usize> {
        let holds = |&&(side, _, at): &&(Option<Side>, Meaning, usize)| match wanted {
            Some(of) if side.is_none() => {
                self.score_of_foot(visit, at, of).is_some_and(|text| !text.is_empty())
            }
            None if self.score_of_foot(visit, at, Side::Right).is_some() => false,
            _ => side == wanted && !self.text(visit.row, Some(at)).is_empty(),
        };
        visit.columns.foot.iter().find(holds).map(|&(_, _, at)| at)
    }

    /// The feet of which something is written in columns of their own.
    pub(super) fn written(&self, visit: &RowVisit<'_>) -> Vec<Side> {
        Side::BOTH.into_iter().filter(|&side| self.first_of(visit, Some(side)).is_some()).collect()
    }

    /// The feet of the visit with what is written of each. A cell that cannot be read costs its foot; where
    /// no other foot is left, the visit.
    fn feet(&self, visit: &RowVisit<'_>, out: &mut RowRead) -> Result<Vec<FootValues>, Refusals> {
        let written = self.written(visit);
        let sides = self.feet_meant(visit, &written).map_err(|refusal| vec![*refusal])?;
        let (mut feet, mut refused) = (Vec::new(), Refusals::new());
        for &side in &sides {
            match self.foot(visit, side, out) {
                Ok(values) => feet.push(values),
                Err(reasons) => {
                    out.left_out.push(format!("the {side} foot on {}", visit.day.words()));
                    refused.extend(reasons);
                }
            }
        }
        if feet.is_empty() && !refused.is_empty() {
            return Err(refused);
        }
        out.questions.append(&mut refused);
        for side in written.into_iter().filter(|side| !sides.contains(side)) {
            self.other_foot(visit, side, &mut feet, out);
        }
        Ok(feet)
    }

    /// The feet a visit is about: those the row names, else those it says something of.
    fn feet_meant(&self, visit: &RowVisit<'_>, written: &[Side]) -> Result<Vec<Side>, Refusal> {
        let row = visit.row;
        let shared = self.first_of(visit, None);
        let mut sides = visit.named.clone();
        if sides.is_empty() {
            sides = written.to_vec();
        }
        if sides.is_empty() {
            let acted = |side: &Side| visit.acts.iter().any(|(of, _)| *of == Some(*side));
            sides = Side::BOTH.into_iter().filter(acted).collect();
        }
        if sides.is_empty() && visit.cast_dated {
            sides = visit
                .columns
                .cast_dates
                .iter()
                .filter_map(|&(side, at)| side.filter(|_| !self.text(row, Some(at)).is_empty()))
                .collect();
        }
        let acts_need =
            visit.acts.iter().any(|(side, act)| side.is_none() && needs_foot(act)) || visit.cast_dated;
        if sides.is_empty() && !(visit.missed && shared.is_none()) && (shared.is_some() || acts_need) {
            let in_doubt = |at: usize| self.foot_in_doubt(at, self.cell(row, at));
            if let Some(refusal) = shared.and_then(in_doubt) {
                return Err(refusal);
            }
            let at = self.layout.side.or(visit.columns.side).or(shared);
            let text = "The row does not say which foot.";
            return Err(Box::new(self.remark_at(ImportReason::UnknownSide, at, row, text)));
        }
        Ok(sides)
    }

    /// A foot that is scored though the row does not name it.
    fn other_foot(&self, visit: &RowVisit<'_>, side: Side, feet: &mut Vec<FootValues>, out: &mut RowRead) {
        let values = match self.foot(visit, side, out) {
            Ok(values) => values,
            Err(reasons) => {
                out.left_out.push(format!("the {side} foot on {}", visit.day.words()));
                out.questions.extend(reasons);
                return;
            }
        };
        if values.is_all_zero() {
            return;
        }
        let text = format!("The {side} foot is scored, but the row does not call it affected.");
        let at = self.first_of(visit, Some(side));
        out.questions.push(self.remark_at(ImportReason::OtherFootScored, at, visit.row, text));
        feet.push(values);
    }
}
