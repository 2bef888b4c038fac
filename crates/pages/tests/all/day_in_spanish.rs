//! The page of a day in Spanish: nothing on it is in English except what says so, and no name is translated.

use crate::{
    calls_in_languages::{calls, english_only, steps_with},
    languages::{messages, steps},
    sample::{day, every_page, frame, in_brace, in_casts, just_registered, today},
};
use course::{AppointmentState, Phase};
use guidance::{CallText, NextStep, StepText, Urgency};
use pages::{
    DayRow, DayView, Frame, Here, PageLanguage,
    parts::{Twin, Who},
};
use record::{BirthOrder, ChildId, EntryId, Purpose, Side};
use scraper::{ElementRef, Html, Node, Selector};
use std::collections::BTreeSet;
use uuid::Uuid;

const STATES: [AppointmentState; 5] = [
    AppointmentState::Here,
    AppointmentState::Expected,
    AppointmentState::Seen,
    AppointmentState::Missed,
    AppointmentState::Cancelled,
];

/// A given name, a reason and a time that are English words, and stay as they were typed.
const GIVEN: &str = "Hope";
const WHY: &str = "painting";

fn spanish() -> Frame {
    Frame {
        language: PageLanguage::Spanish,
        message: pages::day_done(PageLanguage::Spanish, "moved"),
        ..frame(Here::Day)
    }
}

fn row(who: Who, state: AppointmentState, purpose: Option<Purpose>) -> DayRow {
    DayRow {
        who,
        appointment: purpose.map(|_| EntryId::new(Uuid::from_u128(9))),
        time: purpose.map(|_| "09:30".into()),
        purpose,
        state,
        can_be_undone: true,
        feet: vec![(Side::Right, Phase::WaitingForTenotomy), (Side::Left, Phase::InCorrection)],
        steps: Vec::new(),
        scored: vec![(Side::Right, EntryId::new(Uuid::from_u128(10)))],
        attention: Some((Urgency::ThisWeek, 2)),
    }
}

/// A day with a row of every kind, a step of every kind and a call of every kind within each step that can have one.
fn everything() -> DayView {
    let casts = in_casts(GIVEN);
    let step = casts.outlook().steps[0].clone();
    let of = |text: StepText| NextStep { words: text.words(), text, ..step.clone() };
    let mut rows: Vec<DayRow> = STATES
        .into_iter()
        .flat_map(|state| {
            [None, Some(Purpose::Cast), Some(Purpose::Tenotomy)].map(|purpose| (state, purpose))
        })
        .map(|(state, purpose)| row(casts.who(), state, purpose))
        .collect();
    rows.push(DayRow { steps: steps().into_iter().map(of).collect(), ..row(casts.who(), STATES[0], None) });
    let of_call = |call: &CallText| DayRow {
        steps: steps_with(call).map(of).into(),
        ..row(casts.who(), STATES[1], Some(Purpose::Cast))
    };
    rows.extend(calls().iter().map(of_call));
    let outlook = in_brace().outlook();
    rows.push(DayRow {
        steps: outlook.steps,
        ..row(in_brace().who(), STATES[1], Some(Purpose::BraceReview))
    });
    rows.extend(unusual().map(|who| row(who, STATES[1], Some(Purpose::Other))));
    DayView { on: today(), rows, near: vec![(day("2024-05-17"), 6)], places: Some(14), closed: None }
}

/// Children of whom something is not known, or not shown.
fn unusual() -> [Who; 6] {
    let plain = just_registered().who();
    let twin = |order| Twin { id: ChildId::new(Uuid::from_u128(7)), name: "Bilal Okello".into(), order };
    [
        Who { name: String::new(), ..plain.clone() },
        Who { name: String::new(), numbers: Vec::new(), born: None, sides: None, ..plain.clone() },
        Who { born: None, born_about: Some(day("2021-03-14")), ..plain.clone() },
        Who { gestation_weeks: Some(30), ..plain.clone() },
        Who {
            twins: vec![twin(Some(BirthOrder::Second)), twin(None)],
            birth_order: Some(BirthOrder::First),
            ..plain.clone()
        },
        Who::restricted(plain.id, vec!["4133".into()]),
    ]
}

