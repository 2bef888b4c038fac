//! Text with delimiters, cell by cell: the one reader for a clinic's spreadsheet, the files of loggers and
//! the tables of the statistics commands.
//!
//! A record may run over several lines where a quoted cell does. The rules of quotes are those of RFC 4180,
//! and `csv-core` applies them. A thin layer here adds what it does not do:
//!
//! - A line without quotation marks, or with marks around whole cells and none within, is cut in place, and
//!   nothing is copied. That is nearly every line of nearly every file.
//! - A quotation mark that does not close would take in the rest of the file. Here it costs its own line,
//!   which is marked as damaged, and reading goes on with the next. The same holds where a cell runs over
//!   lines and text follows its closing mark: there a mark closed by accident.
//! - A blank line is a record of one empty cell, because rows are numbered as a spreadsheet shows them.

use memchr::{memchr, memchr_iter, memchr2, memchr3};
use std::{borrow::Cow, ops::Range};

/// The separators looked for, the likeliest first.
pub const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// A record with quotation marks that is longer than this is taken for one whose mark does not close.
const LONGEST_QUOTED_BYTES: usize = 8 << 20;
/// How much of a text is looked at for its separator, in characters.
const SAMPLED_CHARS: usize = 64 << 10;

/// The bytes after a byte order mark of UTF-8.
#[must_use]
pub fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes)
}

/// The separator that occurs most often in the first record, outside quotes: for a table whose first
/// record is its header.
#[must_use]
pub fn separator_of_header(bytes: &[u8]) -> u8 {
    let mut counts = [0_usize; SEPARATORS.len()];
    let mut quoted = false;
    for byte in bytes {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            _ if !quoted => {
                let of_byte = SEPARATORS.iter().zip(&mut counts).find(|(separator, _)| *separator == byte);
                if let Some((_, count)) = of_byte {
                    *count += 1;
                }
            }
            _ => {}
        }
    }
    let most = counts.iter().max().copied().unwrap_or(0);
    let first = SEPARATORS.iter().zip(counts).find(|(_, count)| *count == most);
    first.map_or(b',', |(separator, _)| *separator)
}

/// The separator that splits the first lines most evenly into more than one cell: for a sheet that may
/// begin with titles. A first line `sep=;` names it.
#[must_use]
pub fn separator_of_lines(text: &str) -> u8 {
    if let Some(named) = named_separator(text) {
        return named;
    }
    let (mut best, mut most) = (b',', 0);
    for separator in SEPARATORS {
        let score = evenness(text, separator);
        if score > most {
            (best, most) = (separator, score);
        }
    }
    best
}

/// The separator that a first line such as `sep=;` names.
fn named_separator(text: &str) -> Option<u8> {
    let named = text.strip_prefix("sep=")?.bytes().next()?;
    SEPARATORS.contains(&named).then_some(named)
}

/// Lines that share the commonest number of cells, times that number.
fn evenness(text: &str, separator: u8) -> usize {
    let end = text.char_indices().nth(SAMPLED_CHARS).map_or(text.len(), |(at, _)| at);
    let mut counts = std::collections::BTreeMap::<usize, usize>::new();
    let (mut quoted, mut cells) = (false, 0);
    for byte in text.bytes().take(end) {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' if !quoted => {
                *counts.entry(cells).or_default() += usize::from(cells > 0);
                cells = 0;
            }
            _ if byte == separator && !quoted => cells += 1,
            _ => {}
        }
    }
    *counts.entry(cells).or_default() += usize::from(cells > 0);
    // A separator that splits every line alike beats one that splits a few lines often.
    counts.iter().map(|(&cells, &lines)| lines * lines * cells.min(50)).max().unwrap_or(0)
}

/// The cells of a line without quotation marks, unchanged.
#[must_use]
pub fn plain_cells(line: &[u8], separator: u8) -> PlainCells<'_> {
    PlainCells { rest: Some(line), separator }
}

/// See [`plain_cells`].
#[derive(Debug)]
pub struct PlainCells<'a> {
    rest: Option<&'a [u8]>,
    separator: u8,
}

impl<'a> Iterator for PlainCells<'a> {
    type Item = &'a [u8];

