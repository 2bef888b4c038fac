//! Rows that are no visit: sums, footers and headings repeated, and rows that continue the one above.

use super::DoubtAnswers;
use crate::{
    ColumnMap, FileQuestion, Meaning, Table,
    columns::PassedRow,
    lists::HEADING_LISTS,
    questions::{OTHER_SHEETS, QuestionTopic},
    text::{clip, fold, tokens},
    values,
};
use std::collections::HashMap;

/// The columns by which rows are told apart.
struct RowColumns {
    child: Vec<usize>,
    dates: Vec<usize>,
    facts: Vec<usize>,
    all: usize,
}

impl RowColumns {
    fn of(map: &ColumnMap) -> Self {
        let of = |test: &dyn Fn(Meaning) -> bool| -> Vec<usize> {
            let found = map.columns.iter().filter(|column| column.meaning.is_some_and(test));
            found.map(|column| column.index).collect()
        };
        let child = |meaning| {
            matches!(meaning, Meaning::Number | Meaning::Name | Meaning::FamilyName | Meaning::GivenName)
        };
        let facts =
            |meaning: Meaning| meaning.is_of_foot() || matches!(meaning, Meaning::Done | Meaning::Side);
        Self {
            child: of(&child),
            dates: of(&|meaning| meaning.is_date() && meaning != Meaning::Born),
            facts: of(&facts),
            all: map.columns.iter().filter(|column| !column.header.is_empty()).count(),
        }
    }
}

fn filled<'t>(table: &'t Table, row: usize, columns: &[usize]) -> Vec<&'t str> {
    let texts = columns.iter().map(|&at| table.cell(row, at).trimmed());
    texts.filter(|text| !values::is_nothing(text)).collect()
}

/// Sheets that are asked about one by one at most.
const SHEETS_ASKED: usize = 3;

/// Asks about the sheets that look like visits and are not read.
pub(super) fn sheets(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    if table.left_sheets.len() > SHEETS_ASKED {
        return many_sheets(table, map, said);
    }
    for sheet in &table.left_sheets {
        let topic = QuestionTopic::OtherSheet(sheet.name.clone());
        if said.answered(&topic.to_string()).is_some() {
            continue;
        }
        let text = format!(
            "The sheet “{}” looks like visits too, under other headings, and is not read. Is it to be read with this one?",
            sheet.name
        );
        let question = FileQuestion::new(&topic, text).blocking();
        let question = question
            .choice("bring in", "read it together with this sheet")
            .choice("leave out", "leave it out");
        map.questions.push(FileQuestion { count: sheet.rows, ..question });
    }
}

/// One question about many such sheets.
fn many_sheets(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let topic = QuestionTopic::Other(OTHER_SHEETS.to_owned());
    if said.answered(OTHER_SHEETS).is_some() {
        return;
    }
    let names = table.left_sheets.iter().take(SHEETS_NAMED).map(|sheet| format!("“{}”", sheet.name));
    let text = format!(
        "{} sheets, such as {}, look like visits too, under other headings, and are not read. Are they to be read with this one?",
        table.left_sheets.len(),
        names.collect::<Vec<_>>().join(", ")
    );
    let question = FileQuestion::new(&topic, text)
        .blocking()
        .choice("bring in", "read them together with this sheet")
        .choice("leave out", "leave them out");
    let count = table.left_sheets.iter().map(|sheet| sheet.rows).sum();
    map.questions.push(FileQuestion { count, ..question });
}

/// Sheets named in the text of a question.
const SHEETS_NAMED: usize = 5;

/// Notes the rows that look like a sum, a footer or the headings again. They never make a child.
pub(super) fn footers(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let columns = RowColumns::of(map);
    if columns.dates.is_empty() || columns.child.is_empty() || said.footers.as_deref() == Some("read") {
        return;
    }
    let headers: Vec<String> = table.headers.iter().map(|header| fold(header)).collect();
    let all: Vec<usize> = (0..table.headers.len()).collect();
    let mut question = FileQuestion::new(
        &QuestionTopic::Footers,
        "These rows look like a sum, a note or a footer and not like a visit. Are they to be left out?",
    )
    .choice("leave out", "leave them out")
    .choice("read", "read them like the other rows");
    for row in table.rows() {
        if repeats_headings(table, row, &headers) {
            map.passed.insert(row, PassedRow::Heading);
        } else if looks_like_footer(table, row, &columns, &all) {
            let out = said.footers.as_deref() == Some("leave out");
            map.passed.insert(row, if out { PassedRow::LeftOut } else { PassedRow::Footer });
            question.count_row(table.row_number(row));
            question.value.get_or_insert_with(|| {
                clip(filled(table, row, &all).first().copied().unwrap_or_default(), 80)
            });
        }
    }
    if question.count > 0 && said.footers.as_deref().is_none() {
        map.questions.push(question);
    }
}

