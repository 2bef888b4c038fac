//! Columns and rows whose meaning is in doubt are asked about, and nothing of them is half read.

use crate::common::{bodies, import_table, of_row, row_report, table, told};
use exchange::{Disposition, MapFile, Nothing, Plan};
use record::Body;
use rstest::rstest;

fn planned(text: &str, map: &MapFile) -> Plan {
    let table = exchange::shaped(table(text), Some(map));
    import_table(&table, Some(&map.to_toml()), &Nothing)
}

fn open(text: &str) -> Plan {
    planned(text, &MapFile::new())
}

fn answered(text: &str, id: &str, choice: &str) -> Plan {
    let ids = |plan: &Plan| plan.report.questions.iter().map(|q| q.id.clone()).collect::<Vec<_>>();
    let asked = ids(&open(text));
    assert!(asked.iter().any(|asked| asked == id), "{id} is not among {asked:?}");
    let mut map = MapFile::new();
    map.answer(id, choice).unwrap();
    let plan = planned(text, &map);
    assert!(!ids(&plan).iter().any(|asked| asked == id), "{:?}", ids(&plan));
    plan
}

fn blocking(plan: &Plan) -> Vec<&str> {
    plan.report.questions.iter().filter(|q| q.blocks).map(|q| q.id.as_str()).collect()
}

/// Totals in halves by side, from signs or as written.
fn totals(plan: &Plan) -> Vec<String> {
    bodies(plan, |body| match body {
        Body::Assessment(a) => {
            let total = a.pirani.total().or(a.stated_total)?;
            Some(format!("{} {}", a.side, f64::from(total.0) / 2.0))
        }
        _ => None,
    })
}

const CODED: &str = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Done\n\
    1,Ole By,2024-01-13,R,2,2,2,2,1,2,cast\n\
    1,Ole By,2024-01-20,R,1,1,2,1,1,0,cast\n\
    1,Ole By,2024-01-27,R,1,1,1,0,0,0,cast\n";

#[test]
fn signs_written_0_1_2_are_not_read_until_that_is_settled() {
    let plan = open(CODED);
    assert_eq!(blocking(&plan), ["coding: signs"]);
    // The last row holds nothing above 1 and would be read as twice what it is.
    assert_eq!(totals(&plan), Vec::<String>::new());
    assert_eq!(told(&plan).len(), 3, "the casts are not in doubt: {:?}", told(&plan));
    for row in [2, 3, 4] {
        assert_eq!(of_row(&plan, row), Some((Disposition::Question, "meaning-in-doubt")));
    }
}

#[test]
fn coded_signs_are_read_by_the_answer() {
    // 11 / 2, 6 / 2 and 3 / 2.
    assert_eq!(totals(&answered(CODED, "coding: signs", "0/1/2")), ["right 5.5", "right 3", "right 1.5"]);
    let left_out = answered(CODED, "coding: signs", "leave out");
    assert_eq!(totals(&left_out), Vec::<String>::new());
}

#[test]
fn a_total_of_coded_signs_is_halved_only_where_it_is_the_sum_of_codes() {
    let of_codes = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Total\n\
        1,Ole By,2024-01-13,R,2,2,2,2,1,2,11\n1,Ole By,2024-01-20,R,1,1,2,1,1,0,6\n";
    let of_points = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Total\n\
        1,Ole By,2024-01-13,R,2,2,2,2,1,2,5.5\n1,Ole By,2024-01-20,R,1,1,2,1,1,0,3\n";
    for text in [of_codes, of_points] {
        let plan = answered(text, "coding: signs", "0/1/2");
        assert_eq!(totals(&plan), ["right 5.5", "right 3"]);
        assert_eq!(plan.report.not_plain, []);
    }
}

const STATES: &str = "Hosp No,Name,Date,Side,Total,Tenotomy done,Relapsed\n\
    1,Ole By,2024-01-13,R,5,No,No\n\
    1,Ole By,2024-01-20,R,4,Yes,No\n\
    1,Ole By,2024-01-27,R,3,Yes,No\n\
    1,Ole By,2024-02-27,R,3,Yes,Yes\n\
    1,Ole By,2024-03-27,R,3,Yes,Yes\n\
    2,Una By,2024-01-13,L,5,No,No\n\
    2,Una By,2024-01-20,L,4,Yes,No\n";

