//! Treatments that a remark names on the day of an earlier row of the same child. Nothing is taken as done:
//! the row of that day is asked about as well, since what it says is not complete.

use super::{
    Reader, RowRead, feet_of,
    mentions::{cut_in, is_told, is_treated},
};
use crate::{
    ImportReason, dates,
    lists::DONE_LISTS,
    sides::named_within,
    text::fold,
    words::done::{self, tenotomy},
};
use record::{Day, Side};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A remark by its row and column.
type RemarkPlace = (usize, usize);

/// When a remark says that something was done.
enum WhenDone {
    On(Day),
    LastVisit,
}

impl Reader<'_> {
    /// The rows on whose day a remark of another row of the child names a treatment, with these remarks.
    pub(super) fn mentioned_in_other_rows(&self) -> BTreeMap<usize, BTreeSet<RemarkPlace>> {
        let columns: BTreeSet<usize> =
            self.layout.visits.iter().flat_map(|visit| &visit.remarks).map(|&(_, at)| at).collect();
        let mut mentions: Vec<(RemarkPlace, WhenDone)> = Vec::new();
        for row in self.table.rows() {
            for &column in &columns {
                let when = self.when_done(self.text(row, Some(column)));
                mentions.extend(when.into_iter().map(|when| ((row, column), when)));
            }
        }
        let visits = self.visits_of(&mentions.iter().map(|&((row, _), _)| self.key(row)).collect());
        let mut out: BTreeMap<usize, BTreeSet<RemarkPlace>> = BTreeMap::new();
        for (place, when) in mentions {
            let Some(visits) = visits.get(&self.key(place.0)) else { continue };
            let own = visits.iter().find(|&&(_, row)| row == place.0).map(|&(day, _)| day);
            let day = match when {
                WhenDone::On(day) => Some(day).filter(|&day| own != Some(day)),
                WhenDone::LastVisit => {
                    visits.iter().map(|&(day, _)| day).filter(|&day| Some(day) < own).max()
                }
            };
            for &(_, row) in visits.iter().filter(|&&(on, row)| Some(on) == day && row != place.0) {
                out.entry(row).or_default().insert(place);
            }
        }
        out
    }

    /// The days that a text names for a treatment, or the visit before.
    fn when_done(&self, text: &str) -> Vec<WhenDone> {
        if text.is_empty() || !done::names_treatment(text) {
            return Vec::new();
        }
        let days = dates::dates_in(text).into_iter().filter_map(|date| self.day_in_words(date));
        let mut when: Vec<WhenDone> = days.map(WhenDone::On).collect();
        if when.is_empty() {
            let words = format!(" {} ", fold(text));
            let last = DONE_LISTS.last_visit.words().any(|phrase| words.contains(&format!(" {phrase} ")));
            when.extend(last.then_some(WhenDone::LastVisit));
        }
        when
    }

    /// The days and rows of some children.
    fn visits_of(&self, children: &BTreeSet<String>) -> HashMap<String, Vec<(Day, usize)>> {
        let mut visits: HashMap<String, Vec<(Day, usize)>> = HashMap::new();
        for row in self.table.rows().filter(|_| !children.is_empty()) {
            let key = self.key(row);
            if !children.contains(&key) {
                continue;
            }
            let days = self.layout.visits.iter().filter_map(|visit| self.visit_day(row, visit).ok()?);
            visits.entry(key).or_default().extend(days.map(|(day, _)| (day, row)));
        }
        visits
    }

    /// Asks about a row on whose day a remark of another row names a treatment that this row does not bring.
    pub(super) fn acts_named_in_other_rows(&self, row: usize, out: &mut RowRead) {
        let Some(places) = self.mentioned_elsewhere.get(&row) else { return };
        let cut: Vec<Side> = out.events.iter().filter_map(|(_, event)| cut_in(event)).collect();
        let treated = out.events.iter().any(|(_, event)| is_treated(event));
        let feet = feet_of(out);
        let mut asked = BTreeSet::new();
        for &(from, column) in places {
            let text = self.text(from, Some(column));
            let named = self.feet_of_remark(from, text);
            let other_feet =
                !feet.is_empty() && !named.is_empty() && !named.iter().any(|side| feet.contains(side));
            let is_cut = tenotomy::is_mentioned(text);
            let settled = match self.tenotomy_in_remarks(column).filter(|_| is_cut) {
                Some("done") => named.len() == 1,
                Some(_) => true,
                None if is_cut => is_told(text, &cut),
                None => treated || self.dates_are_notes(column),
            };
            if other_feet || settled || !asked.insert((column, is_cut)) {
                continue;
            }
            let what = if is_cut { "a tenotomy" } else { "a treatment" };
            let number = self.table.row_number(from);
            let why = format!("Row {number} names {what} on the day of this row, and none is taken as done.");
            let reason = if is_cut { ImportReason::TenotomyInWords } else { ImportReason::ActInWords };
            let remark = self.remark(reason, column, self.cell(from, column), why);
            out.questions.push(match (is_cut, dates::dates_in(text).len()) {
                (true, 1) => self.ask_about_tenotomy(column, remark),
                (false, 1..) => self.ask_about_dates(column, remark),
                _ => remark,
            });
        }
    }

    /// The feet that a remark names, or else its row.
    fn feet_of_remark(&self, row: usize, text: &str) -> Vec<Side> {
        let (right, left) = named_within(text);
        if right || left {
            return Side::BOTH
                .into_iter()
                .filter(|&side| if side == Side::Right { right } else { left })
                .collect();
        }
        let own = self.layout.visits.iter().find_map(|visit| visit.side);
        let column = self.layout.side.or(own);
        let sides = column.and_then(|column| self.side(row, column).ok().flatten());
        sides.map_or_else(Vec::new, |sides| sides.each().to_vec())
    }
}