fn repeats_headings(table: &Table, row: usize, headers: &[String]) -> bool {
    let mut same = 0;
    for (column, header) in headers.iter().enumerate() {
        let text = table.cell(row, column).trimmed();
        if text.is_empty() {
            continue;
        }
        if fold(text) != *header {
            return false;
        }
        same += 1;
    }
    same >= 3
}

fn looks_like_footer(table: &Table, row: usize, columns: &RowColumns, all: &[usize]) -> bool {
    let child = filled(table, row, &columns.child);
    let dated = columns.dates.iter().any(|&at| !table.cell(row, at).is_blank());
    // Most rows: a day, a number and a name.
    if dated && child.len() > 1 {
        return false;
    }
    let texts = filled(table, row, all);
    let Some(first) = texts.first() else { return false };
    if !dated && texts.iter().take(3).any(|text| is_sum_word(text, 3)) {
        return true;
    }
    // A sum in the place of the child, whatever else the row holds. "Page" alone may be one, "Page Anna" is
    // a name.
    if let ([name], true) = (&child[..], child.first() == Some(first))
        && is_sum_word(name, 1)
    {
        return true;
    }
    texts.len() <= 2 && columns.all >= 5 && !dated && filled(table, row, &columns.facts).is_empty()
}

/// "Total", "Total children: 12", "Mean": of `most` words at most, or with a number.
fn is_sum_word(text: &str, most: usize) -> bool {
    let words = tokens(text);
    let numbered =
        text.contains([':', '=']) || words.iter().any(|word| word.bytes().all(|b| b.is_ascii_digit()));
    words.first().is_some_and(|first| HEADING_LISTS.sum.has(first)) && (words.len() <= most || numbered)
}

/// The columns that a row may leave to the row above it.
struct AboveColumns {
    /// Those that say who the child is, and what else holds for it.
    child: Vec<usize>,
    of_child: Vec<usize>,
    facts: Vec<usize>,
    visit: Option<usize>,
    /// Every column that is read.
    read: Vec<usize>,
    /// Whether any of them has a mark for "the same as above".
    marked: bool,
}

impl AboveColumns {
    fn of(table: &Table, map: &ColumnMap) -> Self {
        let RowColumns { child, facts, .. } = RowColumns::of(map);
        let more = [Meaning::Born, Meaning::Sex].into_iter();
        let more = more.filter_map(|meaning| map.find(meaning).map(|column| column.index));
        let of_child = child.iter().copied().chain(more).collect();
        let visit = map.columns.iter().find(|c| c.meaning == Some(Meaning::VisitDate) && c.visit.is_none());
        let unread = |meaning| matches!(meaning, Meaning::Remarks | Meaning::Ignore | Meaning::Why);
        let read = map.columns.iter().filter(|c| c.meaning.is_some_and(|meaning| !unread(meaning)));
        let read: Vec<usize> = read.map(|column| column.index).collect();
        let is_mark = |row: usize| read.iter().any(|&at| values::is_as_above(table.cell(row, at).trimmed()));
        Self {
            child,
            of_child,
            facts,
            visit: visit.map(|column| column.index),
            marked: table.rows().any(is_mark),
            read,
        }
    }

    /// Whether a cell says nothing of its own: blank, or a mark for "the same as above".
    fn is_silent(&self, table: &Table, row: usize, at: usize) -> bool {
        let text = table.cell(row, at).trimmed();
        values::is_nothing(text) || (self.marked && values::is_as_above(text))
    }

    /// The columns in which a row has such a mark.
    fn marks(&self, table: &Table, row: usize) -> Vec<usize> {
        let is_mark = |&at: &usize| values::is_as_above(table.cell(row, at).trimmed());
        self.read.iter().copied().filter(|at| self.marked && is_mark(at)).collect()
    }
}

