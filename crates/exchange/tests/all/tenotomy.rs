//! Every word for a tenotomy becomes a tenotomy or a question: none is lost in silence, and none is put on
//! a foot that is in doubt. The ways of writing are those of the trade (common practice, no source).

use crate::common::{Memory, import, import_table, import_with, of_row, table, told};
use exchange::{Disposition, Plan};
use rstest::rstest;

/// What was done on the feet, without the scores: "right tenotomy_done".
fn acts(plan: &Plan) -> Vec<String> {
    let kinds = ["tenotomy", "cast", "note"];
    let told = told(plan).into_iter().filter(|told| kinds.iter().any(|kind| told.contains(kind)));
    told.map(|told| told.rsplit_once(' ').map_or_else(|| told.clone(), |(what, _)| what.to_owned())).collect()
}

fn one(side: &str, words: &str) -> Plan {
    import(&format!("ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,{side},4,\"{words}\"\n"))
}

#[rstest]
#[case("tenotomy + cast")]
#[case("tenotomy, cast")]
#[case("tenotomy/cast")]
#[case("tenotomy & cast")]
#[case("tenotomy; cast 6")]
#[case("cast + tenotomy")]
#[case("Tenotomy and cast")]
#[case("TA + POP 6")]
#[case("POP 6 + TA")]
#[case("TA/POP")]
#[case("TA & LLC")]
#[case("TA and POP 5")]
#[case("POP with TA")]
#[case("perc. TA release + LLC")]
#[case("perc TA")]
#[case("Perc TAL")]
#[case("percutaneous TAL + cast")]
#[case("percutaneous Achilles tenotomy, LLC")]
#[case("PTA + POP")]
#[case("TA tenotomy + POP")]
#[case("tenotomía + yeso")]
#[case("tenotomía percutánea de Aquiles, yeso")]
#[case("ténotomie/plâtre")]
#[case("Ténotomie percutanée du tendon d\u{2019}Achille + plâtre")]
#[case("Achillotenotomie + Gips")]
#[case("tenotomia, gesso")]
#[case("tenotomie + gips")]
#[case("tenotomi + alçı")]
#[case("tenotomi + gip")]
#[case("R tenotomy, cast")]
#[case("TA done ok + POP")]
#[case("قطع وتر أخيل + جبس")]
fn becomes_a_tenotomy_and_its_cast(#[case] words: &str) {
    let plan = one("R", words);
    assert_eq!(acts(&plan), ["right tenotomy_done", "right cast_applied"], "{words}");
    assert_eq!(of_row(&plan, 2).map(|row| row.0), None, "{words}");
}

#[rstest]
#[case("TA")]
#[case("TAL")]
#[case("TAL and cast")]
#[case("TAL + POP")]
#[case("TA POP 6")]
#[case("TA cast")]
#[case("tenotomy cast")]
#[case("TA release + LLC")]
#[case("percutaneous + cast")]
#[case("TA lengthening, cast")]
#[case("TA? + POP")]
#[case("tenotomy planned + cast")]
#[case("no tenotomy, cast")]
#[case("Achilles + cast")]
#[case("alargamiento de Aquiles + yeso")]
#[case("тенотомия + гипс")]
#[case("跟腱切断 + 石膏")]
#[case("L tenotomy + cast")]
fn becomes_a_question(#[case] words: &str) {
    let plan = one("R", words);
    assert_eq!(acts(&plan), ["note"], "{words}");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "unknown-word")), "{words}");
}

/// Near them, and no tenotomy: nothing is invented and nothing is asked.
#[rstest]
#[case("cast after tenotomy", &["right cast_applied"])]
#[case("POP 6", &["right cast_applied"])]
#[case("TA stretching", &[])]
#[case("TA ok, POP 6", &["right cast_applied"])]
fn is_no_tenotomy(#[case] words: &str, #[case] expected: &[&str]) {
    let plan = one("R", words);
    assert_eq!(acts(&plan), expected, "{words}");
    assert_eq!(of_row(&plan, 2), None, "{words}");
}

#[rstest]
#[case("R tenotomy, L cast", &["right tenotomy_done", "right cast_applied", "left cast_applied"])]
#[case("L cast + R TA", &["right tenotomy_done", "right cast_applied", "left cast_applied"])]
#[case("left tenotomy / right cast", &["right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("both tenotomy, cast", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("TA + POP 6", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("R & L tenotomy", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("R/L tenotomy", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("tenotomy R, L", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("ténotomie D+G, plâtre D+G", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("ténotomie D+G + plâtre D+G", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("tenotomía D & G, cast D/G", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("tenotomia D/E, gesso D/E", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("Tenotomie re+li, Gips re+li", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("R&L tenotomy, R&L cast", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("L+R tenotomy and cast L+R", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("tenotomy R and L, cast R and L", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
#[case("tenotomy R + L", &["right tenotomy_done", "right cast_applied", "left tenotomy_done", "left cast_applied"])]
// Which foot is in doubt: asked, nothing taken.
#[case("tenotomy R / L cast", &["note"])]
#[case("tenotomy R and L cast", &["note"])]
#[case("tenotomy R, L, cast R, L", &["note"])]
#[case("cast R, L, tenotomy", &["note"])]
#[case("R tenotomy, L cast, TA", &["note"])]
#[case("R cast, L cast, tenotomy", &["note"])]
#[case("tenotomy R + cast", &["note"])]
#[case("left tenotomy", &["note"])]
fn each_foot_of_two_gets_its_own(#[case] words: &str, #[case] expected: &[&str]) {
    let plan = one("both", words);
    assert_eq!(acts(&plan), expected, "{words}");
    let asked = expected == ["note"];
    let row = asked.then_some((Disposition::Question, "unknown-word"));
    assert_eq!(of_row(&plan, 2), row, "{words}");
}

