//! What workbooks hold besides plain cells: hidden sheets, formulas, errors, another first day, merged cells.

use crate::{
    common::{import_table, of_row, row_report, told},
    packages::{Book, ods, row},
};
use calamine::{Data, Reader, Xlsx, open_workbook_from_rs};
use exchange::{CellKind, Disposition, Nothing, ReadError, Table, read_table};
use proptest::prelude::*;
use rust_xlsxwriter::{Format, Formula, Workbook};
use std::io::Cursor;

const HEADS: [&str; 5] = ["Hosp No", "Name", "Visit", "Side", "Total"];

fn read(bytes: &[u8]) -> Table {
    read_table(bytes, "visits.xlsx", None).unwrap()
}

fn visits(day: &str) -> String {
    format!("{}{}", row(1, &HEADS), row(2, &["1", "Ole By", day, "R", "4"]))
}

/// Heads and one row whose cells are given as XML.
fn with_cells(cells: &str) -> String {
    format!("{}<row r=\"2\">{cells}</row>", row(1, &HEADS))
}

fn text(value: &str) -> String {
    format!("<c t=\"inlineStr\"><is><t>{value}</t></is></c>")
}

#[test]
fn a_hidden_sheet_is_named_and_read_only_where_no_other_holds_anything() {
    let mut book = Book::default();
    book.add("Old", "hidden", &visits("2020-01-13"));
    book.add("Codes", "veryHidden", &row(1, &["a", "b"]));
    book.add("Visits", "visible", &visits("2024-01-13"));
    let table = read(&book.bytes());
    assert_eq!(told(&import_table(&table, None, &Nothing)), ["right assessment 2024-01-13"]);
    assert_eq!((table.source.sheet.as_deref(), &table.source.other_sheets), (Some("Visits"), &Vec::new()));
    assert_eq!(table.source.hidden_sheets, ["Old", "Codes"]);

    // A visible sheet of notes is taken before a hidden one that looks more like visits.
    book.sheets[2] = ("Notes".into(), "visible", row(1, &["remember", "to", "ring"]).to_string());
    let notes = "<worksheet><sheetData>".to_owned()
        + &row(1, &["remember", "to"])
        + &row(2, &["ring", "her"])
        + "</sheetData></worksheet>";
    book.sheets[2].2 = notes;
    assert_eq!(read(&book.bytes()).source.sheet.as_deref(), Some("Notes"));
    // By its name it can be had.
    let picked = read_table(&book.bytes(), "v.xlsx", Some("old ")).unwrap();
    assert_eq!((picked.source.sheet.as_deref(), picked.source.hidden_sheets.len()), (Some("Old"), 1));
    let absent = read_table(&book.bytes(), "v.xlsx", Some("New")).unwrap_err();
    assert_eq!(absent.to_string(), "v.xlsx has no sheet “New”; it has “Old”, “Codes”, “Notes”.");

    book.sheets[2].2 = "<worksheet><sheetData/></worksheet>".to_owned();
    assert_eq!(read(&book.bytes()).source.sheet.as_deref(), Some("Old"));
}

#[test]
fn a_hidden_sheet_of_an_ods_workbook_too() {
    let cell = |text: &str| {
        format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
    };
    let line = |texts: &[&str]| {
        format!(
            "<table:table-row>{}</table:table-row>",
            texts.iter().map(|text| cell(text)).collect::<String>()
        )
    };
    let sheet = |name: &str, style: &str, day: &str| {
        let rows = line(&HEADS) + &line(&["1", "Ole By", day, "R", "4"]);
        format!("<table:table table:name=\"{name}\" table:style-name=\"{style}\">{rows}</table:table>")
    };
    let bytes = ods(&(sheet("Old", "hide", "2020-01-13") + &sheet("Visits", "show", "2024-01-13")));
    let table = read(&bytes);
    assert_eq!((table.source.sheet.as_deref(), table.source.hidden_sheets.len()), (Some("Visits"), 1));
    assert_eq!(told(&import_table(&table, None, &Nothing)), ["right assessment 2024-01-13"]);
}

