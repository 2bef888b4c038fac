//! Workbooks: XLSX, XLS and ODS, told apart by their contents.

use super::{
    CellKind, Grid, MOST_COLUMNS, MOST_ROWS, ReadError, SheetChoice, Source, Table, header, heading_cells,
    stack,
};
use calamine::{Data, Ods, Range, Reader, Xls, Xlsx};
use std::{collections::HashMap, io::Cursor};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Xls,
    Ods,
    OtherArchive,
}

/// The workbook format of the bytes, `None` where they are no workbook.
pub(super) fn format_of(bytes: &[u8]) -> Option<Format> {
    if bytes.starts_with(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1") {
        return Some(Format::Xls);
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        return None;
    }
    let has = |needle: &[u8]| bytes.windows(needle.len()).any(|window| window == needle);
    Some(if has(b"application/vnd.oasis.opendocument.spreadsheet") {
        Format::Ods
    } else if has(b"xl/workbook") || has(b"xl/worksheets") {
        Format::Xlsx
    } else {
        Format::OtherArchive
    })
}

/// Reads a workbook and takes the sheet picked, or the one that looks most like visits.
pub(super) fn read(
    bytes: &[u8],
    file: &str,
    format: Format,
    choice: &SheetChoice<'_>,
) -> Result<Table, ReadError> {
    let cursor = Cursor::new(bytes);
    let broken = |why: String| ReadError::Workbook { file: file.to_owned(), why };
    match format {
        Format::Xlsx => {
            let mut book = Xlsx::new(cursor).map_err(|error| broken(error.to_string()))?;
            let names = book.sheet_names();
            choose(names, file, "XLSX", choice, |name| {
                let merged = book.merge_cells_by_sheet_name(name).unwrap_or_default();
                let merged = merged.iter().map(|merge| (merge.start, merge.end)).collect();
                let mut reader = book.worksheet_cells_reader(name).map_err(|error| error.to_string())?;
                let mut cells = Vec::new();
                while let Some(cell) = reader.next_cell().map_err(|error| error.to_string())? {
                    cells.push((cell.get_position(), Data::from(cell.get_value().clone())));
                }
                Ok(Cells { cells, merged })
            })
        }
        Format::Xls => {
            let mut book = Xls::new(cursor).map_err(|error| broken(error.to_string()))?;
            choose(book.sheet_names(), file, "XLS", choice, |name| of_range(book.worksheet_range(name)))
        }
        Format::Ods => {
            let mut book = Ods::new(cursor).map_err(|error| broken(error.to_string()))?;
            choose(book.sheet_names(), file, "ODS", choice, |name| of_range(book.worksheet_range(name)))
        }
        Format::OtherArchive => {
            Err(ReadError::NotASheet { file: file.to_owned(), looks: "a compressed archive" })
        }
    }
}

type Merge = ((u32, u32), (u32, u32));

/// The cells of a sheet that hold anything, by row and column, and the blocks that are merged. Only
/// these are held: one stray cell far below does not make the sheet large.
struct Cells {
    cells: Vec<((u32, u32), Data)>,
    merged: Vec<Merge>,
}

fn of_range<E: std::fmt::Display>(range: Result<Range<Data>, E>) -> Result<Cells, String> {
    let range = range.map_err(|error| error.to_string())?;
    let (top, left) = range.start().unwrap_or((0, 0));
    let place = |(row, column, data): (usize, usize, &Data)| {
        let down = |from: u32, by: usize| from.saturating_add(u32::try_from(by).unwrap_or(u32::MAX));
        ((down(top, row), down(left, column)), data.clone())
    };
    Ok(Cells { cells: range.used_cells().map(place).collect(), merged: Vec::new() })
}

