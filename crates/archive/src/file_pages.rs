//! Reads the rows of a damaged SQLite file page by page, without its trees: every page that holds rows is read by
//! itself, so that damage to one page costs the rows on it and no others.
//!
//! After the description of the file format (sqlite.org/fileformat2.html): sections 1.3 (header), 1.6 (pages of
//! trees, cells and overflow), 2.1 (records) and 4 (write-ahead log). Nothing here trusts a length or a page number:
//! what does not fit is no row.

use crate::{database_file::DatabaseFile, schema::beside};
use std::{cell::Cell, collections::HashMap, fs, io};

/// The longest row that is read, bytes: longer ones are damage.
const LONGEST_ROW: u64 = 64 << 20;
const DEFAULT_PAGE: usize = 4_096;
/// How often as many bytes as the file has are followed over further pages. In a sound file each page belongs to one
/// row; without a bound thousands of damaged rows could each lead through the whole file.
const FOLLOWED_AT_MOST: usize = 64;

/// A value of a row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum RawValue {
    Null,
    Number(i64),
    Real(f64),
    Text(String),
    Bytes(Vec<u8>),
}

/// A row, with its number if it comes from a table that numbers its rows.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RawRow {
    pub rowid: Option<i64>,
    pub values: Vec<RawValue>,
}

/// The pages of a file with those of its write-ahead log in their place.
pub(crate) struct FilePages {
    bytes: Vec<u8>,
    size: usize,
    usable: usize,
    newer: HashMap<usize, Vec<u8>>,
    /// Bytes that may still be followed over further pages.
    to_follow: Cell<usize>,
}

impl FilePages {
    /// Reads file and log. With a key they are decrypted in memory alone.
    pub(crate) fn read(file: &DatabaseFile) -> io::Result<Self> {
        let bytes = fs::read(&file.path)?;
        let log = fs::read(beside(&file.path, "-wal")).unwrap_or_default();
        #[cfg(feature = "encryption")]
        if let Some(key) = &file.key {
            return Ok(Self::of_encrypted(&bytes, &log, key));
        }
        Ok(Self::of(bytes, &log))
    }

    /// The pages in the bytes of a file and of its log.
    pub(crate) fn of(bytes: Vec<u8>, log: &[u8]) -> Self {
        let (size, reserved) = sizes(&bytes);
        Self::of_pages(bytes, (size, reserved), committed_pages(log, size))
    }

    /// Pages that are not as they were written become pages without rows.
    #[cfg(feature = "encryption")]
    fn of_encrypted(bytes: &[u8], log: &[u8], key: &crate::database_key::DatabaseKey) -> Self {
        use crate::cipher_pages::{PAGE, PageCipher, RESERVED};
        let newer = committed_pages(log, PAGE);
        let listed: Vec<(usize, &[u8])> = newer.iter().map(|(number, page)| (*number, &page[..])).collect();
        let cipher = PageCipher::of(key, bytes, &listed);
        let plain =
            |number: usize, page: &[u8]| cipher.decrypt(number, page).unwrap_or_else(|| vec![0; PAGE]);
        let newer = listed.iter().map(|(number, page)| (*number, plain(*number, page))).collect();
        let pages = bytes.chunks_exact(PAGE).enumerate();
        let decrypted = pages.flat_map(|(at, page)| plain(at + 1, page)).collect();
        Self::of_pages(decrypted, (PAGE, RESERVED), newer)
    }

    fn of_pages(bytes: Vec<u8>, (size, reserved): (usize, usize), newer: HashMap<usize, Vec<u8>>) -> Self {
        let to_follow = Cell::new((bytes.len() + newer.len() * size).saturating_mul(FOLLOWED_AT_MOST));
        Self { bytes, size, usable: size - reserved, newer, to_follow }
    }

    /// The numbers of all pages, in order. A number in the log may be any.
    fn numbers(&self) -> Vec<usize> {
        let in_file = self.bytes.len().div_ceil(self.size);
        let mut further: Vec<usize> = self.newer.keys().copied().filter(|number| *number > in_file).collect();
        further.sort_unstable();
        (1..=in_file).chain(further).collect()
    }

    /// The whole file with the pages of the log in their place, as SQLite opens it in memory: marked as one without a
    /// write-ahead log (sqlite.org/fileformat2.html, section 1.3.3). `None` where the first page is not readable.
    #[cfg(feature = "encryption")]
    pub(crate) fn image(&self) -> Option<Vec<u8>> {
        // The log may name any page; a file in memory has only as many as there are bytes for.
        let numbers = self.numbers();
        let count = numbers.len();
        let mut image = Vec::with_capacity(count * self.size);
        for number in 1..=count {
            match self.page(number) {
                Some(page) => image.extend_from_slice(page),
                None => image.resize(image.len() + self.size, 0),
            }
        }
        image.get_mut(18..20)?.fill(1);
        image.starts_with(crate::database_key::PLAIN_START).then_some(image)
    }