/// A formula that no program has computed is asked about: its cell is not blank.
#[test]
fn a_formula_without_a_value_is_not_taken_for_blank() {
    let cells =
        text("1") + &text("Ole By") + &text("2024-01-13") + &text("R") + "<c><f>SUM(F2:K2)</f><v></v></c>";
    let plan = import_table(&read(&Book::of(&with_cells(&cells)).bytes()), None, &Nothing);
    let report = row_report(&plan, 2).unwrap();
    let remarks = std::iter::once(&report.remark).chain(&report.also);
    let asked: Vec<_> = remarks.map(|remark| (remark.reason.key(), remark.value.as_deref())).collect();
    assert!(
        asked.contains(&("formula-without-value", Some("=SUM(F2:K2)")))
            || report.disposition == Disposition::Refused,
        "{asked:?}"
    );
    assert_ne!(report.disposition, Disposition::Imported);
    assert_eq!(plan.report.assessments, 0);

    let name = text("1") + "<c><f>A2&amp;B2</f></c>" + &text("2024-01-13") + &text("R") + "<c><v>4</v></c>";
    let plan = import_table(&read(&Book::of(&with_cells(&name)).bytes()), None, &Nothing);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "formula-without-value")));
}

/// Writers of workbooks put a nought where the value of a formula belongs, and ask for it to be computed.
#[test]
fn the_nought_of_a_formula_never_computed_is_no_value() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, head) in (0u16..).zip(HEADS) {
        sheet.write_string(0, column, head).unwrap();
    }
    sheet.write_formula(1, 4, Formula::new("=2+2")).unwrap();
    sheet.write_formula(2, 4, Formula::new("=2+2").set_result("4")).unwrap();
    let table = read(&book.save_to_buffer().unwrap());
    assert_eq!((table.cell(1, 4).kind, table.cell(1, 4).text), (CellKind::Formula, "=2+2"));
    assert_eq!((table.cell(2, 4).kind, table.cell(2, 4).text), (CellKind::Number, "4"));
    // A program that computes saves the nought it found.
    let cells = "<c><f>2-2</f><v>0</v></c>";
    assert_eq!(read(&Book::of(&with_cells(cells)).bytes()).cell(1, 0).text, "0");
    // And a text of no letters is a value.
    let cells = "<c t=\"str\"><f>\"\"</f><v></v></c><c><v>1</v></c>";
    assert!(read(&Book::of(&with_cells(cells)).bytes()).cell(1, 0).is_blank());
}

#[test]
fn an_error_is_asked_about_also_where_its_text_means_nothing() {
    for error in ["#DIV/0!", "#N/A", "#REF!"] {
        let cells = text("1")
            + &text("Ole By")
            + &text("2024-01-13")
            + &text("R")
            + &format!("<c t=\"e\"><v>{error}</v></c>");
        let plan = import_table(&read(&Book::of(&with_cells(&cells)).bytes()), None, &Nothing);
        let report = row_report(&plan, 2).unwrap();
        assert!(
            matches!(report.disposition, Disposition::Question | Disposition::Refused),
            "{error}: {report:?}"
        );
        assert_eq!(plan.report.assessments, 0, "{error}");
        let named = std::iter::once(&report.remark)
            .chain(&report.also)
            .any(|remark| remark.value.as_deref() == Some(error));
        assert!(named, "{error}: {report:?}");
    }
}

#[test]
fn days_counted_from_1904() {
    let dated = |properties: &str, serial: u32, style: u32| {
        let cells = text("1")
            + &text("Ole By")
            + &format!("<c s=\"{style}\"><v>{serial}</v></c>")
            + &text("R")
            + "<c><v>4</v></c>";
        let mut book = Book::of(&with_cells(&cells));
        book.properties = properties.to_owned();
        import_table(&read(&book.bytes()), None, &Nothing)
    };
    // 5 March 2024 is 45,356 days after 30 December 1899, and 1,462 fewer after 1 January 1904.
    assert_eq!(told(&dated("", 45_356, 1)), ["right assessment 2024-03-05"]);
    assert_eq!(told(&dated("<workbookPr date1904=\"1\"/>", 43_894, 1)), ["right assessment 2024-03-05"]);
    // A plain number under a date heading counts from 1900 or is not read: never from the wrong day.
    assert_eq!(told(&dated("", 45_356, 0)), ["right assessment 2024-03-05"]);
    let plain = dated("<workbookPr date1904=\"true\"/>", 43_894, 0);
    // The column then has no date at all, so the row has no day.
    assert_eq!(of_row(&plain, 2), Some((Disposition::Refused, "no-date")));
}