    fn next(&mut self) -> Option<Self::Item> {
        let rest = self.rest?;
        // Cells are short: a plain loop finds their end sooner than a search made for long texts.
        match rest.iter().position(|byte| *byte == self.separator) {
            Some(end) => {
                self.rest = rest.get(end + 1..);
                rest.get(..end)
            }
            None => self.rest.take(),
        }
    }

    /// Counts without cutting: nobody looks at what is left of a line but its length.
    fn count(self) -> usize {
        self.rest.map_or(0, |rest| 1 + memchr_iter(self.separator, rest).count())
    }
}

/// The cells of one record.
#[derive(Debug, Default)]
pub struct Record<'a> {
    /// The line, where the cells are in it.
    line: &'a [u8],
    /// The cells without their quotation marks, where there were any.
    unquoted: Option<Vec<u8>>,
    cells: Vec<Range<usize>>,
    damaged: bool,
}

impl<'a> Record<'a> {
    /// How many cells there are; at least one.
    #[must_use]
    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// Whether nothing was read yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// A cell by its place; `None` beyond the last.
    #[must_use]
    pub fn cell(&self, place: usize) -> Option<&[u8]> {
        let range = self.cells.get(place)?.clone();
        self.unquoted.as_deref().unwrap_or(self.line).get(range)
    }

    /// Every cell in order.
    pub fn cells(&self) -> impl Iterator<Item = &[u8]> {
        let bytes = self.unquoted.as_deref().unwrap_or(self.line);
        self.cells.iter().map(|range| bytes.get(range.clone()).unwrap_or_default())
    }

    /// Whether a quotation mark in it does not close. Its cells are then those of its first line.
    #[must_use]
    pub fn is_damaged(&self) -> bool {
        self.damaged
    }

    /// Every cell as text; `None` where the record is no UTF-8.
    pub fn texts(&self) -> Option<impl Iterator<Item = &str>> {
        let text = std::str::from_utf8(self.unquoted.as_deref().unwrap_or(self.line)).ok()?;
        Some(self.cells.iter().map(move |range| text.get(range.clone()).unwrap_or_default()))
    }

    /// Takes the first line of a text where its cells can be cut in place: without quotation marks, or with
    /// marks around the whole cell and none within. Returns where the line ends; `None` for any other line.
    fn in_place(&mut self, text: &'a [u8], separator: u8) -> Option<usize> {
        self.cells.clear();
        let mut at = 0;
        loop {
            if text.get(at) == Some(&b'"') {
                let stop = |b: &u8| matches!(b, b'"' | b'\n' | b'\r');
                let close = at + 1 + text.get(at + 1..)?.iter().position(stop)?;
                let ends = text.get(close + 1).is_none_or(|&b| b == separator || b == b'\n' || b == b'\r');
                if text.get(close) != Some(&b'"') || !ends {
                    return None;
                }
                self.cells.push(at + 1..close);
                at = close + 1;
            } else {
                let rest = text.get(at..)?;
                let stop = |b: &u8| *b == separator || *b == b'\n' || *b == b'\r';
                let end = at + rest.iter().position(stop).unwrap_or(rest.len());
                self.cells.push(at..end);
                at = end;
            }
            if text.get(at) != Some(&separator) {
                (self.line, self.unquoted, self.damaged) = (text.get(..at)?, None, false);
                return Some(at);
            }
            at += 1;
        }
    }

    /// The cells of a line whose quotation marks cannot be trusted: those around a cell are left out.
    fn broken(&mut self, line: &'a [u8], separator: u8) {
        (self.line, self.unquoted, self.damaged) = (line, None, true);
        self.cells.clear();
        let mut from = 0;
        for cell in plain_cells(line, separator) {
            self.cells.push(from..from + cell.len());
            from += cell.len() + 1;
        }
        for range in &mut self.cells {
            let marked = |at: &usize| line.get(*at) != Some(&b'"');
            let from = range.clone().find(marked).unwrap_or(range.end);
            let to = (from..range.end).rfind(marked).map_or(from, |last| last + 1);
            *range = from..to;
        }
    }
}

/// Cuts records off the beginning of a text.
pub struct Splitter {
    separator: u8,
    quotes: csv_core::Reader,
    ends: Vec<usize>,
    /// Room for the cells of the next line.
    spare: Vec<Range<usize>>,
}

