//! What one bad cell costs, and what is said of the row; scores, dates and ages in a cell of
//! their own form.

use crate::common::{Memory, bodies, import, import_table, of_row, row_report, table, told};
use exchange::{DateOrder, Disposition, Plan, refused_rows_csv};
use record::{Assessment, Body, Halves, Registration};
use rstest::rstest;

fn totals(plan: &Plan) -> Vec<Option<Halves>> {
    bodies(plan, |b| {
        if let Body::Assessment(Assessment { stated_total, .. }) = b { Some(*stated_total) } else { None }
    })
}

fn registrations(plan: &Plan) -> Vec<Registration> {
    bodies(plan, |b| if let Body::Registration(b) = b { Some(b.clone()) } else { None })
}

#[test]
fn a_bad_score_costs_its_foot_and_the_row_can_be_mended() {
    let text = "Hosp No,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,4,44,POP\n";
    let plan = import(text);
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "right cast_applied 2024-03-13"]);
    let row = row_report(&plan, 2).unwrap();
    assert_eq!((row.disposition, row.remark.reason.key()), (Disposition::Question, "impossible-score"));
    assert_eq!((row.remark.column.as_deref(), row.remark.value.as_deref()), (Some("Total L"), Some("44")));
    assert_eq!(row.left_out, ["the left foot on 13 March 2024"]);
    let mended = refused_rows_csv(&table(text), &plan.report).replace(",44,", ",4.5,");
    let again = import_table(&table(&mended), None, &Memory(plan.entries.clone()));
    assert_eq!(told(&again), ["left assessment 2024-03-13", "left cast_applied 2024-03-13"]);
}

#[test]
fn a_bad_score_on_the_only_foot_costs_the_row() {
    let plan = import("Hosp No,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,44,POP\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-score")));
    assert_eq!(plan.entries, Vec::new());
}

#[test]
fn a_bad_date_costs_its_visit() {
    let plan = import(
        "Hosp No,Name,Date 1,R total 1,Date 2,R total 2\n1,Ole By,2024-01-13,4,2024-01-40,3\n2,Bo Vint,2024-01-13,4,2024-01-20,3\n",
    );
    assert_eq!(
        told(&plan),
        ["right assessment 2024-01-13", "right assessment 2024-01-13", "right assessment 2024-01-20"]
    );
    let row = row_report(&plan, 2).unwrap();
    assert_eq!((row.disposition, row.remark.reason.key()), (Disposition::Question, "impossible-date"));
    assert_eq!(row.left_out, ["the visit of 2024-01-40"]);
}

#[test]
fn a_visit_in_the_future_costs_that_visit() {
    let plan = import("Hosp No,Name,Date 1,R total 1,Date 2,R total 2\n1,Ole By,2024-01-13,4,2034-01-20,3\n");
    assert_eq!(told(&plan), ["right assessment 2024-01-13"]);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "in-the-future")));
}

#[test]
fn a_birthday_that_is_no_day_costs_the_birthday_where_there_is_a_number() {
    let plan = import("Hosp No,Name,DOB,Date,Side,Total\n1,Ole By,2024-02-31,2024-03-13,R,4\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-13"]);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "impossible-date")));
    assert_eq!(registrations(&plan)[0].born, None);
    // Without a number the birthday says which child it is.
    let plan = import("Name,DOB,Date,Side,Total\nOle By,2024-02-31,2024-03-13,R,4\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-date")));
}

#[test]
fn a_value_that_cannot_be_costs_its_foot() {
    let plan = import("Hosp No,Name,Date,Total R,DF R,Total L,DF L\n1,Ole By,2024-03-13,4,400,3,10\n");
    assert_eq!(told(&plan), ["left assessment 2024-03-13"]);
    let row = row_report(&plan, 2).unwrap();
    assert_eq!((row.disposition, row.remark.reason.key()), (Disposition::Question, "impossible-value"));
    assert_eq!((row.remark.column.as_deref(), row.remark.value.as_deref()), (Some("DF R"), Some("400")));
}

#[test]
fn every_reason_of_a_refused_row_is_told() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-02-31,X,4\n2,Bo Vint,2024-03-13,R,4\n3,Ida Moe,2024-03-13,L,4\n";
    let plan = import(text);
    let row = row_report(&plan, 2).unwrap();
    let mut reasons: Vec<&str> =
        std::iter::once(&row.remark).chain(&row.also).map(|remark| remark.reason.key()).collect();
    reasons.sort_unstable();
    assert_eq!(reasons, ["impossible-date", "unknown-side"]);
    let csv = refused_rows_csv(&table(text), &plan.report);
    assert!(csv.contains("There is no such day") && csv.contains("which foot"), "{csv}");
}

