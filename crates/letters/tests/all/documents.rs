//! What the documents of three children say.

use crate::children::{BRACE, CASTS, RELAPSE, with};
use letters::{
    ExpectTopic, FamilyDocument, FamilyDocumentKind, FamilyFacts, Language, PlanChoices, appointment_letter,
    brace_sheet, cast_sheet, expect_sheet, family_plan,
    html::{PageFrame, STYLE, page},
    missed_visit_letter, nursery_letter, wear_diary,
};
use scraper::{Html, Selector};
use std::{fs, path::Path};

fn drawn(document: &FamilyDocument) -> String {
    let frame = PageFrame { style: "letters.css", above: None };
    page(document, Language::English, frame).unwrap().into_string()
}

/// The text of a page with single spaces; the page is also written to be looked at.
fn text(name: &str, document: &FamilyDocument) -> String {
    let html = drawn(document);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("letters.css"), STYLE).unwrap();
    fs::write(folder.join(format!("{name}.html")), &html).unwrap();
    let page = Html::parse_document(&html);
    let main = Selector::parse("main").unwrap();
    let words: Vec<&str> = page.select(&main).flat_map(|main| main.text()).collect();
    words.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn plan(rows: &str, on: &str, name: &str) -> String {
    with(rows, on, |facts| text(name, &family_plan(&facts.unwrap(), PlanChoices::default())))
}

fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "“{part}” is missing in: {text}");
    }
}

#[test]
fn the_plan_of_a_child_in_casts() {
    let text = plan(CASTS, "2025-02-10", "plan-casts");
    has(
        &text,
        &[
            "Plan for Solveig",
            "Born Monday 20 January 2025",
            "The left foot is in casts.",
            "You are here: left foot",
        ],
    );
    has(
        &text,
        &["Monday 17 February 2025", "New cast", "Bring a feed", "the toes are dark, white, cold or swollen"],
    );
    has(
        &text,
        &["you can no longer see the toes", "your child cries and nothing calms them", "0155 20 18 44"],
    );
    // Nothing of the brace, and no bleeding before a cut.
    for other in ["Hours in the brace", "blood stain", "boot"] {
        assert!(!text.contains(other), "{other}: {text}");
    }
}

#[test]
fn the_plan_of_a_child_in_the_brace_has_its_own_hours() {
    let text = plan(BRACE, "2024-11-11", "plan-brace");
    has(&text, &["Both feet have come to the right place.", "Now: 22 hours a day.", "Later: 12 hours a day"]);
    has(&text, &["the skin is open or has a blister", "Your next visit should be between"]);
    assert!(!text.contains("22 hours a day, as is usual"), "{text}");
}

#[test]
fn the_plan_of_a_child_whose_foot_turned_back() {
    let text = plan(RELAPSE, "2025-02-24", "plan-relapse");
    has(&text, &["The right foot has turned back a little. This happens to many children."]);
    has(&text, &["You are here: right foot"]);
}

/// A cast after a tenotomy: a stain that grows is a sign to come, and the sheet says how it is watched.
#[test]
fn the_cast_sheet_says_more_after_a_cut() {
    let before = with(CASTS, "2025-02-10", |facts| text("cast-sheet", &cast_sheet(&facts.unwrap()).unwrap()));
    assert!(!before.contains("Draw a line around the stain"));
    let after =
        with(BRACE, "2024-10-22", |facts| text("cast-sheet-cut", &cast_sheet(&facts.unwrap()).unwrap()));
    has(&after, &["Draw a line around the stain", "a blood stain on the cast keeps growing"]);
}

#[test]
fn the_brace_sheet_shows_what_is_recorded_and_nothing_else() {
    let sheet =
        with(BRACE, "2024-11-11", |facts| text("brace-sheet", &brace_sheet(&facts.unwrap()).unwrap()));
    has(&sheet, &["22 hours a day", "220 mm", "Left boot 85 mm long inside", "Right boot 85 mm long inside"]);
    // The story records no angle of the boots.
    assert!(!sheet.contains("turned out"), "{sheet}");
    has(&sheet, &["Close the middle strap first"]);
}