impl std::fmt::Debug for Splitter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Splitter").field("separator", &char::from(self.separator)).finish_non_exhaustive()
    }
}

impl Splitter {
    /// For text with this separator.
    #[must_use]
    pub fn new(separator: u8) -> Self {
        let quotes = csv_core::ReaderBuilder::new().delimiter(separator).build();
        Self { separator, quotes, ends: vec![0; 32], spare: Vec::new() }
    }

    /// Reads the first record of a text; how many bytes it takes with its line end, 0 at the end of the
    /// text.
    pub fn first<'a>(&mut self, text: &'a [u8], record: &mut Record<'a>) -> usize {
        if text.is_empty() {
            record.cells.clear();
            return 0;
        }
        if let Some(end) = record.in_place(text, self.separator) {
            return end + line_end(text, end);
        }
        let end = memchr2(b'\n', b'\r', text).unwrap_or(text.len());
        if let Some(taken) = self.quoted(text, end, record) {
            return taken;
        }
        record.broken(text.get(..end).unwrap_or(text), self.separator);
        end + line_end(text, end)
    }

    /// The cells of a single line, without white space around them.
    pub fn line<'a>(&mut self, line: &'a str) -> Vec<Cow<'a, str>> {
        let mut record = Record { cells: std::mem::take(&mut self.spare), ..Record::default() };
        // Other line ends in it than its own are part of it: no cell is lost.
        if self.first(line.as_bytes(), &mut record) < line.len() {
            record.broken(line.as_bytes(), self.separator);
        }
        let text = |range: &Range<usize>| match &record.unquoted {
            None => Cow::Borrowed(line.get(range.clone()).unwrap_or("").trim()),
            Some(bytes) => {
                let cell = String::from_utf8_lossy(bytes.get(range.clone()).unwrap_or_default());
                Cow::Owned(cell.trim().to_owned())
            }
        };
        let cells = record.cells.iter().map(text).collect();
        self.spare = record.cells;
        cells
    }

    /// Reads a record with quotation marks; `None` where one does not close.
    fn quoted<'a>(&mut self, text: &'a [u8], first_end: usize, record: &mut Record<'a>) -> Option<usize> {
        let window = text.get(..LONGEST_QUOTED_BYTES).unwrap_or(text);
        let mut out = record.unquoted.take().unwrap_or_default();
        let taken = self.unquote(window, window.len() == text.len(), first_end, &mut out)?;
        let over_lines = taken > first_end + line_end(text, first_end);
        let whole = text.get(..taken)?;
        if over_lines && !closes_where_cells_end(whole, self.separator) {
            return None;
        }
        (record.line, record.damaged, record.unquoted) = (&[], false, Some(out));
        let after_return = whole.ends_with(b"\r") && text.get(taken) == Some(&b'\n');
        record.cells.clear();
        let mut from = 0;
        for &end in &self.ends {
            record.cells.push(from..end);
            from = end;
        }
        Some(taken + usize::from(after_return))
    }

    /// Writes the cells of the first record to `out` and where each ends to `ends`; how many bytes it took.
    fn unquote(
        &mut self,
        window: &[u8],
        to_the_end: bool,
        first_end: usize,
        out: &mut Vec<u8>,
    ) -> Option<usize> {
        use csv_core::ReadRecordResult::{End, InputEmpty, OutputEndsFull, OutputFull, Record};
        self.quotes.reset();
        out.resize(first_end + 64, 0);
        self.ends.resize(32, 0);
        let (mut input, mut taken, mut written, mut cells) = (window, 0, 0, 0);
        let mut closing = false;
        loop {
            let (room, ends) = (out.get_mut(written..)?, self.ends.get_mut(cells..)?);
            let (result, read, wrote, ended) = self.quotes.read_record(input, room, ends);
            input = input.get(read..)?;
            (written, cells) = (written + wrote, cells + ended);
            taken += if closing { 0 } else { read };
            match result {
                OutputFull => out.resize(2 * out.len(), 0),
                OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                // A line end that is not in the text ends the last record, unless a mark is still open.
                InputEmpty if to_the_end && !closing => (input, closing) = (b"\n", true),
                InputEmpty | End => return None,
                Record => break,
            }
        }
        self.ends.truncate(cells);
        Some(taken)
    }
}