/// The last rows above that say which child, and which day, a row is about.
#[derive(Default)]
struct RowsAbove {
    child: Option<usize>,
    day: Option<usize>,
    /// By column, the last row that says something in it.
    cells: HashMap<usize, usize>,
}

impl RowsAbove {
    /// Takes over from the rows above what a row leaves to them; whether it leaves anything.
    fn fill(
        &self,
        table: &Table,
        map: &mut ColumnMap,
        columns: &AboveColumns,
        row: usize,
        fills: bool,
    ) -> bool {
        let blank = |at: usize| columns.is_silent(table, row, at);
        let nameless = columns.child.iter().all(|&at| blank(at));
        let undated = columns.visit.is_some_and(blank);
        let facts = columns.facts.iter().any(|&at| !blank(at));
        let dateless = undated && facts && self.is_same_child(table, columns, row);
        let leaves = (nameless && (facts || !undated)) || (dateless && self.child.is_some());
        if let (true, true, Some(above)) = (leaves, fills, self.child) {
            let of_child = columns.of_child.iter().copied().filter(|&at| nameless && blank(at));
            of_child.for_each(|at| map.rules.as_above(row, at, above));
            if let (true, Some(at), Some(from)) = (dateless, columns.visit, self.day) {
                map.rules.as_above(row, at, from);
            }
        }
        leaves
    }

    fn is_same_child(&self, table: &Table, columns: &AboveColumns, row: usize) -> bool {
        let same = |above: usize, at: usize| table.cell(row, at).trimmed() == table.cell(above, at).trimmed();
        columns.child.iter().all(|&at| columns.is_silent(table, row, at))
            || self.child.is_some_and(|above| columns.child.iter().all(|&at| same(above, at)))
    }

    /// Takes over what each mark in a row means; `false` where one means nothing.
    fn fill_marks(&self, table: &Table, map: &mut ColumnMap, marks: &[usize], row: usize) -> bool {
        marks.iter().all(|&at| {
            let from = self.cells.get(&at);
            from.iter().for_each(|&&from| map.rules.as_above(row, at, from));
            from.is_some_and(|&from| !table.cell(from, at).is_blank())
        })
    }

    fn pass(&mut self, table: &Table, columns: &AboveColumns, row: usize) {
        if !columns.child.iter().all(|&at| columns.is_silent(table, row, at)) {
            self.day = self.day.filter(|_| self.is_same_child(table, columns, row));
            self.child = Some(row);
        }
        if columns.visit.is_some_and(|at| !columns.is_silent(table, row, at)) {
            self.day = Some(row);
        }
        let own = columns.read.iter().filter(|&&at| columns.marked && !columns.is_silent(table, row, at));
        self.cells.extend(own.map(|&at| (at, row)));
    }
}

/// Rows that name no child: each may continue the row above it. A mark for "the same as above" is never read as
/// what it is written as.
pub(super) fn blanks(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let columns = AboveColumns::of(table, map);
    let fills = said.blank_means.as_deref() == Some("as above");
    let refuses = said.blank_means.as_deref() == Some("refuse");
    if columns.child.is_empty() {
        return;
    }
    let mut question = FileQuestion::new(
        &QuestionTopic::BlankRows,
        "These rows name no child or no day, or hold marks for “the same as above”. Does what they leave out mean the same as in the row above?",
    )
    .choice("as above", "the same child, and the same day, as in the row above")
    .choice("refuse", "something else: refuse these rows");
    let mut above = RowsAbove::default();
    let rows: Vec<usize> = table.rows().filter(|row| !map.passed.contains_key(row)).collect();
    for row in rows {
        let marks = columns.marks(table, row);
        let leaves = !refuses && above.fill(table, map, &columns, row, fills);
        if leaves || !marks.is_empty() {
            question.count_row(table.row_number(row));
        }
        let filled = marks.is_empty() || (fills && above.fill_marks(table, map, &marks, row));
        if !filled {
            map.marked_as_above.insert(row);
        }
        above.pass(table, &columns, row);
    }
    if question.count > 0 && !fills && !refuses {
        map.questions.push(question);
    }
}
