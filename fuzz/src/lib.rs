//! What the fuzz targets share: an import from bytes to planned entries with the promises that it keeps, and packed
//! workbooks of parts that the fuzzer can change without knowing about compression and checksums.

use exchange::{MapFile, Nothing, Plan, Stamp, Table, plan, read_mapped, refused_rows_csv};
use record::{Body, Day, Entry, EntryId, SiteId, Timestamp, UserId};
use std::io::{Cursor, Write};
use uuid::Uuid;
use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

/// The day on which everything happens.
#[must_use]
pub fn today() -> Day {
    "2025-03-04".parse().expect("a day")
}

/// Who writes, when and where.
#[must_use]
pub fn stamp() -> Stamp {
    Stamp {
        at: Timestamp::from_seconds(1_741_046_400),
        today: today(),
        by: UserId::new(Uuid::from_u128(0xb1)),
        site: SiteId::new(Uuid::from_u128(0xa1)),
    }
}

/// An entry of nobody with a body.
#[must_use]
pub fn entry_of(body: Body, on: Day) -> Entry {
    let Stamp { at, by, site, .. } = stamp();
    let child = record::ChildId::new(Uuid::from_u128(0xc1));
    Entry { id: EntryId::new(Uuid::from_u128(1)), child, body, on, at, by, site, follows: None }
}

/// A sheet from its bytes to the planned entries, as a clinic's import reads it, with what must hold of every plan.
pub fn import(bytes: &[u8], name: &str, map: &MapFile) {
    let Ok(table) = read_mapped(bytes, name, Some(map)) else { return };
    // Large tables only take time: their rows are read one by one.
    if table.rows().count() > 400 || table.headers.len() > 400 {
        return;
    }
    let Ok(columns) = map.apply(&table) else { return };
    let plan = planned(&table, &columns);
    assert_eq!(plan.entries, planned(&table, &columns).entries, "two plans of one file differ");
    let counts = plan.report.dispositions;
    assert_eq!(
        plan.report.rows,
        counts.imported + counts.question + counts.duplicate + counts.refused + counts.passed_over,
        "a row is neither taken nor refused: {counts:?}"
    );
    for entry in &plan.entries {
        assert_eq!(entry.refusal(), None, "{entry:?}");
        assert!(entry.on <= today(), "in the future: {entry:?}");
        goes_and_comes_back(entry);
        words_are_in_the_table(entry, &table);
    }
    let _ = refused_rows_csv(&table, &plan.report);
}

fn planned(table: &Table, columns: &exchange::ColumnMap) -> Plan {
    let mut next = 0x0190_7e2a_0000_7000_8000_0000_0000_0000_u128;
    let mut new_id = || {
        next += 1;
        Uuid::from_u128(next)
    };
    plan(table, columns, &Nothing, &stamp(), &mut new_id, &mut |_| {})
}

/// An entry that can be saved is the same after it was written and read.
pub fn goes_and_comes_back(entry: &Entry) {
    let json = entry.to_json().expect("an entry without refusal can be written");
    let back = Entry::from_json(&json).unwrap_or_else(|error| panic!("{error}: {json}"));
    assert_eq!(&back, entry);
    assert_eq!(back.to_json().expect("as before"), json);
}

/// Names, numbers and telephone numbers of a registration have no letter or digit that is not in the file.
fn words_are_in_the_table(entry: &Entry, table: &Table) {
    let Body::Registration(person) = &entry.body else { return };
    let carers = person.carers.iter().flat_map(|carer| [Some(&carer.name), carer.phone.as_ref()]);
    let texts = [&person.family_name, &person.given_name].into_iter().chain(&person.numbers);
    for text in texts.chain(carers.flatten()) {
        for word in text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
            assert!(is_in(word, table), "“{word}” of “{text}” is not in the file");
        }
    }
}

fn is_in(word: &str, table: &Table) -> bool {
    let word = plain(word);
    let has = |text: &str| plain(text).contains(&word);
    table.headers.iter().any(|text| has(text))
        || table.rows().any(|row| (0..table.headers.len()).any(|column| has(table.cell(row, column).text)))
}

/// In small letters, with the digits of other scripts as 0 to 9, as they are read.
fn plain(text: &str) -> String {
    const ZEROS: [u32; 18] = [
        0x660, 0x6f0, 0x966, 0x9e6, 0xa66, 0xae6, 0xb66, 0xbe6, 0xc66, 0xce6, 0xd66, 0xe50, 0xed0, 0xf20,
        0x1040, 0x17e0, 0x1810, 0xff10,
    ];
    let digit = |c: char| {
        let zero = ZEROS.iter().find(|zero| (**zero..**zero + 10).contains(&u32::from(c)))?;
        char::from_digit(u32::from(c) - zero, 10)
    };
    text.to_lowercase().chars().map(|c| digit(c).unwrap_or(c)).collect()
}

/// The line that begins a part in the input of [`package`]: its name follows.
const PART: &str = "\n=== ";

/// A packed file of the parts in the input, unpacked in it: each begins with a line `=== name`. The parts given
/// come first; a part of the input replaces none.
#[must_use]
pub fn package(first: &[(&str, &[u8])], input: &[u8]) -> Option<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in first {
        writer.start_file(*name, stored).ok()?;
        writer.write_all(bytes).ok()?;
    }
    for (name, bytes) in parts(input) {
        writer.start_file(name, stored).ok()?;
        writer.write_all(bytes).ok()?;
    }
    Some(writer.finish().ok()?.into_inner())
}

fn parts(input: &[u8]) -> Vec<(String, &[u8])> {
    let mark = PART.as_bytes();
    let mut starts: Vec<usize> =
        input.windows(mark.len()).enumerate().filter(|(_, part)| *part == mark).map(|(at, _)| at).collect();
    starts.truncate(12);
    let ends = starts.iter().skip(1).copied().chain([input.len()]);
    let part = |(start, end): (usize, usize)| {
        let piece = &input[start + mark.len()..end];
        let line = piece.iter().position(|byte| *byte == b'\n')?;
        let name = std::str::from_utf8(&piece[..line]).ok().filter(|name| (1..100).contains(&name.len()))?;
        Some((name.to_owned(), &piece[line + 1..]))
    };
    starts.iter().copied().zip(ends).filter_map(part).collect()
}
