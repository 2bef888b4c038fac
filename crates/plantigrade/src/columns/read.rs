//! Reading the requested columns.

use super::{
    column::{ColumnKind, DataColumn},
    column_reader::ColumnReader,
    pieces::{self, Piece, Pieces},
    sheet::{DataSheet, Refusal},
};
use crate::exit::Failure;
use exchange::delimited::{Record, Records, separator_of_header, without_mark};
use rayon::prelude::*;
use std::{borrow::Cow, path::Path};

/// The rows with a value in every requested column, and the number of missing values by column.
pub type Complete = (UsedRows, Vec<(String, usize)>);

/// Rows of a table, in order.
#[derive(Debug, Clone)]
pub enum UsedRows {
    /// All rows, with their number.
    All(usize),
    /// The rows with these numbers.
    Some(Vec<usize>),
}

impl UsedRows {
    /// The number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::All(count) => *count,
            Self::Some(rows) => rows.len(),
        }
    }

    /// Whether there are no rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Their numbers.
    pub fn each(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.len()).map(move |at| match self {
            Self::All(_) => at,
            Self::Some(rows) => rows[at],
        })
    }

    /// The values of a column in these rows; not copied if all rows are used.
    #[must_use]
    pub fn of<'a, T: Copy>(&self, column: &'a [T]) -> Cow<'a, [T]> {
        match self {
            Self::All(_) => Cow::Borrowed(column),
            Self::Some(rows) => rows.iter().map(|row| column[*row]).collect(),
        }
    }
}

/// The requested columns, by name.
#[derive(Debug, Clone)]
pub struct DataTable {
    names: Vec<String>,
    columns: Vec<DataColumn>,
    /// Rows below the header, blank lines left out.
    pub rows: usize,
    /// The blank lines, numbered as rows of a spreadsheet, in order.
    blank: Vec<u32>,
}

impl DataTable {
    /// Reads columns of a file; a column requested twice has to be of the same kind.
    ///
    /// # Errors
    /// A file that cannot be read, a column that is missing or occurs twice, a row of the wrong length, or a cell
    /// that is not a number where one is needed: each with row and column.
    pub fn read(path: &Path, wanted: &[(&str, ColumnKind)]) -> Result<Self, Failure> {
        Self::in_pieces(path, wanted, pieces::PIECE)
    }

    /// As [`Self::read`], with pieces of `piece_bytes` bytes.
    fn in_pieces(path: &Path, wanted: &[(&str, ColumnKind)], piece_bytes: u64) -> Result<Self, Failure> {
        let mut wanted: Vec<(String, ColumnKind)> =
            wanted.iter().map(|(name, kind)| ((*name).to_owned(), *kind)).collect();
        wanted.sort_by(|a, b| a.0.cmp(&b.0));
        wanted.dedup_by(|a, b| a.0 == b.0);
        match pass(path, &wanted, piece_bytes)? {
            Ok(table) => Ok(table),
            // A column that may be either has words: it is read again as levels.
            Err(words) => {
                for at in words {
                    wanted[at].1 = ColumnKind::Level;
                }
                pass(path, &wanted, piece_bytes)?
                    .map_err(|_| Failure::failed("The file changed while it was read."))
            }
        }
    }

    /// A requested column.
    ///
    /// # Errors
    /// When it was not requested.
    pub fn column(&self, name: &str) -> Result<&DataColumn, Failure> {
        let at = self.names.iter().position(|known| known == name);
        at.map(|at| &self.columns[at]).ok_or_else(|| Failure::failed(format!("Column {name} was not read.")))
    }

    /// The place of a cell, in words.
    #[must_use]
    pub fn place(&self, row: usize, column: &str) -> String {
        // The header is row 1; every blank line before moves the row one down.
        let mut line = row as u32 + 2;
        for blank in &self.blank {
            line += u32::from(*blank <= line);
        }
        format!("row {line}, column {column}")
    }

    /// The rows in which none of these columns is missing, and for each column how many rows it lacks.
    ///
    /// # Errors
    /// As [`Self::column`].
    pub fn complete(&self, names: &[&str]) -> Result<Complete, Failure> {
        let columns = names.iter().map(|name| self.column(name)).collect::<Result<Vec<_>, _>>()?;
        let mut counts: Vec<(String, usize)> = names
            .iter()
            .zip(&columns)
            .map(|(name, column)| ((*name).to_owned(), column.missing_count()))
            .filter(|(_, count)| *count > 0)
            .collect();
        counts.dedup();
        let known = |row: &usize| !columns.iter().any(|column| column.missing(*row));
        let rows = if counts.is_empty() {
            UsedRows::All(self.rows)
        } else {
            UsedRows::Some((0..self.rows).filter(known).collect())
        };
        Ok((rows, counts))
    }
}

