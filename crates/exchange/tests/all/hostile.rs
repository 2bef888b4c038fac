//! Files made to harm, or harmed by a bad disk: each gets one sentence, soon, and without much memory.

use crate::packages::{Book, ods, package, row};
use exchange::{MOST_CELLS, ReadError, read_table};
use proptest::prelude::*;

const HEADS: [&str; 5] = ["Hosp No", "Name", "Visit", "Side", "Total"];

fn refused(bytes: &[u8]) -> String {
    let error = read_table(bytes, "visits.xlsx", None).unwrap_err();
    let text = error.to_string();
    assert!(text.starts_with("visits.xlsx") && !text.contains('\n') && text.ends_with('.'), "{text}");
    text
}

fn too_large(bytes: &[u8]) -> String {
    let error = read_table(bytes, "visits.xlsx", None).unwrap_err();
    assert!(matches!(error, ReadError::LargeWorkbook { .. }), "{error}");
    error.to_string()
}

fn sheet_of(xml: String) -> Vec<u8> {
    let mut book = Book::of("");
    book.sheets[0].2 = xml;
    book.bytes()
}

/// Small packed, large unpacked: refused for what it declares, before anything is unpacked.
#[test]
fn a_bomb_that_declares_its_size_is_refused() {
    let rows = "<row r=\"2\"><c r=\"A2\"><v>1</v></c></row>".repeat((520 << 20) / 38);
    let bomb = sheet_of(format!("<worksheet><sheetData>{rows}</sheetData></worksheet>"));
    assert!(bomb.len() < 8 << 20, "{}", bomb.len());
    assert!(too_large(&bomb).contains("unpacks to more than 512 MB"));
}

#[test]
fn a_part_that_unpacks_to_hundreds_of_times_its_size_is_refused() {
    let blanks = "<row/>".repeat((40 << 20) / 6);
    let bomb = sheet_of(format!("<worksheet><sheetData>{blanks}</sheetData></worksheet>"));
    assert!(too_large(&bomb).contains("more than 200 times its size"));
}

/// A part that holds more than it declares is not read past what it declares.
#[test]
fn a_part_that_lies_about_its_size_is_refused() {
    let sheet = format!("<worksheet><sheetData>{}</sheetData></worksheet>", row(1, &HEADS).repeat(500));
    let mut bytes = sheet_of(sheet.clone());
    let (true_size, lie) = ((sheet.len() as u32).to_le_bytes(), 100_u32.to_le_bytes());
    let places: Vec<usize> =
        bytes.windows(4).enumerate().filter(|(_, four)| **four == true_size).map(|(at, _)| at).collect();
    assert!(!places.is_empty());
    for at in places {
        bytes[at..at + 4].copy_from_slice(&lie);
    }
    assert!(refused(&bytes).contains("declare"), "{}", refused(&bytes));
}

/// Two entries of the list of parts that are one and the same data.
#[test]
fn parts_that_lie_over_each_other_are_refused() {
    let mut bytes = Book::of(&row(1, &HEADS)).bytes();
    let central = bytes.windows(4).position(|four| four == b"PK\x01\x02").unwrap();
    let end = bytes.windows(4).rposition(|four| four == b"PK\x05\x06").unwrap();
    let mut copy = bytes[central..end].to_vec();
    // The names must differ: each is followed in its record.
    let names: Vec<usize> =
        copy.windows(4).enumerate().filter(|(_, w)| *w == b"PK\x01\x02").map(|(at, _)| at + 46).collect();
    for name in &names {
        copy[*name] = b'~';
    }
    let count = u16::try_from(2 * names.len()).unwrap().to_le_bytes();
    let size = u32::try_from(2 * copy.len()).unwrap().to_le_bytes();
    bytes[end + 8..end + 10].copy_from_slice(&count);
    bytes[end + 10..end + 12].copy_from_slice(&count);
    bytes[end + 12..end + 16].copy_from_slice(&size);
    bytes.splice(end..end, copy);
    assert!(refused(&bytes).contains("lie over each other"), "{}", refused(&bytes));
}

