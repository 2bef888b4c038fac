//! A clinic's own texts: what is refused, what is printed, and what makes a translation await review again.

use crate::children::{BRACE, CASTS, with};
use letters::{
    ColleagueDocumentKind, FamilyDocumentKind, Language, LetterLanguage, MESSAGE_GROUPS, PlanChoices,
    Sentence, TextFault, Wording, brace_sheet, built_in_text, check_text, family_plan,
    html::{DocumentLook, PageFrame, Printed, STYLE, page_as},
    samples, texts_of_group,
};
use record::{FamilyLanguage, HandedDocument, Side};
use scraper::{Html, Selector};
use std::{collections::BTreeMap, fs, path::Path};

fn texts(rows: &[(&str, &str)]) -> BTreeMap<String, String> {
    rows.iter().map(|(id, text)| ((*id).to_owned(), (*text).to_owned())).collect()
}

fn refused(id: &str, text: &str) -> TextFault {
    check_text(Language::English, id, text, &BTreeMap::new()).unwrap_err()
}

/// The texts of the program pass their own check, in every language: as they are shown, they can be saved.
#[test]
fn every_text_of_the_program_passes_the_check() {
    let mut checked = 0;
    for language in Language::ALL {
        for (group, _) in MESSAGE_GROUPS {
            for text in texts_of_group(language, group) {
                let outcome = check_text(language, &text.id, &text.text, &BTreeMap::new());
                assert_eq!(outcome, Ok(()), "{language:?} {}: {}", text.id, text.text);
                checked += 1;
            }
        }
    }
    assert!(checked > 9 * 150, "{checked}");
}

/// As it is shown in the form, a text says the same as in the file.
#[test]
fn a_text_that_is_saved_unchanged_is_printed_unchanged() {
    for language in Language::ALL {
        for (group, _) in MESSAGE_GROUPS {
            for text in texts_of_group(language, group) {
                let wording = Wording::of_clinic(language, &texts(&[(&text.id, &text.text)]), None);
                for (put_in, sentence) in samples(language, &text.id) {
                    let (own, program) =
                        (wording.text(&sentence).unwrap(), Wording::built_in(language).text(&sentence));
                    assert_eq!(own, program.unwrap(), "{language:?} {} {put_in}", text.id);
                }
            }
        }
    }
}

#[test]
fn a_broken_text_is_refused_with_its_line_and_reason() {
    assert!(matches!(refused("no-such-text", "x"), TextFault::NoSuchText));
    assert!(matches!(refused("cast-dry", "  \n "), TextFault::Blank));
    assert!(matches!(
        refused("cast-dry", "One.\nSee <b>here</b>."),
        TextFault::Markup { line: 2, sign: '<' }
    ));
    let open = refused("plan-title", "Plan\nfor { $name");
    assert!(matches!(open, TextFault::Syntax { line: 2, .. }), "{open:?}");
    assert!(open.to_string().contains("Line 2 cannot be read"), "{open}");
    let unknown = refused("plan-title", "Plan\nof { $mother }");
    assert_eq!(unknown.to_string(), "Line 2: “$mother” is not known in this text. It can have: { $name }.");
    assert!(matches!(refused("cast-dry", "{ no-such-message }"), TextFault::UnknownText { line: 1, .. }));
    assert!(matches!(refused("cast-dry", "{ -brand }"), TextFault::UnknownText { .. }));
    assert!(matches!(refused("hours-now", "{ NUMBER($hours) }"), TextFault::UnknownText { .. }));
    assert!(matches!(refused("cast-dry", &"long ".repeat(90)), TextFault::TooLong { found: 450, most: 400 }));
    for injected in [".title = x", "Dry.\n.title = x"] {
        assert!(matches!(refused("cast-dry", injected), TextFault::Syntax { .. }), "{injected}");
    }
    // A line that looks like another message is a part of this one.
    assert_eq!(check_text(Language::English, "cast-dry", "Dry.\ncast-nappy = x", &BTreeMap::new()), Ok(()));
    let own = Wording::of_clinic(Language::English, &texts(&[("cast-dry", "Dry.\ncast-nappy = x")]), None);
    assert!(own.text(&Sentence::new("cast-nappy")).unwrap().starts_with("Put the nappy on"));
}