/// A table, or which of the wanted columns must be read again as levels.
type Pass = Result<DataTable, Vec<usize>>;

fn pass(path: &Path, wanted: &[(String, ColumnKind)], piece_bytes: u64) -> Result<Pass, Failure> {
    let unread = |error| Failure::failed(format!("{} could not be read: {error}.", path.display()));
    if std::fs::metadata(path).map_err(unread)?.is_file()
        && let Some((line, header_bytes)) = pieces::first_line(path).map_err(unread)?
    {
        let (separator, heads) = pieces::heads(&line);
        let sheet = DataSheet::of(separator, heads, wanted)?;
        if let Pieces::Plain(pieces) =
            pieces::read(path, &sheet, header_bytes, piece_bytes).map_err(unread)?
        {
            return Ok(table(&sheet, joined(&sheet, pieces)?));
        }
    }
    let bytes = std::fs::read(path).map_err(unread)?;
    whole(&bytes, wanted)
}

/// All rows of any file, cell by cell.
fn whole(bytes: &[u8], wanted: &[(String, ColumnKind)]) -> Result<Pass, Failure> {
    let bytes = without_mark(bytes);
    let separator = separator_of_header(bytes);
    let (mut records, mut record) = (Records::new(bytes, separator), Record::default());
    if !records.read(&mut record) {
        return Err(Failure::refused(
            "The file is empty: a header with the names of the columns is expected in row 1.",
        ));
    }
    if record.is_damaged() {
        return Err(Refusal::OpenQuote.at(1));
    }
    let name = |cell: &[u8]| String::from_utf8_lossy(cell.trim_ascii()).into_owned();
    let sheet = DataSheet::of(separator, record.cells().map(name).collect(), wanted)?;
    let mut all = Piece::of(&sheet);
    let mut line = 0;
    while records.read(&mut record) {
        all.take(&record, line, &sheet).map_err(|refusal| refusal.at(line + 2))?;
        line += 1;
    }
    all.blank.iter_mut().for_each(|line| *line += 2);
    Ok(table(&sheet, all))
}

impl Piece {
    fn take(&mut self, row: &Record<'_>, line: u32, sheet: &DataSheet) -> Result<(), Refusal> {
        if row.is_damaged() {
            return Err(Refusal::OpenQuote);
        }
        let blank = row.cells().all(|cell| cell.trim_ascii().is_empty());
        if row.len() == 1 && blank && sheet.heads.len() > 1 {
            self.blank.push(line);
            return Ok(());
        }
        for (place, column) in &sheet.order {
            let Some(cell) = row.cell(*place).map(<[u8]>::trim_ascii) else { continue };
            if !self.columns[*column].add(cell, sheet.separator) {
                return Err(sheet.not_a_number(cell, *column));
            }
        }
        self.rows += 1;
        if row.len() == sheet.heads.len() { Ok(()) } else { Err(sheet.length(row.len())) }
    }
}

/// The pieces as one, with lines numbered as rows of a spreadsheet; the header is row 1.
fn joined(sheet: &DataSheet, pieces: Vec<Piece>) -> Result<Piece, Failure> {
    let mut all = Piece::of(sheet);
    let mut parts: Vec<Vec<ColumnReader>> = sheet.wanted.iter().map(|_| Vec::new()).collect();
    for piece in pieces {
        let before = (all.rows + all.blank.len()) as u32 + 2;
        if let Some((line, refusal)) = piece.refused {
            return Err(refusal.at(before + line));
        }
        all.rows += piece.rows;
        all.blank.extend(piece.blank.iter().map(|line| before + line));
        parts.iter_mut().zip(piece.columns).for_each(|(parts, next)| parts.push(next));
    }
    all.columns.par_iter_mut().zip(parts).for_each(|(column, parts)| column.join(parts));
    Ok(all)
}

