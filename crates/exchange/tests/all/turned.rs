//! Sheets with a visit in each column, ditto marks, and dates of other calendars.

use crate::common::{bodies, import, import_table, import_with, of_row, table, told};
use exchange::{Disposition, MapFile, Nothing, Plan, read_table};
use record::Body;
use rstest::rstest;
use rust_xlsxwriter::{Format, Workbook};

fn ids(plan: &Plan) -> Vec<&str> {
    plan.report.questions.iter().map(|question| question.id.as_str()).collect()
}

fn with_answer(text: &str, id: &str, choice: &str) -> Plan {
    let asked = import(text);
    let question = asked.report.questions.iter().find(|question| question.id == id);
    let question = question.unwrap_or_else(|| panic!("{id} is not among {:?}", ids(&asked)));
    assert!(question.choices.iter().any(|known| known.key == choice), "{:?}", question.choices);
    let mut map = MapFile::new();
    map.answer(id, choice).unwrap();
    import_with(text, &map.to_toml())
}

const IN_COLUMNS: &str = "Name:,Ole By,,\nHospital no,17,,\n,,,\nDate,13/01/2024,20/01/2024,27/01/2024\n\
    Pirani right,5,4,3\nPirani left,4,,2\nCast no,1,2,3\n";

#[test]
fn each_column_is_a_visit() {
    let plan = import(IN_COLUMNS);
    let scores: Vec<String> = told(&plan).into_iter().filter(|told| told.contains("assessment")).collect();
    let expected = [
        "right assessment 2024-01-13",
        "left assessment 2024-01-13",
        "right assessment 2024-01-20",
        "right assessment 2024-01-27",
        "left assessment 2024-01-27",
    ];
    assert_eq!(
        (scores, plan.report.children, ids(&plan).len()),
        (expected.map(str::to_owned).to_vec(), 1, 0)
    );
    assert!(plan.report.remarks.iter().any(|text| text.contains("row 2 of this report is its column B")));
    // What cannot be read is found by its column: C is the third.
    let plan = import(&IN_COLUMNS.replace("5,4,3", "5,9,3"));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "impossible-score")));
}

/// A person who names the row of the headings knows better.
#[test]
fn a_sheet_whose_heading_row_is_named_is_not_turned() {
    let map = MapFile::from_toml("header_row = 4\n").unwrap();
    let table = exchange::read_mapped(IN_COLUMNS.as_bytes(), "visits.csv", Some(&map)).unwrap();
    assert_eq!(table.headers[..4], ["Date", "13/01/2024", "20/01/2024", "27/01/2024"]);
}

#[rstest]
// The dates stand below their heading.
#[case("Name:,Ole By\nHospital no:,17\nDate,Pirani R\n13/01/2024,5\n20/01/2024,4\n")]
// Nothing of a visit but its date.
#[case("Hosp no,17\nName,Ole By\nDate,13/01/2024\n")]
// A measurement in each row.
#[case(
    "Hosp No,Date,Item,Value\n1,13/01/2024,Pirani right,5\n1,13/01/2024,Pirani left,4\n1,20/01/2024,Pirani right,3\n"
)]
fn other_sheets_are_not_turned(#[case] text: &str) {
    assert!(!import(text).report.remarks.iter().any(|text| text.contains("column B")), "{text}");
}

/// A score merged over the lines of the two feet may be of both or of the first.
#[test]
fn a_score_merged_over_two_feet_is_not_read() {
    let plain = Format::new();
    let (mut turned, mut upright) = (Workbook::new(), Workbook::new());
    let sheet = turned.add_worksheet();
    let labels = ["Hosp no", "Name", "Date", "Pirani right", "Pirani left", "Cast no"];
    for (at, (label, cell)) in
        (0u32..).zip(labels.into_iter().zip(["17", "Ole By", "2024-01-13", "", "", "1"]))
    {
        sheet.write_string(at, 0, label).unwrap();
        sheet.write_string(at, 1, cell).unwrap();
    }
    sheet.merge_range(3, 1, 4, 1, "4.5", &plain).unwrap();
    let sheet = upright.add_worksheet();
    for (at, (label, cell)) in
        (0u16..).zip(labels.into_iter().zip(["17", "Ole By", "2024-01-13", "", "", "1"]))
    {
        sheet.write_string(0, at, label).unwrap();
        sheet.write_string(1, at, cell).unwrap();
    }
    sheet.merge_range(1, 3, 1, 4, "4.5", &plain).unwrap();
    for mut book in [turned, upright] {
        let table = read_table(&book.save_to_buffer().unwrap(), "visits.xlsx", None).unwrap();
        let plan = import_table(&table, None, &Nothing);
        assert!(!told(&plan).iter().any(|told| told.contains("assessment")), "{:?}", told(&plan));
        // Without a score nothing says of which foot the cast is.
        assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")));
    }
}

const DITTO: &str = "Hosp No,Name,DOB,Date,Side,Total\n1,Ole By,2023-12-01,2024-01-13,R,5\n\
    ditto,ditto,ditto,2024-01-20,R,4\n〃,〃,〃,〃,L,3\n2,Una By,2023-12-02,2024-01-20,L,6\n";