#[test]
fn a_column_that_repeats_the_state_so_far_is_an_act_at_its_first_change() {
    let plan = open(STATES);
    let acts: Vec<String> = told(&plan).into_iter().filter(|text| !text.contains("assessment")).collect();
    assert_eq!(acts.iter().filter(|act| act.contains("tenotomy_done")).count(), 2, "{acts:?}");
    assert!(acts.contains(&"right tenotomy_done 2024-01-20".to_owned()), "{acts:?}");
    assert_eq!(acts.iter().filter(|act| act.contains("relapse_noted")).count(), 1, "{acts:?}");
    assert!(plan.report.remarks.iter().any(|text| text.contains("repeats the state so far")));
}

#[test]
fn a_state_that_the_first_row_has_already_is_no_act_of_that_day() {
    let text = format!("{STATES}3,Tor By,2024-01-13,L,5,Yes,No\n3,Tor By,2024-01-20,L,4,Yes,No\n");
    let plan = open(&text);
    assert!(
        !told(&plan).iter().any(|act| act.starts_with("left tenotomy_done 2024-01-13")),
        "{:?}",
        told(&plan)
    );
    assert_eq!(of_row(&plan, 9), Some((Disposition::Question, "meaning-in-doubt")));
}

#[test]
fn a_column_that_both_repeats_and_takes_back_is_asked_about() {
    let text = "Hosp No,Name,Date,Side,Total,Tenotomy done\n\
        1,Ole By,2024-01-13,R,5,No\n1,Ole By,2024-01-20,R,4,Yes\n1,Ole By,2024-01-27,R,3,Yes\n\
        2,Una By,2024-01-13,L,5,No\n2,Una By,2024-01-20,L,4,Yes\n2,Una By,2024-01-27,L,4,No\n";
    let plan = open(text);
    assert_eq!(blocking(&plan), ["repeats: Tenotomy done"]);
    let cut = |plan: &Plan| told(plan).iter().filter(|text| text.contains("tenotomy_done")).count();
    assert_eq!(cut(&plan), 2, "{:?}", told(&plan));
    assert_eq!(cut(&answered(text, "repeats: Tenotomy done", "act")), 3);
    assert_eq!(cut(&answered(text, "repeats: Tenotomy done", "state")), 2);
}

#[test]
fn a_number_of_casts_so_far_is_a_cast_where_it_grows() {
    let text = "Hosp No,Name,Date,Side,Total,No. of casts\n\
        1,Ole By,2024-01-13,R,5,1\n1,Ole By,2024-01-20,R,4,2\n1,Ole By,2024-02-20,R,0,2\n\
        1,Ole By,2024-03-20,R,0,2\n1,Ole By,2024-04-20,R,0,2\n";
    let casts: Vec<String> = told(&open(text)).into_iter().filter(|act| act.contains("cast")).collect();
    assert_eq!(casts, ["right cast_applied 2024-01-13", "right cast_applied 2024-01-20"]);
}

#[test]
fn columns_that_look_like_facts_and_are_not_used_are_asked_about_and_name_their_rows() {
    let text = "Hosp No,Name,Date,Side,Total,Zq,Zp,Xdat\n\
        1,Ole By,2024-01-13,R,5,2.5,2.5,2024-02-01\n1,Ole By,2024-01-20,R,4,1.5,2.5,2024-02-02\n";
    let plan = open(text);
    assert_eq!(blocking(&plan), ["unused: scores", "unused: dates"]);
    let scores = &plan.report.questions[0];
    assert!(
        scores.text.starts_with("2 columns that look like scores would be left out: Zq, Zp"),
        "{scores:?}"
    );
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "meaning-in-doubt")));
    let mut map = MapFile::new();
    map.answer("unused: scores", "leave out").unwrap();
    map.answer("unused: dates", "leave out").unwrap();
    let plan = planned(text, &map);
    assert_eq!((plan.report.questions.len(), plan.report.not_plain.len()), (0, 0));
}

