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
    /// The text ends with a separator: an empty cell that no byte shows is still to come.
    one_more: bool,
}

/// A cell and whether it ends its record.
pub struct Cell<'a> {
    pub text: Cow<'a, [u8]>,
    pub last: bool,
}

impl<'a> Cells<'a> {
    pub fn new(bytes: &'a [u8], separator: u8) -> Self {
        Self { bytes, at: 0, separator, one_more: false }
    }

    /// The next cell; `None` at the end of the text.
    pub fn next(&mut self) -> Option<Cell<'a>> {
        if std::mem::take(&mut self.one_more) {
            return Some(Cell { text: Cow::Borrowed(b""), last: true });
        }
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
                self.one_more = self.at >= self.bytes.len();
                false
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
    if let Some(short) = short(cell) {
        return Some(short);
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

/// Powers of ten that a double holds exactly, as far as fifteen digits need them.
const TENS: [f64; 16] =
    [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];

/// A number of at most fifteen digits without an exponent. Digits and power of ten are then both exact, so
/// one division rounds as `parse` does (Clinger 1990, How to read floating point numbers accurately).
fn short(cell: &[u8]) -> Option<f64> {
    let (negative, rest) = match cell.first() {
        Some(b'-') => (true, &cell[1..]),
        _ => (false, cell),
    };
    if rest.len() > 16 {
        return None;
    }
    let (mut digits, mut count, mut decimals, mut pointed) = (0_u64, 0_usize, 0_usize, false);
    for byte in rest {
        let digit = byte.wrapping_sub(b'0');
        if digit <= 9 {
            digits = digits * 10 + u64::from(digit);
            count += 1;
            decimals += usize::from(pointed);
        } else if *byte == b'.' && !pointed {
            pointed = true;
        } else {
            return None;
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    let value = digits as f64 / TENS[decimals];
    Some(if negative { -value } else { value })
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
        assert_eq!(number(b"+3", b','), Some(3.0));
        for nothing in ["", "-", ".", "-.", "1.2.3", "--1", "1e", "0x10"] {
            assert_eq!(number(nothing.as_bytes(), b','), None, "{nothing}");
        }
    }

    /// The short way to a number is the library's, to the last bit.
    #[test]
    fn short_numbers_are_the_librarys() {
        let mut state = 7_u64;
        for _ in 0..200_000 {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let (digits, decimals) = ((state >> 14) % 10_u64.pow(1 + (state % 16) as u32), (state >> 8) % 16);
            let mut text = format!("{digits:0width$}", width = decimals as usize + 1);
            text.insert(text.len() - decimals as usize, '.');
            let text = if state >> 63 == 1 { format!("-{text}") } else { text };
            let parsed: f64 = text.parse().unwrap();
            assert_eq!(number(text.as_bytes(), b',').unwrap().to_bits(), parsed.to_bits(), "{text}");
        }
    }
}
