//! Text with delimiters: comma, semicolon, tab or pipe, found from the text itself.

use super::{CellKind, Grid, MOST_COLUMNS, MOST_ROWS, ReadError};

const DELIMITERS: [(u8, &str); 4] = [(b',', "comma"), (b';', "semicolon"), (b'\t', "tab"), (b'|', "pipe")];

/// A quoted cell longer than this is taken for a quotation mark that does not close.
const LONGEST_QUOTED_BYTES: usize = 8 << 20;
/// More broken rows than this and the whole file is refused.
const MOST_BROKEN_ROWS: usize = 1000;

/// The delimiter that splits the first lines most evenly into more than one cell.
pub(super) fn delimiter_of(text: &str) -> (u8, &'static str) {
    if let Some(said) = text.strip_prefix("sep=").and_then(|rest| rest.bytes().next())
        && let Some(&found) = DELIMITERS.iter().find(|(byte, _)| *byte == said)
    {
        return found;
    }
    let mut best = DELIMITERS[0];
    let mut most = 0;
    for candidate in DELIMITERS {
        let score = evenness(text, candidate.0);
        if score > most {
            (best, most) = (candidate, score);
        }
    }
    best
}

/// Lines that share the commonest number of cells, times that number.
fn evenness(text: &str, delimiter: u8) -> usize {
    let end = text.char_indices().nth(64 << 10).map_or(text.len(), |(at, _)| at);
    let mut counts = std::collections::BTreeMap::<usize, usize>::new();
    let (mut quoted, mut cells) = (false, 0);
    for &byte in &text.as_bytes()[..end] {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' if !quoted => {
                *counts.entry(cells).or_default() += usize::from(cells > 0);
                cells = 0;
            }
            _ if byte == delimiter && !quoted => cells += 1,
            _ => {}
        }
    }
    *counts.entry(cells).or_default() += usize::from(cells > 0);
    // A delimiter that splits every line alike beats one that splits a few lines often.
    counts.iter().map(|(&cells, &lines)| lines * lines * cells.min(50)).max().unwrap_or(0)
}

struct Parser<'a> {
    text: &'a str,
    bytes: &'a [u8],
    at: usize,
    delimiter: u8,
    grid: Grid,
    broken: usize,
    first_broken: usize,
}

/// Cells and rows of the text. A row whose quotation marks do not close is kept apart as damaged.
pub(super) fn parse(text: &str, delimiter: u8, file: &str) -> Result<Grid, ReadError> {
    let mut parser = Parser {
        text,
        bytes: text.as_bytes(),
        at: 0,
        delimiter,
        grid: Grid::default(),
        broken: 0,
        first_broken: 0,
    };
    if text.get(..5).is_some_and(|start| start.starts_with("sep=")) && text.len() > 5 {
        parser.at = parser.line_end(0);
        parser.grid.end_row();
        parser.skip_line_end();
    }
    while parser.at < parser.bytes.len() {
        parser.row(file)?;
        if parser.grid.height() > MOST_ROWS {
            return Err(ReadError::Rows(file.to_owned()));
        }
    }
    Ok(parser.grid)
}

impl Parser<'_> {
    fn line_end(&self, from: usize) -> usize {
        let rest = &self.bytes[from..];
        from + rest.iter().position(|&b| b == b'\n' || b == b'\r').unwrap_or(rest.len())
    }

    fn skip_line_end(&mut self) {
        if self.bytes.get(self.at) == Some(&b'\r') {
            self.at += 1;
        }
        if self.bytes.get(self.at) == Some(&b'\n') {
            self.at += 1;
        }
    }

    fn row(&mut self, file: &str) -> Result<(), ReadError> {
        let start = self.at;
        loop {
            let closed = if self.quote_begins() { self.quoted() } else { self.plain() };
            if !closed {
                return self.broken_row(start, file);
            }
            if self.bytes.get(self.at) != Some(&self.delimiter) {
                break;
            }
            self.at += 1;
        }
        let columns = self.grid.open_cells();
        if columns > MOST_COLUMNS {
            let row = self.grid.height() + 1;
            return Err(ReadError::Columns { file: file.to_owned(), row, columns });
        }
        self.skip_line_end();
        self.grid.end_row();
        Ok(())
    }

    /// The row is kept as one cell, its first line as it stands, and reading goes on with the next line.
    fn broken_row(&mut self, start: usize, file: &str) -> Result<(), ReadError> {
        self.broken += 1;
        if self.broken == 1 {
            self.first_broken = self.grid.height() + 1;
        }
        if self.broken > MOST_BROKEN_ROWS {
            return Err(ReadError::Quotes { file: file.to_owned(), row: self.first_broken });
        }
        self.grid.drop_open_row();
        let end = self.line_end(start);
        for cell in self.text.get(start..end).unwrap_or("").split(char::from(self.delimiter)) {
            self.grid.push(cell.trim_matches('"'), CellKind::Text);
        }
        self.grid.mark_damaged();
        self.grid.end_row();
        self.at = end;
        self.skip_line_end();
        Ok(())
    }

    fn quote_begins(&self) -> bool {
        self.bytes.get(self.at) == Some(&b'"')
    }

    fn plain(&mut self) -> bool {
        let stop = |b: u8| b == self.delimiter || b == b'\n' || b == b'\r';
        let rest = &self.bytes[self.at..];
        let end = self.at + rest.iter().position(|&b| stop(b)).unwrap_or(rest.len());
        self.grid.push(self.text.get(self.at..end).unwrap_or(""), CellKind::Text);
        self.at = end;
        true
    }

    /// Reads a quoted cell; `false` when the mark does not close where a cell ends.
    fn quoted(&mut self) -> bool {
        let open = self.at;
        let mut at = open + 1;
        loop {
            let window = &self.bytes[at..self.bytes.len().min(open + LONGEST_QUOTED_BYTES)];
            let Some(found) = window.iter().position(|&b| b == b'"') else { return false };
            let close = at + found;
            self.grid.push_char(self.text.get(at..close).unwrap_or(""));
            if self.bytes.get(close + 1) == Some(&b'"') {
                self.grid.push_char("\"");
                at = close + 2;
                continue;
            }
            self.at = close + 1;
            break;
        }
        let ends = self.bytes.get(self.at).is_none_or(|&b| b == self.delimiter || b == b'\n' || b == b'\r');
        if !ends && self.bytes[open..self.at].contains(&b'\n') {
            return false;
        }
        if !ends {
            // `"Nick" Smith`: what follows on the same line belongs to the cell.
            let from = self.at;
            let stop = |b: u8| b == self.delimiter || b == b'\n' || b == b'\r';
            let rest = &self.bytes[from..];
            self.at = from + rest.iter().position(|&b| stop(b)).unwrap_or(rest.len());
            self.grid.push_char(self.text.get(from..self.at).unwrap_or(""));
        }
        self.grid.end_cell(CellKind::Text);
        true
    }
}