fn table(sheet: &DataSheet, all: Piece) -> Pass {
    let words: Vec<usize> = (0..all.columns.len()).filter(|at| all.columns[*at].not_numbers).collect();
    if !words.is_empty() {
        return Err(words);
    }
    let names = sheet.wanted.iter().map(|(name, _)| name.clone()).collect();
    let columns = all.columns.into_par_iter().map(ColumnReader::finish).collect();
    Ok(DataTable { names, columns, rows: all.rows, blank: all.blank })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::io::Write;

    const WANTED: [(&str, ColumnKind); 3] =
        [("time", ColumnKind::Number), ("who", ColumnKind::Level), ("x", ColumnKind::Either)];

    fn file(text: &str) -> tempfile::NamedTempFile {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        file.write_all(text.as_bytes()).unwrap();
        file
    }

    fn outcome(read: Result<DataTable, Failure>) -> String {
        match read {
            Ok(table) => format!("{:?} {:?} {} {:?}", table.names, table.columns, table.rows, table.blank),
            Err(failure) => failure.to_string(),
        }
    }

    /// With quotes around one name of the header the other reader reads the same rows.
    fn both_ways(text: &str) -> (String, String) {
        let quoted = text.replacen("who", "\"who\"", 1);
        let other = outcome(DataTable::read(file(&quoted).path(), &WANTED));
        let file = file(text);
        let ways: Vec<String> = [1, 2, 3, 7, 16, 1 << 20]
            .map(|bytes| outcome(DataTable::in_pieces(file.path(), &WANTED, bytes)))
            .to_vec();
        assert!(ways.iter().all(|way| *way == ways[0]), "{ways:?}");
        (ways[0].clone(), other)
    }

    #[test]
    fn pieces_of_any_size_and_the_reader_of_quotes_find_the_same() {
        for text in [
            "time,who,x\n1,a,2\n2,b,\n3,a,NA\n",
            "time,who,x\r\n1,a,2\r\n\r\n2,b,-.5\r\n3,aaaaaaaaaaaaaaa,7",
            "y;time;z;who;x\n0;1,5;;a;w\n0;2;;b;3\n\n0;4;;NA;4\n",
            "time,who,x\n1,a,2\n2,b,",
            "time\twho\tx\n1\ta\t\n\t\t\n  \n2\tb\t1\n",
            "time,who,x\n\n\n1,a,2\n2,b\n",
            "time,who,x\n1,a,2\n2,b,3,4\n",
            "time,who,x\n1,a,2\n\nlong,b,3\n",
            "time,who,x\n",
            "time,who\n1,a\n",
            "who,time,x\nEnd of the alphabet,1,2\nZoë,2,3\nZoë,3,4",
        ] {
            let (pieces, whole) = both_ways(text);
            assert_eq!(pieces, whole, "{text:?}");
        }
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_does() {
        let file = file("time,who,x\n1,a,1\n\n2,a,1\n\n\n3,a,1\n");
        let table = DataTable::in_pieces(file.path(), &WANTED, 4).unwrap();
        assert_eq!(
            [0, 1, 2].map(|row| table.place(row, "x")),
            ["row 2", "row 4", "row 7"].map(|row| format!("{row}, column x"))
        );
        let refused = outcome(DataTable::in_pieces(
            super::tests::file("time,who,x\n1,a,1\n\nsoon,a,1\n").path(),
            &WANTED,
            4,
        ));
        assert!(refused.contains("“soon” in row 4, column time is not a number."), "{refused}");
    }

    #[test]
    fn a_quotation_mark_that_does_not_close_is_refused_with_its_row() {
        let read = |text: &str| outcome(DataTable::read(file(text).path(), &WANTED));
        let refused = read("time,who,x\n1,\"a\",2\n2,\"b,3\n3,c,4\n");
        assert_eq!(refused, "A quotation mark in row 3 does not close.");
        assert_eq!(read("time,\"who,x\n1,a,2\n"), "A quotation mark in row 1 does not close.");
    }

    #[test]
    fn a_carriage_return_alone_ends_a_line() {
        let file = file("time,who,x\r1,a,2\r2,b,3\r");
        let table = DataTable::read(file.path(), &WANTED).unwrap();
        assert_eq!(table.rows, 2);
        let mixed = super::tests::file("time,who,x\n1,a,2\r2,b,3\n");
        assert_eq!(DataTable::read(mixed.path(), &WANTED).unwrap().rows, 2);
    }
}
