//! Reads a file without quotation marks in pieces, in parallel.
//!
//! Without quotes every line feed ends a row, so a piece may begin after any of them. A file with a quotation
//! mark, or with a carriage return that ends a line by itself, is read record by record from beginning to end.
//! Both ways give the same table; a test compares them.

use super::{
    column_reader::ColumnReader,
    sheet::{DataSheet, Refusal},
};
use exchange::delimited::{plain_cells, separator_of_header, without_mark};
use memchr::{memchr, memchr2_iter};
use rayon::prelude::*;
use std::{
    fs::File,
    io::{Read, Result, Seek, SeekFrom},
    path::Path,
};

/// Bytes of a piece.
pub const PIECE: u64 = 1 << 20;

/// The rows of a piece.
pub struct Piece {
    pub columns: Vec<ColumnReader>,
    /// Number of rows.
    pub rows: usize,
    /// Blank lines of the piece, which are not rows, counted from 0.
    pub blank: Vec<u32>,
    /// The refused line, counted from 0, and the reason.
    pub refused: Option<(u32, Refusal)>,
}

/// The result of reading in parallel.
pub enum Pieces {
    /// The pieces in order.
    Plain(Vec<Piece>),
    /// The file has to be read from beginning to end.
    NotPlain,
}

/// The first line of a file without its line end, and its length in bytes with the line end; `None` if quotes or
/// line ends need the other reader.
pub fn first_line(path: &Path) -> Result<Option<(Vec<u8>, u64)>> {
    let mut start = Vec::new();
    File::open(path)?.take(PIECE).read_to_end(&mut start)?;
    let Some(end) = memchr(b'\n', &start) else { return Ok(None) };
    let line = start[..end].strip_suffix(b"\r").unwrap_or(&start[..end]);
    let plain = !line.iter().any(|byte| matches!(byte, b'"' | b'\r'));
    Ok(plain.then(|| (line.to_vec(), end as u64 + 1)))
}

/// The separator of a first line, and its names.
pub fn heads(line: &[u8]) -> (u8, Vec<String>) {
    let line = without_mark(line);
    let separator = separator_of_header(line);
    let names = plain_cells(line, separator);
    (separator, names.map(|name| String::from_utf8_lossy(name.trim_ascii()).into_owned()).collect())
}

/// All pieces of a file below its first line.
pub fn read(path: &Path, sheet: &DataSheet, header_bytes: u64, piece_bytes: u64) -> Result<Pieces> {
    let length = std::fs::metadata(path)?.len();
    let starts: Vec<u64> = (header_bytes..length).step_by(piece_bytes.max(1) as usize).collect();
    let pieces: Result<Vec<Option<Piece>>> = starts
        .par_iter()
        .map_init(
            || (File::open(path), Vec::new()),
            |(file, buffer), start| {
                let file = file.as_mut().map_err(|error| std::io::Error::from(error.kind()))?;
                let own = lines(file, buffer, *start, *start + piece_bytes, header_bytes)?;
                Ok(piece(&buffer[own], sheet))
            },
        )
        .collect();
    Ok(pieces?.into_iter().collect::<Option<Vec<_>>>().map_or(Pieces::NotPlain, Pieces::Plain))
}

/// Fills the buffer with the lines that begin from `start` on and before `end`, and returns their range in it.
fn lines(
    file: &mut File,
    buffer: &mut Vec<u8>,
    start: u64,
    end: u64,
    header_bytes: u64,
) -> Result<std::ops::Range<usize>> {
    // A line begins at `start` if the byte before it ends one, so reading begins at that byte.
    let from = if start == header_bytes { start } else { start - 1 };
    file.seek(SeekFrom::Start(from))?;
    buffer.clear();
    file.take(end - from).read_to_end(buffer)?;
    let begin = if from == start { 0 } else { memchr(b'\n', buffer).map_or(buffer.len(), |at| at + 1) };
    if begin >= buffer.len() {
        return Ok(0..0);
    }
    while buffer.last() != Some(&b'\n') {
        let had = buffer.len();
        let more = file.take(512).read_to_end(buffer)?;
        if more == 0 {
            break;
        }
        if let Some(at) = memchr(b'\n', &buffer[had..]) {
            buffer.truncate(had + at + 1);
        }
    }
    Ok(begin..buffer.len())
}

/// Reads whole lines; `None` if they need the other reader.
fn piece(bytes: &[u8], sheet: &DataSheet) -> Option<Piece> {
    let alone = |at: usize| bytes[at] == b'"' || bytes.get(at + 1) != Some(&b'\n');
    if memchr2_iter(b'"', b'\r', bytes).any(alone) {
        return None;
    }
    let mut piece = Piece::of(sheet);
    let (mut at, mut line) = (0, 0_u32);
    while at < bytes.len() {
        let end = memchr(b'\n', &bytes[at..]).map_or(bytes.len(), |length| at + length);
        if let Err(refusal) = piece.row(&bytes[at..end], line, sheet) {
            piece.refused = Some((line, refusal));
            break;
        }
        line += 1;
        at = end + 1;
    }
    Some(piece)
}

impl Piece {
    /// A piece without rows.
    pub fn of(sheet: &DataSheet) -> Self {
        let columns = sheet.wanted.iter().map(|(_, kind)| ColumnReader::new(*kind)).collect();
        Self { columns, rows: 0, blank: Vec::new(), refused: None }
    }

    fn row(&mut self, line: &[u8], number: u32, sheet: &DataSheet) -> std::result::Result<(), Refusal> {
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        let blank = |byte: &u8| byte.is_ascii_whitespace() && *byte != sheet.separator;
        if sheet.heads.len() > 1 && line.iter().all(blank) {
            self.blank.push(number);
            return Ok(());
        }
        let mut rest = plain_cells(line, sheet.separator);
        let mut cells = 0;
        for (place, column) in &sheet.order {
            let Some(cell) = rest.nth(place - cells).map(<[u8]>::trim_ascii) else {
                return Err(sheet.length(plain_cells(line, sheet.separator).count()));
            };
            cells = place + 1;
            if !self.columns[*column].add(cell, sheet.separator) {
                return Err(sheet.not_a_number(cell, *column));
            }
        }
        cells += rest.count();
        if cells != sheet.heads.len() {
            return Err(sheet.length(cells));
        }
        self.rows += 1;
        Ok(())
    }
}