#[test]
fn equal_remarks_are_one_and_name_columns_of_the_file() {
    let plan = import(
        "Hosp No,Name,Date,PC R,EH R,RE R,MC R,CLB R,LHT R,PC L,EH L,RE L,MC L,CLB L,LHT L\n1,Ole By,2024-03-13,1,1,1,1,1,1,ok,ok,ok,ok,ok,ok\n",
    );
    assert_eq!(told(&plan), ["right assessment 2024-03-13"]);
    let row = row_report(&plan, 2).unwrap();
    assert_eq!(row.also, Vec::new());
    assert_eq!((row.remark.column.as_deref(), row.remark.value.as_deref()), (Some("PC L"), Some("ok")));
    assert!(row.remark.text.contains("“EH L”, “RE L”"), "{}", row.remark.text);
}

#[rstest]
#[case("2.5+3=5.5", Some(11))]
#[case("2,5 + 3 = 5,5", Some(11))]
#[case("2.5+3", Some(11))]
#[case("0+0=0", Some(0))]
#[case("٢٫٥+٣=٥٫٥", Some(11))]
#[case("4.5/6", Some(9))]
// Sums that are none, parts that cannot be, and two scores of which nothing says what they are.
#[case("2.5+3=5", None)]
#[case("4+1=5", None)]
#[case("2.5+3.2", None)]
#[case("3/2.5", None)]
#[case("3/3", None)]
fn a_total_with_its_parts_in_one_cell(#[case] cell: &str, #[case] halves: Option<u8>) {
    let plan = import(&format!("Hosp No,Name,Date,Side,Total\n1,Ole By,2024-03-13,R,\"{cell}\"\n"));
    assert_eq!(
        totals(&plan),
        halves.map(|halves| Some(Halves(halves))).into_iter().collect::<Vec<_>>(),
        "{cell}"
    );
    let row = row_report(&plan, 2).map(|row| row.disposition);
    assert_eq!(row, halves.is_none().then_some(Disposition::Refused), "{cell}");
}

#[test]
fn a_column_of_totals_with_their_parts_is_understood_and_the_parts_are_kept() {
    let rows: String = (1..=6).map(|day| format!("1,Ole By,2024-03-0{day},R,1.5+2=3.5\n")).collect();
    let plan = import(&format!("Hosp No,Name,Date,Foot,Pirani (MF+HF)\n{rows}"));
    assert_eq!(totals(&plan), vec![Some(Halves(7)); 6]);
    let notes = bodies(&plan, |b| if let Body::Assessment(b) = b { b.note.clone() } else { None });
    assert_eq!(notes.first().map(String::as_str), Some("Pirani (MF+HF): 1.5+2=3.5"));
}

#[rstest]
#[case("Pirani R/L")]
#[case("Pirani Dt/Gche")]
#[case("Pirani re/li")]
fn a_heading_settles_which_foot_each_of_two_scores_is_of(#[case] heading: &str) {
    let text = format!(
        "Hosp No,Name,Date,{heading}\n1,Ole By,2024-03-13,3/2.5\n1,Ole By,2024-03-20,\"3/-\"\n1,Ole By,2024-03-27,-/2.5\n"
    );
    let plan = import(&text);
    assert_eq!(
        told(&plan),
        [
            "right assessment 2024-03-13",
            "left assessment 2024-03-13",
            "right assessment 2024-03-20",
            "left assessment 2024-03-27"
        ],
        "{heading}"
    );
    assert_eq!(totals(&plan), [6, 5, 6, 5].map(|halves| Some(Halves(halves))), "{heading}");
    assert_eq!(plan.report.dispositions.imported, 3);
}

#[test]
fn one_date_of_a_tenotomy_on_two_feet_is_asked_about() {
    let plan = import(
        "Hosp No,Name,Date,Side,Total,Tenotomy date\n1,Ole By,2024-03-13,both,4,2024-03-13\n2,Bo Vint,2024-03-13,R,4,2024-03-12\n",
    );
    let cut: Vec<_> = told(&plan).into_iter().filter(|told| told.contains("tenotomy")).collect();
    assert_eq!(cut, ["right tenotomy_done 2024-03-12"]);
    let row = row_report(&plan, 2).unwrap();
    assert_eq!((row.disposition, row.remark.reason.key()), (Disposition::Question, "unknown-side"));
    assert_eq!(row.remark.column.as_deref(), Some("Tenotomy date"));
    assert_eq!(row.left_out, ["the date of tenotomy"]);
}

