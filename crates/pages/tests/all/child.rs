//! The page of one child: the order of its parts, one card for both feet, the family, twins.

use crate::sample::{every_page, in_casts, today};
use guidance::NextStep;
use pages::parts;
use record::{BirthOrder, ChildId};
use scraper::{Html, Selector};
use uuid::Uuid;

fn page(name: &str) -> String {
    let (_, markup) = every_page().into_iter().find(|(found, _)| *found == name).unwrap();
    markup.0
}

fn text_of(html: &str, selector: &str) -> String {
    let html = Html::parse_document(html);
    let found = html.select(&Selector::parse(selector).unwrap()).next();
    let found = found.unwrap_or_else(|| panic!("{selector} is not on the page"));
    found.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn place(html: &str, part: &str) -> usize {
    html.find(part).unwrap_or_else(|| panic!("{part} is not on the page"))
}

#[test]
fn who_then_urgent_then_next_then_buttons_then_the_picture_of_both_feet_then_the_rest() {
    let html = page("child");
    let parts = [
        "band-name",
        "child-phone",
        "attention-head",
        "next-head",
        "child-actions",
        "right-foot",
        "left-foot",
        "likely-head",
        "appointments-head",
        "people-head",
        "timeline-head",
    ];
    let places: Vec<usize> = parts.iter().map(|part| place(&html, part)).collect();
    assert!(places.is_sorted(), "{parts:?} stand at {places:?}");
    let buttons = place(&html, "class=\"button");
    assert!(buttons > place(&html, "next-head"), "a button stands before the next step");
}

/// Steps of both feet, made alike but for the reasons.
fn two_feet() -> [NextStep; 2] {
    let steps = in_casts("Ilse").outlook().steps;
    let foot = |side| {
        let scope = guidance::Scope::Foot(side);
        steps.iter().find(|step| step.scope == scope).unwrap().clone()
    };
    let right = foot(record::Side::Right);
    let left = NextStep {
        because: foot(record::Side::Left).because,
        scope: guidance::Scope::Foot(record::Side::Left),
        ..right.clone()
    };
    [right, left]
}

fn cards(steps: &[&NextStep]) -> String {
    parts::step_cards(ChildId::new(Uuid::from_u128(1)), steps, today()).into_string()
}

#[test]
fn both_feet_share_a_card_only_where_all_but_the_reasons_is_alike() {
    let [right, left] = two_feet();
    let html = cards(&[&right, &left]);
    assert_eq!((html.matches("step-head").count(), html.matches("Both feet").count()), (1, 2));
    let reasons = right.because.len() + left.because.len();
    assert_eq!(html.matches("class=\"fact\"").count(), reasons, "the reasons of each foot are listed");
    let later = left.window.map(|window| record::DayRange::new(window.from, window.to + 1));
    for other in [
        NextStep { window: later, ..left.clone() },
        NextStep { cautions: vec!["Look at the toes.".into()], ..left.clone() },
        NextStep { words: "Another cast".into(), ..left.clone() },
    ] {
        let html = cards(&[&right, &other]);
        assert_eq!((html.matches("step-head").count(), html.matches("Both feet").count()), (2, 0));
    }
    // A caution of both feet is shown once, after the two cards.
    let caution = || vec!["Look at the toes.".into()];
    let (right, left) = (
        NextStep { cautions: caution(), ..right.clone() },
        NextStep { cautions: caution(), window: later, ..left.clone() },
    );
    let html = cards(&[&right, &left]);
    assert_eq!(html.matches("Look at the toes.").count(), 1);
    assert!(html.contains("Caution, both feet: "), "{html}");
    // One foot alone is never both.
    assert!(!cards(&[&right]).contains("Both feet"));
}

#[test]
fn a_telephone_number_is_a_link_of_its_digits() {
    let html = page("child-twin");
    let line = text_of(&html, ".child-phone");
    assert_eq!(line, "Telephone: +999 70 900 123 Grace Okello, mother (from the record of Bilal Okello)");
    assert!(html.contains("href=\"tel:+99970900123\""), "{line}");
    // A child's own number comes first.
    assert_eq!(text_of(&page("child"), ".child-phone"), "Telephone: 070 000 0000 Mother of Ilse");
    assert!(page("child").contains("href=\"tel:0700000000\""));
}

#[test]
fn a_twin_is_shown_with_both_names_and_the_order_of_birth() {
    let html = page("child-twin");
    let band = text_of(&html, ".band .twin");
    assert_eq!(band, "Twin, birth order not recorded. Do not confuse with Bilal Okello, born second.");
    let family = text_of(&html, "section[aria-labelledby=people-head]");
    assert!(family.contains("Bilal Okello") && family.contains("born second"), "{family}");
    assert!(family.contains("One day for both: Tuesday 21 May 2024, for first visit and for first visit of Bilal Okello. 3 booked. Bilal Okello is expected on that day already."), "{family}");
    let twins =
        vec![parts::Twin { id: ChildId::new(Uuid::from_u128(2)), name: "Bilal Okello".into(), order: None }];
    let who = parts::Who { twins, birth_order: Some(BirthOrder::First), ..in_casts("Amina").who() };
    let line = parts::who_line(&who, today()).into_string();
    assert!(line.contains("Twin, born first. The other twin: Bilal Okello."), "{line}");
    let alone = parts::who_line(&in_casts("Amina").who(), today()).into_string();
    assert!(!alone.contains("Twin"), "{alone}");
}
