//! Questions about the file as a whole, and the answers that settle them.

use crate::common::{bodies, import_with, table, told};
use exchange::{DateOrder, FileQuestion, MapFile, Meaning, Plan, guess, plan};
use record::{Body, Side, Sides};
use rstest::rstest;

fn planned(text: &str, map: &MapFile) -> Plan {
    let table = table(text);
    crate::common::import_table(&table, Some(&map.to_toml()), &exchange::Nothing)
}

fn question<'a>(plan: &'a Plan, id: &str) -> &'a FileQuestion {
    let found = plan.report.questions.iter().find(|question| question.id == id);
    found.unwrap_or_else(|| panic!("no question {id}: {:?}", plan.report.questions))
}

/// The answer makes the question disappear.
fn answered(text: &str, id: &str, choice: &str) -> Plan {
    let mut map = MapFile::new();
    assert!(!question(&planned(text, &map), id).text.is_empty());
    map.answer(id, choice).unwrap();
    let plan = planned(text, &map);
    assert!(plan.report.questions.iter().all(|question| question.id != id), "{:?}", plan.report.questions);
    plan
}

const WORDS: &str = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Done\n\
    1,Ole By,2024-01-13,R,1,1,1,1,1,1,Zug\n\
    1,Ole By,2024-01-20,R,sain,sain,sain,sain,sain,sain,zug\n\
    1,Ole By,2024-01-27,R,1,1,1,1,0.5,1,cast\n";

#[test]
fn an_unknown_word_is_asked_about_once_with_its_column_and_count() {
    let plan = planned(WORDS, &MapFile::new());
    let zug = question(&plan, "done: zug");
    assert_eq!((zug.column.as_deref(), zug.value.as_deref()), (Some("Done"), Some("Zug")));
    assert_eq!(zug.rows[0], 2);
    assert!(zug.choices.iter().any(|choice| choice.key == "cast") && !zug.blocks);
    assert_eq!(plan.report.questions.iter().filter(|question| question.id == "done: zug").count(), 1);
}

#[test]
fn a_word_for_something_done_is_settled_by_its_answer() {
    let plan = answered(WORDS, "done: zug", "cast");
    assert!(told(&plan).contains(&"right cast_applied 2024-01-13".to_owned()), "{:?}", told(&plan));
    let noted = answered(WORDS, "done: zug", "note");
    assert!(!told(&noted).contains(&"right cast_applied 2024-01-13".to_owned()), "{:?}", told(&noted));
}

#[test]
fn the_order_of_dates_is_settled_by_its_answer() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,03/04/2024,R,4\n";
    let plan = answered(text, "date order", "month first");
    assert_eq!(told(&plan), ["right assessment 2024-03-04"]);
}

#[test]
fn a_side_word_is_settled_by_its_answer() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-04-03,Q1,4\n1,Ole By,2024-04-10,L,3\n1,Ole By,2024-04-17,L,2\n";
    assert_eq!(told(&answered(text, "side: q1", "left"))[0], "left assessment 2024-04-03");
}

#[test]
fn a_word_for_a_value_is_settled_in_every_column_or_in_one() {
    let text = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT\n1,Ole By,2024-04-03,R,leve,1,1,1,1,severo\n";
    let mut map = MapFile::new();
    map.set_word(None, "leve", "0.5").unwrap();
    map.set_word(Some("LHT"), "severo", "1").unwrap();
    let plan = planned(text, &map);
    let totals = bodies(&plan, |body| match body {
        Body::Assessment(assessment) => assessment.pirani.total(),
        _ => None,
    });
    assert_eq!(totals.iter().map(|total| total.0).collect::<Vec<_>>(), [11]);
}

#[test]
fn columns_are_settled_by_letter_heading_and_numbered_pattern() {
    let text = "Id,Wer,Tag 1,W1 re,Tag 2,W2 re,L\n7,Ole By,2024-04-03,5,2024-04-10,4,8.1\n";
    let plan = import_with(
        text,
        "[columns]\nA = \"number\"\nWer = \"name\"\n\"Tag {n}\" = \"visit_date\"\n\
         \"W{n} re\" = { meaning = \"total\", side = \"right\" }\nL = { meaning = \"foot_length\", side = \"right\", unit = \"cm\", visit = 2 }\n",
    );
    assert_eq!(told(&plan), ["right assessment 2024-04-03", "right assessment 2024-04-10"]);
    let lengths = bodies(&plan, |body| match body {
        Body::Assessment(assessment) => assessment.foot_length_mm,
        _ => None,
    });
    assert_eq!(lengths, [81]);
}

