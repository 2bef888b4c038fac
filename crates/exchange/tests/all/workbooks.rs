//! Workbooks: typed cells, several sheets, merged headings.

use crate::common::{import_table, of_row, told};
use exchange::{Disposition, MapFile, Nothing, Plan, ReadError, Table, read_mapped, read_table};
use rust_xlsxwriter::{Format, Workbook, Worksheet};

fn date(sheet: &mut Worksheet, row: u32, column: u16, serial: f64) {
    sheet.write_number_with_format(row, column, serial, &Format::new().set_num_format("dd/mm/yyyy")).unwrap();
}

fn heads(sheet: &mut Worksheet, row: u32, heads: &[&str]) {
    for (column, head) in (0u16..).zip(heads) {
        sheet.write_string(row, column, *head).unwrap();
    }
}

fn table(mut book: Workbook, pick: Option<&str>) -> Result<Table, ReadError> {
    read_table(&book.save_to_buffer().unwrap(), "visits.csv", pick)
}

fn import(book: Workbook) -> Plan {
    import_table(&table(book, None).unwrap(), None, &Nothing)
}

#[test]
fn real_dates_and_numbers_need_no_order() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Visit", "Side", "PC", "Total"]);
    sheet.write_number(1, 0, 4100).unwrap();
    sheet.write_string(1, 1, "Ole By").unwrap();
    // 5 March 2024 is 45 356 days after 30 December 1899; the fraction is a time of day.
    date(sheet, 1, 2, 45_356.4);
    sheet.write_string(1, 3, "R").unwrap();
    sheet.write_number(1, 4, 0.5).unwrap();
    sheet.write_number(1, 5, 4.5).unwrap();
    let plan = import(book);
    assert_eq!(told(&plan), ["right assessment 2024-03-05"]);
    assert_eq!(plan.report.source.format, "XLSX");
}

fn visits(sheet: &mut Worksheet) {
    heads(sheet, 2, &["Hosp No", "Name", "Visit", "Side", "Total"]);
    heads(sheet, 3, &["1", "Ole By", "2024-01-13", "R", "4"]);
}

#[test]
fn the_sheet_that_looks_like_visits_is_taken_and_named() {
    let build = || {
        let mut book = Workbook::new();
        heads(book.add_worksheet().set_name("Notes").unwrap(), 0, &["remember", "to", "ring"]);
        visits(book.add_worksheet().set_name("2024").unwrap());
        book
    };
    let found = table(build(), None).unwrap();
    assert_eq!((found.source.sheet.as_deref(), found.source.header_row), (Some("2024"), 3));
    assert_eq!(found.source.other_sheets, ["Notes"]);
    assert!(matches!(table(build(), Some("2023")), Err(ReadError::NoSheet { .. })));
    assert!(table(build(), Some("2024")).is_ok());
}

#[test]
fn merged_headings_over_both_feet_and_a_name_merged_over_two_rows() {
    let mut book = Workbook::new();
    let plain = Format::new();
    let sheet = book.add_worksheet();
    sheet.merge_range(0, 0, 1, 0, "Hosp No", &plain).unwrap();
    sheet.merge_range(0, 1, 1, 1, "Name", &plain).unwrap();
    sheet.merge_range(0, 2, 1, 2, "Date", &plain).unwrap();
    sheet.merge_range(0, 3, 0, 4, "Right", &plain).unwrap();
    sheet.merge_range(0, 5, 0, 6, "Left", &plain).unwrap();
    for (column, head) in (3u16..).zip(["PC", "Total", "PC", "Total"]) {
        sheet.write_string(1, column, head).unwrap();
    }
    sheet.merge_range(2, 0, 3, 0, "17", &plain).unwrap();
    sheet.merge_range(2, 1, 3, 1, "Ole By", &plain).unwrap();
    for (row, day) in [(2, "2024-01-13"), (3, "2024-01-20")] {
        sheet.write_string(row, 2, day).unwrap();
        for column in 3..7 {
            sheet.write_number(row, column, 1).unwrap();
        }
    }
    let plan = import(book);
    assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.not_plain);
    assert_eq!((plan.report.children, plan.report.assessments), (1, 4));
}

