//! Scores as written: halves, gaps, totals that disagree.

use crate::common::{bodies, import, import_with, of_row, row_report, told};
use exchange::{Disposition, MapFile, Plan};
use record::{Assessment, Body, Halves};
use rstest::rstest;

fn one(signs: &str, total: &str) -> Plan {
    import(&format!("ID,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Total\n1,Ole By,2024-03-13,R,{signs},{total}\n"))
}

fn foot(plan: &Plan) -> Assessment {
    bodies(plan, |b| if let Body::Assessment(b) = b { Some(b.clone()) } else { None }).remove(0)
}

#[rstest]
#[case("0.5")]
#[case("\"0,5\"")]
#[case("½")]
#[case(".5")]
#[case("1/2")]
#[case("0.50")]
#[case(" 0.5 ")]
fn a_half_is_a_half(#[case] half: &str) {
    // Six halves: 3, which the total agrees with.
    let plan = one(&[half; 6].join(","), "3");
    assert_eq!(foot(&plan).pirani.total(), Some(Halves(6)));
    assert_eq!(of_row(&plan, 2), None);
}

#[test]
fn a_total_may_say_what_it_is_out_of() {
    let plan = one("1,1,1,0.5,0,0", "3.5/6");
    assert_eq!((of_row(&plan, 2), foot(&plan).stated_total), (None, Some(Halves(7))));
}

#[test]
fn a_total_that_disagrees_is_imported_with_a_question() {
    let plan = one("1,1,1,0,0,0", "4");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "total-disagrees")));
    assert_eq!(foot(&plan).stated_total, Some(Halves(8)));
    assert_eq!(foot(&plan).pirani.total(), Some(Halves(6)));
    let said = row_report(&plan, 2).unwrap();
    assert_eq!((said.remark.column.as_deref(), said.remark.value.as_deref()), (Some("Total"), Some("4")));
}

#[test]
fn an_impossible_total_with_six_signs_is_a_question_and_alone_a_refusal() {
    assert_eq!(of_row(&one("1,1,1,1,1,1", "6.5"), 2), Some((Disposition::Question, "total-disagrees")));
    assert_eq!(of_row(&one(",,,,,", "6.5"), 2), Some((Disposition::Refused, "impossible-score")));
    assert_eq!(of_row(&one(",,,,,", "4.3"), 2), Some((Disposition::Refused, "impossible-score")));
}

#[test]
fn a_missing_sign_stays_missing() {
    let plan = one("1,,1,0,0,0", "");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "incomplete-score")));
    assert_eq!((foot(&plan).pirani.empty_heel, foot(&plan).pirani.total()), (None, None));
    assert_eq!(row_report(&plan, 2).unwrap().remark.column.as_deref(), Some("EH"));
}

#[rstest]
#[case("1.5")]
#[case("2")]
#[case("-1")]
#[case("0.3")]
#[case("mild")]
#[case("01-Feb")]
#[case("=1+0")]
fn no_other_answer_is_a_sign(#[case] value: &str) {
    // With a half among the signs: without any, a 2 may be a code.
    let plan = one(&format!("{value},1,1,0.5,0,0"), "");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "impossible-score")), "{value}");
    let said = &row_report(&plan, 2).unwrap().remark;
    assert_eq!((said.column.as_deref(), said.value.as_deref()), (Some("PC"), Some(value)));
    assert_eq!(plan.entries, Vec::new());
}

#[rstest]
#[case("-")]
#[case("n/a")]
#[case("?")]
fn marks_for_not_assessed_are_gaps(#[case] value: &str) {
    assert_eq!(
        of_row(&one(&format!("{value},1,1,0,0,0"), ""), 2),
        Some((Disposition::Question, "incomplete-score"))
    );
}

#[test]
fn sub_scores_without_signs_make_the_total_and_are_kept() {
    let plan = import("ID,Name,Date,Side,MFCS,HFCS\n1,Ole By,2024-03-13,R,1.5,2\n");
    // 1.5 + 2 = 3.5, seven halves.
    assert_eq!(foot(&plan).stated_total, Some(Halves(7)));
    assert!(foot(&plan).note.unwrap().contains("Midfoot contracture score as written: 1.5"));
    let plan = import("ID,Name,Date,Side,MFCS,HFCS,Total\n1,Ole By,2024-03-13,R,1.5,2,4\n");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "total-disagrees")));
}

#[test]
fn movement_and_length_are_whole_numbers_or_kept_as_words() {
    let plan = import(
        "ID,Name,Date,Side,Abd,DF,Foot length\n1,Ole By,2024-03-13,R,40°,−15,7.8\n1,Ole By,2024-03-20,R,10-15,5,80 mm\n1,Ole By,2024-03-27,R,40,400,\n",
    );
    let first = foot(&plan);
    assert_eq!(
        (first.abduction_deg, first.dorsiflexion_deg, first.foot_length_mm),
        (Some(40), Some(-15), Some(78))
    );
    assert_eq!(of_row(&plan, 3), Some((Disposition::Question, "unreadable-value")));
    assert_eq!(of_row(&plan, 4), Some((Disposition::Refused, "impossible-value")));
}

/// The cell names the foot of each score.
#[test]
fn a_score_with_its_foot_in_the_cell() {
    let plan = import(
        "Hosp No,Name,Date,Total\n1,Ole By,2024-03-13,R 4.5 L 3\n1,Ole By,2024-03-20,4.5 (R)\n1,Ole By,2024-03-27,L3\n",
    );
    let expected = [
        "right assessment 2024-03-13",
        "left assessment 2024-03-13",
        "right assessment 2024-03-20",
        "left assessment 2024-03-27",
    ];
    assert_eq!(told(&plan), expected);
    assert!(plan.report.questions.is_empty(), "{:?}", plan.report.questions);
    // The row is about the other foot.
    let plan = import("Hosp No,Name,Date,Side,Total\n1,Ole By,2024-03-13,L,4.5 (R)\n");
    assert!(told(&plan).is_empty(), "{:?}", told(&plan));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")));
}

/// Letters that are a foot in several languages are asked about once each, whatever the scores.
#[test]
fn letters_for_the_feet_in_a_score_are_two_questions() {
    let text = "Hosp No,Name,Date,Total\n1,Ole By,2024-03-13,D 4 G 3\n1,Ole By,2024-03-20,D 3.5 G 2\n1,Ole By,2024-03-27,D 3 G 2.5\n";
    let ids = |plan: &Plan| plan.report.questions.iter().map(|asked| asked.id.clone()).collect::<Vec<_>>();
    let plan = import(text);
    assert_eq!((ids(&plan), told(&plan).len()), (vec!["side: d".to_owned()], 0));
    assert_eq!(plan.report.questions[0].count, 3);
    let mut map = MapFile::new();
    map.answer("side: d", "right").unwrap();
    assert_eq!(ids(&import_with(text, &map.to_toml())), ["side: g"]);
    map.answer("side: g", "left").unwrap();
    let plan = import_with(text, &map.to_toml());
    let expected = ["right assessment 2024-03-13", "left assessment 2024-03-13"];
    assert_eq!((ids(&plan), &told(&plan)[..2]), (vec![], &expected.map(str::to_owned)[..]));
    assert_eq!(told(&plan).len(), 6);
    // 4, 3, 3.5, 2, 3 and 2.5 points in halves.
    let totals = bodies(&plan, |body| match body {
        Body::Assessment(body) => body.stated_total.map(|total| total.0),
        _ => None,
    });
    assert_eq!(totals, [8, 6, 7, 4, 6, 5]);
}
