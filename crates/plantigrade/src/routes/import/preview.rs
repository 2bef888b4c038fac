//! The page that shows what would come of a file, made from its plan.

use super::menus;
use crate::{
    import_choices::{HEADER_ROW, SHEET},
    importing::{PlannedImport, read_as},
    restricted::closed_now,
};
use exchange::{Column, FileQuestion, Report, Table};
use pages::{
    ColumnMenus, ImportAnswer, ImportCounts, ImportPreview, ImportQuestion, Menu, PossiblePair, RowNote,
    SavedChoices, SheetMenus, SheetRow,
};
use sha2::{Digest, Sha256};

/// Remarks on rows that are shown, equal ones counted once.
const NOTES_SHOWN: usize = 300;
/// Pairs of children who may be the same child, shown at a time.
pub const PAIRS_SHOWN: usize = 50;
/// Rows of the sheet that are shown.
const ROWS_SHOWN: usize = 8;
/// Columns that are shown at once.
const COLUMNS_SHOWN: usize = 120;
/// Letters shown of a cell.
const LETTERS_SHOWN: usize = 80;
/// Rows in which a column is looked at for anything in it.
const ROWS_SEARCHED: usize = 2_000;
/// Rows in which the headings may be.
const HEADER_ROWS: usize = 15;

/// The page of a plan, its columns shown from this place on.
pub fn view(token: &str, plan: &PlannedImport, from: usize) -> ImportPreview {
    let report = &plan.report;
    let alike_rows = report.alike_rows();
    ImportPreview {
        kept_minutes: crate::plans::KEPT_MINUTES,
        token: token.to_owned(),
        revision: plan.revision,
        file_name: plan.file_name.clone(),
        read_as: read_as(report),
        saved: plan.saved.clone().map(|when| SavedChoices { when }),
        unused: plan.unused.clone(),
        sheet: sheet(plan, from),
        questions: questions(plan),
        counts: counts(report),
        reasons: report.reasons.iter().map(|(reason, count)| (reason.replace('-', " "), *count)).collect(),
        rows: alike_rows.iter().take(NOTES_SHOWN).map(note).collect(),
        remarks_in_all: alike_rows.len(),
        rows_in_all: report.not_plain.len(),
        possible: open_pairs(&report.matches).take(PAIRS_SHOWN).map(|two| pair(two, false)).collect(),
        possible_in_all: report.possible_matches,
        ..ImportPreview::default()
    }
}

fn sheet(plan: &PlannedImport, from: usize) -> SheetMenus {
    let (table, map) = (&plan.sheet.table, &plan.sheet.map);
    let used: Vec<(&Column, bool)> = map
        .columns
        .iter()
        .map(|column| (column, is_filled(table, column.index)))
        .filter(|(column, filled)| *filled || !column.header.trim().is_empty())
        .collect();
    let from = if from < used.len() { from } else { 0 };
    let shown: Vec<(&Column, bool)> = used.iter().skip(from).take(COLUMNS_SHOWN).copied().collect();
    let open = used.iter().filter(|(column, filled)| *filled && column.meaning.is_none());
    let cells =
        |row: usize| shown.iter().map(move |(column, _)| clipped(table.cell(row, column.index).trimmed()));
    SheetMenus {
        whole: whole(plan),
        meanings: menus::meanings(),
        columns: shown.iter().map(|&(column, filled)| column_menus(plan, column, filled)).collect(),
        from,
        columns_in_all: used.len(),
        rows: table
            .rows()
            .take(ROWS_SHOWN)
            .map(|row| SheetRow { row: table.place_of(table.row_number(row)).1, cells: cells(row).collect() })
            .collect(),
        open: open.map(|(column, _)| (heading(column), column.index)).collect(),
    }
}

fn heading(column: &Column) -> String {
    if column.header.trim().is_empty() { column.letter.clone() } else { column.header.clone() }
}

fn is_filled(table: &Table, column: usize) -> bool {
    table.rows().take(ROWS_SEARCHED).any(|row| !table.cell(row, column).is_blank())
}

fn clipped(text: &str) -> String {
    if text.chars().nth(LETTERS_SHOWN).is_none() {
        return text.to_owned();
    }
    text.chars().take(LETTERS_SHOWN).chain(['…']).collect()
}

fn column_menus(plan: &PlannedImport, column: &Column, filled: bool) -> ColumnMenus {
    ColumnMenus {
        index: column.index,
        letter: column.letter.clone(),
        header: column.header.clone(),
        meaning: column.meaning.map(exchange::Meaning::key).unwrap_or_default(),
        why: column.reason.clone(),
        menus: menus::further(column, &plan.sheet.map, &plan.sheet.file),
        filled,
    }
}