/// How many bytes the line end at a place of a text has.
fn line_end(text: &[u8], at: usize) -> usize {
    match text.get(at..) {
        Some([b'\r', b'\n', ..]) => 2,
        Some([b'\r' | b'\n', ..]) => 1,
        _ => 0,
    }
}

/// Whether every quoted cell that runs over lines closes at a separator or at the end of a line.
fn closes_where_cells_end(record: &[u8], separator: u8) -> bool {
    let mut at = 0;
    loop {
        if record.get(at) == Some(&b'"') {
            let Some(close) = closing_mark(record, at + 1) else { return false };
            let ends = record.get(close + 1).is_none_or(|&b| b == separator || b == b'\n' || b == b'\r');
            if !ends && record.get(at..close).is_some_and(|cell| memchr(b'\n', cell).is_some()) {
                return false;
            }
            at = close + 1;
        }
        let rest = record.get(at..).unwrap_or_default();
        match memchr3(separator, b'\n', b'\r', rest) {
            Some(found) if rest.get(found) == Some(&separator) => at += found + 1,
            _ => return true,
        }
    }
}

/// Where a quoted cell closes; two marks in a row mean one mark within it.
fn closing_mark(record: &[u8], mut from: usize) -> Option<usize> {
    loop {
        let found = from + memchr(b'"', record.get(from..)?)?;
        if record.get(found + 1) != Some(&b'"') {
            return Some(found);
        }
        from = found + 2;
    }
}

/// The records of a text, one after the other.
#[derive(Debug)]
pub struct Records<'a> {
    text: &'a [u8],
    at: usize,
    splitter: Splitter,
}

impl<'a> Records<'a> {
    /// Of a text with this separator.
    #[must_use]
    pub fn new(text: &'a [u8], separator: u8) -> Self {
        Self { text, at: 0, splitter: Splitter::new(separator) }
    }

