//! What was done, in the words of the clinic. Words that are not known are kept, never guessed.

use crate::common::{bodies, import, of_row, told};
use exchange::Disposition;
use record::{Body, CastPurpose, Regime};
use rstest::rstest;

fn done(words: &str) -> exchange::Plan {
    import(&format!("ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,4,\"{words}\"\n"))
}

#[rstest]
#[case("cast")]
#[case("POP")]
#[case("Cast applied")]
#[case("plaster")]
#[case("POP #3")]
#[case("cast no 4")]
#[case("2nd cast")]
#[case("cast change")]
#[case("yeso")]
#[case("gesso")]
#[case("plâtre")]
#[case("Gips")]
#[case("Gipswechsel")]
#[case("plasta")]
#[case("alçı")]
fn a_cast(#[case] words: &str) {
    assert_eq!(
        told(&done(words)),
        ["right assessment 2024-03-13", "right cast_applied 2024-03-13"],
        "{words}"
    );
}

#[rstest]
#[case("tenotomy, cast 3/52")]
#[case("TA tenotomy + POP")]
#[case("perc tenotomy")]
#[case("Tenotomy and cast")]
#[case("tenotomía")]
#[case("Ténotomie + plâtre")]
#[case("Tenotomie")]
#[case("percutaneous Achilles tenotomy")]
fn a_tenotomy_and_its_cast(#[case] words: &str) {
    let plan = done(words);
    assert_eq!(
        told(&plan)[1..],
        ["right tenotomy_done 2024-03-13", "right cast_applied 2024-03-13"],
        "{words}"
    );
    let purpose = bodies(&plan, |b| if let Body::CastApplied(b) = b { b.purpose } else { None });
    assert_eq!(purpose, [CastPurpose::AfterTenotomy]);
}

#[rstest]
#[case("FAB fitted 23h", Some(Regime::FullTime), Some(23))]
#[case("boots and bar 23/24", Some(Regime::FullTime), Some(23))]
#[case("FAB 23 hrs", Some(Regime::FullTime), Some(23))]
#[case("Brace fitted", None, None)]
#[case("brace nights and naps", Some(Regime::NightTime), None)]
#[case("brace 12h", Some(Regime::NightTime), Some(12))]
#[case("brace full time", Some(Regime::FullTime), None)]
#[case("férula 23 horas", Some(Regime::FullTime), Some(23))]
#[case("attelle 23 h", Some(Regime::FullTime), Some(23))]
#[case("Schiene nachts", Some(Regime::NightTime), None)]
fn a_brace(#[case] words: &str, #[case] regime: Option<Regime>, #[case] hours: Option<u8>) {
    let plan = done(words);
    let fitted =
        bodies(
            &plan,
            |b| if let Body::BraceFitted(b) = b { Some((b.regime, b.hours_prescribed)) } else { None },
        );
    assert_eq!(fitted, [(regime, hours)], "{words}");
}

#[test]
fn a_brace_named_again_is_a_review_and_other_hours_are_a_change() {
    let plan = import(
        "ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,1,FAB 23h\n1,Ole By,2024-04-13,R,1,FAB 23h\n1,Ole By,2024-06-13,R,1,FAB nights\n",
    );
    let kinds: Vec<_> = told(&plan).into_iter().filter(|told| !told.contains("assessment")).collect();
    assert_eq!(
        kinds,
        ["brace_fitted 2024-03-13", "appointment_attended 2024-04-13", "brace_changed 2024-06-13"]
    );
}

#[test]
fn one_brace_for_both_feet_of_a_child() {
    let plan = import(
        "ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,R,1,FAB 23h\n1,Ole By,2024-03-13,L,1,FAB 23h\n",
    );
    assert_eq!(
        told(&plan),
        ["right assessment 2024-03-13", "brace_fitted 2024-03-13", "left assessment 2024-03-13"]
    );
    assert_eq!(plan.report.dispositions.imported, 2);
}

#[rstest]
#[case("DNA")]
#[case("did not attend")]
#[case("No show")]
#[case("missed")]
#[case("no asistió")]
#[case("faltou")]
#[case("pas venu")]
#[case("nicht erschienen")]
#[case("hakuja")]
#[case("gelmedi")]
#[case("tidak datang")]
fn a_missed_appointment_needs_no_side(#[case] words: &str) {
    let plan = import(&format!("ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,,,{words}\n"));
    assert_eq!(told(&plan), ["appointment_missed 2024-03-13"], "{words}");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Imported, "missed-appointment")));
}

#[test]
fn missed_yet_scored_is_asked_about() {
    let plan = done("DNA");
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "missed-but-scored")));
    assert!(!told(&plan).iter().any(|told| told.contains("missed")));
}

#[rstest]
#[case("review")]
#[case("rv")]
#[case("brace check")]
#[case("Kontrolle")]
#[case("suivi")]
#[case("follow up")]
fn a_review(#[case] words: &str) {
    assert_eq!(
        told(&done(words)),
        ["right assessment 2024-03-13", "appointment_attended 2024-03-13"],
        "{words}"
    );
}

#[rstest]
#[case("relapse", "right relapse_noted")]
#[case("discharged", "discharge")]
#[case("died", "death")]
#[case("transferred", "transfer")]
#[case("lost to follow up", "lost_declared")]
#[case("cast off", "right cast_removed")]
#[case("cast slipped", "right cast_removed")]
#[case("tenotomy booked", "right tenotomy_booked")]
#[case("brace stopped", "brace_changed")]
#[case("tendon transfer", "right other_surgery")]
fn other_plain_words(#[case] words: &str, #[case] kind: &str) {
    assert_eq!(told(&done(words))[1], format!("{kind} 2024-03-13"), "{words}");
}

