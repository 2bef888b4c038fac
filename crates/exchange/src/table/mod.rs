//! A sheet as it came: headers, rows of cells, and how it was read.

mod delimited;
mod encoding;
mod header;
mod heading_cells;
mod levels;
mod long;
mod stack;
mod titles;
mod turned;
mod workbook;

use crate::delimited::separator_of_lines;
pub(crate) use long::RowForm;
use serde::Serialize;
pub(crate) use stack::{LeftSheet, SheetChoice};

/// What the beginning of a file is that is no text.
pub(crate) fn looks_foreign(start: &[u8]) -> Option<&'static str> {
    if start.starts_with(b"PK\x03\x04") || start.starts_with(b"\xd0\xcf\x11\xe0") {
        return Some("a workbook; save the sheet as CSV first");
    }
    encoding::foreign(start)
}

/// Whether text is written in two bytes a letter.
pub(crate) fn is_wide(start: &[u8]) -> bool {
    encoding::is_wide(start)
}

/// The text of bytes in whatever encoding.
pub(crate) fn text_of(bytes: &[u8]) -> String {
    encoding::decode(bytes).0.into_owned()
}

/// Most rows read from one sheet.
pub const MOST_ROWS: usize = 3_000_000;
/// Most columns read from one sheet, as many as a spreadsheet program allows.
pub const MOST_COLUMNS: usize = 16_384;
/// Most cells read from one file, blank ones between others counted.
pub const MOST_CELLS: usize = 24_000_000;
/// Most bytes of text read from the cells of a workbook.
pub const MOST_TEXT_BYTES: usize = 96 << 20;
/// Largest file read, in bytes: more rows than any clinic has, and few enough that reading them takes a
/// clinic's computer no more memory than it has (over 12 bytes are held for each byte of the file).
pub const MOST_BYTES: usize = 64 << 20;

/// A file that cannot be read as a sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// No bytes at all, or only white space.
    #[error("{0} is empty: there is nothing to import.")]
    Empty(String),
    /// A header and nothing under it.
    #[error("{0} has a header row and no rows under it: there is nothing to import.")]
    HeaderOnly(String),
    /// Neither text nor a workbook.
    #[error("{file} is not a spreadsheet: its contents look like {looks}. CSV, XLSX, XLS and ODS are read.")]
    NotASheet {
        /// Name of the file.
        file: String,
        /// What it looks like.
        looks: &'static str,
    },
    /// A workbook by its contents, but damaged or locked.
    #[error(
        "{file} looks like a workbook but cannot be read: {why}. Open it in a spreadsheet program, save it again, and import that."
    )]
    Workbook {
        /// Name of the file.
        file: String,
        /// What the reader said.
        why: String,
    },
    /// A workbook with a password.
    #[error("{0} is locked with a password: save a copy without one and import that.")]
    Locked(String),
    /// A workbook that would take too much memory or time.
    #[error("{file} is too large to be read: {what}. Save the sheet with the visits as CSV and import that.")]
    LargeWorkbook {
        /// Name of the file.
        file: String,
        /// What is too large, as a clause with its own verb.
        what: String,
    },
    /// The sheet asked for is not there.
    #[error("{file} has no sheet “{sheet}”; it has {}.", .has.join(", "))]
    NoSheet {
        /// Name of the file.
        file: String,
        /// Name asked for.
        sheet: String,
        /// Names there are.
        has: Vec<String>,
    },
    /// Too many rows.
    #[error("{0} has more than {MOST_ROWS} rows: split it into smaller files.")]
    Rows(String),
    /// Too many cells.
    #[error("{0} has more than {MOST_CELLS} cells: split it into smaller files.")]
    Cells(String),
    /// Too many columns.
    #[error("{file} has {columns} columns in row {row}: at most {MOST_COLUMNS} are read.")]
    Columns {
        /// Name of the file.
        file: String,
        /// Row with too many.
        row: usize,
        /// How many.
        columns: usize,
    },
    /// Too many bytes.
    #[error("{0} is larger than 64 MB: split it into smaller files.")]
    Bytes(String),
    /// Quotation marks in disorder all over.
    #[error("{file} has quotation marks that do not close, the first in row {row}: mend them and try again.")]
    Quotes {
        /// Name of the file.
        file: String,
        /// The first such row.
        row: usize,
    },
    /// The header row asked for lies outside the sheet.
    #[error("{file} has no row {row} to take the headers from.")]
    NoHeaderRow {
        /// Name of the file.
        file: String,
        /// The row asked for.
        row: usize,
    },
}