#[rstest]
#[case("cast changed on 5/3/24", true)]
#[case("born 5.3.2024 at term", true)]
#[case("seen 13/03/2024", false)]
#[case("skin ok 3/52", false)]
#[case("phone 12-34", false)]
fn a_date_in_a_remark_is_asked_about(#[case] remark: &str, #[case] asked: bool) {
    let plan = import(&format!("Hosp No,Name,Date,Side,Total,Remarks\n1,Ole By,13/03/2024,R,4,{remark}\n"));
    let row = asked.then_some((Disposition::Question, "date-in-words"));
    assert_eq!(of_row(&plan, 2), row, "{remark}");
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "note 2024-03-13"], "{remark}");
}

#[test]
fn the_day_of_the_visit_may_come_with_what_was_done() {
    let row =
        |done: &str| import(&format!("Hosp No,Name,Date,Side,Total,Done\n1,Ole By,13/03/2024,R,4,{done}\n"));
    assert_eq!(told(&row("POP 3 13/3/24"))[1..], ["right cast_applied 2024-03-13"]);
    let other = row("POP 3 12/3/24");
    assert_eq!(of_row(&other, 2), Some((Disposition::Question, "unknown-word")));
    assert_eq!(told(&other)[1..], ["note 2024-03-13"]);
}

#[test]
fn an_age_gives_a_birth_that_is_approximate() {
    let plan = import(
        "Hosp No,Name,Age,Date,Side,Total\n1,Ole By,3 weeks,2024-03-02,R,4\n1,Ole By,4 weeks,2024-03-09,R,3\n2,Bo Vint,2 years,2024-03-02,R,4\n",
    );
    let children = registrations(&plan);
    // 2 March 2024 less 21 days.
    assert_eq!(children[0].born_about.map(|day| day.to_string()).as_deref(), Some("2024-02-10"));
    assert_eq!((children[0].born, children[1].born_about), (None, None));
    assert_eq!((plan.report.children, plan.report.assessments), (2, 3));
    assert_eq!(of_row(&plan, 4), Some((Disposition::Question, "unreadable-value")));
    let plan = import("Hosp No,Name,Age (weeks),DOB,Date,Side,Total\n1,Ole By,3,2024-02-09,2024-03-02,R,4\n");
    let child = registrations(&plan).remove(0);
    assert_eq!(
        (child.born.map(|day| day.to_string()).as_deref(), child.born_about),
        (Some("2024-02-09"), None)
    );
}

#[test]
fn an_approximate_birth_comes_back_from_an_export_as_approximate() {
    let plan = import("Hosp No,Name,Age (weeks),Date,Side,Total\n1,Ole By,3,2024-03-02,R,4\n");
    let text = exchange::export_csv(&[(plan.entries[0].child, plan.entries.as_slice())]);
    let again = import(&text);
    let born: Vec<_> = registrations(&again).iter().map(|child| (child.born, child.born_about)).collect();
    assert_eq!(born, [(None, registrations(&plan)[0].born_about)], "{text}");
}

#[test]
fn numbers_that_differ_by_leading_zeros_are_never_two_children_in_silence() {
    const HEAD: &str = "Hosp No,Name,DOB,Date,Side,Total\n";
    let plan = import(&format!(
        "{HEAD}0042,Ole By,2024-01-05,2024-02-01,R,4\n42,Ole By,2024-01-05,2024-02-08,R,3\n43,Bo Vint,2024-01-05,2024-02-08,R,3\n"
    ));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "possible-match")));
    assert_eq!((plan.report.children, plan.report.assessments), (2, 2));
    // Another name is another child.
    let plan = import(&format!(
        "{HEAD}0042,Ole By,2024-01-05,2024-02-01,R,4\n42,Bo Vint,2024-03-05,2024-04-08,R,3\n"
    ));
    assert_eq!((of_row(&plan, 3), plan.report.children), (None, 2));
    // A child of the records is offered, though the birthday is not known.
    let known = Memory(import(&format!("{HEAD}0042,Amadi Okonjo,2024-01-05,2024-02-01,R,4\n")).entries);
    let plan = import_table(&table(&format!("{HEAD}42,Amadi Okonyo,,2024-03-01,R,2\n")), None, &known);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Imported, "possible-match")));
    assert!(plan.report.matches[0].text.contains("leading zeros"), "{:?}", plan.report.matches);
}