#[test]
fn a_package_of_very_many_parts_is_refused() {
    let names: Vec<String> = (0..10_001).map(|number| format!("xl/workbook{number}")).collect();
    let parts: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    assert!(too_large(&package(&parts)).contains("more than 10000 parts"));
}

#[test]
fn a_text_that_defines_others_is_refused() {
    let xml = "<!DOCTYPE lol [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;\">]><worksheet><sheetData><row><c t=\"str\"><v>&b;</v></c></row></sheetData></worksheet>";
    assert!(refused(&sheet_of(xml.to_owned())).contains("&b;"));
}

#[test]
fn elements_within_each_other_without_end_are_refused() {
    let deep = format!("<worksheet><sheetData>{}", "<row><c><is>".repeat(100_000));
    assert!(refused(&sheet_of(deep)).contains("nested too deeply"));
}

#[test]
fn a_value_of_megabytes_is_refused() {
    let long = "x".repeat(3 << 20);
    for xml in [
        format!("<worksheet><sheetData><row><c t=\"str\"><v>{long}</v></c></row></sheetData></worksheet>"),
        format!("<worksheet><sheetData><row><c t=\"{long}\"><v>1</v></c></row></sheetData></worksheet>"),
        format!(
            "<worksheet><sheetData><row><c t=\"inlineStr\"><is>{}</is></c></row></sheetData></worksheet>",
            "<t>piece</t>".repeat(300_000)
        ),
    ] {
        let text = too_large(&sheet_of(xml));
        assert!(text.contains("one value") || text.contains("200 times"), "{text}");
    }
}

/// Numbers by which a file announces its lists are not believed: nothing is set aside for them.
#[test]
fn announced_counts_cost_nothing() {
    let mut book = Book::of(&format!(
        "{}<row r=\"2\"><c t=\"s\"><v>0</v></c><c t=\"str\"><f t=\"shared\" si=\"4000000000\" ref=\"A1:XFD1048576\">A1</f><v>Ole By</v></c><c t=\"inlineStr\"><is><t>2024-01-13</t></is></c><c t=\"inlineStr\"><is><t>R</t></is></c><c><v>4</v></c></row>",
        row(1, &HEADS)
    ));
    book.strings = "<sst count=\"4000000000\" uniqueCount=\"4000000000\"><si><t>17</t></si></sst>".to_owned();
    book.sheets[0].2 =
        book.sheets[0].2.replace("<sheetData>", "<dimension ref=\"A1:XFD1048576\"/><sheetData>");
    let table = read_table(&book.bytes(), "visits.xlsx", None).unwrap();
    let cells: Vec<&str> = (0..5).map(|column| table.cell(1, column).text).collect();
    assert_eq!(cells, ["17", "Ole By", "2024-01-13", "R", "4"]);
}

#[test]
fn one_text_shared_by_millions_of_cells_is_refused() {
    let mut book = Book::of("");
    book.strings = format!("<sst><si><t>{}</t></si></sst>", "x".repeat(30_000));
    let cells = "<c t=\"s\"><v>0</v></c>".repeat(100);
    book.sheets[0].2 =
        format!("<worksheet><sheetData>{}</sheetData></worksheet>", format!("<row>{cells}</row>").repeat(50));
    assert!(too_large(&book.bytes()).contains("hold more than 96 MB"));
}

#[test]
fn far_cells_in_very_many_rows_are_refused() {
    let rows: String =
        (1..=2_000).map(|n| format!("<row r=\"{n}\"><c r=\"XFD{n}\"><v>1</v></c></row>")).collect();
    const { assert!(MOST_CELLS < 2_000 * 16_384) };
    assert!(too_large(&Book::of(&rows).bytes()).contains("million cells"));
}

#[test]
fn merged_areas_over_everything_are_refused() {
    let mut book =
        Book::of(&format!("{}<row r=\"900000\"><c r=\"A900000\"><v>1</v></c></row>", row(1, &HEADS)));
    let merges: String = (0..50)
        .map(|n| format!("<mergeCell ref=\"{}1:{}1048576\"/>", 'A', char::from(b'A' + n % 26)))
        .collect();
    book.sheets[0].2 =
        book.sheets[0].2.replace("</sheetData>", &format!("</sheetData><mergeCells>{merges}</mergeCells>"));
    let text = too_large(&book.bytes());
    assert!(text.contains("merged"), "{text}");
}

