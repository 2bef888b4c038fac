//! Every language has every message, and every document can be made in it.

use crate::{
    children::{BRACE, CASTS, RELAPSE, with},
    messages::family_names,
};
use letters::{
    Arg, ExpectTopic, FamilyDocument, FamilyFacts, Language, LetterLanguage, PlanChoices, Sentence,
    appointment_letter, brace_sheet, cast_sheet, expect_sheet, family_plan,
    html::{PageFrame, STYLE, page},
    missed_visit_letter, nursery_letter, wear_diary,
};
use record::Day;
use std::{fs, path::Path};

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

#[test]
fn every_language_has_the_messages_of_english() {
    let english = family_names("en");
    for language in Language::ALL {
        let mut own = family_names(language.tag());
        if language.awaits_review() {
            assert!(own.remove("translation-awaits-review"), "{language:?}");
        }
        let missing: Vec<_> = english.difference(&own).collect();
        let more: Vec<_> = own.difference(&english).collect();
        assert!(missing.is_empty() && more.is_empty(), "{language:?}: missing {missing:?}, more {more:?}");
    }
}

pub fn documents(facts: &FamilyFacts<'_>) -> Vec<FamilyDocument> {
    let optional = [
        cast_sheet(facts),
        brace_sheet(facts),
        appointment_letter(facts),
        missed_visit_letter(facts),
        nursery_letter(facts),
        wear_diary(facts),
    ];
    let mut all = vec![family_plan(facts, PlanChoices::default())];
    all.extend(optional.into_iter().flatten());
    all.extend(ExpectTopic::ALL.map(|topic| expect_sheet(facts, topic)));
    all
}

/// Every document of three children in every language; the pages are also written to be looked at.
#[test]
fn every_document_can_be_made_in_every_language() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("letters.css"), STYLE).unwrap();
    let mut made = 0;
    for (child, rows, on) in
        [("casts", CASTS, "2025-02-10"), ("brace", BRACE, "2024-11-11"), ("relapse", RELAPSE, "2025-02-24")]
    {
        let all = with(rows, on, |facts| documents(&facts.unwrap()));
        for document in &all {
            for language in Language::ALL {
                let frame = PageFrame { style: "letters.css", above: None };
                let html =
                    page(document, language, frame).unwrap_or_else(|error| panic!("{language:?}: {error}"));
                let name = format!("{}-{child}-{}.html", language.tag(), document.kind.key());
                fs::write(folder.join(name), html.into_string()).unwrap();
                made += 1;
            }
        }
    }
    // Ten documents for each child at least: the plan and nine sheets.
    assert!(made >= 3 * 10 * Language::ALL.len(), "{made}");
}

/// The words for left and right in each language. A text about the left foot has the first and never the second.
const SIDES: [(Language, &str, &str); 9] = [
    (Language::English, "left", "right"),
    (Language::Spanish, "izquierd", "derech"),
    (Language::French, "gauche", "droit"),
    (Language::Portuguese, "esquerd", "direit"),
    (Language::Swahili, "kushoto", "kulia"),
    (Language::Hindi, "बाय|बाएँ", "दाय|दाएँ"),
    (Language::Bengali, "বাঁ", "ডান"),
    (Language::Arabic, "يسرى|أيسر", "يمنى|أيمن"),
    (Language::Amharic, "ግራ", "ቀኝ"),
];

/// Messages that name one foot by `$feet` or `$foot`.
const SIDED: [&str; 12] = [
    "you-are-here",
    "here-first-visit",
    "here-casts",
    "here-casts-again",
    "here-heel-cord",
    "here-last-cast",
    "here-brace-day-and-night",
    "here-after-brace",
    "likely-casts",
    "likely-heel-cord",
    "brace-turned-out",
    "brace-size",
];

#[test]
fn left_and_right_are_never_exchanged() {
    for (language, left, right) in SIDES {
        for id in SIDED {
            let text = |side: &'static str| {
                let numbers = ["children", "from", "to", "low", "high"];
                let sentence = Sentence::new(id)
                    .with("feet", Arg::Key(side))
                    .with("foot", Arg::Key(side))
                    .with("name", "N");
                let sentence = numbers.into_iter().fold(sentence, |sentence, name| sentence.with(name, 2));
                language
                    .text(&sentence)
                    .unwrap()
                    .to_lowercase()
                    .replace("its right place", "")
                    .replace("the right place", "")
                    .replace("a droite", "")
            };
            let (of_left, of_right) = (text("left"), text("right"));
            let has = |text: &str, words: &str| words.split('|').any(|word| text.contains(word));
            assert!(has(&of_left, left) && !has(&of_left, right), "{language:?} {id}: {of_left}");
            assert!(has(&of_right, right) && !has(&of_right, left), "{language:?} {id}: {of_right}");
        }
    }
}

/// Days as CLDR writes them, from the library; the Ethiopian day by hand: its year 2017 began on 11 September 2024, and
/// after five months of thirty days the sixth begins on 8 February 2025, so that 4 March is its 25th day.
#[test]
fn days_are_written_as_the_language_writes_them() {
    let day = day("2025-03-04");
    assert_eq!(Language::English.day(day), "Tuesday 4 March 2025");
    assert_eq!(Language::French.day(day), "mardi 4 mars 2025");
    assert_eq!(Language::Spanish.day(day), "martes, 4 de marzo de 2025");
    assert_eq!(Language::Swahili.day(day), "Jumanne, 4 Machi 2025");
    let amharic = Language::Amharic.day(day);
    assert!(amharic.contains("2025") && amharic.contains("25") && amharic.contains("2017"), "{amharic}");
    assert!(Language::Arabic.day(day).contains("2025"), "{}", Language::Arabic.day(day));
    assert_eq!(Language::English.short_day(day), "Tue 4");
}

/// Swahili and Amharic count the hours from six in the morning: half past nine is half past three.
#[test]
fn times_are_given_by_both_clocks_where_there_are_two() {
    assert_eq!(Language::Swahili.time("09:30"), "09:30 (saa 3:30 asubuhi)");
    assert_eq!(Language::Amharic.time("9.30"), "9.30 (ከጠዋቱ 3:30)");
    // Noon is six, six in the evening is twelve, one in the night is seven.
    for (western, hour) in [("12:00", "6:00"), ("18:00", "12:00"), ("01:15", "7:15"), ("06:00", "12:00")] {
        assert!(Language::Swahili.time(western).contains(&format!("saa {hour} ")), "{western}");
    }
    for other in ["morning", "25:00", "", "9"] {
        assert_eq!(Language::Swahili.time(other), other);
    }
    assert_eq!(Language::French.time("09:30"), "09:30");
}
