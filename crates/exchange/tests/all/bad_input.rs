//! Files that are not what they should be: one clear sentence or a refused row, and nothing panics.

use crate::common::{import, import_table, of_row, table};
use exchange::{Disposition, Nothing, ReadError, read_table};
use rstest::rstest;

#[rstest]
#[case(b"", "is empty")]
#[case(b"  \n\n ", "is empty")]
#[case(b"\xef\xbb\xbf\n\n", "is empty")]
#[case(b"Hosp No,Name,Date\n", "no rows under it")]
#[case(b"Hosp No,Name,Date\n,,\n", "no rows under it")]
#[case(b"%PDF-1.7 ...", "a PDF document")]
#[case(b"\x89PNG\r\n\x1a\n....", "a picture")]
#[case(b"<!DOCTYPE html><html>", "a web page")]
#[case(b"PK\x03\x04............", "a compressed archive")]
#[case(b"\x00\x01\x02\x03\x04\x05\x06\x00\x01\x02\x03\x04\x05\x06\x00\x01", "binary data")]
#[case(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 nothing more", "cannot be read")]
fn a_file_that_is_no_sheet_gets_one_sentence(#[case] bytes: &[u8], #[case] text: &str) {
    let error = read_table(bytes, "visits.xlsx", None).unwrap_err().to_string();
    assert!(error.contains(text), "{error}");
    assert!(error.starts_with("visits.xlsx") && !error.contains('\n'), "{error}");
}

#[test]
fn a_csv_named_as_a_workbook_is_read_as_what_it_is() {
    let table =
        read_table(b"Hosp No,Name,Date,Side,Total\n1,Ole By,2024-01-13,R,4\n", "visits.xlsx", None).unwrap();
    assert_eq!(table.source.format, "CSV");
    assert_eq!(import_table(&table, None, &Nothing).report.assessments, 1);
}

#[test]
fn encodings() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Zoë Müller-Nuñez,2024-01-13,R,4\n";
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let utf16: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked = [b"\xff\xfe".as_slice(), &utf16].concat();
    let bom = [b"\xef\xbb\xbf".as_slice(), text.as_bytes()].concat();
    for (bytes, name) in [
        (text.as_bytes(), "UTF-8"),
        (&bom, "UTF-8 with byte-order mark"),
        (&latin, "windows-1252"),
        (&marked, "UTF-16LE"),
        (&utf16, "UTF-16LE"),
    ] {
        let table = read_table(bytes, "v.csv", None).unwrap();
        assert_eq!(table.source.encoding, Some(name));
        assert_eq!(table.cell(1, 1).text, "Zoë Müller-Nuñez", "{name}");
        assert_eq!(table.headers[0], "Hosp No");
    }
}

#[rstest]
#[case(",", "comma")]
#[case(";", "semicolon")]
#[case("\t", "tab")]
#[case("|", "pipe")]
fn delimiters(#[case] delimiter: &str, #[case] name: &str) {
    let text = ["Hosp No;Name;Date;Side;Total", "1;Ole By;2024-01-13;R;4", "2;Bo Vint;2024-01-13;R;4"]
        .join("\r\n")
        .replace(';', delimiter);
    let table = table(&text);
    assert_eq!(table.source.delimiter, Some(name));
    assert_eq!(import_table(&table, None, &Nothing).report.assessments, 2);
}

#[test]
fn a_line_that_names_the_delimiter() {
    let table = table("sep=;\nHosp No;Name;Date;Side;Total\n1;\"By, Ole\";2024-01-13;R;4,5\n");
    assert_eq!((table.source.delimiter, table.source.header_row), (Some("semicolon"), 2));
    assert_eq!(import_table(&table, None, &Nothing).report.assessments, 1);
}

#[test]
fn quotes_lines_within_cells_and_doubled_marks() {
    let table = table("Hosp No,Name,Remarks\n1,\"By, \"\"Bobby\"\" Ole\",\"two\nlines\"\n2,5\" tall,ok\n");
    assert_eq!(table.cell(1, 1).text, "By, \"Bobby\" Ole");
    assert_eq!(table.cell(1, 2).text, "two\nlines");
    assert_eq!(table.cell(2, 1).text, "5\" tall");
}

#[test]
fn a_quotation_mark_that_does_not_close_costs_one_row() {
    let plan = import(
        "Hosp No,Name,Date,Side,Total\n1,\"By Ole,2024-01-13,R,4\n2,\"Moe, Ida\",2024-01-13,R,4\n3,Bo Vint,2024-01-13,L,3\n",
    );
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "open-quote")));
    assert_eq!((plan.report.rows, plan.report.assessments), (3, 2));
    let plan = import("Hosp No,Name,Date,Side,Total\n3,Bo Vint,2024-01-13,L,3\n1,\"By Ole,2024-01-13,R,4\n");
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "open-quote")));
}

#[test]
fn a_row_with_more_cells_than_headings_is_refused_and_a_short_one_is_not() {
    let plan = import(
        "Hosp No,Name,Date,Side,Total,Remarks\n1,By, Ole,2024-01-13,R,4,well\n2,Bo Vint,2024-01-13,L,3\n3,Ida Moe,2024-01-13,L,3,,,,\n",
    );
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "too-many-cells")));
    assert_eq!(plan.report.assessments, 2);
}

#[test]
fn ten_thousand_columns() {
    let mut head = "Hosp No,Name,Date,Side,Total".to_owned();
    let mut row = "1,Ole By,2024-01-13,R,4".to_owned();
    for at in 0..10_000 {
        head.push_str(&format!(",extra {at}"));
        row.push_str(",x");
    }
    assert_eq!(import(&format!("{head}\n{row}\n")).report.assessments, 1);
    let plan = import(&format!("Hosp No,Name,Date,Side,Total\n{row}\n1,Ole By,2024-01-20,R,4\n"));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "too-many-cells")));
    assert_eq!(plan.report.assessments, 1);
    let wide = ["a"; 20_000].join(",");
    assert!(matches!(
        read_table(wide.as_bytes(), "w.csv", None),
        Err(ReadError::Columns { row: 1, columns: 20_000, .. })
    ));
}

#[test]
fn a_note_of_a_megabyte_is_refused_with_a_sentence_and_comes_back_whole() {
    let note = "x".repeat(1 << 20);
    let text = format!("Hosp No,Name,Date,Side,Total,Remarks\n1,Ole By,2024-01-13,R,4,{note}\n");
    let plan = import(&text);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "text-too-long")));
    assert!(exchange::refused_rows_csv(&table(&text), &plan.report).contains(&note));
}

#[test]
fn nul_bytes_cost_one_row() {
    let text = format!(
        "Hosp No,Name,Date,Side,Total\n1,Ole\0 By,2024-01-13,R,4\n{}",
        "2,Bo Vint,2024-01-13,R,4\n".repeat(3)
    );
    let plan = import(&text);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "damaged-text")));
    assert_eq!(plan.report.assessments, 1);
}

#[test]
fn a_file_without_any_known_heading_says_what_is_missing() {
    let plan = import("a1,b1,c1\nq,w,e\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "no-child")));
    assert!(plan.report.remarks[0].contains("map file"), "{:?}", plan.report.remarks);
}