impl Source {
    /// Where the ending of the name is that of another kind of file than the contents: one sentence.
    #[must_use]
    pub fn misnamed(&self) -> Option<String> {
        const WORKBOOKS: [&str; 3] = ["XLSX", "XLS", "ODS"];
        let ending = self.file.rsplit_once('.').map(|(_, ending)| ending.to_ascii_uppercase())?;
        let named = match ending.as_str() {
            "CSV" | "TSV" | "TXT" => "CSV",
            "XLSM" => "XLSX",
            other => WORKBOOKS.into_iter().find(|known| *known == other)?,
        };
        (named != self.format).then(|| {
            format!(
                "By its contents {} is {}, which its name does not say; it was read as such.",
                self.file, self.format
            )
        })
    }
}

/// What a cell was in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellKind {
    /// Text, as in every cell of a CSV file.
    Text,
    /// A number of a workbook.
    Number,
    /// A number of a workbook that counts days from 1904, which is never read as a day counted from 1900.
    NumberSince1904,
    /// A date of a workbook; the text is then year-month-day.
    Date,
    /// A time of day or a duration of a workbook.
    Time,
    /// An error value of a workbook, such as a division by zero.
    Error,
    /// A formula of a workbook without a saved value; the text is the formula, as far as it is known.
    Formula,
}

/// One cell.
#[derive(Debug, Clone, Copy)]
pub struct Cell<'a> {
    /// What it says; numbers and dates in plain form.
    pub text: &'a str,
    /// What it was.
    pub kind: CellKind,
}

impl<'a> Cell<'a> {
    pub(crate) const EMPTY: Self = Cell { text: "", kind: CellKind::Text };

    /// Without white space around it.
    #[must_use]
    pub fn trimmed(&self) -> &'a str {
        self.text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}' || c == '\u{200b}')
    }

    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.trimmed().is_empty()
    }
}

/// Rows of cells held in one piece of text, so that a large file stays small.
#[derive(Debug, Clone, Default)]
pub(crate) struct Grid {
    text: String,
    ends: Vec<u32>,
    kinds: Vec<CellKind>,
    typed: bool,
    row_ends: Vec<u32>,
    damaged: Vec<u32>,
    /// Cells merged across columns: row, first and last column. In order.
    across: Vec<(usize, usize, usize)>,
    /// Cells merged over several rows, by column: their first and last row. In order.
    down: Vec<(usize, usize, usize)>,
}

impl Grid {
    pub(crate) fn typed() -> Self {
        Self { typed: true, ..Self::default() }
    }

    pub(crate) fn push(&mut self, text: &str, kind: CellKind) {
        self.text.push_str(text);
        self.end_cell(kind);
    }

    pub(crate) fn end_cell(&mut self, kind: CellKind) {
        self.ends.push(u32::try_from(self.text.len()).unwrap_or(u32::MAX));
        if self.typed {
            self.kinds.push(kind);
        }
    }

    pub(crate) fn end_row(&mut self) {
        self.row_ends.push(u32::try_from(self.ends.len()).unwrap_or(u32::MAX));
    }

    pub(crate) fn mark_damaged(&mut self) {
        self.damaged.push(u32::try_from(self.row_ends.len()).unwrap_or(u32::MAX));
    }

    /// Notes that a cell runs over several columns.
    pub(crate) fn mark_across(&mut self, row: usize, from: usize, to: usize) {
        let place = self.across.partition_point(|&other| other < (row, from, to));
        self.across.insert(place, (row, from, to));
    }

    /// Notes that a cell runs over several rows; each of them then holds its value.
    pub(crate) fn mark_down(&mut self, column: usize, from: usize, to: usize) {
        let place = self.down.partition_point(|&other| other < (column, from, to));
        self.down.insert(place, (column, from, to));
    }

    /// The first and last row of a cell that runs over several.
    pub(crate) fn merged_down(&self, row: usize, column: usize) -> Option<(usize, usize)> {
        let after = self.down.partition_point(|&(of, from, _)| (of, from) <= (column, row));
        let &(of, from, to) = self.down.get(after.checked_sub(1)?)?;
        (of == column && to >= row).then_some((from, to))
    }

    /// The first and last columns of the cells of a row that run over several.
    pub(crate) fn merged_across(&self, row: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        let first = self.across.partition_point(|&(at, ..)| at < row);
        let of_row = self.across.iter().skip(first).take_while(move |(at, ..)| *at == row);
        of_row.map(|&(_, from, to)| (from, to))
    }

    /// What it takes of memory, in bytes.
    pub(crate) fn bytes(&self) -> usize {
        // What is reserved beyond it was never written, so the system gave no memory for it.
        let numbers = self.ends.len() + self.row_ends.len() + self.damaged.len();
        self.text.len() + size_of_val(self.kinds.as_slice()) + numbers * size_of::<u32>()
    }

    /// How many cells it has, blank ones between others counted.
    pub(crate) fn cells(&self) -> usize {
        self.ends.len()
    }