/// What a column may mean is offered as an answer; several columns are asked about one by one if a person
/// wants it.
#[test]
fn a_column_that_is_not_used_can_be_given_a_meaning_by_an_answer() {
    let text = "Hosp No,Name,Date,Zq R,Zq L,Zp score,Xdat\n\
        1,Ole By,2024-01-13,5,4.5,7,2024-02-01\n1,Ole By,2024-01-20,4,2.5,9,2024-02-02\n1,Ole By,2024-01-27,4,2.5,12,\n";
    let plan = open(text);
    let keys = |plan: &Plan, id: &str| {
        let found = plan.report.questions.iter().find(|question| question.id == id);
        let choices = &found.unwrap_or_else(|| panic!("{id}: {:?}", plan.report.questions)).choices;
        choices.iter().map(|choice| choice.key.clone()).collect::<Vec<_>>()
    };
    assert_eq!(keys(&plan, "unused: scores"), ["leave out", "each"]);
    assert!(keys(&plan, "unused: dates").contains(&"tenotomy_date".to_owned()));
    // There is one already.
    assert!(!keys(&plan, "unused: dates").contains(&"visit_date".to_owned()));
    let mut map = MapFile::new();
    map.answer("unused: scores", "each").unwrap();
    let plan = planned(text, &map);
    // 5 and 4.5 points are no midfoot score, 7 and 12 no Pirani score.
    assert_eq!(keys(&plan, "unused: scores: zq"), ["leave out", "total"]);
    assert_eq!(keys(&plan, "unused: scores: zp score")[..2], ["leave out", "dimeglio_total"]);
    map.answer("unused: scores: zq", "total").unwrap();
    map.answer("unused: scores: zp score", "leave out").unwrap();
    map.answer("unused: dates", "next_appointment").unwrap();
    let plan = planned(text, &map);
    assert_eq!(totals(&plan), ["right 5", "left 4.5", "right 4", "left 2.5", "right 4", "left 2.5"]);
    assert_eq!(plan.report.questions, []);
}

#[rstest]
#[case::a_sum("Total,,,,9\n")]
#[case::a_sum_under_the_names("3,Total children: 3,,,\n")]
#[case::a_note("Printed on 3 May 2024,,,,\n")]
fn a_footer_makes_no_child(#[case] footer: &str) {
    let text = format!("Hosp No,Name,Date,Side,Total\n1,Ole By,2024-01-13,R,5\n{footer}");
    let plan = open(&text);
    assert_eq!(plan.report.children, 1);
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "footer-row")));
    let plan = answered(&text, "footers", "leave out");
    assert_eq!(row_report(&plan, 3).map(|row| row.disposition), Some(Disposition::PassedOver));
    assert_eq!((plan.report.children, plan.report.dispositions.passed_over), (1, 1));
}

#[test]
fn headings_that_come_again_are_passed_over() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-01-13,R,5\nHosp No,Name,Date,Side,Total\n2,Una By,2024-01-13,L,5\n";
    let plan = open(text);
    assert_eq!((plan.report.children, plan.report.dispositions.refused), (2, 0));
    assert_eq!(of_row(&plan, 3), Some((Disposition::PassedOver, "footer-row")));
}

#[test]
fn a_family_name_that_is_also_a_word_for_a_footer_stays_a_child() {
    let text = "Name,Date,Side,Total\nPage Anna,2024-01-13,R,5\nMedia Paz,2024-01-13,R,4\n";
    let plan = open(text);
    assert_eq!((plan.report.children, plan.report.not_plain.len()), (2, 0));
}

#[test]
fn blank_cells_mean_as_above_only_by_an_answer() {
    let text = "Hosp No,Name,DOB,Date,Side,Total\n1,Ole By,2024-01-01,2024-01-13,R,5\n,,,,L,4\n,,,2024-01-20,R,3\n\
        2,Una By,2024-01-02,2024-01-14,L,6\n,,,2024-01-21,L,5\n";
    let plan = open(text);
    assert_eq!(plan.report.dispositions.refused, 3);
    let plan = answered(text, "blank rows", "as above");
    assert_eq!((plan.report.dispositions.refused, plan.report.children), (0, 2));
    assert_eq!(
        told(&plan),
        [
            "right assessment 2024-01-13",
            "left assessment 2024-01-13",
            "right assessment 2024-01-20",
            "left assessment 2024-01-14",
            "left assessment 2024-01-21"
        ]
    );
}