#[rstest]
#[case("zugipsen")]
#[case("no cast")]
#[case("cast refused by mother")]
#[case("tenotomy planned")]
#[case("tenotomy?")]
#[case("for tenotomy next week")]
#[case("not for cast today")]
#[case("relapse?")]
#[case("no relapse")]
#[case("cast cracked")]
#[case("sin yeso")]
#[case("post tenotomy week 2")]
fn what_is_not_known_denied_or_planned_is_kept_as_a_note(#[case] words: &str) {
    let plan = done(words);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "unknown-word")), "{words}");
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "note 2024-03-13"], "{words}");
    let notes = bodies(&plan, |b| if let Body::Note(b) = b { Some(b.text.clone()) } else { None });
    assert_eq!(notes, [format!("Done: {words}")]);
}

#[test]
fn several_things_in_one_cell() {
    let plan = done("Cast removed, FAB applied 23 hrs/day");
    assert_eq!(told(&plan)[1..], ["right cast_removed 2024-03-13", "brace_fitted 2024-03-13"]);
    let plan = done("Tenotomy & 4th cast (3 wks)");
    assert_eq!(told(&plan)[1..], ["right tenotomy_done 2024-03-13", "right cast_applied 2024-03-13"]);
}

#[test]
fn yes_and_no_for_tenotomy_and_brace() {
    let plan = import(
        "ID,Name,Date,Side,Total,Tenotomy (Y/N),Brace (Y/N)\n1,Ole By,2024-03-13,R,4,N,N\n1,Ole By,2024-03-20,R,4,Y,N\n1,Ole By,2024-04-20,R,4,N,Y\n1,Ole By,2024-04-27,R,4,N,Y\n",
    );
    let told: Vec<_> = told(&plan).into_iter().filter(|told| !told.contains("assessment")).collect();
    assert_eq!(
        told,
        [
            "right tenotomy_done 2024-03-20",
            "right cast_applied 2024-03-20",
            "brace_fitted 2024-04-20",
            "appointment_attended 2024-04-27"
        ]
    );
}

#[test]
fn a_number_of_casts_is_the_cast_of_the_visit_only_where_a_child_has_several_rows() {
    let plan = import(
        "ID,Name,Date,Side,Total,No. of casts\n1,Ole By,2024-03-13,R,4,1\n1,Ole By,2024-03-20,R,4,2\n",
    );
    let numbers = bodies(&plan, |b| if let Body::CastApplied(b) = b { b.number } else { None });
    assert_eq!(numbers, [1, 2]);
    let plan = import(
        "ID,Name,Date,Side,Total,No. of casts\n1,Ole By,2024-03-13,R,4,6\n2,Bo Vint,2024-03-20,R,4,5\n",
    );
    assert!(!told(&plan).iter().any(|told| told.contains("cast")));
    assert!(told(&plan).contains(&"note 2024-03-13".to_owned()));
}

#[test]
fn a_cast_number_without_words_is_a_cast() {
    let plan =
        import("ID,Name,Date,Side,Total,Cast no\n1,Ole By,2024-03-13,R,4,3\n1,Ole By,2024-03-20,R,4,\n");
    assert_eq!(
        told(&plan),
        ["right assessment 2024-03-13", "right cast_applied 2024-03-13", "right assessment 2024-03-20"]
    );
}

#[test]
fn a_remark_is_a_note_and_a_clear_problem_is_a_problem_too() {
    let plan = import(
        "ID,Name,Date,Side,Total,Remarks\n1,Ole By,2024-03-13,R,4,cast slipped\n1,Ole By,2024-03-20,R,4,mother says cast may have slipped\n1,Ole By,2024-03-27,R,4,blister\n",
    );
    let told: Vec<_> = told(&plan).into_iter().filter(|told| !told.contains("assessment")).collect();
    assert_eq!(
        told,
        [
            "note 2024-03-13",
            "right cast_removed 2024-03-13",
            "note 2024-03-20",
            "note 2024-03-27",
            "right problem 2024-03-27"
        ]
    );
}

#[test]
fn attended_yes_and_no() {
    let plan =
        import("ID,Name,Date,Side,Total,Attended\n1,Ole By,2024-03-13,R,4,yes\n1,Ole By,2024-03-20,,,no\n");
    assert_eq!(
        told(&plan),
        ["right assessment 2024-03-13", "appointment_attended 2024-03-13", "appointment_missed 2024-03-20"]
    );
}

#[test]
fn the_kind_of_clubfoot_is_written_once_for_each_foot() {
    let plan = import(
        "ID,Name,Date,Side,Total,Diagnosis\n1,Ole By,2024-03-13,both,4,idiopathic\n1,Ole By,2024-03-20,both,4,idiopathic\n2,Bo Vint,2024-03-20,R,4,odd feet\n",
    );
    let found: Vec<_> = told(&plan).into_iter().filter(|told| told.contains("diagnosis")).collect();
    assert_eq!(found, ["right diagnosis 2024-03-13", "left diagnosis 2024-03-13"]);
    assert_eq!(of_row(&plan, 4), Some((Disposition::Question, "unknown-word")));
}
