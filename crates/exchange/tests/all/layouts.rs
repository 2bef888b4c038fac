//! One row per foot, both feet side by side, one row per child with visits across.

use crate::common::{bodies, import, of_row, told};
use exchange::Disposition;
use record::{Assessment, Body, Halves, Side};

fn assessments(plan: &exchange::Plan) -> Vec<Assessment> {
    bodies(plan, |body| if let Body::Assessment(body) = body { Some(body.clone()) } else { None })
}

#[test]
fn one_row_per_foot() {
    let plan = import(
        "MRN,Patient name,DOB,Date of visit,Foot,PC,EH,RE,MC,CLB,LHT,Cast no\n\
         7,Amadi Okonjo,2024-01-01,2024-01-15,Right,1,1,1,0.5,0.5,0.5,1\n\
         7,Amadi Okonjo,2024-01-01,2024-01-15,Left,1,1,1,1,1,1,1\n",
    );
    assert_eq!(plan.report.affected_feet, 2);
    let totals: Vec<_> = assessments(&plan).iter().map(|a| (a.side, a.pirani.total())).collect();
    // 3 × 1 + 3 × 0.5 = 4.5, nine halves; 6 × 1 = 6, twelve halves.
    assert_eq!(totals, [(Side::Right, Some(Halves(9))), (Side::Left, Some(Halves(12)))]);
}

#[test]
fn a_bilateral_row_makes_two_equal_feet() {
    let plan = import("No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT\nA1,Bo Vint,2024-03-01,B,1,0,0,.5,½,\"0,5\"\n");
    let both = assessments(&plan);
    assert_eq!(both.len(), 2);
    assert_eq!(both[0].pirani, both[1].pirani);
    // 1 + 3 × 0.5 = 2.5.
    assert_eq!(both[0].pirani.total(), Some(Halves(5)));
}

#[test]
fn both_feet_side_by_side_with_letters_before_or_after() {
    for (r, l) in [
        ("R PC", "L PC"),
        ("PC_R", "PC_L"),
        ("PC (right)", "PC (left)"),
        ("RPC", "LPC"),
        ("Right - Posterior crease", "Left - Posterior crease"),
    ] {
        let total = if r.starts_with("RPC") { ["Total Right", "Total Left"] } else { ["R total", "L total"] };
        let text = format!(
            "ID,Name,Visit date,{r},{l},{},{}\n5,Ane Falk,2024-05-05,1,0.5,4,3\n",
            total[0], total[1]
        );
        let plan = import(&text);
        let found: Vec<_> = assessments(&plan)
            .iter()
            .map(|a| (a.side, a.pirani.posterior_crease.map(|p| p.text()), a.stated_total))
            .collect();
        assert_eq!(
            found,
            [(Side::Right, Some("1"), Some(Halves(8))), (Side::Left, Some("0.5"), Some(Halves(6)))],
            "{r}"
        );
    }
}

#[test]
fn a_foot_without_values_is_not_assessed() {
    let plan = import("ID,Name,Date,R total,L total,Done\n5,Ane Falk,2024-05-05,4,,cast\n");
    assert_eq!(told(&plan), ["right assessment 2024-05-05", "right cast_applied 2024-05-05"]);
}

#[test]
fn two_header_rows_with_right_and_left_over_their_columns() {
    let plan = import(
        "Clubfoot clinic 2024,,,,,,,,,,,,,,,,\n\
         ,,,Right,,,,,,Left,,,,,,,\n\
         Hosp No,Name,Date,PC,EH,RE,MC,CLB,LHT,PC,EH,RE,MC,CLB,LHT,Cast no,Remarks\n\
         11,Ida Moe,14/02/2024,1,1,1,1,1,1,0,0,0,0,0,0.5,3,all well\n",
    );
    assert_eq!(plan.report.source.header_row, 3);
    assert!(plan.report.source.two_header_rows);
    let totals: Vec<_> = assessments(&plan).iter().map(|a| (a.side, a.pirani.total())).collect();
    assert_eq!(totals, [(Side::Right, Some(Halves(12))), (Side::Left, Some(Halves(1)))]);
    // The columns after the last group are of the whole row, not of the left foot.
    assert_eq!(plan.report.columns.iter().find(|c| c.header == "Remarks").map(|c| c.side), Some(None));
    assert_eq!(plan.report.columns.iter().find(|c| c.header == "Cast no").map(|c| c.side), Some(None));
}

