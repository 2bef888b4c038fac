//! Protection against the worst errors, wrong child and wrong side, and against markup in names.

use crate::sample::{every_page, pages_of};
use guidance::CAUTION;
use scraper::{Html, Selector};

fn texts(html: &Html, selector: &str) -> Vec<String> {
    let selector = Selector::parse(selector).unwrap();
    let found = html.select(&selector);
    found
        .map(|element| element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

/// The caution as a page in Spanish words it.
const CAUTION_IN_SPANISH: &str = "Esto ayuda a decidir, pero no sustituye el criterio de un profesional clínico cualificado. El protocolo local y el profesional que trata al paciente tienen siempre prioridad.";
const NASTY: &str = "\"><script>alert('x')</script><img src=x onerror=alert(1)>";

#[test]
fn a_script_in_a_name_stays_text() {
    let mut seen = 0;
    for (name, markup) in pages_of(NASTY) {
        let html = Html::parse_document(&markup.0);
        for script in html.select(&Selector::parse("script").unwrap()) {
            assert!(script.attr("src").is_some_and(|src| src.starts_with("/assets/app.js")), "{name}");
        }
        // The logo of the clinic and photographs, whose address has ids alone, are the only pictures.
        let pictures =
            Selector::parse("[onerror], img:not(.logo-shown):not([src^='/child/'][src*='/photographs/'])")
                .unwrap();
        assert_eq!(html.select(&pictures).count(), 0, "{name}");
        assert!(!markup.0.contains("<script>alert"), "{name}");
        seen += markup.0.matches("&lt;script&gt;alert").count();
    }
    assert!(seen > 50, "the name was seen only {seen} times");
}

#[test]
fn every_page_about_one_child_identifies_the_child() {
    let about_a_child = |name: &str| ["add-", "entry", "visit"].iter().any(|start| name.starts_with(start));
    let mut seen = 0;
    for (name, markup) in every_page().into_iter().filter(|(name, _)| about_a_child(name)) {
        let html = Html::parse_document(&markup.0);
        let band = texts(&html, ".band").join(" ");
        for words in ["Age", "Born", "Number", "Affected"] {
            assert!(band.contains(words), "{name}: the band lacks {words}: {band}");
        }
        assert_eq!(texts(&html, "h1 .band-name").len(), 1, "{name}");
        seen += 1;
    }
    assert!(seen >= 20, "only {seen} pages were seen");
}

#[test]
fn the_band_shows_all_details_of_the_child() {
    let (_, markup) = every_page().into_iter().find(|(name, _)| *name == "visit").unwrap();
    let html = Html::parse_document(&markup.0);
    // From the birth on 26 March 2024 to 14 May 2024 are 49 days: 7 weeks.
    assert_eq!(texts(&html, ".band-facts dd"), ["7 weeks", "26 March 2024", "4121", "both feet", "girl"]);
    assert_eq!(texts(&html, ".band-name"), ["Ilse Rasmussen"]);
}

#[test]
fn a_button_that_saves_for_a_child_names_the_child() {
    for (name, markup) in every_page() {
        if ["add-", "entry", "visit"].iter().any(|start| name.starts_with(start)) {
            let html = Html::parse_document(&markup.0);
            let who = texts(&html, ".band-name").pop().unwrap();
            // A button named "show" asks for the form again and saves nothing.
            let saving = texts(&html, "main form[method=post] button[type=submit]:not([name=show])");
            assert!(!saving.is_empty(), "{name}: nothing saves");
            for button in saving {
                assert!(button.contains(&who), "{name}: “{button}” does not name {who}");
            }
        }
    }
}

#[test]
fn the_buttons_of_the_day_name_the_child() {
    let (_, markup) = every_page().into_iter().find(|(name, _)| *name == "day").unwrap();
    let html = Html::parse_document(&markup.0);
    let buttons = texts(&html, ".day-do button, .day-do a");
    assert!(buttons.len() >= 7, "{buttons:?}");
    let known = ["Ilse Rasmussen", "Noor Haddad", "Tomas Brandvold", "Amina Okello"];
    assert!(buttons.iter().all(|button| known.iter().any(|who| button.ends_with(who))), "{buttons:?}");
}

#[test]
fn the_right_foot_comes_first_and_both_are_named_in_words() {
    for (name, markup) in every_page().into_iter().filter(|(name, _)| name.starts_with("visit")) {
        let html = Html::parse_document(&markup.0);
        let heads = texts(&html, ".foot-head h2");
        assert_eq!(heads, ["Right foot", "Left foot"], "{name}");
        let names: Vec<&str> = html
            .select(&Selector::parse("input[type=radio]").unwrap())
            .filter_map(|input| input.attr("name"))
            .collect();
        let first = |start: &str| names.iter().position(|name| name.starts_with(start)).unwrap();
        assert!(first("right.") < first("left."), "{name}");
        let last_right = names.iter().rposition(|name| name.starts_with("right.")).unwrap();
        assert!(last_right < first("left."), "{name}: the feet are mixed");
    }
}

#[test]
fn a_field_is_in_the_column_of_its_own_foot() {
    for (name, markup) in every_page().into_iter().filter(|(name, _)| name.starts_with("visit")) {
        let html = Html::parse_document(&markup.0);
        for column in html.select(&Selector::parse(".feet > .foot").unwrap()) {
            let head =
                column.select(&Selector::parse("h2").unwrap()).next().unwrap().text().collect::<String>();
            let side = if head.starts_with("Right") { "right." } else { "left." };
            let fields: Vec<_> = column
                .select(&Selector::parse("input[name]").unwrap())
                .filter_map(|input| input.attr("name"))
                .collect();
            assert!(fields.len() > 40, "{name}: {head} has {} fields", fields.len());
            assert!(fields.iter().all(|field| field.starts_with(side)), "{name}: {head}");
        }
    }
}

#[test]
fn the_caution_is_shown_wherever_a_step_is_suggested() {
    let mut suggesting = 0;
    for (name, markup) in every_page() {
        let html = Html::parse_document(&markup.0);
        if texts(&html, ".step, .step-line, .call, .preview-steps li").is_empty() {
            continue;
        }
        let caution = if name.ends_with("-spanish") { CAUTION_IN_SPANISH } else { CAUTION };
        assert!(
            texts(&html, ".caution").iter().any(|text| text == caution),
            "{name} suggests without the caution"
        );
        suggesting += 1;
    }
    // The day, attention, find, four visits and the fragment.
    assert!(suggesting >= 7, "only {suggesting} pages suggest a step");
}

#[test]
fn every_reason_shows_its_source() {
    let mut reasons = 0;
    for (name, markup) in every_page() {
        let html = Html::parse_document(&markup.0);
        for reason in html.select(&Selector::parse(".reasons > li").unwrap()) {
            let source = reason
                .select(&Selector::parse("cite.source").unwrap())
                .next()
                .unwrap_or_else(|| panic!("{name}"));
            assert!(source.text().collect::<String>().trim().len() > "Source: ".len(), "{name}");
            reasons += 1;
        }
    }
    assert!(reasons > 10, "only {reasons} reasons were seen");
}
