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
    // Most rows: a day, and a number beside a name.
    if dated && child.len() > 1 {
        return false;
    }
    let texts = filled(table, row, all);
    let Some(first) = texts.first() else { return false };
    if !dated && texts.iter().take(3).any(|text| is_sum_word(text, 3)) {
        return true;
    }
    // A sum in the place of the child, whatever stands beside it. "Page" alone may be one, "Page Anna" is
    // a name.
    if let ([name], true) = (&child[..], child.first() == Some(first))
        && is_sum_word(name, 1)
    {
        return true;
    }
    texts.len() <= 2 && columns.all >= 5 && !dated && filled(table, row, &columns.facts).is_empty()
}

/// "Total", "Total children: 12", "Mean": of so many words at most, or with a number.
fn is_sum_word(text: &str, most: usize) -> bool {
    let words = tokens(text);
    let numbered =
        text.contains([':', '=']) || words.iter().any(|word| word.bytes().all(|b| b.is_ascii_digit()));
    words.first().is_some_and(|first| HEADING_LISTS.sum.has(first)) && (words.len() <= most || numbered)
}

/// Rows that name no child: each may continue the row above it.
pub(super) fn blanks(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let columns = RowColumns::of(map);
    let fills = said.blank_means.as_deref() == Some("as above");
    let born = map.find(Meaning::Born).map(|column| column.index);
    let sex = map.find(Meaning::Sex).map(|column| column.index);
    let visit = map.columns.iter().find(|c| c.meaning == Some(Meaning::VisitDate) && c.visit.is_none());
    let visit = visit.map(|column| column.index);
    if columns.child.is_empty() || said.blank_means.as_deref() == Some("refuse") {
        return;
    }
    let mut question = FileQuestion::new(
        &QuestionTopic::BlankRows,
        "These rows name no child or no day. Do blank cells mean the same as in the row above?",
    )
    .choice("as above", "the same child, and the same day, as in the row above")
    .choice("refuse", "something else: refuse these rows");
    let mut above: Option<usize> = None;
    let mut day_from: Option<usize> = None;
    for row in table.rows().filter(|row| !map.passed.contains_key(row)) {
        let nameless = filled(table, row, &columns.child).is_empty();
        let same_child = nameless
            || above.is_some_and(|above| {
                columns
                    .child
                    .iter()
                    .all(|&at| table.cell(row, at).trimmed() == table.cell(above, at).trimmed())
            });
        let undated = visit.is_some_and(|at| table.cell(row, at).is_blank());
        let says = !filled(table, row, &columns.facts).is_empty() || !undated;
        let dateless =
            undated && visit.is_some() && same_child && !filled(table, row, &columns.facts).is_empty();
        if (nameless && says) || (dateless && above.is_some()) {
            question.count_row(table.row_number(row));
            if let Some(above) = above.filter(|_| fills) {
                let child = columns.child.iter().copied().chain(born).chain(sex);
                let blank = child.filter(|&at| nameless && table.cell(row, at).is_blank());
                blank.for_each(|at| map.rules.as_above(row, at, above));
                if let (true, Some(at), Some(from)) = (dateless, visit, day_from) {
                    map.rules.as_above(row, at, from);
                }
            }
        }
        if !nameless {
            above = Some(row);
            day_from = day_from.filter(|_| same_child);
        }
        if !undated {
            day_from = Some(row);
        }
    }
    if question.count > 0 && !fills {
        map.questions.push(question);
    }
}