fn all_pages() -> Vec<Html> {
    let empty = |closed: Option<&str>| DayView {
        on: today() + 5,
        rows: Vec::new(),
        near: vec![(today() + 7, 9)],
        places: Some(1),
        closed: closed.map(str::to_owned),
    };
    let left_out = Frame { message: Some(pages::day_left_out(PageLanguage::Spanish, 3)), ..spanish() };
    let (_, sample) = every_page().into_iter().find(|(name, _)| *name == "day-spanish").unwrap();
    [
        pages::day(&spanish(), &everything()),
        pages::day(&left_out, &empty(None)),
        pages::day(&spanish(), &empty(Some(""))),
        pages::day(&spanish(), &empty(Some(WHY))),
        sample,
    ]
    .iter()
    .map(|page| Html::parse_document(&page.0))
    .collect()
}

/// Every text of an element outside the parts marked as English, with what is read aloud or shown from attributes.
fn texts(element: ElementRef<'_>, english: bool, found: &mut Vec<String>) {
    let english = element.attr("lang").map_or(english, |lang| lang == "en");
    if !english {
        let shown = ["aria-label", "title", "placeholder", "alt"];
        found.extend(shown.iter().filter_map(|name| element.attr(name)).map(str::to_owned));
    }
    for child in element.children() {
        if let Some(element) = ElementRef::wrap(child) {
            texts(element, english, found);
        } else if let (Node::Text(text), false) = (child.value(), english) {
            found.push(text.to_string());
        }
    }
}

fn spanish_texts(page: &Html) -> Vec<String> {
    let mut found = Vec::new();
    texts(page.root_element(), false, &mut found);
    found.retain(|text| !text.trim().is_empty());
    found
}

fn words(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty()).map(str::to_lowercase)
}

/// The words of the messages of a language, without the names of what is put in and the keys of choices.
fn vocabulary(language: PageLanguage) -> BTreeSet<String> {
    let is_syntax = |part: &str| part.starts_with(['$', '[']) || part.starts_with("*[");
    let mut found = BTreeSet::new();
    for text in messages(language).into_values() {
        let parts = text.split_whitespace().filter(|part| !is_syntax(part));
        parts.for_each(|part| found.extend(words(part)));
    }
    found
}

/// Every word outside the parts marked as English is a word of the Spanish messages, of a Spanish day, or of what
/// somebody typed: names of children, of the clinic, of the reason of a closure.
#[test]
fn every_word_is_spanish_or_marked_as_english_or_typed_by_somebody() {
    let mut known = vocabulary(PageLanguage::Spanish);
    for number in 0..400 {
        known.extend(words(&PageLanguage::Spanish.weekday(today() + number)));
    }
    let typed =
        [GIVEN, WHY, "Rasmussen", "Noor Haddad", "Amina Okello", "Bilal Okello", "Tomas Brandvold", "Ilse"];
    known.extend(typed.iter().flat_map(|text| words(text)));
    known.extend(words("Harbour Road clinic"));
    let mut read = 0;
    for page in all_pages() {
        for text in spanish_texts(&page) {
            let unknown: Vec<String> = words(&text).filter(|word| !known.contains(word)).collect();
            assert!(unknown.is_empty(), "{unknown:?} in “{text}”");
            read += 1;
        }
    }
    assert!(read > 500, "only {read} texts were read");
}

/// No text outside those parts is a message in English, unless both languages have the same.
#[test]
fn no_english_message_stands_outside_what_is_marked() {
    let spanish: BTreeSet<String> = messages(PageLanguage::Spanish).into_values().collect();
    let english: BTreeSet<String> =
        messages(PageLanguage::English).into_values().filter(|text| !spanish.contains(text)).collect();
    assert!(english.len() > 280, "{}", english.len());
    for page in all_pages() {
        for text in spanish_texts(&page) {
            let text = text.trim().trim_end_matches(':');
            assert!(!english.contains(text), "“{text}” is not translated");
        }
    }
}

/// The same page in English has its words within the tables of English: the check above can fail.
#[test]
fn the_check_finds_a_page_in_english() {
    let in_english = Frame { message: None, ..frame(Here::Day) };
    let page = Html::parse_document(&pages::day(&in_english, &everything()).0);
    let main = page.select(&Selector::parse("main").unwrap()).next().unwrap();
    let mut found = Vec::new();
    texts(main, false, &mut found);
    let known = vocabulary(PageLanguage::Spanish);
    let unknown = found.iter().flat_map(|text| words(text)).filter(|word| !known.contains(word)).count();
    assert!(unknown > 500, "{unknown}");
}