/// A day, a number or a foot that is left out, and a foot that is no longer told apart.
#[test]
fn what_a_family_must_be_told_cannot_be_left_out() {
    let missing = |id: &str, text: &str| match refused(id, text) {
        TextFault::MissingVariable { name, carries } => format!("{name}: {carries}"),
        other => panic!("{id}: {other:?}"),
    };
    assert_eq!(missing("appointment-when", "Please come soon."), "day: a day");
    assert_eq!(missing("hours-now", "All night."), "hours: a number");
    assert_eq!(missing("you-are-here", "You are here"), "feet: which foot");
    assert_eq!(missing("appointment-when-time", "Come on { $day }."), "time: a time");
    let same = "{ $feet ->\n   *[both] The foot is\n  } in casts.";
    assert_eq!(missing("here-casts", same), "feet: which foot");
    let no_both = "{ $feet ->\n    [left] The left foot is\n   *[right] The right foot is\n  } in casts.";
    assert_eq!(missing("here-casts", no_both), "feet: which foot");
    assert_eq!(missing("whose-name", "Our patient"), "name: whose the document is");
    // The name of the child may be left out of a sentence.
    assert_eq!(check_text(Language::English, "plan-title", "Your plan", &BTreeMap::new()), Ok(()));
}

#[test]
fn a_text_that_comes_back_to_itself_is_refused() {
    let itself = refused("cast-dry", "Dry: { cast-dry }");
    assert_eq!(itself, TextFault::Loop("cast-dry → cast-dry".to_owned()));
    let own = texts(&[("cast-nappy", "See { cast-dry }")]);
    let through = check_text(Language::English, "cast-dry", "See { cast-nappy }", &own);
    assert_eq!(through, Err(TextFault::Loop("cast-dry → cast-nappy → cast-dry".to_owned())));
    // In one direction it can be used.
    assert_eq!(check_text(Language::English, "cast-dry", "See { cast-nappy }", &BTreeMap::new()), Ok(()));
    // A text that refers to one which needs more than is put in here.
    let needs = check_text(Language::English, "cast-dry", "{ appointment-when }", &BTreeMap::new());
    assert!(matches!(needs, Err(TextFault::NotFilled(_))), "{needs:?}");
}

/// What was saved once and cannot be used any more never breaks the document: the program's own text is printed.
#[test]
fn a_text_that_cannot_be_used_is_left_out_and_named() {
    let own = texts(&[("cast-dry", "Dry { $gone }"), ("cast-nappy", "Nappy outside.")]);
    let wording = Wording::of_clinic(Language::English, &own, None);
    assert!(wording.text(&Sentence::new("cast-dry")).unwrap().starts_with("Wash your child"));
    assert_eq!(wording.text(&Sentence::new("cast-nappy")).unwrap(), "Nappy outside.");
    let left_out: Vec<&str> = wording.left_out().iter().map(|text| text.id.as_str()).collect();
    assert_eq!(left_out, ["cast-dry"]);
}

#[test]
fn a_confirmation_holds_for_the_texts_that_were_read() {
    let none = BTreeMap::new();
    let before = Wording::of_clinic(Language::Swahili, &none, None);
    assert!(before.awaits_review());
    let confirmed = before.fingerprint().to_owned();
    assert!(!Wording::of_clinic(Language::Swahili, &none, Some(&confirmed)).awaits_review());
    let (_, dry) = built_in_text(Language::Swahili, "cast-dry").unwrap();
    let own = texts(&[("cast-dry", &format!("{dry} Sawa."))]);
    assert!(
        Wording::of_clinic(Language::Swahili, &own, Some(&confirmed)).awaits_review(),
        "a text was changed"
    );
    assert!(
        Wording::of_clinic(Language::Hindi, &none, Some(&confirmed)).awaits_review(),
        "of another language"
    );
    assert!(!Wording::built_in(Language::English).awaits_review());
}

fn drawn(rows: &str, on: &str, name: &str, language: Language, beside: bool, look: DocumentLook) -> Html {
    let (wording, english) = (Wording::built_in(language), Wording::built_in(Language::English));
    let printed = Printed { wording: &wording, beside: beside.then_some(&english), look };
    let frame = PageFrame { style: "letters.css", above: None };
    let html = with(rows, on, |facts| {
        page_as(&family_plan(&facts.unwrap(), PlanChoices::default()), printed, frame).unwrap().into_string()
    });
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("letters.css"), STYLE).unwrap();
    fs::write(folder.join(format!("{name}.html")), &html).unwrap();
    Html::parse_document(&html)
}

fn all(page: &Html, selector: &str) -> Vec<String> {
    let selector = Selector::parse(selector).unwrap();
    page.select(&selector).map(|found| found.text().collect::<String>()).collect()
}