/// Names as they are written, in any script and direction, and never as markup.
#[test]
fn a_name_is_text() {
    for name in
        ["<script>alert(1)</script>", "عبد الرحمن", "አበበ", "खुशी", "小雨", "a\u{301}".repeat(60).as_str()]
    {
        let rows = CASTS.replace("Solveig", name);
        let html =
            with(&rows, "2025-02-10", |facts| drawn(&family_plan(&facts.unwrap(), PlanChoices::default())));
        assert!(!html.contains("<script"), "{name}");
        let page = Html::parse_document(&html);
        let head: String = page.select(&Selector::parse("h1").unwrap()).flat_map(|h1| h1.text()).collect();
        assert_eq!(head, format!("Plan for {name}"));
        let title: String =
            page.select(&Selector::parse("title").unwrap()).flat_map(|title| title.text()).collect();
        assert_eq!(title, "Family plan");
    }
}

/// The same facts give the same page.
#[test]
fn a_page_is_the_same_each_time() {
    let made = |facts: FamilyFacts<'_>| drawn(&family_plan(&facts, PlanChoices::default()));
    let one = with(CASTS, "2025-02-10", |facts| made(facts.unwrap()));
    assert_eq!(one, with(CASTS, "2025-02-10", |facts| made(facts.unwrap())));
}

/// Every sheet can be made for a child, and no message is missing in it.
#[test]
fn every_sheet_of_what_to_expect() {
    for topic in ExpectTopic::ALL {
        let name = FamilyDocumentKind::Expect(topic).key();
        let sheet = with(BRACE, "2024-11-11", |facts| text(name, &expect_sheet(&facts.unwrap(), topic)));
        has(&sheet, &["Tarek: ", "Come to emergency care today if", "0155 20 18 44"]);
    }
    let keys: std::collections::HashSet<_> = FamilyDocumentKind::ALL.map(FamilyDocumentKind::key).into();
    assert_eq!(keys.len(), FamilyDocumentKind::ALL.len());
    for kind in FamilyDocumentKind::ALL {
        assert_eq!(FamilyDocumentKind::from_key(kind.key()), Some(kind));
    }
}

#[test]
fn the_letters() {
    let letter =
        with(CASTS, "2025-02-10", |facts| text("appointment", &appointment_letter(&facts.unwrap()).unwrap()));
    has(
        &letter,
        &["Please come on Monday 17 February 2025.", "Bring a feed", "ring us, and we find another day soon"],
    );
    let rows = format!("{CASTS}\n| 2025-02-17 | – | missed | |");
    let letter =
        with(&rows, "2025-02-18", |facts| text("missed", &missed_visit_letter(&facts.unwrap()).unwrap()));
    has(
        &letter,
        &[
            "You had a date with us on Monday 17 February 2025",
            "A cast should not stay on much longer than a week.",
        ],
    );
    let letter =
        with(BRACE, "2024-11-11", |facts| text("nursery", &nursery_letter(&facts.unwrap()).unwrap()));
    has(&letter, &["worn nearly all day, 22 hours in all", "Close the middle strap first"]);
    // A visit that was kept is not written about.
    with(CASTS, "2025-02-10", |facts| assert!(missed_visit_letter(&facts.unwrap()).is_err()));
}

#[test]
fn the_diary_has_a_row_for_each_of_28_days() {
    let made = with(BRACE, "2024-11-11", |facts| wear_diary(&facts.unwrap()).unwrap());
    has(
        &text("diary", &made),
        &["Week from Monday 11 November 2024", "Week from Monday 2 December 2024", "Mon 11", "Sun 8"],
    );
    let page = Html::parse_document(&drawn(&made));
    // Four weeks of seven days: a box for each number of hours from 0 to 24, and one for the skin; one row more shows
    // how.
    assert_eq!(page.select(&Selector::parse("rect.box").unwrap()).count(), 4 * 7 * (25 + 1) + 21);
    assert_eq!(page.select(&Selector::parse("path.code").unwrap()).count(), 1);
}
