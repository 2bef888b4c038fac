//! Records and cells of delimited text (RFC 4180, with any delimiter).

use std::borrow::Cow;

/// The separators looked for, in the order of preference where a header holds equally many.
const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// The bytes behind a byte order mark.
pub fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes)
}

/// The separator that occurs most often in the first record, outside quotes.
pub fn separator(bytes: &[u8]) -> u8 {
    let mut counts = [0_usize; 4];
    let mut quoted = false;
    for byte in bytes {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            _ if !quoted => {
                if let Some(at) = SEPARATORS.iter().position(|separator| separator == byte) {
                    counts[at] += 1;
                }
            }
            _ => {}
        }
    }
    let most = counts.iter().max().copied().unwrap_or(0);
    counts.iter().position(|count| *count == most).map_or(b',', |at| SEPARATORS[at])
}

/// Reads cell after cell.
pub struct Cells<'a> {
    bytes: &'a [u8],
    at: usize,
    separator: u8,
}

/// A cell and whether it ends its record.
pub struct Cell<'a> {
    pub text: Cow<'a, [u8]>,
    pub last: bool,
}

impl<'a> Cells<'a> {
    pub fn new(bytes: &'a [u8], separator: u8) -> Self {
        Self { bytes, at: 0, separator }
    }

    /// The next cell; `None` at the end of the text.
    pub fn next(&mut self) -> Option<Cell<'a>> {
        if self.at >= self.bytes.len() {
            return None;
        }
        if self.bytes[self.at] == b'"' { self.quoted() } else { Some(self.plain()) }
    }

    fn plain(&mut self) -> Cell<'a> {
        let rest = &self.bytes[self.at..];
        let end = rest
            .iter()
            .position(|byte| *byte == self.separator || *byte == b'\n' || *byte == b'\r')
            .unwrap_or(rest.len());
        self.at += end;
        let last = self.pass_end();
        Cell { text: Cow::Borrowed(rest[..end].trim_ascii()), last }
    }

    fn quoted(&mut self) -> Option<Cell<'a>> {
        self.at += 1;
        let mut text = Vec::new();
        while let Some(byte) = self.bytes.get(self.at) {
            self.at += 1;
            if *byte != b'"' {
                text.push(*byte);
            } else if self.bytes.get(self.at) == Some(&b'"') {
                text.push(b'"');
                self.at += 1;
            } else {
                break;
            }
        }
        // Anything between the closing quote and the separator belongs to nobody.
        while self.bytes.get(self.at).is_some_and(|b| *b != self.separator && *b != b'\n' && *b != b'\r') {
            self.at += 1;
        }
        let last = self.pass_end();
        Some(Cell { text: Cow::Owned(text.trim_ascii().to_vec()), last })
    }

    /// Steps over a separator or the end of a line; whether it was the latter, or the end of the text.
    fn pass_end(&mut self) -> bool {
        match self.bytes.get(self.at) {
            Some(byte) if *byte == self.separator => {
                self.at += 1;
                // A separator as the very last byte is followed by an empty cell that no byte shows.
                self.at >= self.bytes.len()
            }
            Some(b'\r') => {
                self.at += if self.bytes.get(self.at + 1) == Some(&b'\n') { 2 } else { 1 };
                true
            }
            Some(_) => {
                self.at += 1;
                true
            }
            None => true,
        }
    }
}

/// A number; with another separator than a comma, a comma may be the decimal mark.
pub fn number(cell: &[u8], separator: u8) -> Option<f64> {
    if let Some(whole) = short_whole(cell) {
        return Some(whole);
    }
    let text = std::str::from_utf8(cell).ok()?;
    let plain = text.strip_prefix('+').unwrap_or(text);
    // `parse` knows words such as "inf" and "nan", which are no numbers here.
    if !plain.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    match plain.parse() {
        Ok(number) => Some(number),
        Err(_) if separator != b',' && !plain.contains('.') => plain.replacen(',', ".", 1).parse().ok(),
        Err(_) => None,
    }
}

fn short_whole(cell: &[u8]) -> Option<f64> {
    if cell.is_empty() || cell.len() > 9 {
        return None;
    }
    let mut value = 0_u32;
    for byte in cell {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        value = value * 10 + u32::from(digit);
    }
    Some(f64::from(value))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn all(text: &str) -> Vec<(String, bool)> {
        let mut cells = Cells::new(text.as_bytes(), separator(text.as_bytes()));
        let mut found = Vec::new();
        while let Some(cell) = cells.next() {
            found.push((String::from_utf8(cell.text.into_owned()).unwrap(), cell.last));
        }
        found
    }

    #[test]
    fn quotes_line_ends_and_separators() {
        let cell = |text: &str, last| (text.to_owned(), last);
        assert_eq!(
            all("a;b\r\n\"x;1\";\"say \"\"so\"\"\"\n"),
            [cell("a", false), cell("b", true), cell("x;1", false), cell("say \"so\"", true)]
        );
        assert_eq!(
            all("a,b\n1,\n2,3"),
            [
                cell("a", false),
                cell("b", true),
                cell("1", false),
                cell("", true),
                cell("2", false),
                cell("3", true)
            ]
        );
        assert_eq!(separator(b"a\tb,c\td"), b'\t');
    }

    #[test]
    fn numbers() {
        assert_eq!(number(b"12", b','), Some(12.0));
        assert_eq!(number(b"-1.5e2", b','), Some(-150.0));
        assert_eq!(number(b"1,5", b';'), Some(1.5));
        assert_eq!(number(b"1,5", b','), None);
        assert_eq!(number(b"inf", b','), None);
        assert_eq!(number(b"1,234.5", b';'), None);
    }
}