const LONG: &str = "hospital_no,child,date,foot,item,value\n\
    1,Ole By,2024-01-13,R,Posterior crease,1\n1,Ole By,2024-01-13,R,Empty heel,0.5\n\
    1,Ole By,2024-01-13,R,Rigid equinus,1\n1,Ole By,2024-01-13,R,Medial crease,1\n\
    1,Ole By,2024-01-13,R,Curved lateral border,1\n1,Ole By,2024-01-13,R,Lateral head of talus,1\n\
    1,Ole By,2024-01-13,R,Cast number,1\n1,Ole By,2024-01-20,R,Pirani total,4\n1,Ole By,2024-01-20,R,Cast number,2\n";

#[test]
fn rows_of_one_measurement_each_make_visits() {
    let plan = open(LONG);
    assert_eq!(totals(&plan), ["right 5.5", "right 4"]);
    assert_eq!((plan.report.rows, plan.report.dispositions.imported), (9, 9));
    let mut map = MapFile::new();
    map.answer("layout", "wide").unwrap();
    assert_eq!(totals(&planned(LONG, &map)), Vec::<String>::new(), "each row by itself says nothing");
}

#[test]
fn two_values_for_one_measurement_are_refused_with_all_their_rows() {
    let text = format!("{LONG}1,Ole By,2024-01-13,R,Empty heel,1\n");
    let plan = open(&text);
    assert_eq!(totals(&plan), ["right 4"]);
    assert_eq!(plan.report.dispositions.refused, 8);
    assert!(row_report(&plan, 11).is_some_and(|row| row.remark.value.as_deref() == Some("0.5 | 1")));
}

#[rstest]
#[case::foot_over_part_over_sign(
    "Clinic,,,,,,,,,,,,,,,,,\nHosp No,Name,Date,Right foot,,,,,,,Left foot,,,,,,,Done\n\
     ,,,Hindfoot,,,Midfoot,,,,Hindfoot,,,Midfoot,,,,\n\
     ,,,PC,RE,EH,CLB,MC,LHT,Total,PC,RE,EH,CLB,MC,LHT,Total,\n\
     1,Ole By,2024-01-13,1,1,0.5,0.5,1,1,5,0,0,1,0.5,1,1,3.5,cast\n\
     1,Ole By,2024-01-20,1,1,0.5,0,1,0,3.5,0,0,1,0.5,1,0,2.5,cast\n\
     1,Ole By,2024-01-27,1,0,0.5,0,1,0,2.5,0,0,0,0.5,1,0,1.5,cast\n"
)]
#[case::sign_over_foot(
    "Hosp No,Name,Date,PC,,RE,,EH,,CLB,,MC,,LHT,,Done\n,,,R,L,R,L,R,L,R,L,R,L,R,L,\n\
     1,Ole By,2024-01-13,1,0,1,0,0.5,1,0.5,0.5,1,1,1,1,cast\n\
     1,Ole By,2024-01-20,1,0,1,0,0.5,1,0,0.5,1,1,0,0,cast\n\
     1,Ole By,2024-01-27,1,0,0,0,0.5,0,0,0.5,1,1,0,0,cast\n"
)]
fn headings_of_several_rows(#[case] text: &str) {
    let plan = open(text);
    assert_eq!(
        totals(&plan),
        ["right 5", "left 3.5", "right 3.5", "left 2.5", "right 2.5", "left 1.5"],
        "{:?}",
        plan.report.columns.iter().map(|c| (&c.header, c.words(), &c.reason)).collect::<Vec<_>>()
    );
    assert_eq!((plan.report.not_plain.len(), plan.report.questions.len()), (0, 0), "{:?}", plan.report);
}

#[test]
fn a_sex_in_numbers_is_asked_about() {
    let text = "Hosp No,Name,Sex,Date,Side,Total\n1,Ole By,1,2024-01-13,R,5\n2,Una By,2,2024-01-13,R,5\n";
    let plan = answered(text, "coding: Sex", "1 female 2 male");
    let sexes = bodies(&plan, |body| match body {
        Body::Registration(body) => body.sex.map(|sex| format!("{sex:?}").to_lowercase()),
        _ => None,
    });
    assert_eq!(sexes, ["female", "male"]);
}

