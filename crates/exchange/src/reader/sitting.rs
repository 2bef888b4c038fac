//! One sitting of a row: its day, its feet, and what each of them brings.

use super::{Reader, Refusal, Refusals, RowRead, Sitting, foot::FootValues, needs_foot};
use crate::{ImportReason, Meaning, layout::SittingColumns};
use record::{Day, Side};

impl Reader<'_> {
    pub(super) fn sitting(
        &self,
        row: usize,
        columns: &SittingColumns,
        out: &mut RowRead,
    ) -> Result<(), Refusals> {
        let own_side = columns.side.map_or(Ok(None), |column| self.side(row, column));
        let day = self.sitting_day(row, columns);
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
        let read = self.sitting_on(row, columns, (day, cast_dated), named, out);
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

    fn sitting_on(
        &self,
        row: usize,
        columns: &SittingColumns,
        (day, cast_dated): (Day, bool),
        named: Vec<Side>,
        out: &mut RowRead,
    ) -> Result<(), Refusals> {
        let alone = |refusal: Refusal| vec![*refusal];
        if let Some((column, cell)) = self.entire(row, columns) {
            return self.take_entire((column, cell), day, &named, out).map_err(alone);
        }
        let mut sitting = Sitting {
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
        self.said(&mut sitting, out);
        let feet = self.feet(&sitting, out)?;
        self.write(sitting, feet, out).map_err(alone)
    }

    /// The day of a sitting, and whether it is known from the date of a cast.
    pub(super) fn sitting_day(
        &self,
        row: usize,
        columns: &SittingColumns,
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

    /// The first column of the sitting that holds something besides dates.
    fn is_filled(&self, row: usize, columns: &SittingColumns) -> Option<usize> {
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
    fn first_of(&self, sitting: &Sitting<'_>, wanted: Option<Side>) -> Option<usize> {
        let holds = |&&(side, _, at): &&(Option<Side>, Meaning, usize)| match wanted {
            Some(of) if side.is_none() => {
                self.score_of_foot(sitting, at, of).is_some_and(|text| !text.is_empty())
            }
            None if self.score_of_foot(sitting, at, Side::Right).is_some() => false,
            _ => side == wanted && !self.text(sitting.row, Some(at)).is_empty(),
        };
        sitting.columns.foot.iter().find(holds).map(|&(_, _, at)| at)
    }

    /// The feet of which something is written in columns of their own.
    pub(super) fn written(&self, sitting: &Sitting<'_>) -> Vec<Side> {
        Side::BOTH.into_iter().filter(|&side| self.first_of(sitting, Some(side)).is_some()).collect()
    }

    /// The feet of the sitting with what is written of each. A cell that cannot be read costs its foot; where
    /// no other foot is left, the visit.
    fn feet(&self, sitting: &Sitting<'_>, out: &mut RowRead) -> Result<Vec<FootValues>, Refusals> {
        let written = self.written(sitting);
        let sides = self.feet_meant(sitting, &written).map_err(|refusal| vec![*refusal])?;
        let (mut feet, mut refused) = (Vec::new(), Refusals::new());
        for &side in &sides {
            match self.foot(sitting, side, out) {
                Ok(values) => feet.push(values),
                Err(reasons) => {
                    out.left_out.push(format!("the {side} foot on {}", sitting.day.words()));
                    refused.extend(reasons);
                }
            }
        }
        if feet.is_empty() && !refused.is_empty() {
            return Err(refused);
        }
        out.questions.append(&mut refused);
        for side in written.into_iter().filter(|side| !sides.contains(side)) {
            self.other_foot(sitting, side, &mut feet, out);
        }
        Ok(feet)
    }

    /// The feet a sitting is about: those the row names, else those it says something of.
    fn feet_meant(&self, sitting: &Sitting<'_>, written: &[Side]) -> Result<Vec<Side>, Refusal> {
        let row = sitting.row;
        let shared = self.first_of(sitting, None);
        let mut sides = sitting.named.clone();
        if sides.is_empty() {
            sides = written.to_vec();
        }
        if sides.is_empty() {
            let acted = |side: &Side| sitting.acts.iter().any(|(of, _)| *of == Some(*side));
            sides = Side::BOTH.into_iter().filter(acted).collect();
        }
        if sides.is_empty() && sitting.cast_dated {
            sides = sitting
                .columns
                .cast_dates
                .iter()
                .filter_map(|&(side, at)| side.filter(|_| !self.text(row, Some(at)).is_empty()))
                .collect();
        }
        let acts_need =
            sitting.acts.iter().any(|(side, act)| side.is_none() && needs_foot(act)) || sitting.cast_dated;
        if sides.is_empty() && !(sitting.missed && shared.is_none()) && (shared.is_some() || acts_need) {
            let in_doubt = |at: usize| self.foot_in_doubt(at, self.cell(row, at));
            if let Some(refusal) = shared.and_then(in_doubt) {
                return Err(refusal);
            }
            let at = self.layout.side.or(sitting.columns.side).or(shared);
            let text = "The row does not say which foot.";
            return Err(Box::new(self.remark_at(ImportReason::UnknownSide, at, row, text)));
        }
        Ok(sides)
    }

    /// A foot that is scored though the row does not name it.
    fn other_foot(&self, sitting: &Sitting<'_>, side: Side, feet: &mut Vec<FootValues>, out: &mut RowRead) {
        let values = match self.foot(sitting, side, out) {
            Ok(values) => values,
            Err(reasons) => {
                out.left_out.push(format!("the {side} foot on {}", sitting.day.words()));
                out.questions.extend(reasons);
                return;
            }
        };
        if values.is_all_zero() {
            return;
        }
        let text = format!("The {side} foot is scored, but the row does not call it affected.");
        let at = self.first_of(sitting, Some(side));
        out.questions.push(self.remark_at(ImportReason::OtherFootScored, at, sitting.row, text));
        feet.push(values);
    }
}