    /// Calls `each` with every row that can be read.
    pub(crate) fn each_row(&self, each: &mut dyn FnMut(RawRow)) {
        for number in self.numbers() {
            if let Some(page) = self.page(number) {
                self.rows_of(number, page, each);
            }
        }
    }

    /// A page by its number from 1.
    fn page(&self, number: usize) -> Option<&[u8]> {
        if let Some(newer) = self.newer.get(&number) {
            return Some(newer);
        }
        let from = number.checked_sub(1)?.checked_mul(self.size)?;
        self.bytes.get(from..from + self.size)
    }

    fn rows_of(&self, number: usize, page: &[u8], each: &mut dyn FnMut(RawRow)) {
        let head = if number == 1 { 100 } else { 0 };
        let (kind, cells) = match (page.get(head), two(page, head + 3)) {
            (Some(kind), Some(cells)) => (*kind, cells),
            _ => return,
        };
        let first = match kind {
            2 => head + 12,
            10 | 13 => head + 8,
            _ => return,
        };
        for cell in 0..cells {
            let row = two(page, first + 2 * cell).and_then(|at| self.row(page, at, kind));
            if let Some(row) = row {
                each(row);
            }
        }
    }

    fn row(&self, page: &[u8], at: usize, kind: u8) -> Option<RawRow> {
        let mut at = if kind == 2 { at.checked_add(4)? } else { at };
        let length = varint(page, &mut at)?;
        let rowid = if kind == 13 { Some(varint(page, &mut at)? as i64) } else { None };
        if length > LONGEST_ROW {
            return None;
        }
        let payload = self.payload(page, at, usize::try_from(length).ok()?, kind)?;
        Some(RawRow { rowid, values: values(&payload)? })
    }

    /// The bytes of a row, those on further pages included.
    fn payload(&self, page: &[u8], at: usize, length: usize, kind: u8) -> Option<Vec<u8>> {
        let usable = self.usable;
        let most = if kind == 13 { usable - 35 } else { (usable - 12) * 64 / 255 - 23 };
        if length <= most {
            return page.get(at..at + length).map(<[u8]>::to_vec);
        }
        let least = (usable - 12) * 32 / 255 - 23;
        let wanted = least + (length - least) % (usable - 4);
        let local = if wanted <= most { wanted } else { least };
        let mut bytes = page.get(at..at + local)?.to_vec();
        let mut next = four(page, at + local)?;
        // Each page adds something, so that a ring of pages ends.
        while bytes.len() < length {
            let more = self.page(next)?;
            let take = (length - bytes.len()).min(usable - 4);
            self.to_follow.set(self.to_follow.get().checked_sub(take)?);
            bytes.extend_from_slice(more.get(4..4 + take)?);
            next = four(more, 0)?;
        }
        Some(bytes)
    }
}

/// Size of a page and the bytes at its end that are not used, by the header; the usual ones where it is damaged.
fn sizes(bytes: &[u8]) -> (usize, usize) {
    let size = match two(bytes, 16) {
        Some(1) => 65_536,
        Some(size) if size >= 512 && size.is_power_of_two() => size,
        _ => return (DEFAULT_PAGE, 0),
    };
    let reserved = bytes.get(20).map_or(0, |byte| usize::from(*byte));
    let ours = bytes.starts_with(b"SQLite format 3\0") && size - reserved >= 480;
    if ours { (size, reserved) } else { (DEFAULT_PAGE, 0) }
}

/// The pages in a write-ahead log that belong to finished transactions, the latest of each.
fn committed_pages(log: &[u8], size: usize) -> HashMap<usize, Vec<u8>> {
    let (mut committed, mut open) = (HashMap::new(), HashMap::new());
    let Some(head) = log.get(..32) else { return committed };
    let big = match four(head, 0) {
        Some(0x377f_0683) => true,
        Some(0x377f_0682) => false,
        _ => return committed,
    };
    if four(head, 8) != Some(size) {
        return committed;
    }
    let salts = head.get(16..24);
    let mut sums = checksum((0, 0), head.get(..24).unwrap_or_default(), big);
    if sums_at(head, 24) != Some(sums) {
        return committed;
    }
    for frame in log.get(32..).unwrap_or_default().chunks_exact(24 + size) {
        let (about, page) = frame.split_at(24);
        sums = checksum(sums, about.get(..8).unwrap_or_default(), big);
        sums = checksum(sums, page, big);
        if about.get(8..16) != salts || sums_at(about, 16) != Some(sums) {
            break;
        }
        open.insert(four(about, 0).unwrap_or(0), page.to_vec());
        if four(about, 4).is_some_and(|pages| pages > 0) {
            committed.extend(open.drain());
        }
    }
    committed
}

