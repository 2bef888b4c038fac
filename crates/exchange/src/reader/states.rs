//! Columns that repeat the state so far: "tenotomy done: Yes" at every visit after it, the number of casts
//! until today. An act is taken at the first change only, and not at all where its day cannot be told.

use super::Reader;
use crate::{
    Column, FileQuestion, ImportReason, Meaning,
    questions::QuestionTopic,
    values::{self, Read},
};
use record::{Day, Side};
use std::collections::{BTreeMap, HashMap, HashSet};

/// What was found of such columns.
#[derive(Debug, Default)]
pub(crate) struct States {
    /// Cells that say nothing new, by row and column.
    pub(crate) repeated: HashSet<(usize, usize)>,
    /// Cells whose act may lie elsewhere, and why.
    pub(crate) doubtful: HashMap<(usize, usize), &'static str>,
    pub(crate) questions: Vec<FileQuestion>,
    /// Sentences for the report.
    pub(crate) remarks: Vec<String>,
}

/// The cells of one child and foot in the order of days.
type Series = Vec<(Day, usize, String)>;

const BEFORE: &str = "This column repeats the state so far, and the first row of the child has it already: the day of the act is not known, and nothing is recorded as done.";
const AGAIN: &str = "This may be an act of this day or the state since an earlier one; nothing is taken as done until that is settled.";

const MERGED: &str = "This cell is merged with others, and whether it holds for each of them is not settled; nothing of it is read.";

/// How a column is to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Habit {
    State,
    Acts,
    Open,
}