    pub(crate) fn open_cells(&self) -> usize {
        self.ends.len() - self.row_ends.last().map_or(0, |&end| end as usize)
    }

    pub(crate) fn height(&self) -> usize {
        self.row_ends.len()
    }

    pub(crate) fn width_of(&self, row: usize) -> usize {
        let (from, to) = self.span(row);
        to - from
    }

    fn span(&self, row: usize) -> (usize, usize) {
        // The row that is still open ends with the last cell.
        let end = match self.row_ends.get(row) {
            Some(&end) => end as usize,
            None if row == self.row_ends.len() => self.ends.len(),
            None => return (0, 0),
        };
        let from = row.checked_sub(1).and_then(|before| self.row_ends.get(before)).copied().unwrap_or(0);
        (from as usize, end)
    }

    pub(crate) fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        let (from, to) = self.span(row);
        let at = from + column;
        if at >= to {
            return Cell::EMPTY;
        }
        let start = at.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or(0);
        let end = self.ends.get(at).copied().unwrap_or(start);
        let text = self.text.get(start as usize..end as usize).unwrap_or("");
        Cell { text, kind: self.kinds.get(at).copied().unwrap_or(CellKind::Text) }
    }

    pub(crate) fn is_blank(&self, row: usize) -> bool {
        (0..self.width_of(row)).all(|column| self.cell(row, column).is_blank())
    }

    pub(crate) fn is_damaged(&self, row: usize) -> bool {
        u32::try_from(row).is_ok_and(|row| self.damaged.binary_search(&row).is_ok())
    }
}

/// How a file was read, for the reader.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Name of the file.
    pub file: String,
    /// "CSV", "XLSX", "XLS", "ODS".
    pub format: &'static str,
    /// The sheet taken from a workbook.
    pub sheet: Option<String>,
    /// The other sheets of the workbook that a spreadsheet program shows; they are not read.
    pub other_sheets: Vec<String>,
    /// The other sheets of the workbook that a spreadsheet program hides; they are not read.
    pub hidden_sheets: Vec<String>,
    /// The encoding of a text file.
    pub encoding: Option<&'static str>,
    /// "comma", "semicolon", "tab", "pipe".
    pub delimiter: Option<&'static str>,
    /// The row of the headers, the first row of the file being 1.
    pub header_row: usize,
    /// Whether the headers are in two rows.
    pub two_header_rows: bool,
}

/// A sheet: its headers and its rows.
#[derive(Debug, Clone)]
pub struct Table {
    /// How it was read.
    pub source: Source,
    /// One header for each column; empty where there is none.
    pub headers: Vec<String>,
    pub(crate) grid: Grid,
    pub(crate) first: usize,
    /// Whether each row was a column of the sheet.
    pub(crate) turned: bool,
    /// Where the rows come from, where several make up one.
    origin: Option<long::Origin>,
    /// Where the rows come from, where several sheets are read together.
    stack: Option<stack::Stack>,
    /// Sheets that look like visits and are not read.
    pub(crate) left_sheets: Vec<LeftSheet>,
}