/// Dates of visits of one child each, in the order given.
fn visits(dates: &[&str]) -> Plan {
    let rows: Vec<String> =
        dates.iter().enumerate().map(|(at, date)| format!("{at},Child Number{at}x,{date},R,4\n")).collect();
    import(&format!("Hosp No,Name,Date,Side,Total\n{}", rows.concat()))
}

#[test]
fn a_single_contrary_date_is_refused_and_the_deciding_rows_are_shown() {
    let plan = visits(&["13/03/2024", "14/03/2024", "15/03/2024", "05/03/2024", "16/03/2024", "03/17/2024"]);
    assert_eq!(plan.report.dates.order, Some(DateOrder::DayFirst));
    assert_eq!(of_row(&plan, 7), Some((Disposition::Refused, "impossible-date")));
    assert_eq!((of_row(&plan, 5), plan.report.assessments), (None, 5));
    for shown in ["row 2: “13/03/2024”", "row 3: “14/03/2024”", "row 7: “03/17/2024”"] {
        assert!(plan.report.dates.why.contains(shown), "{}", plan.report.dates.why);
    }
}

#[test]
fn a_single_deciding_date_among_many_open_ones_is_not_followed() {
    let open = ["01/02/2024", "02/03/2024", "03/04/2024", "04/05/2024", "05/06/2024", "06/07/2024"];
    let more = ["07/08/2024", "08/09/2024", "09/10/2024", "03/17/2024"];
    let plan = visits(&[open.as_slice(), more.as_slice()].concat());
    assert_eq!(plan.report.dates.order, None, "{}", plan.report.dates.why);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "ambiguous-date")));
    assert!(plan.report.dates.why.contains("row 11: “03/17/2024”"), "{}", plan.report.dates.why);
}

#[test]
fn a_birthday_copied_from_visit_to_visit_is_one_piece_of_evidence() {
    let rows: String = (1..=9)
        .map(|month| {
            format!("1,Ole By,01/13/2024,0{month}/0{}/2024,R,4\n", month + 1 - usize::from(month == 9))
        })
        .collect();
    let plan = import(&format!("Hosp No,Name,DOB,Date,Side,Total\n{rows}"));
    assert_eq!(plan.report.dates.order, None, "{}", plan.report.dates.why);
}

#[test]
fn rows_in_the_sequence_of_their_visits_settle_the_order() {
    // Day first a row lies after the row above; month first they go February, September, June, November,
    // January and so on.
    let plan = visits(&[
        "02/03/2024",
        "09/03/2024",
        "06/04/2024",
        "11/05/2024",
        "01/06/2024",
        "08/06/2024",
        "03/07/2024",
        "10/07/2024",
        "07/08/2024",
        "04/09/2024",
        "11/09/2024",
        "02/10/2024",
        "09/10/2024",
    ]);
    assert_eq!(plan.report.dates.order, Some(DateOrder::DayFirst), "{}", plan.report.dates.why);
}

#[test]
fn two_numbers_for_one_cast_are_asked_about_and_neither_is_taken() {
    let plan = import("Hosp No,Name,Date,Side,Total,Cast no,Done\n1,Ole By,2024-03-13,R,4,3,POP 4\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "unreadable-value")));
    let numbers = bodies(&plan, |b| if let Body::CastApplied(b) = b { Some(b.number) } else { None });
    assert_eq!(numbers, [None]);
}

#[test]
fn a_diagnosis_that_names_the_foot_is_of_that_foot() {
    let plan = import(
        "Hosp No,Name,Date,Total R,Total L,Dx\n1,Ole By,2024-03-13,4,,R clubfoot\n2,Bo Vint,2024-03-13,4,3,Bilateral idiopathic\n3,Ida Moe,2024-03-13,4,,L clubfoot\n",
    );
    assert_eq!((of_row(&plan, 2), of_row(&plan, 3)), (None, None));
    let found: Vec<_> = told(&plan).into_iter().filter(|told| told.contains("diagnosis")).collect();
    assert_eq!(found, ["right diagnosis 2024-03-13", "left diagnosis 2024-03-13"]);
    assert_eq!(of_row(&plan, 4), Some((Disposition::Question, "unknown-side")));
}