fn checksum((mut one, mut two): (u32, u32), bytes: &[u8], big: bool) -> (u32, u32) {
    for pair in bytes.chunks_exact(8) {
        let word = |at: usize| {
            let four =
                pair.get(at..at + 4).and_then(|four| <[u8; 4]>::try_from(four).ok()).unwrap_or_default();
            if big { u32::from_be_bytes(four) } else { u32::from_le_bytes(four) }
        };
        one = one.wrapping_add(word(0)).wrapping_add(two);
        two = two.wrapping_add(word(4)).wrapping_add(one);
    }
    (one, two)
}

fn sums_at(bytes: &[u8], at: usize) -> Option<(u32, u32)> {
    Some((u32::try_from(four(bytes, at)?).ok()?, u32::try_from(four(bytes, at + 4)?).ok()?))
}

fn two(bytes: &[u8], at: usize) -> Option<usize> {
    let found = bytes.get(at..at.checked_add(2)?)?;
    Some(usize::from(u16::from_be_bytes(found.try_into().ok()?)))
}

fn four(bytes: &[u8], at: usize) -> Option<usize> {
    let found = bytes.get(at..at.checked_add(4)?)?;
    usize::try_from(u32::from_be_bytes(found.try_into().ok()?)).ok()
}

/// A number of one to nine bytes; `at` is moved behind it.
fn varint(bytes: &[u8], at: &mut usize) -> Option<u64> {
    let mut value = 0_u64;
    for place in 0..9 {
        let byte = *bytes.get(*at)?;
        *at += 1;
        if place == 8 {
            return Some((value << 8) | u64::from(byte));
        }
        value = (value << 7) | u64::from(byte & 0x7f);
        if byte & 0x80 == 0 {
            return Some(value);
        }
    }
    None
}

/// The values of a record; `None` unless they fill it exactly.
fn values(payload: &[u8]) -> Option<Vec<RawValue>> {
    let mut at = 0;
    let head = usize::try_from(varint(payload, &mut at)?).ok()?;
    let mut body = head;
    let mut values = Vec::new();
    while at < head {
        let kind = varint(payload, &mut at)?;
        values.push(value(payload, &mut body, kind)?);
    }
    (at == head && body == payload.len()).then_some(values)
}

fn value(payload: &[u8], body: &mut usize, kind: u64) -> Option<RawValue> {
    let length = match kind {
        0 | 8 | 9 => 0,
        1..=4 => usize::try_from(kind).ok()?,
        5 => 6,
        6 | 7 => 8,
        10 | 11 => return None,
        _ => usize::try_from((kind - 12) / 2).ok()?,
    };
    let bytes = payload.get(*body..body.checked_add(length)?)?;
    *body += length;
    Some(match kind {
        0 => RawValue::Null,
        8 => RawValue::Number(0),
        9 => RawValue::Number(1),
        1..=6 => RawValue::Number(signed(bytes)),
        7 => RawValue::Real(f64::from_be_bytes(bytes.try_into().ok()?)),
        even if even % 2 == 0 => RawValue::Bytes(bytes.to_vec()),
        _ => RawValue::Text(String::from_utf8(bytes.to_vec()).ok()?),
    })
}

