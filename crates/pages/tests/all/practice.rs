//! The pages of learning to score: an exercise keeps its answer, every drawing has a text, nobody is ranked.

use crate::sample::{self, frame, practice as invented};
use ::practice::{CaseKey, DRAWING_VERSION, LevelConfirmed, SignGeometry};
use pages::{Here, PracticeAnswerView, practice::practice_fields};
use record::{HalfPoint, Side, Sign};
use scraper::{ElementRef, Html, Selector};

fn select<'a>(html: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    html.select(&Selector::parse(selector).unwrap()).collect()
}

fn text(html: &Html) -> String {
    select(html, "main")[0].text().collect()
}

/// The pages of the same foot at two levels differ in nothing but the drawing, its measured text and the case's name:
/// nothing on an unanswered page says what is right.
#[test]
fn an_exercise_does_not_say_what_is_right() {
    for sign in Sign::ALL {
        for level in HalfPoint::ALL {
            let view = invented::exercise(sign, invented::case(sign, level, Side::Right));
            let page = Html::parse_document(&pages::exercise(&frame(Here::Elsewhere), &view).into_string());
            // Every level's words stand on its own button, and the words of a drawn level nowhere.
            let shown = text(&page);
            for one in HalfPoint::ALL {
                assert!(!shown.contains(SignGeometry::of(sign).level(one).drawn), "{sign:?} {one:?}");
            }
            let checked = select(&page, "input[name=level][checked]");
            assert!(checked.is_empty(), "no level is chosen beforehand");
            assert_eq!(select(&page, "input[name=level]").len(), 3);
            let label = select(&page, "svg.drawn-foot")[0].attr("aria-label").unwrap().to_owned();
            assert!(label.contains("right foot") && label.contains("Measured in it"), "{label}");
            assert!(!label.contains("level"), "{label}");
            assert!(select(&page, ".line-mark").is_empty(), "what to look at is marked only in the answer");
        }
    }
}

#[test]
fn the_form_sends_the_case_and_the_sign_and_works_without_a_script() {
    let case = invented::case(Sign::RigidEquinus, HalfPoint::One, Side::Left);
    let page = pages::exercise(&frame(Here::Elsewhere), &invented::exercise(Sign::RigidEquinus, case));
    let page = Html::parse_document(&page.into_string());
    let form = select(&page, "form.practice-form")[0];
    assert_eq!(
        (form.attr("method"), form.attr("action")),
        (Some("post"), Some(pages::practice::ANSWER_PATH))
    );
    let value = |name: &str| {
        select(&page, &format!("form.practice-form [name={name}]"))[0].attr("value").unwrap().to_owned()
    };
    assert_eq!(value(practice_fields::SEED), case.key.seed.to_string());
    assert_eq!(value(practice_fields::DRAWING), DRAWING_VERSION.to_string());
    assert_eq!(value(practice_fields::SIGN), "rigid_equinus");
    assert_eq!(select(&page, "form.practice-form button[type=submit]").len(), 1);
    assert!(text(&page).contains("drawn left foot"));
}

#[test]
fn an_answer_says_given_right_and_what_to_look_at() {
    let page = pages::practice_answer(
        &frame(Here::Elsewhere),
        &invented::answer(Sign::LateralBorder, HalfPoint::One),
    );
    let page = Html::parse_document(&page.into_string());
    let shown = text(&page);
    assert!(shown.contains("You gave 1, and it is drawn at 0.5: yours is higher"), "{shown}");
    let table = SignGeometry::of(Sign::LateralBorder);
    assert!(
        shown.contains(table.level(HalfPoint::Half).drawn)
            && shown.contains(table.level(HalfPoint::One).drawn)
    );
    assert!(!select(&page, ".line-mark").is_empty());
    assert!(select(&page, "svg.drawn-foot")[0].attr("aria-label").unwrap().contains("level 0.5"));

    let same =
        pages::practice_answer(&frame(Here::Elsewhere), &invented::answer(Sign::TalarHead, HalfPoint::Half));
    let shown = text(&Html::parse_document(&same.into_string()));
    assert!(shown.contains("✓ The same.") && shown.contains("Felt, not seen."), "{shown}");
}

#[test]
fn an_answer_of_other_drawings_is_told_without_a_drawing() {
    let mut view: PracticeAnswerView = invented::answer(Sign::EmptyHeel, HalfPoint::Zero);
    view.answer.case = CaseKey { drawing: DRAWING_VERSION + 1, ..view.answer.case };
    let page = Html::parse_document(&pages::practice_answer(&frame(Here::Elsewhere), &view).into_string());
    assert!(select(&page, "svg.drawn-foot").is_empty());
    assert!(text(&page).contains("cannot be shown as it was"));
}

