//! Cells merged over several rows. A name, a number or a date holds for each of them; a score or something done
//! may be of each row or of the first only, which is asked about.

use super::DoubtAnswers;
use crate::{ColumnMap, FileQuestion, Meaning, Table, columns::PassedRow, questions::QuestionTopic};
use std::collections::{BTreeMap, HashMap};

/// Settles the merged cells of the columns, or asks about them.
pub(super) fn settle(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    if !table.has_merged_cells() {
        return;
    }
    whole_rows(table, map);
    over_columns(table, map);
    let mut asked: BTreeMap<String, FileQuestion> = BTreeMap::new();
    for at in 0..map.columns.len() {
        let Some(column) = map.columns.get(at) else { continue };
        let Some(meaning) = column.meaning.filter(|&meaning| counts_by_row(meaning) || is_said_once(meaning))
        else {
            continue;
        };
        let name = column.name_of_any_visit();
        let cells = merged_cells(table, map, at);
        let topic = QuestionTopic::Other(format!("merged: {name}"));
        let answer = said.answered(&topic.to_string());
        if is_said_once(meaning) || answer == Some("first") {
            cells.iter().filter(|(row, first)| row != first).for_each(|&(row, _)| map.rules.blank(row, at));
        } else if answer != Some("each") && !cells.is_empty() {
            let question = asked.entry(name.clone()).or_insert_with(|| question(&topic, &name));
            cells.iter().for_each(|&(row, _)| question.count_row(table.row_number(row)));
            map.merged.extend(cells.iter().map(|&(row, _)| (row, at)));
        }
    }
    map.questions.extend(asked.into_values());
}

fn question(topic: &QuestionTopic, name: &str) -> FileQuestion {
    let text =
        format!("Cells of “{name}” are merged over several rows. Do they hold for each of these rows?");
    FileQuestion::new(topic, text)
        .about(name, None)
        .choice("each", "yes: for each of the rows")
        .choice("first", "no: once, for the first of the rows")
        .blocking()
}

/// A cell over several columns of scores or of what was done, such as those of the two feet, may hold for each of
/// them or for one.
fn over_columns(table: &Table, map: &mut ColumnMap) {
    for row in table.rows() {
        for (from, to) in table.merged_across(row) {
            let columns = map.columns.iter().skip(from).take(to + 1 - from);
            let facts = columns.filter(|column| column.meaning.is_some_and(counts_by_row));
            let facts: Vec<usize> = facts.map(|column| column.index).collect();
            if facts.len() > 1 {
                map.merged.extend(facts.into_iter().map(|at| (row, at)));
            }
        }
    }
}

/// Rows that hold nothing but cells of the row above are part of it.
fn whole_rows(table: &Table, map: &mut ColumnMap) {
    for row in table.rows() {
        let mut filled = (0..table.width_of(row)).filter(|&at| !table.cell(row, at).is_blank());
        if filled.all(|at| table.merged_down(row, at).is_some_and(|(first, _)| first < row)) {
            map.passed.insert(row, PassedRow::Merged);
        }
    }
}

/// The rows that share a merged cell of a column, each with the first row of the cell.
fn merged_cells(table: &Table, map: &ColumnMap, at: usize) -> Vec<(usize, usize)> {
    let rows = table.rows().filter(|row| !map.passed.contains_key(row));
    let cells = rows.filter_map(|row| Some((row, table.merged_down(row, at)?.0)));
    let cells: Vec<(usize, usize)> = cells.filter(|&(row, _)| !table.cell(row, at).is_blank()).collect();
    let mut rows_of: HashMap<usize, usize> = HashMap::new();
    cells.iter().for_each(|&(_, first)| *rows_of.entry(first).or_default() += 1);
    cells.into_iter().filter(|(_, first)| rows_of.get(first).is_some_and(|&rows| rows > 1)).collect()
}

/// Scores, and what was done on a day.
const fn counts_by_row(meaning: Meaning) -> bool {
    meaning.is_measured()
        || matches!(
            meaning,
            Meaning::CastNumber
                | Meaning::CastDate
                | Meaning::CastMaterial
                | Meaning::CastCount
                | Meaning::TenotomyDate
                | Meaning::Tenotomy
                | Meaning::Relapse
                | Meaning::RelapseDate
                | Meaning::Done
                | Meaning::Brace
                | Meaning::BraceHours
                | Meaning::Attended
                | Meaning::NextAppointment
                | Meaning::Details
                | Meaning::Field(_)
        )
}

/// Words kept as a note, and an age, which is that of the first of the rows.
const fn is_said_once(meaning: Meaning) -> bool {
    matches!(meaning, Meaning::Remarks | Meaning::ScoreNote | Meaning::Age)
}
