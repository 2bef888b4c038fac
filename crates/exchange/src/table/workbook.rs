//! Workbooks: XLSX, XLS and ODS, told apart by their contents and read within the bounds of a budget.

mod budget;
mod builder;
mod ods;
mod package;
mod serial;
mod xls;
mod xlsx;
mod xml;

use super::{CellKind, Grid, ReadError, SheetChoice, Source, Table, header, stack};
use budget::{Budget, WorkbookFault};
use memchr::memmem;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Xls,
    Ods,
    OtherArchive,
}

impl Format {
    const fn name(self) -> &'static str {
        match self {
            Self::Xlsx => "XLSX",
            Self::Xls => "XLS",
            Self::Ods => "ODS",
            Self::OtherArchive => "ZIP",
        }
    }
}

/// Whether a spreadsheet program shows a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SheetState {
    Visible,
    Hidden,
}

/// A sheet of a workbook; without a grid where it was not asked for.
struct ReadSheet {
    name: String,
    state: SheetState,
    grid: Option<Grid>,
}

/// The workbook format of the bytes, `None` where they are no workbook.
pub(super) fn format_of(bytes: &[u8]) -> Option<Format> {
    if bytes.starts_with(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1") {
        return Some(Format::Xls);
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        return None;
    }
    let has = |needle: &[u8]| memmem::find(bytes, needle).is_some();
    Some(if has(b"application/vnd.oasis.opendocument.spreadsheet") {
        Format::Ods
    } else if has(b"xl/workbook") || has(b"xl/worksheets") || has(b"xl\\workbook") {
        Format::Xlsx
    } else {
        Format::OtherArchive
    })
}

/// Reads a workbook and takes the sheet picked, or the one that looks most like visits together with those
/// of the same headings.
pub(super) fn read(
    bytes: &[u8],
    file: &str,
    format: Format,
    choice: &SheetChoice<'_>,
) -> Result<Table, ReadError> {
    let budget = Budget::default();
    let picked = |name: &str| choice.may_be_read(name);
    let sheets = match format {
        Format::Xlsx => xlsx::read(bytes, &budget, &picked),
        Format::Xls => xls::read(bytes, &budget, &picked),
        Format::Ods => ods::read(bytes, &budget, &picked),
        Format::OtherArchive => {
            return Err(ReadError::NotASheet { file: file.to_owned(), looks: "a compressed archive" });
        }
    };
    choose(sheets.map_err(|fault| of_fault(fault, file))?, file, format, choice)
}

fn of_fault(fault: WorkbookFault, file: &str) -> ReadError {
    let file = file.to_owned();
    match fault {
        WorkbookFault::Broken(why) => ReadError::Workbook { file, why },
        WorkbookFault::Locked => ReadError::Locked(file),
        WorkbookFault::TooLarge(what) => ReadError::LargeWorkbook { file, what },
        WorkbookFault::Rows => ReadError::Rows(file),
        WorkbookFault::Columns(row, columns) => ReadError::Columns { file, row, columns },
    }
}

/// The sheet that looks most like visits, of those that are shown where one of them holds anything, with the
/// sheets that belong to it. A hidden sheet is added to another only by name.
fn choose(
    sheets: Vec<ReadSheet>,
    file: &str,
    format: Format,
    choice: &SheetChoice<'_>,
) -> Result<Table, ReadError> {
    let all: Vec<(String, SheetState)> =
        sheets.iter().map(|sheet| (sheet.name.clone(), sheet.state)).collect();
    let mut best: Option<((bool, usize), usize)> = None;
    let mut grids: Vec<(String, SheetState, Grid)> = Vec::new();
    for ReadSheet { name, state, grid } in sheets {
        let Some(grid) = grid else { continue };
        let score = (state == SheetState::Visible, header::likeness(&grid));
        let may_lead = grid.height() > 0 && choice.may_be_first(&name);
        if may_lead && best.is_none_or(|(most, _)| score > most) {
            best = Some((score, grids.len()));
        }
        grids.push((name, state, grid));
    }
    if let (Some(sheet), true) = (choice.pick, grids.is_empty()) {
        let has = all.iter().map(|(name, _)| format!("“{name}”")).collect();
        return Err(ReadError::NoSheet { file: file.to_owned(), sheet: sheet.to_owned(), has });
    }
    let Some((_, at)) = best else { return Err(ReadError::Empty(file.to_owned())) };
    let (sheet, _, grid) = grids.remove(at);
    let others = |of: SheetState| {
        let names = all.iter().filter(|(name, state)| *state == of && *name != sheet);
        names.map(|(name, _)| name.clone()).collect::<Vec<_>>()
    };
    let source = Source {
        file: file.to_owned(),
        format: format.name(),
        other_sheets: others(SheetState::Visible),
        hidden_sheets: others(SheetState::Hidden),
        sheet: Some(sheet),
        encoding: None,
        delimiter: None,
        header_row: 1,
        two_header_rows: false,
    };
    let may_join = |name: &str, state: SheetState| state == SheetState::Visible || choice.names(name);
    let grids = grids.into_iter().filter(|(name, state, _)| may_join(name, *state));
    let grids = grids.map(|(name, _, grid)| (name, grid)).collect();
    Ok(stack::together(choice.finished(grid, source)?, grids, choice))
}

/// A day or a time in the form of ISO 8601, and what it is.
fn iso_date(text: &str) -> (&str, CellKind) {
    let day = text.get(..10).filter(|day| day.parse::<record::Day>().is_ok());
    match day {
        Some(day) => (day, CellKind::Date),
        None if text.starts_with(['P', 'T']) => (text, CellKind::Time),
        None => (text, CellKind::Text),
    }
}
