//! Every message that a document uses is there, and no other.

use fluent_syntax::{ast::Entry, parser};
use std::{collections::BTreeSet, fs, path::Path};

fn crate_file(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn files(folder: &Path, end: &str, found: &mut Vec<std::path::PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, end, found);
        } else if path.extension().is_some_and(|extension| extension == end) {
            found.push(path);
        }
    }
}

/// The file of letters to colleagues, which are in English only.
const COLLEAGUES: &str = "clinic.ftl";

/// The names of the messages for families in the files of a language; each only once.
pub fn family_names(tag: &str) -> BTreeSet<String> {
    names_where(tag, |file| file != COLLEAGUES)
}

/// The names of all messages in the files of a language; each only once.
fn names(tag: &str) -> BTreeSet<String> {
    names_where(tag, |_| true)
}

fn names_where(tag: &str, wanted: impl Fn(&str) -> bool) -> BTreeSet<String> {
    let mut found = Vec::new();
    files(&crate_file("texts").join(tag), "ftl", &mut found);
    found.retain(|path| path.file_name().is_some_and(|name| wanted(&name.to_string_lossy())));
    let mut names = BTreeSet::new();
    for path in found {
        let text = fs::read_to_string(&path).unwrap();
        let resource =
            parser::parse(text.as_str()).unwrap_or_else(|(_, errors)| panic!("{path:?}: {errors:?}"));
        for entry in resource.body {
            if let Entry::Message(message) = entry {
                assert!(names.insert(message.id.name.to_owned()), "“{}” is there twice", message.id.name);
            }
        }
    }
    names
}

/// Every text between quotation marks in the sources that has the form of a name.
fn quoted() -> BTreeSet<String> {
    let mut found = Vec::new();
    files(&crate_file("src"), "rs", &mut found);
    let texts = found.iter().map(|path| fs::read_to_string(path).unwrap());
    let pieces = texts.flat_map(|text| text.split('"').map(str::to_owned).collect::<Vec<_>>());
    pieces
        .filter(|piece| piece.contains('-') && piece.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
        .collect()
}

#[test]
fn every_message_in_english_is_used() {
    let (names, quoted) = (names("en"), quoted());
    assert!(names.len() > 100, "{}", names.len());
    let unused: Vec<&String> = names.difference(&quoted).collect();
    assert!(unused.is_empty(), "no document uses {unused:?}");
}

/// Begins of the names of messages, by which a quoted text is one.
#[test]
fn every_message_that_a_document_names_is_there() {
    let begins = [
        "stage-",
        "here-",
        "plan-",
        "visit-",
        "next-",
        "bring-",
        "hours-",
        "daily-",
        "ring-",
        "likely-",
        "emergency-",
        "whose-",
        "dates-",
        "telephone-",
        "cast-",
        "brace-",
        "you-",
        "clinic-",
        "talk-",
    ];
    // Keys of documents, not messages.
    let not = [
        "cast-sheet",
        "brace-sheet",
        "appointment-letter",
        "missed-visit-letter",
        "nursery-letter",
        "clinic-summary",
    ];
    let names = names("en");
    let used = quoted().into_iter().filter(|name| begins.iter().any(|begin| name.starts_with(begin)));
    let missing: Vec<String> =
        used.filter(|name| !names.contains(name) && !not.contains(&name.as_str())).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// No sentence of more than 25 words, so that it can be read aloud in one breath (common practice, no source).
#[test]
fn sentences_are_short() {
    let mut found = Vec::new();
    files(&crate_file("texts/en"), "ftl", &mut found);
    let mut long = Vec::new();
    for path in found {
        for line in fs::read_to_string(&path).unwrap().lines().filter(|line| !line.starts_with('#')) {
            let text = line.split_once(" = ").map_or(line, |(_, text)| text);
            for sentence in text.split(['.', '?', ':', '!']) {
                if sentence.split_whitespace().count() > 25 {
                    long.push(sentence.to_owned());
                }
            }
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}