/// A number of up to eight bytes in two's complement.
fn signed(bytes: &[u8]) -> i64 {
    let negative = bytes.first().is_some_and(|first| first & 0x80 != 0);
    let start = if negative { -1 } else { 0 };
    bytes.iter().fold(start, |value, byte| (value << 8) | i64::from(*byte))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use rusqlite::params;

    /// Against SQLite itself: every row that it has is read from the pages, of short and long values and of each
    /// kind of page, from the main file and from its log.
    #[test]
    fn every_row_that_sqlite_has_is_read_from_the_pages() {
        compare_with_sqlite(None);
    }

    /// Against SQLCipher itself.
    #[cfg(feature = "encryption")]
    #[test]
    fn every_row_that_sqlcipher_has_is_read_from_the_encrypted_pages() {
        compare_with_sqlite(Some(&crate::database_key::DatabaseKey::new(&[0x5c; 32])));
    }

    fn compare_with_sqlite(key: Option<&crate::database_key::DatabaseKey>) {
        let dir = tempfile::tempdir().unwrap();
        let file = DatabaseFile::new(dir.path().join("some.sqlite"), key);
        let conn = file.connect_or_make().unwrap();
        conn.pragma_update(None, "journal_mode", "WAL").unwrap();
        // As the records do: what is deleted is overwritten, and is on no page that is free again.
        conn.pragma_update(None, "secure_delete", true).unwrap();
        conn.pragma_update(None, "wal_autocheckpoint", 0).unwrap();
        conn.execute_batch(
            "CREATE TABLE numbered (n INTEGER PRIMARY KEY, t TEXT, b BLOB, i INTEGER, r REAL);
             CREATE TABLE keyed (k TEXT PRIMARY KEY, n INTEGER) WITHOUT ROWID;",
        )
        .unwrap();
        for number in 0..600_i64 {
            let text = "ä".repeat(usize::try_from(number * number % 9_001).unwrap());
            let value = (number - 300) << (number % 50);
            conn.execute(
                "INSERT INTO numbered VALUES (?1, ?2, ?3, ?4, ?5)",
                params![number, text, vec![7_u8; 40], value, number as f64 / 7.0 + 0.01],
            )
            .unwrap();
            conn.execute(
                "INSERT INTO keyed VALUES (?1, ?2)",
                params![format!("key {number:05} {text}"), value],
            )
            .unwrap();
            if number == 300 {
                conn.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
            }
        }
        conn.execute("DELETE FROM numbered WHERE n % 3 = 0", []).unwrap();
        let (mut numbered, mut keyed) = (HashMap::new(), HashMap::new());
        FilePages::read(&file).unwrap().each_row(&mut |row| match (row.rowid, row.values.as_slice()) {
            (
                Some(id),
                [
                    RawValue::Null,
                    RawValue::Text(text),
                    RawValue::Bytes(_),
                    RawValue::Number(i),
                    RawValue::Real(_),
                ],
            ) => {
                numbered.insert(id, (text.len(), *i));
            }
            (None, [RawValue::Text(key), RawValue::Number(number)]) => {
                keyed.insert(key.clone(), *number);
            }
            _ => {}
        });
        let mut query = conn.prepare("SELECT n, length(CAST(t AS BLOB)), i FROM numbered").unwrap();
        let expected: HashMap<i64, (usize, i64)> = query
            .query_map([], |row| Ok((row.get(0)?, (row.get::<_, u32>(1)? as usize, row.get(2)?))))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        assert_eq!(expected.len(), 400);
        assert!(fs::metadata(beside(&file.path, "-wal")).unwrap().len() > 0, "rows are in the log too");
        let differ: Vec<_> = expected.iter().filter(|(id, row)| numbered.get(id) != Some(row)).collect();
        assert!(differ.is_empty(), "{differ:?}, read {:?}", numbered.len());
        assert_eq!(numbered.len(), expected.len());
        let mut query = conn.prepare("SELECT k, n FROM keyed").unwrap();
        let expected: HashMap<String, i64> =
            query.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect();
        assert_eq!(keyed, expected);
    }

    #[test]
    fn no_bytes_make_it_panic() {
        let mut state = 7_u64;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as u8
        };
        for round in 0..300 {
            let mut bytes: Vec<u8> = (0..5 * DEFAULT_PAGE).map(|_| next()).collect();
            for page in 0..5 {
                // A page that says it holds rows, with cells anywhere.
                bytes[page * DEFAULT_PAGE] = [2, 10, 13][(round + page) % 3];
            }
            let pages = FilePages::of(bytes, &[]);
            pages.each_row(&mut |_| {});
        }
    }

    /// A file of which every row leads on in a ring of pages: it is read within a moment, and so is a log that names
    /// a page far beyond the end of the file.
    #[test]
    fn rows_that_lead_in_a_ring_and_pages_far_away_cost_no_time() {
        let mut bytes = vec![0_u8; 3 * DEFAULT_PAGE];
        let page = &mut bytes[2 * DEFAULT_PAGE..];
        // The next page of this one is itself.
        page[..4].copy_from_slice(&3_u32.to_be_bytes());
        let page = &mut bytes[DEFAULT_PAGE..2 * DEFAULT_PAGE];
        page[0] = 13;
        page[3..5].copy_from_slice(&1_000_u16.to_be_bytes());
        for cell in 0..1_000 {
            page[8 + 2 * cell..10 + 2 * cell].copy_from_slice(&3_000_u16.to_be_bytes());
        }
        // A length of 60 MB, a row number, and page 3 at every place where the row may go on.
        page[3_000..3_005].copy_from_slice(&[0x9d, 0x80, 0x80, 0x00, 0x01]);
        for at in (3_005..DEFAULT_PAGE - 3).step_by(4) {
            page[at..at + 4].copy_from_slice(&3_u32.to_be_bytes());
        }
        let begun = std::time::Instant::now();
        FilePages::of(bytes.clone(), &[]).each_row(&mut |_| {});
        let mut pages = FilePages::of(bytes, &[]);
        pages.newer.insert(u32::MAX as usize, vec![13; DEFAULT_PAGE]);
        assert_eq!(pages.numbers(), [1, 2, 3, u32::MAX as usize]);
        pages.each_row(&mut |_| {});
        assert!(begun.elapsed().as_secs() < 5, "{:?}", begun.elapsed());
    }
}
