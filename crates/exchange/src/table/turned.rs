//! Sheets turned by a quarter: a label at the left of each line, and each visit in a column of its own; a form with
//! the label on the left and what was written on its right is such a sheet with one column.

use super::{Cell, CellKind, Grid, Source, Table, titles};
use crate::{Meaning, text::latin_digits, values, words};

/// How far down and to the right labels are looked for.
const LINES: usize = 120;
const COLUMNS: usize = 3;

/// Labels of a visit, in addition to its date, that such a sheet has at least.
const LEAST_LABELS: usize = 2;

/// The lines with the labels, next to each other, and their column.
#[derive(Debug, Clone, Copy)]
struct Labels {
    first: usize,
    last: usize,
    column: usize,
}

/// The table with a row for each column of visits, where a sheet is written so.
pub(super) fn table(grid: &Grid, source: &Source) -> Option<Table> {
    let labels = (0..COLUMNS).find_map(|column| of_column(grid, column))?;
    let lines = labels.first..=labels.last;
    let width = lines.clone().map(|line| grid.width_of(line)).max().unwrap_or(0);
    let mut headers: Vec<String> =
        lines.clone().map(|line| label(grid, line, labels.column).to_owned()).collect();
    let above = if headers.iter().any(|header| titles::names_child(header)) {
        Vec::new()
    } else {
        titles::titles(grid, labels.first)
    };
    headers.extend(above.iter().map(|(_, label, _)| label.clone()));
    let mut turned = if grid.typed { Grid::typed() } else { Grid::default() };
    for column in 0..width {
        let visit = column > labels.column && lines.clone().any(|line| !grid.cell(line, column).is_blank());
        for line in lines.clone().filter(|_| visit) {
            let Cell { text, kind } = grid.cell(line, column);
            turned.push(text, kind);
        }
        for (_, _, value) in above.iter().filter(|_| visit) {
            turned.push(value, CellKind::Text);
        }
        turned.end_row();
        let merged =
            lines.clone().filter_map(|line| grid.merged_down(line, column).filter(|of| of.0 == line));
        for (from, to) in merged.filter(|_| visit) {
            turned.mark_across(column, from - labels.first, to.min(labels.last) - labels.first);
        }
    }
    let source = Source { header_row: labels.first + 1, ..source.clone() };
    let table = Table {
        headers,
        grid: turned,
        first: labels.column + 1,
        source,
        turned: true,
        origin: None,
        stack: None,
        left_sheets: Vec::new(),
    };
    let any = table.rows().next().is_some();
    any.then_some(table)
}

fn label(grid: &Grid, line: usize, column: usize) -> &str {
    grid.cell(line, column).trimmed().trim_end_matches([':', ' '])
}

/// How many labels of a visit a sheet has that is written so; 0 for any other.
pub(super) fn count_labels(grid: &Grid) -> usize {
    let labels = (0..COLUMNS).find_map(|column| of_column(grid, column));
    labels.map_or(0, |labels| {
        (labels.first..=labels.last).filter(|&line| meaning(grid, line, labels.column).is_some()).count()
    })
}

/// What a label means, where its cell holds words; a foot by itself is no label.
fn meaning(grid: &Grid, line: usize, column: usize) -> Option<Meaning> {
    let cell = grid.cell(line, column);
    let text = label(grid, line, column);
    let is_word = cell.kind == CellKind::Text && text.chars().filter(|c| c.is_alphabetic()).nth(1).is_some();
    let reading = words::readings(text).into_iter().next().filter(|_| is_word && text.len() <= 80)?;
    (!reading.phrase.is_empty()).then_some(reading.sense.meaning)
}

/// The lines around the label of a date of visit, where what follows it are dates and most of the lines are
/// labels of things of that visit. A line with two headings is that of an ordinary table.
fn of_column(grid: &Grid, column: usize) -> Option<Labels> {
    let most = grid.height().min(LINES);
    let filled = |line: &usize| !grid.cell(*line, column).is_blank();
    // Dates are seen at a glance, and hardly any line of an ordinary table holds nothing else.
    let dated = (0..most).find(|&line| {
        is_followed_by_dates(grid, line, column) && meaning(grid, line, column) == Some(Meaning::VisitDate)
    })?;
    let first = (0..dated).rev().take_while(filled).last().unwrap_or(dated);
    let last = (dated..most).take_while(filled).last().unwrap_or(dated);
    let meanings: Vec<Meaning> = (first..=last).filter_map(|line| meaning(grid, line, column)).collect();
    let is_label = |meaning: &&Meaning| meaning.is_of_visit() && **meaning != Meaning::VisitDate;
    let measured = meanings.iter().any(|meaning| meaning.is_measured() || *meaning == Meaning::Done);
    let enough = meanings.iter().filter(is_label).count() >= LEAST_LABELS && measured;
    let most_known = meanings.len() * 10 >= (last + 1 - first) * 6;
    // What was done may be written in words that are headings too.
    let in_words =
        |line: usize| matches!(meaning(grid, line, column), Some(Meaning::Done | Meaning::Remarks));
    let is_table = |line: usize| {
        let right =
            (column + 1..grid.width_of(line).min(column + 40)).filter_map(|at| meaning(grid, line, at));
        right.filter(|&meaning| heads_column(meaning)).count() > 0
    };
    (enough && most_known && !(first..=last).any(|line| !in_words(line) && is_table(line)))
        .then_some(Labels { first, last, column })
}

/// Whether a cell with such a meaning is the heading of a column, and not a word for what was done.
const fn heads_column(meaning: Meaning) -> bool {
    meaning.is_measured()
        || matches!(
            meaning,
            Meaning::Number | Meaning::Name | Meaning::Born | Meaning::VisitDate | Meaning::CastNumber
        )
}

fn is_followed_by_dates(grid: &Grid, line: usize, column: usize) -> bool {
    let cells = (column + 1..grid.width_of(line)).map(|at| grid.cell(line, at));
    let mut filled = cells.filter(|cell| !values::is_nothing(cell.trimmed()));
    filled.next().is_some_and(|first| may_be_date(&first)) && filled.all(|cell| may_be_date(&cell))
}

/// Whether a cell is a date of a workbook, or begins with a figure and has as many as a date has.
fn may_be_date(cell: &Cell<'_>) -> bool {
    let text = latin_digits(cell.trimmed());
    let figures = text.chars().filter(char::is_ascii_digit).count();
    let of_date = |c: char| c.is_alphanumeric() || matches!(c, '/' | '-' | '.' | ',' | ' ' | ':');
    let written = text.starts_with(|c: char| c.is_ascii_digit()) && text.chars().all(of_date);
    cell.kind == CellKind::Date || (written && (4..=14).contains(&figures))
}