#[test]
fn a_mark_for_the_same_as_above_is_never_a_name() {
    let plan = import(DITTO);
    assert_eq!((ids(&plan), plan.report.children), (vec!["blank rows"], 2));
    for row in [3, 4] {
        assert_eq!(of_row(&plan, row), Some((Disposition::Refused, "meaning-in-doubt")));
    }
    let plan = with_answer(DITTO, "blank rows", "as above");
    let expected = [
        "right assessment 2024-01-13",
        "right assessment 2024-01-20",
        "left assessment 2024-01-20",
        "left assessment 2024-01-20",
    ];
    assert_eq!((told(&plan), plan.report.children), (expected.map(str::to_owned).to_vec(), 2));
    let plan = with_answer(DITTO, "blank rows", "refuse");
    assert_eq!((told(&plan).len(), plan.report.dispositions.refused), (2, 2));
    // In the first row it means nothing.
    let first = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-01-13,〃,5\n1,Ole By,2024-01-20,R,5\n";
    let plan = with_answer(first, "blank rows", "as above");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "meaning-in-doubt")));
    // Do and Dang are names.
    let plan = import("Hosp No,Name,Date,Side,Total\n1,Do,2024-01-13,R,5\n2,Dang Do,2024-01-20,R,5\n");
    assert_eq!((ids(&plan).len(), plan.report.children), (0, 2));
}

#[test]
fn years_of_the_buddhist_calendar_are_asked_about() {
    let text = "Hosp No,Name,DOB,Date,Side,Total\n1,Ole By,1/12/2566,29/2/2567,R,5\n1,Ole By,1/12/2566,7/3/2567,R,4\n";
    let plan = import(text);
    assert_eq!((told(&plan).len(), ids(&plan)), (0, vec!["calendar"]));
    let plan = with_answer(text, "calendar", "buddhist");
    assert_eq!(told(&plan), ["right assessment 2024-02-29", "right assessment 2024-03-07"]);
    let born = bodies(&plan, |body| match body {
        Body::Registration(body) => body.born.map(|born| born.to_string()),
        _ => None,
    });
    assert_eq!(born, ["2023-12-01"]);
    assert!(told(&with_answer(text, "calendar", "gregorian")).is_empty());
}

/// 67 may be 1967, or the year 2567 of the Buddhist calendar.
#[test]
fn a_year_of_two_figures_that_lies_long_ago_is_refused() {
    let plan = import("Hosp No,Name,Date,Side,Total\n1,Ole By,13/3/67,R,5\n1,Ole By,20/3/24,R,4\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-20"]);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-date")));
}

/// The first days of 2016 and 2017 of the Ethiopian calendar were 12 September 2023 and 11 September 2024.
#[test]
fn ethiopian_days_are_asked_about_under_amharic_headings() {
    let text = "የካርድ ቁጥር,ስም,ቀን,ጎን,ፒራኒ\n1,Ole By,01/01/2016,ቀኝ,5\n1,Ole By,20/01/2016,ቀኝ,4\n1,Ole By,01/01/2017,ቀኝ,3\n";
    let plan = import(text);
    assert_eq!((told(&plan).len(), ids(&plan)), (0, vec!["calendar"]));
    assert_eq!(
        told(&with_answer(text, "calendar", "ethiopian")),
        ["right assessment 2023-09-12", "right assessment 2023-10-01", "right assessment 2024-09-11"]
    );
    assert_eq!(told(&with_answer(text, "calendar", "gregorian"))[0], "right assessment 2016-01-01");
    // Nothing says whether the day or the month comes first: neither is taken for granted.
    let open = "የካርድ ቁጥር,ስም,ቀን,ጎን,ፒራኒ\n1,Ole By,01/02/2016,ቀኝ,5\n";
    assert!(told(&with_answer(open, "calendar", "ethiopian")).is_empty());
    // By the Ethiopian calendar these visits would lie in the future.
    let plan = import("የካርድ ቁጥር,ስም,ቀን,ጎን,ፒራኒ\n1,Ole By,13/01/2024,ቀኝ,5\n1,Ole By,20/01/2024,ቀኝ,4\n");
    assert_eq!(told(&plan), ["right assessment 2024-01-13", "right assessment 2024-01-20"]);
}

/// An answer about the numbers of casts changes no score, though it has the same form.
#[test]
fn an_answer_about_a_form_holds_for_its_kind_of_column() {
    let text = "Hosp No,Name,Date,Side,Total,Cast no\n1,Ole By,2024-01-13,both,3/2.5,1/6\n1,Ole By,2024-01-20,both,3/2,2/6\n";
    let mut map = MapFile::new();
    map.answer("value: cast #/#", "the number").unwrap();
    map.answer("two scores: Total", "right/left").unwrap();
    let table = table(text);
    let plan = import_table(&table, Some(&map.to_toml()), &Nothing);
    let totals = bodies(&plan, |body| match body {
        Body::Assessment(body) => body.stated_total.map(|total| total.0),
        _ => None,
    });
    // 3, 2.5, 3 and 2 points in halves.
    assert_eq!((totals, ids(&plan).len()), (vec![6, 5, 6, 4], 0));
}
