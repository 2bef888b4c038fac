//! Dates as people write them; the order of day and month is settled once for the file.

use crate::common::{bodies, day, import, import_with, of_row, told};
use exchange::{DateOrder, Disposition};
use record::Body;
use rstest::rstest;

fn visits(dates: &[&str]) -> String {
    let mut text = "ID,Name,DOB,Date,Side,Total\n".to_owned();
    for (at, date) in dates.iter().enumerate() {
        text.push_str(&format!("{at},Child Number{at}x,2023-11-30,\"{date}\",R,4\n"));
    }
    text
}

fn first_day(date: &str) -> Option<record::Day> {
    let plan = import(&visits(&[date]));
    plan.entries.iter().find(|e| matches!(e.body, Body::Assessment(_))).map(|e| e.on)
}

#[rstest]
#[case("2024-03-13")]
#[case("2024/3/13")]
#[case("13/03/2024")]
#[case("03/13/2024")]
#[case("13.03.2024")]
#[case("13.3.24")]
#[case("13-Mar-24")]
#[case("13 March 2024")]
#[case("March 13, 2024")]
#[case("13th of March 2024")]
#[case("13 de marzo de 2024")]
#[case("13 de março de 2024")]
#[case("13 mars 2024")]
#[case("13. März 2024")]
#[case("13 marzo 2024")]
#[case("13 maart 2024")]
#[case("13 Machi 2024")]
#[case("13 Mart 2024")]
#[case("13 Maret 2024")]
#[case("Wed 13 Mar 2024")]
#[case("2024-03-13 09:30")]
#[case("2024-03-13T09:30:00Z")]
#[case("13/03/2024 09:30:00")]
#[case("20240313")]
// 13 March 2024 is 45 364 days after 30 December 1899.
#[case("45364")]
fn every_style_is_the_same_day(#[case] date: &str) {
    assert_eq!(first_day(date), Some(day("2024-03-13")), "{date}");
}

#[rstest]
#[case("31/02/2024")]
#[case("2024-13-01")]
#[case("13/03/0202")]
#[case("0202-03-13")]
#[case("soon")]
#[case("13/2024")]
#[case("32 March 2024")]
fn what_is_no_day_is_refused(#[case] date: &str) {
    let plan = import(&visits(&[date]));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-date")), "{date}");
}

#[test]
fn one_part_above_twelve_settles_the_whole_file() {
    let plan = import(&visits(&["05/03/2024", "13/03/2024"]));
    assert_eq!(plan.report.dates.order, Some(DateOrder::DayFirst));
    assert_eq!(told(&plan), ["right assessment 2024-03-05", "right assessment 2024-03-13"]);
    let plan = import(&visits(&["05/03/2024", "03/13/2024"]));
    assert_eq!(plan.report.dates.order, Some(DateOrder::MonthFirst));
    assert_eq!(told(&plan), ["right assessment 2024-05-03", "right assessment 2024-03-13"]);
    assert!(plan.report.dates.why.contains("row 3"), "{}", plan.report.dates.why);
}

#[test]
fn without_evidence_only_the_open_cells_are_refused() {
    let plan = import(&visits(&["05/03/2024", "2024-03-13", "04/04/2024"]));
    assert_eq!(plan.report.dates.order, None);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "ambiguous-date")));
    // The fourth of April is the same both ways.
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "right assessment 2024-04-04"]);
}

#[test]
fn contradicting_evidence_settles_nothing() {
    let plan = import(&visits(&["05/03/2024", "13/03/2024", "03/14/2024"]));
    assert_eq!(plan.report.dates.order, None);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "ambiguous-date")));
    assert_eq!(plan.report.assessments, 2);
}

#[test]
fn visits_before_birth_or_in_the_future_settle_the_order() {
    // Today is 2 June 2025: 5 August and 5 September lie in the future, 8 and 9 May do not.
    let plan = import(&visits(&["05/08/2025", "05/09/2025"]));
    assert_eq!(plan.report.dates.order, Some(DateOrder::MonthFirst), "{}", plan.report.dates.why);
    let text = "ID,Name,DOB,Date,Side,Total\n1,Ole By,01/11/2024,05/12/2024,R,4\n2,Bo Vint,02/11/2024,09/12/2024,R,4\n3,Ida Moe,03/12/2024,08/01/2025,L,3\n";
    let plan = import(text);
    // Month first the second child is born on 11 February and seen 12 September, the third born 12 March
    // 2024 and seen 1 August 2025, which has not come; the first is seen 12 May. One is no evidence.
    assert_eq!(plan.report.dates.order, None);
    let more = format!("{text}4,Kai Dahl,03/12/2024,09/01/2025,L,3\n");
    assert_eq!(import(&more).report.dates.order, Some(DateOrder::DayFirst));
}

#[test]
fn weekly_visits_settle_the_order() {
    let text = "ID,Name,Date,Side,Total\n1,Ole By,01/03/2024,R,6\n1,Ole By,08/03/2024,R,5\n2,Bo Vint,02/04/2024,R,6\n2,Bo Vint,09/04/2024,R,5\n3,Ida Moe,03/05/2024,L,6\n3,Ida Moe,10/05/2024,L,5\n4,Kai Dahl,04/06/2024,L,6\n4,Kai Dahl,11/06/2024,L,5\n";
    let plan = import(text);
    assert_eq!(plan.report.dates.order, Some(DateOrder::DayFirst), "{}", plan.report.dates.why);
}

#[test]
fn a_heading_or_a_map_file_settles_it_too() {
    let plan = import("ID,Name,Date (mm/dd/yyyy),Side,Total\n1,Ole By,05/03/2024,R,6\n");
    assert_eq!(told(&plan), ["right assessment 2024-05-03"]);
    let plan = import_with(&visits(&["05/03/2024"]), "date_order = \"day first\"\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-05"]);
}

#[test]
fn two_figures_of_a_year_and_the_year_first() {
    let plan = import(&visits(&["31-12-24", "01-02-25"]));
    assert_eq!(told(&plan), ["right assessment 2024-12-31", "right assessment 2025-02-01"]);
}

#[test]
fn a_visit_in_the_future_or_before_birth_is_refused() {
    let plan = import(&visits(&["2025-06-10", "2023-11-29", "2025-06-02"]));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "in-the-future")));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "before-birth")));
    assert_eq!(of_row(&plan, 4), None);
}

#[test]
fn a_birth_known_from_another_row_counts() {
    let plan =
        import("ID,Name,DOB,Date,Side,Total\n1,Ole By,2024-02-20,2024-03-01,R,6\n1,Ole By,,2024-02-01,R,6\n");
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "before-birth")));
}

#[test]
fn a_row_without_a_date_is_refused() {
    let plan = import(&visits(&[""]));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "no-date")));
}

#[test]
fn the_next_appointment_may_lie_in_the_future() {
    let plan = import(
        "ID,Name,Date,Side,Total,Next appointment\n1,Ole By,2025-06-01,R,6,2025-06-08\n1,Ole By,2025-05-25,R,6,2/52\n",
    );
    let made = bodies(&plan, |b| if let Body::AppointmentMade(b) = b { Some(b.for_day) } else { None });
    assert_eq!(made, [day("2025-06-08")]);
    assert_eq!(of_row(&plan, 3), Some((Disposition::Question, "unreadable-value")));
    let notes = bodies(&plan, |b| if let Body::Note(b) = b { Some(b.text.clone()) } else { None });
    assert_eq!(notes, ["Next appointment: 2/52"]);
}