#[test]
fn dates_that_a_program_has_half_exchanged_are_not_believed() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Visit", "Side", "Total"]);
    for row in 1u32..=6 {
        sheet.write_number(row, 0, row).unwrap();
        sheet.write_string(row, 1, format!("Child Number{row}x")).unwrap();
        sheet.write_string(row, 3, "R").unwrap();
        sheet.write_number(row, 4, 4).unwrap();
        if row <= 3 {
            // 4, 5 and 6 March 2024, written day first by a program that expects the month first.
            date(sheet, row, 2, 45_354.0 + f64::from(row));
        } else {
            sheet.write_string(row, 2, format!("{}/03/2024", 12 + row)).unwrap();
        }
    }
    let plan = import(book);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "ambiguous-date")));
    assert_eq!((plan.report.dispositions.refused, plan.report.assessments), (3, 3));
}

#[test]
fn a_half_that_became_a_date_is_refused() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Visit", "Side", "PC", "EH"]);
    heads(sheet, 1, &["1", "Ole By", "2024-01-13", "R", "", "1"]);
    date(sheet, 1, 4, 45_323.0);
    heads(sheet, 2, &["1", "Ole By", "2024-01-20", "R", "1", "1"]);
    heads(sheet, 3, &["1", "Ole By", "2024-01-27", "R", "1", "1"]);
    let plan = import(book);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-score")));
}

#[test]
fn other_workbook_formats_are_known_by_their_contents() {
    let ods = include_bytes!("../fixtures/visits.ods").as_slice();
    let xls = include_bytes!("../fixtures/visits.xls").as_slice();
    for (bytes, format) in [(ods, "ODS"), (xls, "XLS")] {
        let table = read_table(bytes, "visits.csv", None).unwrap();
        assert_eq!((table.source.format, table.source.sheet.as_deref()), (format, Some("Visits")));
        let plan = import_table(&table, None, &Nothing);
        assert_eq!(told(&plan), ["right assessment 2024-03-05", "right assessment 2024-03-12"], "{format}");
        assert_eq!(plan.report.dispositions.imported, 2);
    }
}

#[test]
fn one_stray_cell_far_away_does_not_make_the_sheet_large() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    visits(sheet);
    sheet.write_string(1_048_575, 16_383, "x").unwrap();
    let plan = import(book);
    assert_eq!((plan.report.rows, plan.report.assessments), (2, 1));
    assert_eq!(of_row(&plan, 1_048_576), Some((Disposition::Refused, "too-many-cells")));
}

#[test]
fn a_workbook_cut_short_gets_one_sentence() {
    let mut book = Workbook::new();
    visits(book.add_worksheet());
    let whole = book.save_to_buffer().unwrap();
    for cut in [whole.len() / 4, whole.len() / 2, whole.len() - 10] {
        let error = read_table(&whole[..cut], "visits.xlsx", None).unwrap_err().to_string();
        assert!(error.starts_with("visits.xlsx") && !error.contains('\n'), "{error}");
    }
}

fn month(sheet: &mut Worksheet, child: &str, day: &str, side: &str) {
    heads(sheet, 0, &["Hosp No", "Name", "Visit", "Side", "Total"]);
    heads(sheet, 1, &[child, "Ole By", day, "R", "4"]);
    heads(sheet, 2, &[child, "Ole By", day, side, "3"]);
}

#[test]
fn sheets_with_the_same_headings_are_read_together_with_one_order_of_dates() {
    let mut book = Workbook::new();
    // Only the second sheet shows that the day comes first.
    month(book.add_worksheet().set_name("April").unwrap(), "1", "03/04/2024", "L");
    month(book.add_worksheet().set_name("May").unwrap(), "1", "23/05/2024", "perhaps");
    let plan = import(book);
    assert_eq!(
        told(&plan),
        ["right assessment 2024-04-03", "left assessment 2024-04-03", "right assessment 2024-05-23"]
    );
    let refused: Vec<_> = plan.report.refused().map(|row| (row.sheet.as_deref(), row.row)).collect();
    assert_eq!(refused, [(Some("May"), 3)]);
    assert!(plan.report.remarks.iter().any(|text| text.contains("2 sheets were read together: April, May")));
    assert!(plan.report.source.other_sheets.is_empty());
}