#[test]
fn a_word_for_missing_is_no_value_in_any_column() {
    let plan = import_with(
        "Hosp No,Name,Date,Side,Total,Abd\n99,Ole By,2024-04-03,R,4,99\n",
        "[missing]\nwords = [\"99\"]\n",
    );
    let found = bodies(&plan, |body| match body {
        Body::Assessment(assessment) => {
            Some((assessment.stated_total.map(|t| t.0), assessment.abduction_deg))
        }
        _ => None,
    });
    assert_eq!(found, [(Some(8), None)]);
    let numbers = bodies(&plan, |body| match body {
        Body::Registration(body) => Some(body.numbers.clone()),
        _ => None,
    });
    assert_eq!(numbers, [["99"]], "the hospital number is no missing value");
}

#[test]
fn a_map_made_step_by_step_is_the_map_written_as_toml() {
    let mut map = MapFile::new();
    map.set_column("PC D", Meaning::from_key("posterior_crease"), Some(Side::Right), Some(2));
    map.set_column("Mood", Some(Meaning::Ignore), None, None);
    map.set_coding("Sex", "1 male 2 female").unwrap();
    map.set_unit("Length", "cm").unwrap();
    map.set_first_change("Tenotomy done", Some(true));
    map.set_date_order(Some(DateOrder::DayFirst));
    map.set_side_word("Q1", Sides::Right);
    map.set_side_word("Q2", Sides::Left);
    map.set_side_word("Q1", Sides::Both);
    map.set_word(None, "sa\"in", "not affected").unwrap();
    map.set_word(Some("Total"), "99", "missing").unwrap();
    map.set_done_word("Zug", "cast").unwrap();
    map.set_sheets(&["May".to_owned(), "June".to_owned()]);
    map.set_header_row(Some(3));
    for (id, choice) in [
        ("footers", "leave out"),
        ("blank rows", "as above"),
        ("coding: signs", "0/1/2"),
        ("unused: dates", "leave out"),
    ] {
        map.answer(id, choice).unwrap();
    }
    let text = map.to_toml();
    assert_eq!(MapFile::from_toml(&text).unwrap(), map, "{text}");
    assert!(!text.contains("right = ["), "Q1 was settled anew: {text}");
    map.set_column("Mood", None, None, None);
    assert!(!map.to_toml().contains("Mood"));
}

#[rstest]
#[case("date order", "sideways")]
#[case("done: zug", "choo")]
#[case("side: q1", "up")]
#[case("coding: signs", "3/2/1")]
#[case("coding: Sex", "x")]
#[case("repeats: Tenotomy", "perhaps")]
#[case("meaning: B", "posterior_creese")]
#[case("footers", "eat")]
#[case("value: sain", "bien")]
fn an_answer_that_a_question_cannot_have_is_refused(#[case] id: &str, #[case] choice: &str) {
    assert!(MapFile::new().answer(id, choice).is_err());
}

#[rstest]
#[case("layout = \"tall\"", 1, "long or wide")]
#[case("\nblank_means = \"zero\"", 2, "as above or refuse")]
#[case("[columns]\nA = { coding = \"1/2\" }", 2, "no coding")]
#[case("[columns]\nA = { unit = \"inch\" }", 2, "no unit")]
#[case("[words]\n\"x\" = \"bien\"", 2, "not known as a value")]
#[case("[columns]\n\"Visit {n}\" = \"total\"", 2, "no columns numbered like")]
fn what_a_map_file_cannot_say_is_refused_with_its_line(
    #[case] toml: &str,
    #[case] line: usize,
    #[case] text: &str,
) {
    let table = table("Hosp No,Name\n1,Ole By\n");
    let error = MapFile::from_toml(toml).and_then(|map| map.apply(&table)).unwrap_err();
    assert_eq!(error.line, line, "{error}");
    assert!(error.to_string().contains(text), "{error}");
}

/// Questions beyond the twelfth are put together, the rarest of each kind, and one answer holds for them all.
#[test]
fn no_file_asks_more_than_twelve_questions() {
    let mut text = "Hosp No,Name,Date,Side,Total,Done\n".to_owned();
    for n in 0..30 {
        let word: String = ["q", "w", "v"].iter().map(|c| c.repeat(n % 7 + 2)).collect::<Vec<_>>().join("");
        text.push_str(&format!(
            "{n},Kid {n},2024-01-13,R,{}x{n}x,{word}{}\n",
            "z".repeat(n % 9 + 1),
            "y".repeat(n)
        ));
    }
    let mut map = MapFile::new();
    let mut rounds = 0;
    loop {
        let plan = planned(&text, &map);
        assert!(plan.report.questions.len() <= 12, "{}", plan.report.questions.len());
        if plan.report.questions.is_empty() {
            break;
        }
        rounds += 1;
        assert!(rounds < 3);
        for question in &plan.report.questions {
            let choice =
                ["note", "leave out"].into_iter().find(|key| question.choices.iter().any(|c| c.key == *key));
            map.answer(&question.id, choice.unwrap()).unwrap();
        }
    }
    // Its map survives the file that it is written to.
    assert_eq!(MapFile::from_toml(&map.to_toml()).unwrap(), map);
}