#[test]
fn a_foot_in_numbers_is_asked_about_before_anything_of_it_is_read() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-01-13,1,5\n2,Una By,2024-01-13,2,5\n3,Tor By,2024-01-13,3,4\n";
    assert_eq!(totals(&open(text)), Vec::<String>::new());
    let plan = answered(text, "coding: Side", "1 left 2 right 3 both");
    assert_eq!(totals(&plan), ["left 5", "right 5", "right 4", "left 4"]);
}

#[test]
fn numbers_with_words_are_read_by_one_answer() {
    let text = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT\n\
        1,Ole By,2024-01-13,R,\"0,5 - moderado\",1 - severo,1 - severo,0 - normal,\"0,5 - moderado\",1 - severo\n";
    assert_eq!(totals(&open(text)), Vec::<String>::new());
    assert_eq!(totals(&answered(text, "coding: numbers with words", "leading number")), ["right 4"]);
}

#[test]
fn words_under_an_unknown_heading_that_change_from_visit_to_visit_are_asked_about() {
    let mut text = "Hosp No,Name,Date,Side,Total,Zx,District\n".to_owned();
    for child in 1..=3 {
        for (week, (total, word)) in [(5, "gugu"), (4, "gugu"), (2, "bobo")].into_iter().enumerate() {
            text.push_str(&format!(
                "{child},Kid {child},2024-01-{:02},R,{total},{word},North {child}\n",
                10 + week * 7
            ));
        }
    }
    let plan = open(&text);
    assert_eq!(blocking(&plan), ["unused: acts"]);
    assert_eq!(plan.report.questions[0].column.as_deref(), Some("Zx"));
}

#[test]
fn an_everyday_name_of_a_sign_is_settled_by_the_other_columns() {
    let signs = "Hosp No,Name,Date,Side,PC,EH,Equinus,MC,CLB,LHT\n1,Ole By,2024-01-13,R,1,1,0.5,1,1,1\n1,Ole By,2024-01-20,R,1,1,1,1,0,0\n";
    assert_eq!(totals(&open(signs)), ["right 5.5", "right 4"]);
    let angles =
        "Hosp No,Name,Date,Side,Total,Equinus\n1,Ole By,2024-01-13,R,5,45\n1,Ole By,2024-01-20,R,4,20\n";
    let plan = open(angles);
    let found = bodies(&plan, |body| match body {
        Body::Assessment(a) => a.dimeglio.angle(record::AngleItem::Equinus),
        _ => None,
    });
    assert_eq!(found, [record::Angle::Deg(45), record::Angle::Deg(20)]);
}

#[test]
fn an_everyday_name_that_nothing_settles_is_asked_about() {
    let text = "Hosp No,Name,Date,Side,Total,Equinus\n1,Ole By,2024-01-13,R,5,1\n1,Ole By,2024-01-20,R,4,0\n";
    assert_eq!(blocking(&open(text)), ["meaning: Equinus"]);
    let plan = answered(text, "meaning: Equinus", "rigid_equinus");
    let found = bodies(&plan, |body| match body {
        Body::Assessment(a) => a.pirani.sign(record::Sign::RigidEquinus),
        _ => None,
    });
    assert_eq!(found, [record::HalfPoint::One, record::HalfPoint::Zero]);
}

/// "MF" among signs with headings as short is no midfoot score, whatever words for the foot come with it.
#[rstest]
#[case("LR,MF,TK,HF,RS,LF")]
#[case("LR rechts,MF rechts,TK rechts,HF rechts,RS rechts,LF rechts")]
fn short_headings_that_look_like_sums_are_asked_about_with_the_others(#[case] headings: &str) {
    let text = format!(
        "Hosp No,Name,Date,Side,{headings},Done\n1,Ole By,2024-01-13,R,1,0.5,1,1,0.5,0.5,cast\n1,Ole By,2024-01-20,R,1,0,1,0,0,0,cast\n"
    );
    let plan = open(&text);
    assert_eq!((blocking(&plan), totals(&plan)), (vec!["unused: scores"], vec![]));
    // With words after each number.
    let worded: String = text
        .split(',')
        .map(|cell| match cell {
            "0" => "0 - normal,".to_owned(),
            "0.5" => "0.5 - moderate,".to_owned(),
            "1" => "1 - severe,".to_owned(),
            other => format!("{other},"),
        })
        .collect();
    assert!(blocking(&open(worded.trim_end_matches(','))).contains(&"unused: scores"), "{worded}");
    // 0 and 1 only, in all but the sums.
    let text = text.replace("1,0.5,1,1,0.5,0.5,cast", "1,0.5,1,1,1,1,cast");
    assert_eq!(totals(&open(&text)), Vec::<String>::new());
}

