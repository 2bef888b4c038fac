//! Questions about cells, and what their answers make of the same file.

use crate::common::{bodies, ids, import, stamp, table, told};
use exchange::{FileQuestion, MapFile, Nothing, Plan, plan};
use record::Body;

/// The file read again with one answer, and the questions that are left.
fn answered(text: &str, id: &str, choice: &str) -> Plan {
    let asked = question(&import(text), id);
    assert!(asked.choices.iter().any(|known| known.key == choice), "{choice}: {:?}", asked.choices);
    let mut map = MapFile::new();
    map.answer(id, choice).unwrap();
    // What is answered survives the file that it is written to.
    let map = MapFile::from_toml(&map.to_toml()).unwrap();
    let table = table(text);
    let map = map.apply(&table).unwrap();
    let plan = plan(&table, &map, &Nothing, &stamp(), &mut ids(77), &mut |_| {});
    assert!(!plan.report.questions.iter().any(|question| question.id == id), "{id} is asked again");
    plan
}

fn question(plan: &Plan, id: &str) -> FileQuestion {
    let known: Vec<&str> = plan.report.questions.iter().map(|question| question.id.as_str()).collect();
    let found = plan.report.questions.iter().find(|question| question.id == id);
    found.unwrap_or_else(|| panic!("{id} is not among {known:?}")).clone()
}

fn without_scores(plan: &Plan) -> Vec<String> {
    told(plan).into_iter().filter(|told| !told.contains("assessment")).collect()
}

#[test]
fn which_foot_each_act_of_a_cell_is_of() {
    let text = "Hosp No,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,4,3,tenotomy R + POP\n2,Bo Vint,2024-03-13,4,3,tenotomy R + POP\n";
    let asked = question(&import(text), "done: tenotomy r + pop");
    assert_eq!((asked.count, asked.rows), (2, vec![2, 3]));
    let each = answered(text, "done: tenotomy r + pop", "tenotomy right, cast each");
    let of_one =
        ["right tenotomy_done 2024-03-13", "right cast_applied 2024-03-13", "left cast_applied 2024-03-13"];
    assert_eq!(without_scores(&each), [of_one, of_one].concat());
    let right = answered(text, "done: tenotomy r + pop", "tenotomy right, cast right");
    assert_eq!(without_scores(&right)[..2], of_one[..2]);
    assert_eq!(without_scores(&right).len(), 4);
}

/// Where a foot may belong to more than one act, no answer leaves it out of one.
#[test]
fn no_answer_names_fewer_feet_than_the_cell() {
    for words in ["tenotomy R, L, cast R, L", "tenotomy R / L cast", "cast R, L, tenotomy"] {
        let text = format!("Hosp No,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,4,3,\"{words}\"\n");
        let asked = question(&import(&text), &format!("done: {}", words.to_lowercase()));
        let keys: Vec<&str> = asked.choices.iter().map(|choice| choice.key.as_str()).collect();
        assert_eq!(keys, ["note"], "{words}");
    }
}

/// Without the piece, the cell would be a tenotomy of the right foot alone.
#[test]
fn a_piece_that_names_a_foot_is_not_offered_as_saying_nothing() {
    for words in ["tenotomy R/L planned", "tenotomy R/L xyz", "tenotomy R / L 3"] {
        let plan =
            import(&format!("Hosp No,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,4,3,{words}\n"));
        assert_eq!(without_scores(&plan), ["note 2024-03-13"], "{words}");
        let ids: Vec<&str> = plan.report.questions.iter().map(|question| question.id.as_str()).collect();
        // Another number in its place is the same question.
        assert_eq!(ids, [format!("done: {}", words.to_lowercase().replace('3', "#"))]);
    }
}

#[test]
fn a_piece_that_says_nothing_of_what_was_done_is_one_question() {
    let text = "Hosp No,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,\"cast 1, no tenotomy yet\"\n1,Ole By,2024-03-20,R,4,\"cast 2, no tenotomy yet\"\n";
    let plan = import(text);
    assert_eq!(without_scores(&plan), ["note 2024-03-13", "note 2024-03-20"]);
    assert_eq!(plan.report.questions.len(), 1, "{:?}", plan.report.questions);
    let read = answered(text, "piece: no tenotomy yet", "nothing");
    assert_eq!(without_scores(&read), ["right cast_applied 2024-03-13", "right cast_applied 2024-03-20"]);
    let kept = answered(text, "piece: no tenotomy yet", "note");
    assert_eq!(without_scores(&kept), ["note 2024-03-13", "note 2024-03-20"]);
}

/// A thing that is not known is one question wherever it comes, and so are cells that differ by their numbers.
#[test]
fn what_comes_in_many_cells_is_one_question() {
    let text = "Hosp No,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,Zug 1\n1,Ole By,2024-03-20,R,4,Zug 2\n1,Ole By,2024-03-27,R,4,tenotomy + zug 3\n";
    let asked = question(&import(text), "done: zug");
    assert_eq!((asked.value.as_deref(), asked.count), (Some("Zug"), 3));
    let read = answered(text, "done: zug", "cast");
    let cut = ["right tenotomy_done 2024-03-27", "right cast_applied 2024-03-27"];
    let casts = ["right cast_applied 2024-03-13", "right cast_applied 2024-03-20"];
    assert_eq!(without_scores(&read), [casts, cut].concat());
    let numbers = bodies(&read, |body| match body {
        Body::CastApplied(cast) => cast.number,
        _ => None,
    });
    assert_eq!(numbers, [1, 2, 3]);
    assert_eq!(without_scores(&answered(text, "done: zug", "note")).len(), 3);
    let open = "Hosp No,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,4,3,tenotomy R + POP 4\n2,Bo Vint,2024-03-13,4,3,tenotomy R + POP 5\n";
    assert_eq!(question(&import(open), "done: tenotomy r + pop #").count, 2);
    let each = answered(open, "done: tenotomy r + pop #", "tenotomy right, cast # each");
    let numbers = bodies(&each, |body| match body {
        Body::CastApplied(cast) => cast.number,
        _ => None,
    });
    assert_eq!(numbers, [4, 4, 5, 5]);
}