    /// Reads the next record; `false` at the end of the text.
    pub fn read(&mut self, record: &mut Record<'a>) -> bool {
        let taken = self.splitter.first(self.text.get(self.at..).unwrap_or_default(), record);
        self.at += taken;
        taken > 0
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    /// Every record as its cells, and whether it is damaged.
    fn all(text: &str, separator: u8) -> Vec<(Vec<String>, bool)> {
        let (mut records, mut record) = (Records::new(text.as_bytes(), separator), Record::default());
        let mut found = Vec::new();
        while records.read(&mut record) {
            let cells = record.cells().map(|cell| String::from_utf8(cell.to_vec()).unwrap()).collect();
            found.push((cells, record.is_damaged()));
        }
        found
    }

    fn sound(cells: &[&str]) -> (Vec<String>, bool) {
        (cells.iter().map(|cell| (*cell).to_owned()).collect(), false)
    }

    fn damaged(cells: &[&str]) -> (Vec<String>, bool) {
        (sound(cells).0, true)
    }

    #[test]
    fn quotes_line_ends_and_separators() {
        assert_eq!(
            all("a;b\r\n\"x;1\";\"say \"\"so\"\"\"\n", b';'),
            [sound(&["a", "b"]), sound(&["x;1", "say \"so\""])]
        );
        assert_eq!(all("a,b\n1,\n2,3", b','), [sound(&["a", "b"]), sound(&["1", ""]), sound(&["2", "3"])]);
        assert_eq!(all("1,", b','), [sound(&["1", ""])]);
        assert_eq!(all("\"1\",", b','), [sound(&["1", ""])]);
        assert_eq!(all("", b','), []);
    }

    #[test]
    fn blank_lines_are_records_also_next_to_quotes() {
        assert_eq!(
            all("\n\"a\"\r\n\r\n\r\"b\"\r\rc\n\n", b','),
            [&[""][..], &["a"], &[""], &[""], &["b"], &[""], &["c"], &[""]].map(sound)
        );
    }

    #[test]
    fn a_quoted_cell_runs_over_lines() {
        assert_eq!(
            all("\"one\r\ntwo\n\",x\r\n\"\",\"\"\"\"\n", b','),
            [sound(&["one\r\ntwo\n", "x"]), sound(&["", "\""])]
        );
        // The last record needs no line end.
        assert_eq!(all("a\n\"b\nc\"", b','), [sound(&["a"]), sound(&["b\nc"])]);
    }

    #[test]
    fn a_mark_within_a_cell_is_a_letter_and_what_follows_a_closing_mark_belongs_to_its_cell() {
        assert_eq!(
            all("5\" tall,\"Nick\" Smith,\"a\"b\"\n", b','),
            [sound(&["5\" tall", "Nick Smith", "ab\""])]
        );
    }

    #[test]
    fn a_mark_that_does_not_close_costs_its_line() {
        let rest = ["2", "Moe, Ida"];
        assert_eq!(
            all("1,\"By Ole,x\n2,\"Moe, Ida\"\n", b','),
            [damaged(&["1", "By Ole", "x"]), sound(&rest)]
        );
        assert_eq!(all("1,\"By Ole,x", b','), [damaged(&["1", "By Ole", "x"])]);
        assert_eq!(all("1,\"\"\"\n", b','), [damaged(&["1", ""])]);
        let line = "x".repeat(99_999);
        let long = format!("1,\"{}\"\n2,b\n", format!("{line}\n").repeat(LONGEST_QUOTED_BYTES / 100_000 + 1));
        let found = all(&long, b',');
        assert_eq!((&found[0], found.last().unwrap()), (&damaged(&["1", &line]), &sound(&["2", "b"])));
    }

    #[test]
    fn separators_are_found() {
        assert_eq!(separator_of_header(b"a\tb,c\td"), b'\t');
        assert_eq!(separator_of_header(b"\"a,b,c\";d\n1,2,3;4,5,6"), b';');
        assert_eq!(separator_of_header(b"alone"), b',');
        assert_eq!(separator_of_lines("A title, with a comma\nNo;Name\n1;By\n2;Vint\n"), b';');
        assert_eq!(separator_of_lines("sep=|\na;b;c\n"), b'|');
    }

    #[test]
    fn a_line_is_split_into_trimmed_text() {
        let mut splitter = Splitter::new(b',');
        assert_eq!(splitter.line(" 1 ,\" 21,5 \", x"), ["1", "21,5", "x"]);
        assert_eq!(splitter.line("1, 2"), ["1", "2"]);
        assert_eq!(splitter.line("1\r2,3"), ["1\r2", "3"]);
        assert_eq!(splitter.line("\"1\"\r2,3"), ["1\"\r2", "3"]);
    }

    /// A record with many and long quoted cells needs more room than is set aside at first.
    #[test]
    fn a_long_record_is_read_whole() {
        let cells: Vec<String> = (0..500).map(|at| format!("{at},\n{}", "é".repeat(at))).collect();
        let line: Vec<String> = cells.iter().map(|cell| format!("\"{cell}\"")).collect();
        assert_eq!(all(&line.join(","), b','), [(cells, false)]);
    }

    proptest! {
        /// What is written with quotes is read back, whatever it holds.
        #[test]
        fn written_cells_come_back(rows in proptest::collection::vec(proptest::collection::vec("[a\", ;\r\n]{0,6}", 1..5), 1..6)) {
            let quoted = |cell: &String| format!("\"{}\"", cell.replace('"', "\"\""));
            let lines: Vec<String> =
                rows.iter().map(|row| row.iter().map(quoted).collect::<Vec<_>>().join(",")).collect();
            let found: Vec<Vec<String>> = all(&lines.join("\n"), b',').into_iter().map(|one| one.0).collect();
            prop_assert_eq!(found, rows);
        }

        /// Without quotes it is what splitting gives.
        #[test]
        fn plain_text_is_what_splitting_gives(text in "[a,\n]{0,40}") {
            let lines = text.strip_suffix('\n').unwrap_or(&text);
            let expected: Vec<Vec<&str>> = lines.split('\n').map(|line| line.split(',').collect()).collect();
            let found: Vec<Vec<String>> = all(&text, b',').into_iter().map(|one| one.0).collect();
            prop_assert_eq!(found, if text.is_empty() { Vec::new() } else { expected });
        }
    }
}