#[test]
fn every_drawing_has_a_text_and_every_page_says_where_drawings_come_from() {
    let mut drawings = 0;
    for (name, page) in sample::practice::pages("Ilse") {
        let page = Html::parse_document(&page.into_string());
        let drawn = select(&page, "svg.drawn-foot");
        for one in &drawn {
            assert!(one.attr("aria-label").is_some_and(|label| label.len() > 40), "{name}");
            assert_eq!(one.attr("role"), Some("img"));
        }
        drawings += drawn.len();
        if !drawn.is_empty() {
            let shown = text(&page);
            let told = [
                "nobody has confirmed these drawings yet",
                "1 of 18 are confirmed with a source",
                "Confirmed: ",
            ];
            assert!(
                told.iter().any(|told| shown.contains(told)) || shown.contains("From memory, not confirmed."),
                "{name}: {shown}"
            );
        }
    }
    assert!(drawings >= 22, "{drawings}");
}

#[test]
fn a_confirmed_level_names_its_source_who_and_when_and_a_changed_one_is_from_memory_again() {
    let page = Html::parse_document(
        &pages::practice_levels(&frame(Here::Practice), &invented::confirmed_levels()).into_string(),
    );
    let shown = text(&page);
    let said = "Confirmed: Invented handbook of scoring, 2021, page 12 (Hanne Kvist, 3 March 2025, 09:20).";
    assert_eq!(shown.matches(said).count(), 1, "{shown}");
    assert_eq!(shown.matches("the table has changed since").count(), 1, "{shown}");
    // 18 levels: one confirmed, one changed since.
    assert_eq!(shown.matches("From memory, not confirmed.").count(), 16, "{shown}");
    assert!(shown.contains("1 of 18 are confirmed with a source"), "{shown}");
}

#[test]
fn an_exercise_of_a_sign_whose_levels_are_all_confirmed_does_not_say_that_nobody_did() {
    let mut view =
        invented::exercise(Sign::EmptyHeel, invented::case(Sign::EmptyHeel, HalfPoint::Half, Side::Left));
    let shown = |view: &pages::ExerciseView| {
        text(&Html::parse_document(&pages::exercise(&frame(Here::Practice), view).into_string()))
    };
    assert!(shown(&view).contains("nobody has confirmed these drawings yet"));
    for level in HalfPoint::ALL {
        let confirmed =
            LevelConfirmed { source: "A handbook".into(), by: "Ida".into(), when: "today".into() };
        let statement = SignGeometry::of(Sign::EmptyHeel).statement(level);
        view.confirmed.add(Sign::EmptyHeel, level, confirmed, &statement);
    }
    let shown = shown(&view);
    assert!(!shown.contains("from memory") && shown.contains("with a named source"), "{shown}");
}

#[test]
fn charts_have_tables_and_blocks_that_cannot_be_told_say_so() {
    let page =
        sample::practice::pages("Ilse").into_iter().find(|(name, _)| *name == "practice-progress").unwrap().1;
    let page = Html::parse_document(&page.into_string());
    assert!(!select(&page, "figure.plot-figure").is_empty());
    // Fifty feet of the first sign: blocks 1–15, 16–30, 31–45, 46–50.
    let shown = text(&page);
    assert!(
        shown.contains("46–50") && shown.contains("cannot be told from 5 of at least 15 feet"),
        "{shown}"
    );
    assert!(shown.contains("Flynn"));
}

#[test]
fn people_are_in_order_of_name_and_no_child_is_shown_for_another() {
    let mut view = invented::together("Ilse");
    let html = |view: &pages::ScoringTogetherView| {
        Html::parse_document(&pages::scoring_together(&frame(Here::Elsewhere), view).into_string())
    };
    let page = html(&view);
    let people: Vec<String> =
        select(&page, "details.more summary strong").iter().map(|one| one.text().collect()).collect();
    assert_eq!(people, ["a name with <marks>", "Hanne Kvist", "Ole Brandt"]);
    let name = view.rows[0].who.shown_name();
    assert!(text(&page).contains(&name));
    for word in ["best", "worst", "rank", "pass", "fail"] {
        assert!(
            !text(&page).to_lowercase().split(|c: char| !c.is_alphabetic()).any(|one| one == word),
            "{word}"
        );
    }
    view.rows[0].who.id = record::ChildId::new(uuid::Uuid::from_u128(4_444));
    assert!(!text(&html(&view)).contains(&name), "a row about another child is not shown");
}