/// Columns of the two feet, or of several visits, are one question.
#[test]
fn the_same_doubt_about_several_columns_is_one_question() {
    let text = "Hosp No,Name,Date,Total R,Total L,Equinus R,Equinus L\n1,Ole By,2024-01-13,5,4,1,1\n1,Ole By,2024-01-20,4,3,0,1\n";
    assert_eq!(blocking(&open(text)), ["equinus"]);
    let found = bodies(&answered(text, "equinus", "rigid_equinus"), |body| match body {
        Body::Assessment(a) => a.pirani.sign(record::Sign::RigidEquinus),
        _ => None,
    });
    use record::HalfPoint::{One, Zero};
    assert_eq!(found, [One, One, Zero, One]);
    let text = "Hosp No,Name,Date 1,Side 1,Total 1,Date 2,Side 2,Total 2\n1,Ole By,2024-01-13,1,5,2024-01-20,1,4\n2,Una By,2024-01-13,2,5,2024-01-20,2,3\n";
    let ids: Vec<String> = open(text).report.questions.into_iter().map(|question| question.id).collect();
    assert_eq!(ids, ["coding: Side {n}"]);
    let plan = answered(text, "coding: Side {n}", "1 right 2 left 3 both");
    assert_eq!(totals(&plan), ["right 5", "right 4", "left 5", "left 3"]);
}

#[test]
fn a_number_for_each_child_is_its_hospital_number_under_whatever_heading() {
    let mut text = "Zq,Name,Date,Side,Total\n".to_owned();
    for child in 1..=3 {
        for week in 0..2 {
            text.push_str(&format!("77{child},Kid {child},2024-01-{:02},R,4\n", 10 + week * 7));
        }
    }
    let numbers = bodies(&open(&text), |body| match body {
        Body::Registration(body) => Some(body.numbers.join(",")),
        _ => None,
    });
    assert_eq!(numbers, ["771", "772", "773"]);
}

#[rstest]
#[case("Pirani Dt,Pirani Gche", &["right", "left"])]
#[case("Pirani Dt,Pirani", &[])]
fn a_short_form_that_is_also_another_word_names_a_foot_only_with_its_pair(
    #[case] headings: &str,
    #[case] sides: &[&str],
) {
    let text = format!("Hosp No,Name,Date,{headings}\n1,Ole By,2024-01-13,5,4\n");
    let plan = open(&text);
    let found: Vec<String> =
        plan.report.columns.iter().filter_map(|c| c.side).map(|side| side.to_string()).collect();
    assert_eq!(found, sides);
}

#[test]
fn one_2_among_signs_without_a_half_is_enough_to_ask_what_the_numbers_are() {
    let text = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT\n\
        1,Ole By,2024-01-13,R,1,1,1,2,1,1\n\
        1,Ole By,2024-01-20,R,1,1,0,1,0,0\n\
        1,Ole By,2024-01-27,R,0,0,0,0,1,0\n\
        1,Ole By,2024-02-03,R,0,0,0,0,0,0\n";
    let plan = open(text);
    assert!(blocking(&plan).contains(&"coding: signs"), "{:?}", plan.report.questions);
    assert_eq!(plan.report.assessments, 0);
    let points = open(&text.replace("R,1,1,0", "R,1,1,0.5"));
    assert!(blocking(&points).is_empty(), "a slip among points: {:?}", points.report.questions);
}