#[test]
fn a_sheet_of_visits_under_other_headings_is_asked_about_and_brought_in_by_the_answer() {
    let build = || {
        let mut book = Workbook::new();
        month(book.add_worksheet().set_name("April").unwrap(), "1", "2024-04-03", "L");
        let old = book.add_worksheet().set_name("2023").unwrap();
        heads(old, 0, &["Hosp No", "Name", "Visit", "Side", "PC", "Total"]);
        heads(old, 1, &["2", "Una By", "2023-04-03", "R", "1", "6"]);
        book.save_to_buffer().unwrap()
    };
    let read = |map: &MapFile| {
        let table = read_mapped(&build(), "visits.xlsx", Some(map)).unwrap();
        import_table(&table, Some(&map.to_toml()), &Nothing)
    };
    let mut map = MapFile::new();
    let asked: Vec<String> =
        read(&map).report.questions.into_iter().filter(|q| q.blocks).map(|q| q.id).collect();
    // The sheet with more known headings is taken first.
    assert_eq!(asked, ["sheet: April"]);
    map.answer("sheet: April", "bring in").unwrap();
    let plan = read(&map);
    assert_eq!((plan.report.children, plan.report.questions.len()), (2, 0));
    map.answer("sheet: April", "leave out").unwrap();
    assert_eq!(read(&map).report.children, 1);
}

#[test]
fn many_sheets_of_visits_under_other_headings_are_one_question() {
    let build = || {
        let mut book = Workbook::new();
        month(book.add_worksheet().set_name("Main").unwrap(), "1", "2024-04-03", "L");
        for n in 0..5 {
            let sheet = book.add_worksheet().set_name(format!("Old {n}")).unwrap();
            heads(sheet, 0, &["Hosp No", "Name", "Visit", "Side", "PC", ["EH", "RE", "MC", "CLB", "LHT"][n]]);
            heads(sheet, 1, &[&format!("{}", n + 2), &format!("Una By{n}"), "2023-04-03", "R", "1", "1"]);
        }
        heads(book.add_worksheet().set_name("Notes").unwrap(), 0, &["remember", "to", "ring"]);
        book.save_to_buffer().unwrap()
    };
    let blocking = |plan: &Plan| {
        let asked = plan.report.questions.iter().filter(|question| question.blocks);
        asked.map(|question| question.id.clone()).collect::<Vec<_>>()
    };
    assert_eq!(blocking(&with_answer(&build(), None)), ["other sheets"]);
    let plan = with_answer(&build(), Some(("other sheets", "bring in")));
    assert_eq!((blocking(&plan), plan.report.children), (vec![], 6));
    let plan = with_answer(&build(), Some(("other sheets", "leave out")));
    assert_eq!((blocking(&plan), plan.report.children), (vec![], 1));
}

#[test]
fn sheets_named_after_the_feet_say_the_foot() {
    let of = |names: [&str; 2], side: &str| {
        let mut book = Workbook::new();
        for (name, total) in names.into_iter().zip(["4", "3"]) {
            let sheet = book.add_worksheet().set_name(name).unwrap();
            heads(sheet, 0, &["Hosp No", "Name", "Visit", side, "Total"]);
            heads(sheet, 1, &["1", "Ole By", "2024-01-13", "", total]);
        }
        import(book)
    };
    let feet = ["right assessment 2024-01-13", "left assessment 2024-01-13"];
    assert_eq!(told(&of(["Right foot", "LEFT"], "Remarks")), feet);
    // One sheet for each foot or none: what else a name says decides nothing, nor where there is a column of the foot.
    for (names, heading) in
        [(["Right", "May"], "Remarks"), (["Right", "Rt"], "Remarks"), (["Right", "Left"], "Side")]
    {
        let plan = of(names, heading);
        assert_eq!(plan.report.assessments, 0, "{names:?}");
        assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")), "{names:?}");
    }
}

