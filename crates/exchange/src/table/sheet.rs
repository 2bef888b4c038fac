//! Workbooks: XLSX, XLS and ODS, told apart by their contents.

use super::{CellKind, Grid, MOST_COLUMNS, MOST_ROWS, ReadError, Source, Table, finish, header};
use calamine::{Data, Ods, Range, Reader, Xls, Xlsx};
use std::io::Cursor;

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
    pick: Option<&str>,
) -> Result<Table, ReadError> {
    let cursor = Cursor::new(bytes);
    let broken = |why: String| ReadError::Workbook { file: file.to_owned(), why };
    match format {
        Format::Xlsx => {
            let mut book = Xlsx::new(cursor).map_err(|error| broken(error.to_string()))?;
            let merged = |book: &mut Xlsx<Cursor<&[u8]>>, name: &str| {
                let found = book.merge_cells_by_sheet_name(name).unwrap_or_default();
                found.iter().map(|merge| (merge.start, merge.end)).collect()
            };
            choose(&mut book, file, "XLSX", pick, merged)
        }
        Format::Xls => {
            let mut book = Xls::new(cursor).map_err(|error| broken(error.to_string()))?;
            choose(&mut book, file, "XLS", pick, |_, _| Vec::new())
        }
        Format::Ods => {
            let mut book = Ods::new(cursor).map_err(|error| broken(error.to_string()))?;
            choose(&mut book, file, "ODS", pick, |_, _| Vec::new())
        }
        Format::OtherArchive => {
            Err(ReadError::NotASheet { file: file.to_owned(), looks: "a compressed archive" })
        }
    }
}

type Merge = ((u32, u32), (u32, u32));

fn choose<'a, R: Reader<Cursor<&'a [u8]>>>(
    book: &mut R,
    file: &str,
    format: &'static str,
    pick: Option<&str>,
    merged: impl Fn(&mut R, &str) -> Vec<Merge>,
) -> Result<Table, ReadError>
where
    R::Error: std::fmt::Display,
{
    let names = book.sheet_names();
    let wanted: Vec<String> = match pick {
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
    let mut best: Option<(usize, String, Grid)> = None;
    let mut trouble = None;
    for name in wanted {
        let range = match book.worksheet_range(&name) {
            Ok(range) => range,
            Err(error) => {
                trouble = Some(ReadError::Workbook { file: file.to_owned(), why: error.to_string() });
                continue;
            }
        };
        let grid = grid_of(&range, &merged(book, &name), file)?;
        let score = header::likeness(&grid);
        if grid.height() > 0 && best.as_ref().is_none_or(|(most, _, _)| score > *most) {
            best = Some((score, name, grid));
        }
    }
    let Some((_, sheet, grid)) = best else {
        return Err(trouble.unwrap_or_else(|| ReadError::Empty(file.to_owned())));
    };
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
    finish(grid, source)
}

/// Rows and columns keep the numbers they have in the workbook, so blank ones above and to the left
/// are filled in.
fn grid_of(range: &Range<Data>, merged: &[Merge], file: &str) -> Result<Grid, ReadError> {
    let mut grid = Grid::typed();
    let Some((top, left)) = range.start() else { return Ok(grid) };
    let (height, width) = range.get_size();
    if height + top as usize > MOST_ROWS {
        return Err(ReadError::Rows(file.to_owned()));
    }
    if width + left as usize > MOST_COLUMNS {
        let columns = width + left as usize;
        return Err(ReadError::Columns { file: file.to_owned(), row: top as usize + 1, columns });
    }
    for _ in 0..top {
        grid.end_row();
    }
    let spread = Spread::of(merged, range);
    for (index, cells) in range.rows().enumerate() {
        let row = top + u32::try_from(index).unwrap_or(0);
        for _ in 0..left {
            grid.push("", CellKind::Text);
        }
        let used = cells.iter().rposition(|cell| !matches!(cell, Data::Empty)).map_or(0, |at| at + 1);
        for at in 0..used.max(spread.reach(row, left)) {
            let column = left + u32::try_from(at).unwrap_or(0);
            let own = cells.get(at).unwrap_or(&Data::Empty);
            push(&mut grid, spread.source(row, column).and_then(|at| range.get_value(at)).unwrap_or(own));
        }
        grid.end_row();
    }
    Ok(grid)
}

/// Cells that take their value from the first cell of a merged block.
struct Spread(std::collections::HashMap<(u32, u32), (u32, u32)>, std::collections::HashMap<u32, u32>);

impl Spread {
    /// A value merged down several rows (a name beside a right and a left row) holds for each of them.
    /// Across, only a heading such as "Right" or "Visit 1" holds for each of its columns.
    fn of(merged: &[Merge], range: &Range<Data>) -> Self {
        let (mut cells, mut reach) = (std::collections::HashMap::new(), std::collections::HashMap::new());
        for &(from, to) in merged.iter().filter(|(from, to)| cells_of(*from, *to) <= 100_000) {
            let heading = matches!(range.get_value(from), Some(Data::String(text)) if header::is_group(text));
            let last = if heading { to.1 } else { from.1 };
            for row in from.0..=to.0 {
                for column in from.1..=last {
                    cells.insert((row, column), from);
                    let furthest = reach.entry(row).or_insert(column);
                    *furthest = (*furthest).max(column);
                }
            }
        }
        Self(cells, reach)
    }

    fn source(&self, row: u32, column: u32) -> Option<(u32, u32)> {
        self.0.get(&(row, column)).copied()
    }

    fn reach(&self, row: u32, left: u32) -> usize {
        self.1.get(&row).map_or(0, |&column| (column + 1).saturating_sub(left) as usize)
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