/// The menus about the file as a whole.
fn whole(plan: &PlannedImport) -> Vec<Menu> {
    let (table, source) = (&plan.sheet.table, &plan.sheet.table.source);
    let mut all = Vec::new();
    if let Some(sheet) = source.sheet.as_ref().filter(|_| !source.other_sheets.is_empty()) {
        let names = std::iter::once(sheet).chain(&source.other_sheets);
        all.push(Menu {
            name: SHEET.to_owned(),
            label: "Sheet of the workbook".to_owned(),
            options: names.map(|name| menus::option(name, name)).collect(),
            chosen: sheet.clone(),
        });
    }
    let row_words = |row: usize| {
        let cells = (0..table.headers.len()).map(|column| table.cell(row - 1, column).trimmed());
        let filled: Vec<String> = cells.filter(|text| !text.is_empty()).take(4).map(clipped).collect();
        format!("Row {row}: {}", if filled.is_empty() { "empty".to_owned() } else { filled.join(", ") })
    };
    let last = HEADER_ROWS.max(source.header_row).min(table.rows().last().unwrap_or(0));
    if last > 1 {
        all.push(Menu {
            name: HEADER_ROW.to_owned(),
            label: "Last row of the headings".to_owned(),
            options: (1..=last).map(|row| menus::option(row.to_string(), row_words(row))).collect(),
            chosen: source.header_row.to_string(),
        });
    }
    all
}

/// Every question that came up: the open ones and those answered, the blocking ones first. A question that
/// another choice has made idle is left out.
fn questions(plan: &PlannedImport) -> Vec<ImportQuestion> {
    let open = |id: &str| plan.report.questions.iter().find(|question| question.id == id);
    let (base, choices) = (&plan.base_answers, &plan.choices);
    let mut all: Vec<ImportQuestion> = Vec::new();
    for asked in plan.asked.iter() {
        let now = open(&asked.id);
        let chosen = choices.answer(&asked.id);
        if now.is_some() || chosen.is_some() || base.contains(&asked.id) {
            all.push(question(plan, now.unwrap_or(asked), now.is_some(), chosen));
        }
    }
    all.sort_by_key(|question| !question.blocks);
    all
}

/// The columns of a question. Several stand in one text, parted by commas, which a heading can hold too.
fn columns_of(plan: &PlannedImport, asked: &FileQuestion) -> Vec<String> {
    let Some(text) = &asked.column else { return Vec::new() };
    if plan.sheet.map.columns.iter().any(|column| column.header == *text) {
        return vec![text.clone()];
    }
    text.split(", ").map(str::to_owned).collect()
}

fn question(
    plan: &PlannedImport,
    asked: &FileQuestion,
    is_open: bool,
    chosen: Option<&str>,
) -> ImportQuestion {
    let answer = |choice: &exchange::AnswerChoice| ImportAnswer {
        key: choice.key.clone(),
        words: choice.words.clone(),
    };
    let hash = Sha256::digest(&asked.id);
    ImportQuestion {
        id: asked.id.clone(),
        anchor: hash.iter().take(6).fold("q".to_owned(), |text, byte| format!("{text}{byte:02x}")),
        columns: columns_of(plan, asked),
        value: asked.value.clone(),
        text: asked.text.clone(),
        count: asked.count,
        rows: asked.rows.clone(),
        answers: asked.choices.iter().map(answer).collect(),
        chosen: chosen.map(str::to_owned),
        is_open,
        blocks: asked.blocks,
    }
}

fn note(alike: &exchange::AlikeRows<'_>) -> RowNote {
    RowNote {
        sheet: alike.sheet.unwrap_or_default().to_owned(),
        rows: alike.rows_words(),
        count: alike.rows.len(),
        disposition: alike.disposition.words().to_owned(),
        column: alike.remark.column.clone().unwrap_or_default(),
        value: alike.remark.value.clone().unwrap_or_default(),
        reason: alike.remark.text.clone(),
    }
}

/// The pairs without those of a record that is closed to the reader: that it may be the same child would tell whose
/// it is.
pub fn open_pairs(pairs: &[exchange::PossibleMatch]) -> impl Iterator<Item = &exchange::PossibleMatch> {
    let closed = closed_now().unwrap_or_default();
    pairs.iter().filter(move |pair| !closed.has(pair.other.id) && !closed.has(pair.child.id))
}

/// Two children who may be one. Once the file is imported, the record that was there first is the one to keep.
pub fn pair(pair: &exchange::PossibleMatch, imported: bool) -> PossiblePair {
    let named = |person: &exchange::Person| match &person.number {
        Some(number) => format!("{} ({number})", person.name),
        None => person.name.clone(),
    };
    let record = format!("/child/{}", pair.other.id);
    PossiblePair {
        one: named(&pair.child),
        other: named(&pair.other),
        why: pair.text.clone(),
        join_href: imported.then(|| format!("{record}/join/{}", pair.child.id)),
        other_href: (pair.known || imported).then_some(record),
    }
}

/// The expected result, or the result, in numbers.
pub fn counts(report: &Report) -> ImportCounts {
    ImportCounts {
        rows: report.rows,
        children: report.children,
        new_children: report.new_children,
        affected_feet: report.affected_feet,
        assessments: report.assessments,
        imported: report.dispositions.imported,
        question: report.dispositions.question,
        duplicate: report.dispositions.duplicate,
        refused: report.dispositions.refused,
        passed_over: report.dispositions.passed_over,
    }
}