#[test]
fn six_signs_twice_without_a_side_are_not_believed() {
    let plan = import("ID,Name,Date,PC,EH,PC,EH\n1,Ole By,2024-01-05,1,1,0,0\n");
    assert_eq!(plan.report.assessments, 0);
    assert!(plan.report.columns.iter().filter(|c| c.header == "PC").all(|c| c.meaning.is_none()));
}

#[test]
fn one_row_per_child_with_visits_across() {
    let plan = import(
        "Reg No,Surname,First name,DOB,Side,Date 1,Pirani 1,Date 2,Pirani 2,Date 3,Pirani 3,Tenotomy date,Brace date\n\
         31,Vik,Lars,13/01/2024,L,20/01/2024,5.5,27/01/2024,4,03/02/2024,2.5,10/02/2024,02/03/2024\n\
         32,Moen,Siri,15/01/2024,both,22/01/2024,6,29/01/2024,5,,,,\n",
    );
    assert_eq!(
        told(&plan),
        [
            "left assessment 2024-01-20",
            "left assessment 2024-01-27",
            "left assessment 2024-02-03",
            "left tenotomy_done 2024-02-10",
            "brace_fitted 2024-03-02",
            "right assessment 2024-01-22",
            "left assessment 2024-01-22",
            "right assessment 2024-01-29",
            "left assessment 2024-01-29",
        ]
    );
    assert_eq!((plan.report.rows, plan.report.children, plan.report.affected_feet), (2, 2, 3));
    assert_eq!(plan.report.dispositions.imported, 2);
}

#[test]
fn visits_across_with_both_feet_and_casts_by_date() {
    let plan = import(
        "ID,Name,Visit 1 date,V1 R total,V1 L total,Visit 2 date,V2 R total,V2 L total\n1,Ole By,2024-01-05,5,4,2024-01-12,4,3\n",
    );
    assert_eq!(plan.report.assessments, 4);
    let plan = import("ID,Name,Side,Cast 1,Cast 2,Cast 3\n1,Ole By,R,2024-01-05,2024-01-12,2024-01-19\n");
    assert_eq!(
        told(&plan),
        ["right cast_applied 2024-01-05", "right cast_applied 2024-01-12", "right cast_applied 2024-01-19"]
    );
}

#[test]
fn visits_without_a_date_of_their_own_are_not_believed() {
    let plan = import("ID,Name,Side,Date 1,Pirani 1,Pirani 2\n1,Ole By,R,2024-01-05,5,4\n");
    assert_eq!(plan.report.assessments, 1);
    let second = plan.report.columns.iter().find(|c| c.header == "Pirani 2").unwrap();
    assert_eq!((second.meaning, second.reason.as_str()), (None, "visit 2 has no date column"));
}

#[test]
fn a_list_of_children_registers_them() {
    let plan =
        import("Hospital number,Name,DOB,Sex\n1,\"By, Ole\",2024-01-05,M\n2,\"Moe, Ida\",2024-02-13,F\n");
    assert_eq!((plan.report.children, plan.entries.len()), (2, 2));
    assert_eq!(plan.report.dispositions.imported, 2);
}

#[test]
fn a_value_without_a_foot_is_refused() {
    let plan = import("ID,Name,Date,Total\n1,Ole By,2024-01-05,4\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")));
}

#[test]
fn title_rows_and_blank_rows_and_columns_are_passed_over() {
    let plan = import(
        "My clinic;;;;;\n;;;;;\n;Hosp No;Name;;Date;Side;Total\n;;;;;;\n;9;Ole By;;13.01.2024;R;4,5\n;;;;;;\n;9;Ole By;;20.01.2024;R;3,5\n",
    );
    assert_eq!((plan.report.source.header_row, plan.report.source.delimiter), (3, Some("semicolon")));
    assert_eq!((plan.report.rows, plan.report.assessments), (2, 2));
}