/// Every sentence of the translation has its English beside it, also the signs with their pictures.
#[test]
fn a_translation_stands_beside_the_english() {
    let page = drawn(CASTS, "2025-02-10", "plan-sw-en", Language::Swahili, true, DocumentLook::default());
    let english = all(&page, ".pair .beside[lang=en]");
    for sentence in
        ["The left foot is in casts.", "Plan for Solveig", "you can no longer see the toes", "Ring us if"]
    {
        assert!(english.iter().any(|text| text.contains(sentence)), "{sentence}: {english:#?}");
    }
    assert_eq!(all(&page, ".signs li svg").len(), all(&page, ".signs li .pair").len());
    let days: Vec<&String> = english.iter().filter(|text| text.contains("Monday 17 February 2025")).collect();
    assert!(!days.is_empty(), "{english:#?}");
    let first = all(&page, "main > header + *").join("");
    assert!(first.contains("Come to emergency care today if"), "not on the first sheet for certain: {first}");
    let alone = drawn(CASTS, "2025-02-10", "plan-sw", Language::Swahili, false, DocumentLook::default());
    assert!(all(&alone, ".pair").is_empty());
}

/// The signs to come at once and the telephone stand at the top; every block and its heading are still there.
#[test]
fn pictures_first_moves_blocks_and_loses_none() {
    let usual = drawn(BRACE, "2024-11-11", "plan-usual", Language::English, false, DocumentLook::default());
    let look = DocumentLook { large: true, pictures_first: true };
    let moved = drawn(BRACE, "2024-11-11", "plan-pictures", Language::English, false, look);
    let words = |page: &Html| {
        let main = Selector::parse("main").unwrap();
        let text = page.select(&main).flat_map(|main| main.text()).collect::<Vec<_>>().join(" ");
        let mut words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
        words.sort();
        words
    };
    assert_eq!(words(&usual), words(&moved));
    let first = all(&moved, "main > header + *").join("");
    assert!(first.contains("Come to emergency care today if"), "{first}");
    assert_eq!(all(&moved, "main.large.pictures").len(), 1);
    // A heading is followed by what it is the heading of.
    let way = all(&moved, "h2 + ol.way");
    assert_eq!(way.len(), 1, "the heading went with the way");
}

#[test]
fn a_document_and_a_language_have_the_same_key_in_an_entry() {
    let mut met = Vec::new();
    for kind in FamilyDocumentKind::ALL {
        let recorded =
            kind.recorded().unwrap_or_else(|| panic!("{kind:?} cannot be recorded as handed over"));
        assert_eq!(recorded.words().to_lowercase(), kind.words().to_lowercase(), "{kind:?}");
        met.push(recorded);
    }
    for kind in ColleagueDocumentKind::ALL {
        let recorded = kind.recorded();
        assert_eq!((recorded.key(), recorded.is_for_colleagues()), (kind.key(), true));
        assert_eq!(recorded.words().to_lowercase(), kind.words().to_lowercase(), "{kind:?}");
        met.push(recorded);
    }
    assert!(HandedDocument::ALL.iter().all(|document| met.contains(document)));
    assert!(
        FamilyDocumentKind::ALL.iter().filter_map(|kind| kind.recorded()).all(|one| !one.is_for_colleagues())
    );
    for language in Language::ALL {
        assert_eq!(language.recorded().key(), language.tag());
    }
    assert_eq!(FamilyLanguage::ALL.len(), Language::ALL.len());
}

/// As people write languages down.
#[test]
fn the_language_of_a_carer_is_found_in_words() {
    for (words, language) in [
        ("Swahili", Some(Language::Swahili)),
        ("kiswahili, some English", Some(Language::Swahili)),
        ("Luo, Swahili", Some(Language::Swahili)),
        ("Español", Some(Language::Spanish)),
        ("PORTUGUÊS", Some(Language::Portuguese)),
        ("bn", Some(Language::Bengali)),
        ("Arabic (speaks)", Some(Language::Arabic)),
        ("አማርኛ", Some(Language::Amharic)),
        ("French and Wolof", Some(Language::French)),
        ("Luo", None),
        ("not English", None),
        ("", None),
    ] {
        assert_eq!(Language::of_words(words), language, "{words}");
    }
    for language in Language::ALL {
        assert_eq!(Language::of_words(&language.own_name()), Some(language));
    }
}

/// A clinic's own text is printed for the foot that is meant.
#[test]
fn an_own_text_is_printed_for_its_foot() {
    let text = "{ $foot ->\n    [left] Left shoe\n   *[right] Right shoe\n  }";
    let own = Wording::of_clinic(Language::English, &texts(&[("brace-size", text)]), None);
    for (side, words) in [(Side::Left, "Left shoe"), (Side::Right, "Right shoe")] {
        assert_eq!(own.text(&Sentence::new("brace-size").with("foot", side)).unwrap(), words);
    }
    let frame = PageFrame { style: "letters.css", above: None };
    let printed = Printed { wording: &own, beside: None, look: DocumentLook::default() };
    let html = with(BRACE, "2024-11-11", |facts| {
        page_as(&brace_sheet(&facts.unwrap()).unwrap(), printed, frame).unwrap().into_string()
    });
    assert!(html.contains("Left shoe") && html.contains("Right shoe") && !html.contains("Left boot<"));
}