/// A row for each foot of a visit: what is merged over the two rows names the child and the day, and "POP 2"
/// may be of both feet or of the first.
fn merged_visit(act: &str) -> [Vec<u8>; 2] {
    let plain = Format::new();
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Date", "Side", "Total", "Done", "Remarks"]);
    for (column, text) in [(0, "17"), (1, "Ole By"), (2, "2024-01-13"), (5, act), (6, "doing well")] {
        sheet.merge_range(1, column, 2, column, text, &plain).unwrap();
    }
    for (row, side, total) in [(1, "R", 4.0), (2, "L", 3.0)] {
        sheet.write_string(row, 3, side).unwrap();
        sheet.write_number(row, 4, total).unwrap();
    }
    let merged = |text: &str| {
        format!(
            "<table:table-cell table:number-rows-spanned=\"2\" office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let cell = |text: &str| {
        format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
    };
    let under = "<table:covered-table-cell/>";
    let row = |cells: &[String]| format!("<table:table-row>{}</table:table-row>", cells.concat());
    let headings = ["Hosp No", "Name", "Date", "Side", "Total", "Done", "Remarks"].map(cell);
    let first = [
        merged("17"),
        merged("Ole By"),
        merged("2024-01-13"),
        cell("R"),
        cell("4"),
        merged(act),
        merged("doing well"),
    ];
    let second: Vec<String> =
        [under, under, under, &cell("L"), &cell("3"), under, under].map(str::to_owned).to_vec();
    let rows = [row(&headings), row(&first), row(&second)].concat();
    let ods = crate::packages::ods(&format!("<table:table table:name=\"Visits\">{rows}</table:table>"));
    [book.save_to_buffer().unwrap(), ods]
}

fn with_answer(bytes: &[u8], answer: Option<(&str, &str)>) -> Plan {
    let mut map = MapFile::new();
    if let Some((id, choice)) = answer {
        map.answer(id, choice).unwrap();
    }
    let table = read_mapped(bytes, "visits", Some(&map)).unwrap();
    import_table(&table, Some(&map.to_toml()), &Nothing)
}

#[test]
fn an_act_merged_over_several_rows_is_asked_about_and_never_repeated_in_silence() {
    for bytes in merged_visit("POP 2") {
        let plan = with_answer(&bytes, None);
        let blocking: Vec<&str> = plan
            .report
            .questions
            .iter()
            .filter(|asked| asked.blocks)
            .map(|asked| asked.id.as_str())
            .collect();
        assert_eq!((blocking, plan.report.children), (vec!["merged: Done"], 1));
        let notes = "note 2024-01-13";
        let scores = ["right assessment 2024-01-13", notes, "left assessment 2024-01-13"];
        assert_eq!(told(&plan), scores, "{}", plan.report.source.format);
        for row in [2, 3] {
            assert_eq!(of_row(&plan, row), Some((Disposition::Question, "meaning-in-doubt")));
        }
        let casts = |choice| {
            let plan = with_answer(&bytes, Some(("merged: Done", choice)));
            assert!(plan.report.questions.is_empty(), "{:?}", plan.report.questions);
            told(&plan).into_iter().filter(|told| told.contains("cast")).collect::<Vec<_>>()
        };
        assert_eq!(casts("each"), ["right cast_applied 2024-01-13", "left cast_applied 2024-01-13"]);
        assert_eq!(casts("first"), ["right cast_applied 2024-01-13"]);
    }
}

/// A score merged over two visits would be that of both days.
#[test]
fn a_score_merged_over_several_visits_is_asked_about() {
    let plain = Format::new();
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Date", "Side", "Total", "Done"]);
    for (row, day) in [(1, "2024-01-13"), (2, "2024-01-20"), (3, "2024-01-27")] {
        heads(sheet, row, &["17", "Ole By", day, "R", "", "cast"]);
    }
    sheet.merge_range(1, 4, 2, 4, "4.5", &plain).unwrap();
    sheet.write_number(3, 4, 3).unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let days = |answer: Option<(&str, &str)>| {
        let all = told(&with_answer(&bytes, answer)).into_iter();
        all.filter_map(|told| told.strip_prefix("right assessment ").map(str::to_owned)).collect::<Vec<_>>()
    };
    assert_eq!(days(None), ["2024-01-27"]);
    assert_eq!(days(Some(("merged: Total", "each"))), ["2024-01-13", "2024-01-20", "2024-01-27"]);
    assert_eq!(days(Some(("merged: Total", "first"))), ["2024-01-13", "2024-01-27"]);
}

/// Rows twice as high, everything merged: the second of two says nothing.
#[test]
fn a_row_merged_with_the_one_above_in_every_cell_is_part_of_it() {
    let plain = Format::new();
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    heads(sheet, 0, &["Hosp No", "Name", "Date", "Side", "Total", "Done"]);
    for (column, text) in (0..).zip(["17", "Ole By", "2024-01-13", "R", "4.5", "cast"]) {
        sheet.merge_range(1, column, 2, column, text, &plain).unwrap();
    }
    heads(sheet, 3, &["17", "Ole By", "2024-01-20", "R", "4", "cast"]);
    let plan = import(book);
    assert_eq!((plan.report.questions.len(), plan.report.assessments), (0, 2));
    assert_eq!(of_row(&plan, 3), Some((Disposition::PassedOver, "footer-row")));
}