#[test]
fn rows_that_differ_only_in_what_is_in_doubt_are_each_asked_about() {
    let text = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Done\n\
        1,Ole By,2024-01-13,R,2,2,1,2,1,1,cast\n\
        1,Ole By,2024-01-13,L,1,2,2,2,1,2,cast\n\
        1,Ole By,2024-03-13,R,0,1,0,0,0,0,review\n\
        1,Ole By,2024-03-13,L,0,0,0,0,0,0,review\n";
    let plan = open(text);
    let asked = plan.report.not_plain.iter().filter(|row| row.disposition == exchange::Disposition::Question);
    assert_eq!(asked.map(|row| row.row).collect::<Vec<_>>(), [2, 3, 4, 5]);
}

#[test]
fn short_headings_of_sums_among_unknown_ones_are_not_read() {
    let text = "Hosp No,Name,Date,Side,XR,MF,XK,HF,XS,XF\n\
        1,Ole By,2024-01-13,R,1,1,0.5,1,1,0.5\n\
        1,Ole By,2024-01-20,R,0.5,1,0.5,1,0.5,0.5\n\
        1,Ole By,2024-01-27,R,0.5,0.5,0.5,1,0.5,0\n";
    let plan = open(text);
    assert_eq!(blocking(&plan), ["unused: scores"]);
    assert_eq!(plan.report.assessments, 0);
    let plan = answered(text, "unused: scores", "leave out");
    assert_eq!(plan.report.assessments, 0, "a sum of its own after the others were left out");
}

#[rstest]
#[case::end("Pirani re", "Pirani li")]
#[case::article("Pirani der", "Pirani izq")]
#[case::first("der Pirani", "izq Pirani")]
fn a_word_for_a_side_with_its_pair_is_the_side(#[case] right: &str, #[case] left: &str) {
    let text =
        format!("Hosp No,Name,Date,{right},{left}\n1,Ole By,2024-01-13,4,3\n1,Ole By,2024-01-20,1,1\n");
    let plan = open(&text);
    assert_eq!(totals(&plan), ["right 4", "left 3", "right 1", "left 1"]);
}

#[test]
fn signs_over_feet_among_other_headings_make_one_heading() {
    let text = ",,,Pirani total,,\nHosp No,Name,Date,der,izq,Done\n\
        1,Ole By,2024-01-13,4,3,cast\n1,Ole By,2024-01-20,1,1,review\n";
    let plan = open(text);
    assert_eq!(totals(&plan), ["right 4", "left 3", "right 1", "left 1"]);
    let signs = ",,,Bord latéral,,Pli médial,\nHosp No,Name,Date,Dt,Gche,Dt,Gche\n\
        1,Ole By,2024-01-13,1,0.5,1,1\n1,Ole By,2024-01-20,1,,0.5,\n";
    assert_eq!(open(signs).report.assessments, 3);
}

#[test]
fn codes_for_what_was_done_are_given_a_meaning_one_by_one() {
    let text = "Hosp No,Name,Date,Side,Total,PROC\n\
        1,Ole By,2024-01-13,R,5,1\n1,Ole By,2024-01-20,R,3,2\n1,Ole By,2024-02-20,R,1,4\n\
        1,Ole By,2024-03-20,R,1,4\n";
    let asked = open(text);
    assert_eq!(blocking(&asked), ["unused: scores"]);
    let mut map = MapFile::new();
    map.answer("unused: scores", "done").unwrap();
    let plan = planned(text, &map);
    let acts = bodies(&plan, |body| match body {
        Body::Assessment(_) | Body::Registration(_) | Body::Note(_) => None,
        other => Some(other.kind()),
    });
    assert_eq!(acts, [], "a code was read before it was given a meaning");
    for (code, act) in [("1", "cast"), ("2", "tenotomy and cast"), ("4", "review")] {
        let id = format!("done: {code}");
        assert!(
            plan.report.questions.iter().any(|question| question.id == id),
            "{:?}",
            plan.report.questions
        );
        map.answer(&id, act).unwrap();
    }
    let plan = planned(text, &map);
    assert_eq!(plan.report.questions, []);
    let casts = bodies(&plan, |body| matches!(body, Body::CastApplied(_)).then_some(()));
    let cuts = bodies(&plan, |body| matches!(body, Body::TenotomyDone(_)).then_some(()));
    assert_eq!((casts.len(), cuts.len()), (2, 1));
}