#[test]
fn a_cell_that_is_there_twice_is_refused() {
    let rows = format!(
        "{}<row r=\"2\"><c r=\"A2\"><v>1</v></c><c r=\"B2\"><v>2</v></c><c r=\"A2\"><v>3</v></c></row>",
        row(1, &HEADS)
    );
    assert!(refused(&Book::of(&rows).bytes()).contains("A2 is in it twice"));
}

#[test]
fn repetitions_of_an_ods_sheet_are_bounded() {
    let cell = |repeated: &str| {
        format!("<table:table-cell office:value-type=\"float\" office:value=\"1\" {repeated}/>")
    };
    let sheet = |row: &str, cell: &str| {
        ods(&format!(
            "<table:table table:name=\"a\"><table:table-row {row}>{cell}</table:table-row></table:table>"
        ))
    };
    let many_rows = sheet("table:number-rows-repeated=\"2000000000\"", &cell(""));
    assert!(matches!(read_table(&many_rows, "v.ods", None), Err(ReadError::Rows(_))));
    let many_columns = sheet("", &cell("table:number-columns-repeated=\"2000000000\""));
    assert!(matches!(read_table(&many_columns, "v.ods", None), Err(ReadError::Columns { .. })));
    let block =
        sheet("table:number-rows-repeated=\"1000000\"", &cell("table:number-columns-repeated=\"10000\""));
    assert!(too_large(&block).contains("million cells"));
}

#[test]
fn a_locked_workbook_is_called_locked() {
    let manifest = b"<manifest:manifest><manifest:file-entry><manifest:encryption-data/></manifest:file-entry></manifest:manifest>";
    let locked = package(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", b"\x01\x02\x03"),
    ]);
    assert!(matches!(read_table(&locked, "v.ods", None), Err(ReadError::Locked(_))));
}

#[test]
fn a_damaged_workbook_of_the_old_format_gets_one_sentence() {
    let error = read_table(include_bytes!("../fixtures/damaged.xls"), "damaged.xls", None).unwrap_err();
    assert!(matches!(error, ReadError::Workbook { .. }), "{error}");
}

/// The list of sectors of a workbook that leads back to its beginning.
#[test]
fn a_chain_of_sectors_in_a_circle_is_refused() {
    let mut bytes = include_bytes!("../fixtures/visits.xls").to_vec();
    let number = |bytes: &[u8], at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    let (list, directory) = (number(&bytes, 76), number(&bytes, 48));
    let at = (list + 1) * 512 + directory * 4;
    bytes[at..at + 4].copy_from_slice(&u32::try_from(directory).unwrap().to_le_bytes());
    let text = read_table(&bytes, "visits.xls", None).unwrap_err().to_string();
    assert!(text.contains("runs in a circle"), "{text}");
}

fn samples() -> [Vec<u8>; 3] {
    let xlsx = Book::of(&format!("{}{}", row(1, &HEADS), row(2, &["1", "Ole By", "2024-01-13", "R", "4"])));
    [
        include_bytes!("../fixtures/visits.xls").to_vec(),
        include_bytes!("../fixtures/visits.ods").to_vec(),
        xlsx.bytes(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    /// A workbook with changed bytes is read or refused, and nothing else happens.
    #[test]
    fn changed_bytes_do_no_harm(
        which in 0_usize..3,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in proptest::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = samples()[which].clone();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        if let Err(error) = read_table(&bytes, "v", None) {
            prop_assert!(!error.to_string().contains('\n'), "{}", error);
        }
    }
}

/// Every byte of the numbers by which the old format steers, one after the other.
#[test]
fn every_byte_of_the_head_of_an_old_workbook_may_be_wrong() {
    let whole = include_bytes!("../fixtures/visits.xls");
    for at in (0..whole.len()).filter(|at| *at < 2_048 || at % 7 == 0) {
        for byte in [0x00, 0x01, 0x7F, 0x80, 0xFF] {
            let mut bytes = whole.to_vec();
            bytes[at] = byte;
            // Whatever it is read as, it ends.
            let _ = read_table(&bytes, "visits.xls", None);
        }
    }
}