/// The third column is C by its letter, and C is the heading of the first.
#[test]
fn a_letter_never_names_a_column_where_it_is_the_heading_of_another() {
    let table = table("C,Name,Score,Sex\n1,Ole By,4,1\n");
    let mut map = MapFile::new();
    map.set_coding("C", "as written").unwrap();
    map.set_word(Some("C"), "1", "missing").unwrap();
    map.set_coding("D", "1 male 2 female").unwrap();
    let columns = map.apply(&table).unwrap().columns;
    let codings: Vec<_> = columns.iter().map(|column| map.coding(column)).collect();
    assert_eq!(codings, [Some("as written"), None, None, Some("1 male 2 female")]);
}

#[test]
fn a_value_is_asked_about_once_whatever_its_number() {
    let text = "Hosp No,Name,Date,Side,Total,Cast no\n1,Ole By,2024-01-13,R,4.5*,1/6\n1,Ole By,2024-01-20,R,3*,2/6\n1,Ole By,2024-01-27,R,2.5,3/6\n";
    let plan = planned(text, &MapFile::new());
    // The rows with a total that is not read are refused as a whole.
    assert_eq!((question(&plan, "value: #*").count, question(&plan, "value: cast #/#").count), (2, 1));
    let mut map = MapFile::new();
    map.answer("value: #*", "the number").unwrap();
    map.answer("value: cast #/#", "the number").unwrap();
    let plan = planned(text, &map);
    assert_eq!(plan.report.questions, []);
    let totals = bodies(&plan, |body| match body {
        Body::Assessment(body) => body.stated_total.map(|total| total.0),
        _ => None,
    });
    let casts = bodies(&plan, |body| match body {
        Body::CastApplied(body) => body.number,
        _ => None,
    });
    // 4.5, 3 and 2.5 points in halves.
    assert_eq!((totals, casts), (vec![9, 6, 5], vec![1, 2, 3]));
    map.answer("value: #*", "leave out").unwrap();
    assert_eq!(told(&planned(text, &map)).iter().filter(|told| told.contains("assessment")).count(), 1);
}

/// A date of the contrary order and the number of another child are read by an answer only.
#[test]
fn slips_of_single_rows_are_settled_by_answers() {
    let mut text = "Hosp No,Name,DOB,Date,Side,Total\n".to_owned();
    for day in 13..18 {
        text.push_str(&format!(
            "1,Ole By,01/02/2023,{day}/03/2024,R,4\n2,Una By,02/02/2023,{day}/03/2024,L,3\n"
        ));
    }
    let dated = format!("{text}1,Ole By,01/02/2023,04/19/2024,R,2\n");
    assert_eq!(told(&planned(&dated, &MapFile::new())).len(), 10);
    assert!(
        told(&answered(&dated, "contrary dates", "read")).contains(&"right assessment 2024-04-19".to_owned())
    );
    assert_eq!(told(&answered(&dated, "contrary dates", "refuse")).len(), 10);
    let numbered = format!("{text}1,Una By,02/02/2023,20/03/2024,L,2\n");
    let read = answered(&numbered, "number: 1, Una By", "name");
    assert_eq!((told(&read).len(), read.report.children), (11, 2));
    let una = bodies(&read, |body| match body {
        Body::Registration(body) => Some((body.full_name(), body.numbers.clone())),
        _ => None,
    });
    assert_eq!(una[1], ("Una By".to_owned(), vec!["2".to_owned()]));
    let of_una = read.entries.iter().filter(|entry| entry.child == read.entries[2].child);
    // Her registration, five visits and the row with the other number.
    assert_eq!(of_una.count(), 7);
    assert_eq!(told(&answered(&numbered, "number: 1, Una By", "refuse")).len(), 10);
    // Without the date of birth, or with another, the name alone is no child.
    let other = format!("{text}1,Una By,03/02/2023,20/03/2024,L,2\n");
    assert_eq!(planned(&other, &MapFile::new()).report.questions, []);
}

#[test]
fn a_guess_asks_nothing_where_everything_is_understood() {
    let text = "Hosp No,Name,DOB,Date,Side,Total,Done\n1,Ole By,2024-01-01,2024-01-13,R,4,cast\n";
    let table = table(text);
    let map = guess(&table);
    let plan = plan(
        &table,
        &map,
        &exchange::Nothing,
        &crate::common::stamp(),
        &mut crate::common::ids(9),
        &mut |_| {},
    );
    assert_eq!(plan.report.questions, []);
}