#[test]
fn a_name_merged_over_the_rows_of_a_child() {
    let mut book = Workbook::new();
    let plain = Format::new();
    let sheet = book.add_worksheet();
    for (column, head) in (0u16..).zip(HEADS) {
        sheet.write_string(0, column, head).unwrap();
    }
    sheet.merge_range(1, 0, 3, 0, "17", &plain).unwrap();
    sheet.merge_range(1, 1, 3, 1, "Ole By", &plain).unwrap();
    for (line, day) in (1..).zip(["2024-01-13", "2024-01-20", "2024-01-27"]) {
        sheet.write_string(line, 2, day).unwrap();
        sheet.write_string(line, 3, "R").unwrap();
        sheet.write_number(line, 4, 5).unwrap();
    }
    let plan = import_table(&read(&book.save_to_buffer().unwrap()), None, &Nothing);
    assert_eq!((plan.report.children, plan.report.assessments, plan.report.dispositions.refused), (1, 3, 0));
}

#[test]
fn a_binary_workbook_is_named() {
    let bytes = crate::packages::package(&[
        ("_rels/.rels", b"<Relationships><Relationship Id=\"a\" Type=\"x/officeDocument\" Target=\"xl/workbook.bin\"/></Relationships>"),
        ("xl/workbook.bin", b"\x83\x01\x00"),
    ]);
    let error = read_table(&bytes, "visits.xlsb", None).unwrap_err();
    assert!(matches!(error, ReadError::Workbook { .. }) && error.to_string().contains("XLSB"), "{error}");
}

/// What a cell of a random workbook is made of.
#[derive(Debug, Clone)]
enum Written {
    Text(String),
    Number(f64),
    Date(u32),
    Yes(bool),
}

fn written() -> impl Strategy<Value = Written> {
    prop_oneof![
        "[a-zé&<>\"' ٣आ_x0D]{1,12}".prop_map(Written::Text),
        (-10_000_i32..10_000).prop_map(|n| Written::Number(f64::from(n) / 8.0)),
        (400_u32..80_000).prop_map(Written::Date),
        any::<bool>().prop_map(Written::Yes),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// A second reader sees the same cells: a library made by others, on workbooks of a third.
    #[test]
    fn another_reader_sees_the_same_cells(
        cells in proptest::collection::btree_map((0_u32..40, 0_u16..30), written(), 1..120)
    ) {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        let date = Format::new().set_num_format("dd/mm/yyyy");
        sheet.write_string(0, 0, "heading").unwrap();
        for (&(row, column), value) in &cells {
            let row = row + 1;
            match value {
                Written::Text(text) => sheet.write_string(row, column, text).unwrap(),
                Written::Number(number) => sheet.write_number(row, column, *number).unwrap(),
                Written::Date(serial) => sheet.write_number_with_format(row, column, *serial, &date).unwrap(),
                Written::Yes(yes) => sheet.write_boolean(row, column, *yes).unwrap(),
            };
        }
        let bytes = book.save_to_buffer().unwrap();
        let table = read_table(&bytes, "v.xlsx", None);
        let mut other: Xlsx<_> = open_workbook_from_rs(Cursor::new(&bytes)).unwrap();
        let range = other.worksheet_range("Sheet1").unwrap();
        let Ok(table) = table else { return Ok(()) };
        for row in 0..42_u32 {
            for column in 0..31_u32 {
                let expected = match range.get_value((row, column)) {
                    None | Some(Data::Empty) => String::new(),
                    Some(Data::String(text)) => text.trim().to_owned(),
                    Some(Data::Float(number)) => number.to_string(),
                    Some(Data::Bool(yes)) => if *yes { "yes" } else { "no" }.to_owned(),
                    Some(Data::DateTime(instant)) => {
                        let (year, month, day, ..) = instant.to_ymd_hms_milli();
                        format!("{year:04}-{month:02}-{day:02}")
                    }
                    Some(other) => panic!("{other:?}"),
                };
                let found = table.cell(row as usize, column as usize).text.trim().to_owned();
                prop_assert_eq!(found, expected, "row {} column {}", row, column);
            }
        }
    }
}