fn choose(
    names: Vec<String>,
    file: &str,
    format: &'static str,
    choice: &SheetChoice<'_>,
    mut cells_of: impl FnMut(&str) -> Result<Cells, String>,
) -> Result<Table, ReadError> {
    let wanted: Vec<String> = match choice.pick {
        Some(sheet) => {
            let same = |name: &&String| name.trim().eq_ignore_ascii_case(sheet.trim());
            let found = names.iter().find(same).ok_or_else(|| ReadError::NoSheet {
                file: file.to_owned(),
                sheet: sheet.to_owned(),
                has: names.iter().map(|name| format!("“{name}”")).collect(),
            })?;
            vec![found.clone()]
        }
        None => names.clone(),
    };
    let mut best: Option<(usize, usize)> = None;
    let mut grids: Vec<(String, Grid)> = Vec::new();
    let mut trouble = None;
    for name in wanted {
        let cells = match cells_of(&name) {
            Ok(cells) => cells,
            Err(why) => {
                trouble = Some(ReadError::Workbook { file: file.to_owned(), why });
                continue;
            }
        };
        let grid = grid_of(cells, file)?;
        let score = header::likeness(&grid);
        let first = grid.height() > 0 && choice.may_be_first(&name);
        if first && best.is_none_or(|(most, _)| score > most) {
            best = Some((score, grids.len()));
        }
        grids.push((name, grid));
    }
    let Some((_, at)) = best else {
        return Err(trouble.unwrap_or_else(|| ReadError::Empty(file.to_owned())));
    };
    let (sheet, grid) = grids.remove(at);
    let other_sheets = names.into_iter().filter(|name| *name != sheet).collect();
    let source = Source {
        file: file.to_owned(),
        format,
        sheet: Some(sheet),
        other_sheets,
        encoding: None,
        delimiter: None,
        header_row: 1,
        two_header_rows: false,
    };
    Ok(stack::together(choice.finished(grid, source)?, grids, choice))
}

/// Rows and columns keep the numbers they have in the workbook, so blank ones above and to the left
/// are filled in.
fn grid_of(sheet: Cells, file: &str) -> Result<Grid, ReadError> {
    let Cells { mut cells, merged } = sheet;
    cells.retain(|(_, data)| !matches!(data, Data::Empty));
    spread(&mut cells, &merged);
    cells.sort_by_key(|(at, _)| *at);
    cells.dedup_by_key(|(at, _)| *at);
    let mut grid = Grid::typed();
    for &((row, from), (_, to)) in merged.iter().filter(|((row, from), (_, to))| *row < 60 && to > from) {
        grid.mark_across(row, from, to);
    }
    for ((row, column), data) in &cells {
        if *row as usize >= MOST_ROWS {
            return Err(ReadError::Rows(file.to_owned()));
        }
        if *column as usize >= MOST_COLUMNS {
            let (row, columns) = (*row as usize + 1, *column as usize + 1);
            return Err(ReadError::Columns { file: file.to_owned(), row, columns });
        }
        while grid.height() < *row as usize {
            grid.end_row();
        }
        while grid.open_cells() < *column as usize {
            grid.push("", CellKind::Text);
        }
        push(&mut grid, data);
    }
    if grid.open_cells() > 0 {
        grid.end_row();
    }
    Ok(grid)
}

/// A value merged down several rows (a name beside a right and a left row) holds for each of them.
/// Across, only a heading such as "Right" or "Visit 1" holds for each of its columns.
fn spread(cells: &mut Vec<((u32, u32), Data)>, merged: &[Merge]) {
    let values: HashMap<(u32, u32), Data> = cells.iter().cloned().collect();
    for &(from, to) in merged.iter().filter(|(from, to)| cells_of(*from, *to) <= 100_000) {
        let Some(value) = values.get(&from) else { continue };
        let heading = matches!(value, Data::String(text) if heading_cells::is_group(text));
        let last = if heading { to.1 } else { from.1 };
        for row in from.0..=to.0 {
            for column in from.1..=last {
                if !values.contains_key(&(row, column)) {
                    cells.push(((row, column), value.clone()));
                }
            }
        }
    }
}

const fn cells_of(from: (u32, u32), to: (u32, u32)) -> u64 {
    (to.0.saturating_sub(from.0) as u64 + 1) * (to.1.saturating_sub(from.1) as u64 + 1)
}

fn push(grid: &mut Grid, data: &Data) {
    match data {
        Data::Empty => grid.push("", CellKind::Text),
        Data::String(text) => grid.push(text, CellKind::Text),
        Data::Int(number) => grid.push(&number.to_string(), CellKind::Number),
        Data::Float(number) => grid.push(&number.to_string(), CellKind::Number),
        Data::Bool(yes) => grid.push(if *yes { "yes" } else { "no" }, CellKind::Text),
        Data::DateTime(instant) if instant.is_datetime() && instant.as_f64() >= 1.0 => {
            let (year, month, day, ..) = instant.to_ymd_hms_milli();
            grid.push(&format!("{year:04}-{month:02}-{day:02}"), CellKind::Date);
        }
        Data::DateTime(instant) => {
            let minutes = (instant.as_f64() * 1440.0).round();
            grid.push(&format!("{:02}:{:02}", (minutes / 60.0).floor(), minutes % 60.0), CellKind::Time);
        }
        Data::DateTimeIso(text) => grid.push(text.get(..10).unwrap_or(text), CellKind::Date),
        Data::DurationIso(text) => grid.push(text, CellKind::Time),
        Data::Error(error) => grid.push(&error.to_string(), CellKind::Error),
    }
}