fn one<'a>(page: &'a Html, selector: &str) -> ElementRef<'a> {
    let found: Vec<_> = page.select(&Selector::parse(selector).unwrap()).collect();
    assert_eq!(found.len(), 1, "{selector}");
    found[0]
}

#[test]
fn the_page_and_its_english_parts_say_their_language() {
    for page in all_pages() {
        one(&page, "html[lang=es][dir=ltr]");
        for part in ["header.top[lang=en]", "footer[lang=en]", "a.skip[lang=en]"] {
            one(&page, part);
        }
        let line = one(&page, "main p.translation");
        let text: String = line.text().collect();
        assert!(text.starts_with("Traducción pendiente de revisión"), "{text}");
        one(&page, "main p.translation a[href='/account#language']");
    }
    // Of what calls say within steps only the question about the record, and words that were saved, are English.
    let page = Html::parse_document(&pages::day(&spanish(), &everything()).0);
    let marked: Vec<String> = page
        .select(&Selector::parse("main [lang=en]").unwrap())
        .map(|element| element.text().collect())
        .collect();
    let in_english = english_only().iter().flat_map(steps_with).count();
    assert_eq!(marked, vec!["Weight is not recorded."; in_english]);
}

#[test]
fn an_english_page_has_no_mark_and_no_line_about_a_translation() {
    let page = Html::parse_document(&pages::day(&frame(Here::Day), &everything()).0);
    one(&page, "html[lang=en]:not([dir])");
    assert_eq!(page.select(&Selector::parse("html [lang], html [dir], .translation").unwrap()).count(), 0);
}

#[test]
fn notices_about_the_records_stay_english_and_say_so() {
    let standing = vec![pages::StandingNotice { text: "These records are a copy.".into(), href: "/records" }];
    let page = Html::parse_document(&pages::day(&Frame { standing, ..spanish() }, &everything()).0);
    let text: String = one(&page, "main > div[lang=en]").text().collect();
    assert!(text.contains("These records are a copy."), "{text}");
}

#[test]
fn names_numbers_and_what_somebody_typed_are_not_translated() {
    let page = Html::parse_document(&pages::day(&spanish(), &everything()).0);
    let main = one(&page, "main").text().collect::<String>();
    for typed in ["Hope Rasmussen", "Noor Haddad", "Bilal Okello", "n.º 4121", "09:30"] {
        assert!(main.contains(typed), "{typed}");
    }
    let buttons = Selector::parse(".day-do button, .day-do a").unwrap();
    let known = ["Hope Rasmussen", "Noor Haddad", "Amina Okello", "número 4133", "ni número", "restringida"];
    let mut named = 0;
    for button in page.select(&buttons) {
        let text: String = button.text().collect();
        assert!(known.iter().any(|who| text.ends_with(who)), "“{text}” names no child");
        named += 1;
    }
    assert!(named > 40, "{named}");
    let closed = DayView { rows: Vec::new(), closed: Some(WHY.into()), ..everything() };
    let page = Html::parse_document(&pages::day(&spanish(), &closed).0);
    let text: String = one(&page, "main p.message.warning").text().collect();
    assert_eq!(text, "La consulta está cerrada: painting.");
}

/// The same addresses and fields as in English: a translation changes words and nothing else.
#[test]
fn both_languages_lead_to_the_same_places() {
    let places = |frame: &Frame| {
        let page = Html::parse_document(&pages::day(frame, &everything()).0);
        let selector =
            Selector::parse("main .page-head a, main .day-group a, main form, main input, main button")
                .unwrap();
        let of = |element: ElementRef<'_>| {
            ["href", "action", "name", "value", "class", "type"]
                .map(|name| element.attr(name).map(str::to_owned))
        };
        page.select(&selector).map(of).collect::<Vec<_>>()
    };
    let (of_english, of_spanish) = (places(&frame(Here::Day)), places(&spanish()));
    assert!(of_english.len() > 100, "{}", of_english.len());
    assert_eq!(of_english, of_spanish);
}