impl Table {
    /// Rows under the header that hold anything, by their index; blank rows are passed over.
    pub fn rows(&self) -> impl Iterator<Item = usize> + '_ {
        (self.first..self.grid.height()).filter(|&row| self.grid.is_damaged(row) || !self.grid.is_blank(row))
    }

    /// The cell of a row (by its index, as [`Table::rows`] gives it) and a column.
    #[must_use]
    pub fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        self.grid.cell(row, column)
    }

    /// Whether any cell runs over several rows or columns.
    pub(crate) fn has_merged_cells(&self) -> bool {
        !self.grid.down.is_empty() || !self.grid.across.is_empty()
    }

    /// The first and last columns of the cells of a row that run over several.
    pub(crate) fn merged_across(&self, row: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.grid.merged_across(row)
    }

    /// The first and last row of a cell that runs over several; each of them holds its value.
    pub(crate) fn merged_down(&self, row: usize, column: usize) -> Option<(usize, usize)> {
        self.grid.merged_down(row, column)
    }

    /// How many cells the row has in the file.
    #[must_use]
    pub fn width_of(&self, row: usize) -> usize {
        self.grid.width_of(row)
    }

    /// What its cells take of memory, in bytes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.grid.bytes()
    }

    /// Whether its cells have kinds other than text: those of a workbook.
    pub(crate) fn is_typed(&self) -> bool {
        self.grid.typed
    }

    /// Whether the row's quotation marks do not close.
    #[must_use]
    pub fn is_damaged(&self, row: usize) -> bool {
        self.grid.is_damaged(row)
    }

    /// The number by which a person finds the row in the file: the first row is 1.
    #[must_use]
    pub fn row_number(&self, row: usize) -> usize {
        self.row_numbers(row).next().unwrap_or(row + 1)
    }

    /// The numbers of all rows of the file that make up a row.
    pub fn row_numbers(&self, row: usize) -> impl Iterator<Item = usize> + '_ {
        let from = self.origin.as_ref().and_then(|origin| origin.rows.get(row)).map(Vec::as_slice);
        let plain = from.is_none().then_some(row + 1);
        from.unwrap_or_default().iter().map(|&row| row as usize + 1).chain(plain)
    }

    /// The sheet of a row, by its number as [`Table::row_number`] gives it, where several sheets are read
    /// together; and the number by which a person finds the row there.
    #[must_use]
    pub fn place_of(&self, number: usize) -> (Option<&str>, usize) {
        let stack = self.as_it_came().stack.as_ref();
        let place = stack.and_then(|stack| Some((stack, stack.rows.get(number.checked_sub(1)?)?)));
        place.map_or((None, number), |(stack, &(sheet, row))| {
            (stack.sheets.get(sheet as usize).map(String::as_str), row as usize + 1)
        })
    }

    /// The sheets that are read together; none where it is a single one.
    #[must_use]
    pub fn sheets_together(&self) -> &[String] {
        self.as_it_came().stack.as_ref().map_or(&[], |stack| &stack.sheets)
    }

    /// The table as it came, before rows were put together.
    #[must_use]
    pub fn as_it_came(&self) -> &Self {
        self.origin.as_ref().map_or(self, |origin| &*origin.table)
    }

    /// Whether a heading of the file became items or values of another column.
    pub(crate) fn is_absorbed(&self, header: &str) -> bool {
        let same = |other: &String| crate::text::fold(other) == crate::text::fold(header);
        self.origin.as_ref().is_some_and(|origin| origin.absorbed.iter().any(same))
    }

    /// Takes the headers from another row (the first row of the file is 1).
    ///
    /// # Errors
    /// When the sheet has no such row, or nothing under it.
    pub fn with_header_row(mut self, row: usize) -> Result<Self, ReadError> {
        let file = self.source.file.clone();
        let at = row.checked_sub(1).filter(|&at| at < self.grid.height());
        let at = at.ok_or(ReadError::NoHeaderRow { file: file.clone(), row })?;
        let found = header::at(&self.grid, at);
        self.headers = found.headers;
        self.first = found.first;
        self.source.header_row = row;
        self.source.two_header_rows = found.two;
        if self.rows().next().is_none() { Err(ReadError::HeaderOnly(file)) } else { Ok(self) }
    }
}

/// Reads a file by its contents, whatever its name says.
///
/// `pick` names the sheet of a workbook; without it the sheet that looks most like visits is taken and
/// named in [`Source::sheet`].
///
/// # Errors
/// One sentence when the file is empty, not a sheet, damaged or too large.
pub fn read_table(bytes: &[u8], file_name: &str, pick: Option<&str>) -> Result<Table, ReadError> {
    read(bytes, file_name, &SheetChoice { pick, ..SheetChoice::default() })
}

/// Reads a file with the sheets that a person has chosen.
pub(crate) fn read(bytes: &[u8], file_name: &str, choice: &SheetChoice<'_>) -> Result<Table, ReadError> {
    let file = || file_name.to_owned();
    if bytes.len() > MOST_BYTES {
        return Err(ReadError::Bytes(file()));
    }
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(ReadError::Empty(file()));
    }
    if let Some(format) = workbook::format_of(bytes) {
        return workbook::read(bytes, file_name, format, choice);
    }
    if let Some(looks) = encoding::foreign(bytes) {
        return Err(ReadError::NotASheet { file: file(), looks });
    }
    let (text, encoding) = encoding::decode(bytes);
    if text.trim().is_empty() {
        return Err(ReadError::Empty(file()));
    }
    let separator = separator_of_lines(&text);
    let grid = delimited::parse(&text, separator, file_name)?;
    let source = Source {
        file: file(),
        format: "CSV",
        sheet: None,
        other_sheets: Vec::new(),
        hidden_sheets: Vec::new(),
        encoding: Some(encoding),
        delimiter: Some(delimited::name_of(separator)),
        header_row: 1,
        two_header_rows: false,
    };
    choice.finished(grid, source)
}

fn finish(grid: Grid, mut source: Source) -> Result<Table, ReadError> {
    let found = header::find(&grid);
    source.header_row = found.row + 1;
    source.two_header_rows = found.two;
    let table = Table {
        headers: found.headers,
        first: found.first,
        grid,
        source,
        turned: false,
        origin: None,
        stack: None,
        left_sheets: Vec::new(),
    };
    if table.rows().next().is_none() {
        return Err(ReadError::HeaderOnly(table.source.file));
    }
    Ok(table)
}