/// "TAL" is the tenotomy in one clinic and an open operation in another.
#[test]
fn the_short_form_of_the_tendon_is_one_question() {
    let text = "Hosp No,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,TAL and cast #4\n2,Bo Vint,2024-03-13,L,4,cast 5 + TAL\n";
    assert_eq!(question(&import(text), "done: tal").count, 2);
    let kinds = |plan: &Plan| {
        without_scores(plan)
            .into_iter()
            .map(|told| told.split(' ').nth(1).unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let cut = answered(text, "done: tal", "tenotomy");
    assert_eq!(kinds(&cut), ["tenotomy_done", "cast_applied", "tenotomy_done", "cast_applied"]);
    let open = answered(text, "done: tal", "heel cord lengthening");
    assert_eq!(kinds(&open), ["cast_applied", "other_surgery", "cast_applied", "other_surgery"]);
}

/// A letter that may be a foot is asked about by itself; as no foot it changes nothing.
#[test]
fn a_letter_within_a_cell_that_may_be_a_foot_is_one_question() {
    let text = "Hosp No,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,cast G\n1,Ole By,2024-03-20,R,4,tenotomy + cast G\n";
    assert_eq!(question(&import(text), "side: g").count, 2);
    let none = answered(text, "side: g", "no foot");
    assert_eq!(
        none.report.questions.iter().map(|asked| asked.id.as_str()).collect::<Vec<_>>(),
        ["done: cast g", "done: tenotomy + cast g"]
    );
    // The row is about the right foot.
    assert_eq!(without_scores(&answered(text, "side: g", "left")), ["note 2024-03-13", "note 2024-03-20"]);
    assert_eq!(without_scores(&answered(text, "side: g", "right")).len(), 3);
}

#[test]
fn two_scores_in_a_cell() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-03-13,both,3/2.5\n1,Ole By,2024-03-20,R,2/2.5\n";
    assert!(question(&import(text), "two scores: Total").blocks);
    let feet = answered(text, "two scores: Total", "right/left");
    assert_eq!(told(&feet)[..2], ["right assessment 2024-03-13", "left assessment 2024-03-13"]);
    let parts = answered(text, "two scores: Total", "midfoot and hindfoot");
    assert_eq!(told(&parts).len(), 3);
    assert_eq!(told(&answered(text, "two scores: Total", "leave out")).len(), 3);
}

#[test]
fn a_tenotomy_with_its_date_in_a_remark() {
    let text = "Hosp No,Name,Date,Side,Total,Notes\n1,Ole By,13/03/2024,R,4,TA 13/3/24. skin ok\n1,Ole By,20/03/2024,R,3,TA 13/3/24\n";
    let done = answered(text, "tenotomy: Notes", "done");
    let cut: Vec<_> = told(&done).into_iter().filter(|told| told.contains("tenotomy")).collect();
    assert_eq!(cut, ["right tenotomy_done 2024-03-13"]);
    let kept = answered(text, "tenotomy: Notes", "note");
    assert!(!told(&kept).iter().any(|told| told.contains("tenotomy")));
}

#[test]
fn one_date_for_two_feet() {
    let text = "Hosp No,Name,Date,Side,Total,Tenotomy date\n1,Ole By,2024-03-13,both,4,2024-03-12\n";
    let both = answered(text, "one date: Tenotomy date", "both");
    let cut: Vec<_> = told(&both).into_iter().filter(|told| told.contains("tenotomy")).collect();
    assert_eq!(cut, ["right tenotomy_done 2024-03-12", "left tenotomy_done 2024-03-12"]);
    let kept = answered(text, "one date: Tenotomy date", "leave out");
    assert!(told(&kept).contains(&"note 2024-03-12".to_owned()));
}

#[test]
fn numbers_that_have_lost_their_zeros() {
    let text = "Hosp No,Name,DOB,Date,Side,Total\n0042,Ole By,2024-01-05,2024-02-01,R,4\n42,Ole By,2024-01-05,2024-02-08,R,3\n";
    let one = answered(text, "leading zeros", "one child");
    assert_eq!((one.report.children, one.report.assessments), (1, 2));
    let two = answered(text, "leading zeros", "two children");
    assert_eq!((two.report.children, two.report.assessments), (2, 2));
}

#[test]
fn dates_in_remarks() {
    let text = "Hosp No,Name,Date,Side,Total,Remarks\n1,Ole By,13/03/2024,R,4,cast changed on 5/3/24\n";
    let kept = answered(text, "dates: Remarks", "note");
    assert_eq!((kept.report.dispositions.imported, kept.report.dispositions.question), (1, 0));
}

#[test]
fn remarks_that_say_what_was_done() {
    let rows: String = (1..=5).map(|n| format!("1,Ole By,2024-03-0{n},R,4,POP {n}\n")).collect();
    let text = format!("Hosp No,Name,Date,Side,Total,Notes\n{rows}");
    let plan = import(&text);
    assert_eq!(plan.report.dispositions.question, 5);
    let done = answered(&text, "meaning: Notes", "done");
    assert_eq!(without_scores(&done).len(), 5);
    assert!(without_scores(&done).iter().all(|told| told.starts_with("right cast_applied")));
    let kept = answered(&text, "meaning: Notes", "remarks");
    assert_eq!(kept.report.dispositions.imported, 5);
}