#[test]
fn a_foot_that_is_zero_in_every_row_is_not_treated() {
    let plan = import(
        "ID,Name,Date,R total,L total,Done\n5,Ane Falk,2024-05-05,4,0,cast\n5,Ane Falk,2024-05-12,3,0,cast\n6,Bo Vint,2024-05-12,3,0,cast\n6,Bo Vint,2024-05-19,2,0.5,cast\n",
    );
    let casts: Vec<_> = told(&plan).into_iter().filter(|told| told.contains("cast")).collect();
    assert_eq!(
        casts,
        [
            "right cast_applied 2024-05-05",
            "right cast_applied 2024-05-12",
            // This child's left foot was affected a week later: it is treated like the other.
            "right cast_applied 2024-05-12",
            "left cast_applied 2024-05-12",
            "right cast_applied 2024-05-19",
            "left cast_applied 2024-05-19",
        ]
    );
    assert_eq!(plan.report.assessments, 8);
    assert!(plan.report.remarks.iter().any(|text| text.contains("scored 0 in every row")));
}

#[test]
fn a_score_at_a_visit_or_a_cast_under_any_of_these_headings() {
    for (date, right, left) in [
        ("Visit 1 Date", "Visit 1 Pirani R", "Visit 1 Pirani L"),
        ("V1 date", "V1 Right", "V1 Left"),
        ("Cast 1 date", "Cast 1 Pirani Rt", "Cast 1 Pirani Lt"),
        ("Date (visit 1)", "Right foot score (visit 1)", "Left foot score (visit 1)"),
    ] {
        let plan = import(&format!("ID,Name,{date},{right},{left}\n1,Ole By,2024-01-05,4.5,3\n"));
        let found: Vec<_> = assessments(&plan).iter().map(|a| (a.side, a.stated_total)).collect();
        assert_eq!(
            found,
            [(Side::Right, Some(Halves(9))), (Side::Left, Some(Halves(6)))],
            "{right}: {:?}",
            plan.report.columns
        );
    }
}

#[test]
fn columns_called_only_right_and_left_are_totals_if_they_hold_scores() {
    let plan = import("ID,Name,Date,R,L\n1,Ole By,2024-01-05,4.5,3\n");
    assert_eq!(plan.report.assessments, 2);
    let plan = import("ID,Name,Date,R,L\n1,Ole By,2024-01-05,45,30\n");
    assert_eq!(plan.report.assessments, 0);
}

#[test]
fn a_register_with_the_first_visit_and_later_dates() {
    let plan = import(
        "Reg no,Child name,DOB,Date of first visit,Laterality,Initial Pirani R,Initial Pirani L,No. of casts,Tenotomy R (date),Date of brace\n\
         D/1,Ali Hassan,05/01/2024,15/01/2024,Bilateral,5.5,6,6,26/02/2024,18/03/2024\n\
         D/2,Zed Omar,17/01/2024,30/01/2024,Right,5,,5,04/03/2024,25/03/2024\n",
    );
    assert_eq!(
        told(&plan),
        [
            "right assessment 2024-01-15",
            "left assessment 2024-01-15",
            "right tenotomy_done 2024-02-26",
            "brace_fitted 2024-03-18",
            "note 2024-01-15",
            "right assessment 2024-01-30",
            "right tenotomy_done 2024-03-04",
            "brace_fitted 2024-03-25",
            "note 2024-01-30",
        ]
    );
}

#[test]
fn the_child_named_above_the_table_is_the_child_of_every_row() {
    let text = "Clubfoot card,,,\nName: Ole By,,Hosp No:,4711\n,,,\nDate,Side,Total,Done\n2024-01-13,R,4,cast\n2024-01-20,R,3,cast\n";
    let plan = crate::common::import(text);
    let children = crate::common::bodies(&plan, |body| match body {
        record::Body::Registration(body) => Some((body.full_name(), body.numbers.join(","))),
        _ => None,
    });
    assert_eq!(children.len(), 1, "{:?}", plan.report);
    assert_eq!(children[0].1, "4711");
    assert_eq!((plan.report.assessments, plan.report.not_plain.len()), (2, 0), "{:?}", plan.report.not_plain);
}