impl Reader<'_> {
    /// Looks at every column that may repeat a state.
    pub(super) fn states(&self) -> States {
        let mut out = States::default();
        out.doubtful.extend(self.map.merged.iter().map(|&cell| (cell, MERGED)));
        for column in &self.map.columns {
            match column.meaning {
                Some(Meaning::Tenotomy | Meaning::Relapse) => self.yes_no_state(column, &mut out),
                Some(Meaning::CastNumber) if self.layout.visits.iter().all(|visit| visit.done.is_empty()) => {
                    self.count_state(column, &mut out);
                }
                _ => {}
            }
        }
        out
    }

    fn series(&self, column: &Column) -> BTreeMap<(String, Option<Side>), Series> {
        let mut out: BTreeMap<(String, Option<Side>), Series> = BTreeMap::new();
        let visit =
            self.layout.visits.iter().find(|visit| visit.foot.iter().any(|foot| foot.2 == column.index));
        let Some(date) = visit.and_then(|visit| visit.date).filter(|_| column.visit.is_none()) else {
            return out;
        };
        for row in self.table.rows() {
            let Ok(Some(day)) = self.date(row, date) else { continue };
            let text = self.text(row, Some(column.index)).to_owned();
            let named = self.layout.side.and_then(|at| self.side(row, at).ok().flatten());
            let key = self.key(row);
            match column.side.map(|side| vec![side]).or_else(|| named.map(|sides| sides.each().to_vec())) {
                Some(sides) => {
                    for side in sides {
                        out.entry((key.clone(), Some(side))).or_default().push((day, row, text.clone()));
                    }
                }
                None => out.entry((key, None)).or_default().push((day, row, text)),
            }
        }
        out.values_mut().for_each(|series| series.sort());
        out
    }

    fn yes_no_state(&self, column: &Column, out: &mut States) {
        let series = self.series(column);
        let says: Vec<Vec<(usize, bool)>> = series.values().map(yes_of).collect();
        let runs: Vec<(usize, bool)> = says.iter().flat_map(|cells| runs(cells)).collect();
        let lasting = runs.iter().filter(|&&(length, ends)| length > 1 && !ends).count();
        let ended = runs.iter().filter(|&&(_, ends)| ends).count();
        let single = runs.iter().filter(|&&(length, ends)| length == 1 && ends).count();
        // A relapse is over one day, a tenotomy stays done.
        let contrary = if column.meaning == Some(Meaning::Tenotomy) { ended } else { single };
        let repeats = runs.iter().any(|&(length, _)| length > 1);
        let habit = match self.map.first_change.get(&column.index) {
            Some(true) => Habit::State,
            Some(false) => Habit::Acts,
            None if !repeats => Habit::Acts,
            None if contrary == 0 && lasting > 0 => Habit::State,
            None => Habit::Open,
        };
        let mut marked = Marked::default();
        for cells in says {
            let mut before: Option<bool> = None;
            for (row, yes) in cells {
                match (habit, before, yes) {
                    (Habit::State | Habit::Open, None, true) if habit == Habit::State || repeats => {
                        marked.doubtful.push((row, BEFORE));
                    }
                    (Habit::State, Some(true), true) => marked.repeated.push(row),
                    (Habit::Open, Some(true), true) => marked.doubtful.push((row, AGAIN)),
                    _ => {}
                }
                before = Some(yes);
            }
        }
        self.mark(column, habit, marked, out);
    }

    fn count_state(&self, column: &Column, out: &mut States) {
        let series = self.series(column);
        let (mut same, mut with_same, mut several) = (0, 0, 0);
        for cells in series.values() {
            let numbers: Vec<i32> = cells.iter().filter_map(|(.., text)| whole(text)).collect();
            let equal = numbers.windows(2).filter(|pair| matches!(pair, [a, b] if a == b && *a > 0)).count();
            same += equal;
            with_same += usize::from(equal > 0);
            several += usize::from(numbers.len() > 1);
        }
        let habit = match self.map.first_change.get(&column.index) {
            Some(true) => Habit::State,
            Some(false) => Habit::Acts,
            None if same == 0 => Habit::Acts,
            None if same > 2 && with_same * 4 >= several => Habit::State,
            None => Habit::Open,
        };
        let mut marked = Marked::default();
        for cells in series.into_values() {
            let mut before: Option<(Day, i32)> = None;
            for (day, row, text) in cells {
                let Some(number) = whole(&text) else { continue };
                match (habit, before) {
                    (Habit::State, None) if number > 1 => marked.doubtful.push((row, BEFORE)),
                    (Habit::State, Some((_, last))) if number == last => marked.repeated.push(row),
                    (Habit::State, Some((_, last))) if number < last && number > 1 => {
                        marked.doubtful.push((row, AGAIN));
                    }
                    (Habit::Open, Some((on, last))) if number == last && number > 0 && on != day => {
                        marked.doubtful.push((row, AGAIN));
                    }
                    _ => {}
                }
                before = Some((day, number));
            }
        }
        self.mark(column, habit, marked, out);
    }

    fn mark(&self, column: &Column, habit: Habit, marked: Marked, out: &mut States) {
        let name = column.name();
        if habit == Habit::State && !marked.repeated.is_empty() {
            out.remarks.push(format!(
                "Column “{name}” repeats the state so far in {} cells: an act is taken at the first change only.",
                marked.repeated.len()
            ));
        }
        let open = habit == Habit::Open && !marked.doubtful.is_empty();
        let mut question = FileQuestion::new(
            &QuestionTopic::Repeats(name.to_owned()),
            format!("In “{name}” some children have the same entry at several visits. Does the column repeat the state so far, or is each entry an act of that day?"),
        )
        .about(name, None)
        .choice("state", "it repeats the state so far: an act at the first change only")
        .choice("act", "each entry is an act of its day")
        .blocking();
        out.repeated.extend(marked.repeated.into_iter().map(|row| (row, column.index)));
        for (row, why) in marked.doubtful {
            question.count_row(self.table.row_number(row));
            out.doubtful.insert((row, column.index), why);
        }
        if open {
            out.questions.push(question);
        }
    }

    /// Asks about the cells of the row that are in doubt and not used.
    pub(super) fn doubts(&self, row: usize, out: &mut super::RowRead) {
        for column in &self.map.columns {
            let Some(&why) = self.states.doubtful.get(&(row, column.index)) else { continue };
            let cell = self.table.cell(row, column.index);
            if cell.is_blank() {
                continue;
            }
            out.questions.push(self.remark(ImportReason::MeaningInDoubt, column.index, cell, why));
        }
        let filled = |at: &usize| !values::is_nothing(self.table.cell(row, *at).trimmed());
        let of_row = self.map.in_doubt.iter().find(|(at, _)| filled(at));
        if let Some((&at, why)) = of_row {
            let cell = self.table.cell(row, at);
            out.questions.push(self.remark(ImportReason::MeaningInDoubt, at, cell, why.clone()));
        }
    }

    /// Whether a cell is not to be read: it repeats an earlier row or is in doubt.
    pub(super) fn is_unread(&self, row: usize, column: usize) -> bool {
        let states = &self.states;
        self.unread_columns.get(column).copied().unwrap_or(false)
            || (!states.repeated.is_empty() && states.repeated.contains(&(row, column)))
            || (!states.doubtful.is_empty() && states.doubtful.contains_key(&(row, column)))
    }
}

#[derive(Default)]
struct Marked {
    repeated: Vec<usize>,
    doubtful: Vec<(usize, &'static str)>,
}

/// Yes or no for each row of a series; blank is no.
fn yes_of(series: &Series) -> Vec<(usize, bool)> {
    series.iter().map(|(_, row, text)| (*row, values::yes_no(text) == Read::Value(true))).collect()
}

/// The runs of yes: how long each is, and whether a no comes after it.
fn runs(cells: &[(usize, bool)]) -> Vec<(usize, bool)> {
    let mut out: Vec<(usize, bool)> = Vec::new();
    let mut before = false;
    for &(_, yes) in cells {
        match (yes, before, out.last_mut()) {
            (true, true, Some(run)) => run.0 += 1,
            (true, ..) => out.push((1, false)),
            (false, true, Some(run)) => run.1 = true,
            _ => {}
        }
        before = yes;
    }
    out
}

fn whole(text: &str) -> Option<i32> {
    if let Read::Value(value) = values::whole(text) { Some(value) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_yes_know_whether_they_end() {
        let cells = |text: &str| text.chars().map(|c| (0, c == 'y')).collect::<Vec<_>>();
        assert_eq!(runs(&cells("nnyyy")), [(3, false)]);
        assert_eq!(runs(&cells("ynyyn")), [(1, true), (2, true)]);
        assert_eq!(runs(&cells("nnn")), []);
    }
}