/// Both feet side by side, and the words alone name the foot.
#[rstest]
#[case("4,3", "Perc TAL R", &["right tenotomy_done", "right cast_applied"])]
#[case("4,3", "right tenotomy, left cast", &["right tenotomy_done", "right cast_applied", "left cast_applied"])]
#[case("4,3", "tenotomy R + POP", &["note"])]
#[case(",3", "tenotomy R", &["note"])]
#[case("4,3", "ténotomie d", &["note"])]
fn words_name_the_foot_where_the_row_does_not(
    #[case] totals: &str,
    #[case] words: &str,
    #[case] expected: &[&str],
) {
    let plan =
        import(&format!("ID,Name,Date,Total R,Total L,Done\n1,Ole By,2024-03-13,{totals},\"{words}\"\n"));
    assert_eq!(acts(&plan), expected, "{totals} {words}");
}

/// A tenotomy in a remark, or in a column that is not read, is asked about.
#[rstest]
#[case("Remarks", "TA 18/3/24. skin ok", true)]
#[case("Remarks", "had perc TA last week", true)]
#[case("Remarks", "tenotomy done elsewhere", true)]
#[case("Remarks", "после тенотомии", true)]
#[case("Remarks", "no tenotomy needed", false)]
#[case("Remarks", "TA tight, skin ok", false)]
#[case("Remarks", "mother asks about total cost", false)]
#[case("Quux", "tenotomy R", true)]
#[case("خانة", "قطع وتر أخيل + جبس", true)]
#[case("Quux", "well", false)]
fn a_tenotomy_that_is_only_mentioned_is_asked_about(
    #[case] heading: &str,
    #[case] words: &str,
    #[case] asked: bool,
) {
    let plan = import(&format!("ID,Name,Date,Side,Total,{heading}\n1,Ole By,2024-03-13,R,4,\"{words}\"\n"));
    let row = asked.then_some((Disposition::Question, "tenotomy-in-words"));
    assert_eq!(of_row(&plan, 2), row, "{heading}: {words}");
    assert!(!acts(&plan).iter().any(|act| act.contains("tenotomy")), "{words}");
}

#[test]
fn a_remark_about_the_tenotomy_that_the_row_brings_is_not_asked_about() {
    let row = |remark: &str| {
        let text =
            format!("ID,Name,Date,Side,Total,Done,Remarks\n1,Ole By,2024-03-13,R,4,tenotomy,{remark}\n");
        of_row(&import(&text), 2)
    };
    assert_eq!(row("tenotomy went well"), None);
    assert_eq!(row("right tenotomy went well"), None);
    assert_eq!(row("left tenotomy last month"), Some((Disposition::Question, "tenotomy-in-words")));
}

/// The row of the day that a later remark names is asked about too, for its foot alone.
#[rstest]
#[case("TA 20/3/24. skin ok", Some((Disposition::Question, "tenotomy-in-words")), None)]
#[case("TA done at last visit", None, Some((Disposition::Question, "tenotomy-in-words")))]
#[case("left TA 20/3/24", None, None)]
#[case("no tenotomy 20/3/24", None, None)]
#[case("skin ok", None, None)]
fn a_remark_about_an_earlier_day_names_the_row_of_that_day(
    #[case] remark: &str,
    #[case] of_day: Option<(Disposition, &str)>,
    #[case] of_last: Option<(Disposition, &str)>,
) {
    let plan = import(&format!(
        "ID,Name,Date,Side,Total,Done,Notes\n1,Ole By,13/3/24,R,4,POP 1,\n1,Ole By,20/3/24,R,3,POP 2,\n1,Ole By,20/3/24,L,3,POP 2,\n2,Bo Vint,20/3/24,R,3,POP 2,\n1,Ole By,27/3/24,R,3,POP 3,\n1,Ole By,3/4/24,R,3,POP 4,{remark}\n"
    ));
    assert!(!told(&plan).iter().any(|told| told.contains("tenotomy")), "{remark}");
    assert_eq!((of_row(&plan, 3), of_row(&plan, 6)), (of_day, of_last), "{remark}");
    let of_left = remark.starts_with("left").then_some((Disposition::Question, "tenotomy-in-words"));
    assert_eq!([2, 4, 5].map(|row| of_row(&plan, row)), [None, of_left, None], "{remark}");
}

#[test]
fn a_row_that_brings_what_a_later_remark_names_is_not_asked_about() {
    let plan = import(
        "ID,Name,Date,Side,Total,Done,Notes\n1,Ole By,20/3/24,R,3,tenotomy,\n1,Ole By,27/3/24,R,3,POP 3,TA 20/3/24\n",
    );
    assert_eq!(of_row(&plan, 2), None);
}

#[test]
fn a_map_file_settles_a_short_form() {
    let text = "ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,TAL\n";
    let plan = import_with(text, "[done]\n\"TAL\" = \"tenotomy\"\n");
    assert_eq!(acts(&plan), ["right tenotomy_done", "right cast_applied"]);
}

/// A row that brings nothing new and names a tenotomy is asked about, but not when the file comes again.
#[test]
fn the_same_row_again_is_asked_about_where_it_names_a_tenotomy() {
    let text = "ID,Name,Date,Side,Total,Quux\n1,Ole By,2024-03-13,R,4,\n1,Ole By,2024-03-13,R,4,Tenotomy\n";
    let plan = import(text);
    assert_eq!(of_row(&plan, 3), Some((Disposition::Question, "tenotomy-in-words")));
    let again = import_table(&table(text), None, &Memory(plan.entries.clone()));
    assert_eq!(of_row(&again, 3).map(|row| row.0), Some(Disposition::Duplicate));
}
