//! The words by which columns are known, in ten languages in Latin letters and, for the common columns, in
//! six of other scripts.

pub(crate) mod done;

use crate::{
    Meaning,
    lists::HEADING_LISTS,
    meaning::FieldColumn,
    sides::{SideWord, of_either_letter, side_word},
    text::{camel_tokens, tokens},
};
use std::{
    collections::{BTreeMap, HashMap},
    sync::OnceLock,
};

const HEADERS: &str = include_str!("headers.toml");
const SCRIPTS: &str = include_str!("scripts.toml");

/// What a phrase means and in which languages.
#[derive(Debug, Clone)]
pub(crate) struct Sense {
    pub(crate) meaning: Meaning,
    pub(crate) languages: Vec<&'static str>,
}

type Dictionary = HashMap<String, Sense>;

fn without_joining(words: &[String]) -> String {
    let kept: Vec<&str> =
        words.iter().map(String::as_str).filter(|word| !HEADING_LISTS.joining.has(word)).collect();
    kept.join(" ")
}

/// The dictionary without joining words; a phrase that then means two things is left out.
fn short_dictionary() -> &'static Dictionary {
    static WORDS: OnceLock<Dictionary> = OnceLock::new();
    WORDS.get_or_init(|| {
        let mut out = Dictionary::new();
        let mut unclear = Vec::new();
        for (phrase, sense) in dictionary() {
            let short = without_joining(&tokens(phrase));
            match out.get(&short) {
                Some(other) if other.meaning != sense.meaning => unclear.push(short),
                _ => {
                    out.insert(short, sense.clone());
                }
            }
        }
        out.retain(|phrase, _| !unclear.contains(phrase) && !phrase.is_empty());
        out
    })
}

/// A phrase each of whose words begins with a word of the heading, as "Pli post." for "pli posterieur".
/// All phrases that fit must mean the same.
fn abbreviated(words: &[String]) -> Option<(String, Sense)> {
    let long_enough = words.len() >= 2 && words.iter().all(|word| word.chars().count() >= 3);
    if !long_enough || words.len() > 4 {
        return None;
    }
    let fits = |phrase: &str| {
        let others: Vec<&str> = phrase.split(' ').collect();
        others.len() == words.len()
            && others.iter().zip(words).all(|(other, word)| other.starts_with(word.as_str()))
    };
    let mut found = short_dictionary().iter().filter(|(phrase, _)| fits(phrase));
    let (phrase, sense) = found.next()?;
    found.all(|(_, other)| other.meaning == sense.meaning).then(|| (phrase.clone(), sense.clone()))
}

/// The words of the built-in list, and a sentence if the list itself cannot be read.
pub(crate) fn dictionary() -> &'static Dictionary {
    static WORDS: OnceLock<Dictionary> = OnceLock::new();
    WORDS.get_or_init(|| {
        let mut words = Dictionary::new();
        for text in [HEADERS, SCRIPTS] {
            read(text, &mut words).unwrap_or_default();
        }
        for column in FieldColumn::all() {
            for phrase in column.spec().map_or(&[][..], |spec| spec.columns) {
                let sense = || Sense { meaning: Meaning::Field(column), languages: vec!["en"] };
                words.entry(tokens(phrase).join(" ")).or_insert_with(sense);
            }
        }
        words
    })
}

fn read(text: &'static str, words: &mut Dictionary) -> Option<()> {
    let all: BTreeMap<String, BTreeMap<String, Vec<String>>> = toml::from_str(text).ok()?;
    for (key, languages) in all {
        let meaning = Meaning::from_key(&key)?;
        for (language, phrases) in languages {
            let language = LANGUAGES.iter().find(|(code, _)| *code == language)?.0;
            for phrase in phrases {
                let entry = words.entry(tokens(&phrase).join(" "));
                let sense = entry.or_insert_with(|| Sense { meaning, languages: Vec::new() });
                if sense.meaning == meaning {
                    sense.languages.push(language);
                }
            }
        }
    }
    Some(())
}

/// Languages of the word list: code and name.
pub(crate) const LANGUAGES: [(&str, &str); 16] = [
    ("en", "English"),
    ("es", "Spanish"),
    ("pt", "Portuguese"),
    ("fr", "French"),
    ("de", "German"),
    ("it", "Italian"),
    ("nl", "Dutch"),
    ("sw", "Swahili"),
    ("tr", "Turkish"),
    ("id", "Indonesian"),
    ("ru", "Russian"),
    ("ar", "Arabic"),
    ("hi", "Hindi"),
    ("bn", "Bengali"),
    ("am", "Amharic"),
    ("zh", "Chinese"),
];

/// One reading of a heading: a meaning, and what was taken off to find it.
#[derive(Debug, Clone)]
pub(crate) struct Reading {
    pub(crate) sense: Sense,
    /// The phrase found in the list.
    pub(crate) phrase: String,
    /// The side word taken off, if any.
    pub(crate) side: Option<SideWord>,
    /// The visit number taken off, if any.
    pub(crate) visit: Option<u16>,
    /// 100 for the phrase itself, less for every step taken.
    pub(crate) confidence: u8,
    /// Whether the side word is also something else in a heading, so that it counts only together with its pair.
    pub(crate) weak: bool,
}

/// Every way to read a heading, the surest first.
pub(crate) fn readings(header: &str) -> Vec<Reading> {
    let header = without_scale(header);
    let mut out: Vec<Reading> = Vec::new();
    let mut forms = vec![tokens(&header)];
    let camel = camel_tokens(&header);
    if forms.first() != Some(&camel) {
        forms.push(camel);
    }
    for form in forms {
        if form.is_empty() || form.len() > 14 {
            continue;
        }
        plain(&form, None, None, 100, &mut out);
        if let Some((side, rest)) = weak_side(&form) {
            let before = out.len();
            plain(&rest, Some(side), None, 85, &mut out);
            shortened(&rest, Some(side), &mut out, before);
            out.iter_mut().skip(before).for_each(|reading| reading.weak = true);
        }
        for (side, rest) in without_side(&form) {
            let before = out.len();
            plain(&rest, Some(side), None, 95, &mut out);
            if let Some((visit, rest)) = without_number(&rest) {
                plain(&rest, Some(side), Some(visit), 92, &mut out);
            }
            shortened(&rest, Some(side), &mut out, before);
        }
        if let Some((visit, rest)) = without_number(&form) {
            plain(&rest, None, Some(visit), 93, &mut out);
        }
        glued(&form, &mut out);
        bare(&form, &mut out);
        if let Some(rest) = without_pair(&header, &form) {
            plain(&rest, None, None, 60, &mut out);
        }
        shortened(&form, None, &mut out, 0);
    }
    if out.is_empty() {
        out.extend(parts(&header));
    }
    out.sort_by_key(|reading| std::cmp::Reverse(reading.confidence));
    out
}

/// Adds the reading of an abbreviated phrase where none was found since `before`.
fn shortened(words: &[String], side: Option<SideWord>, out: &mut Vec<Reading>, before: usize) {
    if let Some((phrase, sense)) = abbreviated(words).filter(|_| out.len() == before) {
        out.push(Reading { sense, phrase, side, visit: None, confidence: 70, weak: false });
    }
}

/// The heading without a last word that is a side word in a cell and something else in many headings.
fn weak_side(words: &[String]) -> Option<(SideWord, Vec<String>)> {
    let (last, rest) = words.split_last()?;
    let lists = &*crate::lists::SIDE_LISTS;
    let side = match (lists.right.has(last), lists.left.has(last)) {
        _ if !lists.not_in_headings.has(last) || rest.is_empty() => return None,
        (true, _) => record::Side::Right,
        (_, true) => record::Side::Left,
        _ => return None,
    };
    Some((SideWord::Full(side), rest.to_vec()))
}

/// "Treatment/Procedure": parts that, as far as they are known, mean the same.
fn parts(header: &str) -> Option<Reading> {
    let pieces: Vec<&str> =
        header.split(['/', '(', ')', ':', ',', '\n', '–']).filter(|part| part.len() > 1).collect();
    if !(2..=4).contains(&pieces.len()) {
        return None;
    }
    let mut found = Vec::new();
    for piece in pieces {
        let words = tokens(piece);
        if !words.is_empty() && words.len() <= 8 {
            plain(&words, None, None, 75, &mut found);
        }
    }
    let first = found.first()?.sense.meaning;
    found.iter().all(|reading| reading.sense.meaning == first).then(|| found.swap_remove(0))
}

/// "PC (0-1)" and "Total /6" without the scale.
fn without_scale(header: &str) -> String {
    let mut out = String::with_capacity(header.len());
    let mut rest = header;
    while let Some((before, bracket)) = rest.split_once('(') {
        let (inside, after) = match bracket.split_once(')') {
            Some((inside, after)) => (Some(inside), after),
            None => (None, ""),
        };
        out.push_str(before);
        rest = after;
        // "Né(e) le" is "Né le".
        let glued =
            before.ends_with(char::is_alphabetic) && inside.is_some_and(|inside| inside.chars().count() <= 2);
        if glued {
            continue;
        }
        let inside = inside.unwrap_or(bracket);
        if inside.chars().any(char::is_alphabetic) {
            out.extend(["(", inside, ")"]);
        } else {
            out.push(' ');
        }
    }
    out.push_str(rest);
    let trimmed = out.trim_end().trim_end_matches(|c: char| c.is_ascii_digit());
    let scale = trimmed.len() < out.trim_end().len() && trimmed.trim_end().ends_with('/');
    if scale { trimmed.trim_end().trim_end_matches('/').to_owned() } else { out }
}

fn plain(
    words: &[String],
    side: Option<SideWord>,
    visit: Option<u16>,
    confidence: u8,
    out: &mut Vec<Reading>,
) {
    let mut add = |words: &[String], confidence: u8| {
        let phrase = words.join(" ");
        let sense =
            dictionary().get(&phrase).or_else(|| short_dictionary().get(&without_joining(words))).cloned();
        let found = sense.is_some();
        out.extend(sense.map(|sense| Reading { sense, phrase, side, visit, confidence, weak: false }));
        found
    };
    if words.is_empty() || add(words, confidence) {
        return;
    }
    let without = |words: &[String], drop: &dyn Fn(&str) -> bool| -> Vec<String> {
        words.iter().filter(|word| !drop(word)).cloned().collect()
    };
    let numbered = visit.is_some() || side.is_some();
    let unvisited = without(words, &|word| numbered && HEADING_LISTS.visit.has(word));
    let uncast = without(&unvisited, &|word| numbered && HEADING_LISTS.cast.has(word));
    let tries = [unvisited.clone(), uncast, without(words, &is_filler), without(&unvisited, &is_filler)];
    for (taken, shorter) in (5..).zip(tries) {
        if !shorter.is_empty() && shorter.len() < words.len() && add(&shorter, confidence - taken) {
            return;
        }
    }
}

fn is_filler(word: &str) -> bool {
    HEADING_LISTS.filler.has(word)
}

/// The heading without each word that can mean a side.
fn without_side(words: &[String]) -> Vec<(SideWord, Vec<String>)> {
    let mut out = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let Some(side) = side_word(word) else { continue };
        let mut rest = words.to_vec();
        rest.remove(at);
        if rest.iter().any(|word| side_word(word).is_some_and(|other| other.is_full())) {
            continue;
        }
        out.push((side, rest));
    }
    out
}

/// "Pirani D/G" without the two feet, whose scores are in one cell.
fn without_pair(header: &str, words: &[String]) -> Option<Vec<String>> {
    let feet = |at: usize| words.get(at).and_then(|word| of_either_letter(word));
    let at = (0..words.len()).find(|&at| feet(at).is_some() && feet(at + 1).is_some())?;
    let mut rest = words.to_vec();
    rest.drain(at..at + 2);
    (header.contains('/') && feet(at) != feet(at + 1) && !rest.is_empty()).then_some(rest)
}

/// The heading without its number, where it has exactly one of one or two digits.
fn without_number(words: &[String]) -> Option<(u16, Vec<String>)> {
    let is_number = |word: &str| word.bytes().all(|b| b.is_ascii_digit());
    let numbers: Vec<usize> =
        words.iter().enumerate().filter(|(_, word)| is_number(word)).map(|(at, _)| at).collect();
    if numbers.is_empty() {
        let at = words.iter().position(|word| HEADING_LISTS.first_visit.has(word))?;
        let rest: Vec<String> =
            words.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, w)| w.clone()).collect();
        return (!rest.is_empty()).then_some((1, rest));
    }
    let &[at] = numbers.as_slice() else { return None };
    let number: u16 = words.get(at)?.parse().ok().filter(|number| (1..=99).contains(number))?;
    let mut rest = words.to_vec();
    rest.remove(at);
    if rest.get(at).is_some_and(|word| HEADING_LISTS.ordinal.has(word)) {
        rest.remove(at);
    }
    (!rest.is_empty()).then_some((number, rest))
}

/// "RPC", "PCL": a side letter glued to the short form of a sign.
fn glued(words: &[String], out: &mut Vec<Reading>) {
    let [word] = words else { return };
    // "der" is a foot and no "DE" of the right foot.
    let is_side = crate::sides::full(word).is_some();
    if !(3..=6).contains(&word.len()) || !word.is_ascii() || is_side || dictionary().contains_key(word) {
        return;
    }
    let first = word.split_at_checked(1);
    let last = word.split_at_checked(word.len() - 1).map(|(rest, letter)| (letter, rest));
    for (letter, rest) in [first, last].into_iter().flatten() {
        let side = side_word(letter).filter(|_| matches!(letter, "r" | "l"));
        let sense = dictionary().get(rest).filter(|sense| sense.meaning.is_measured());
        if let (Some(side), Some(sense)) = (side, sense.cloned()) {
            out.push(Reading {
                sense,
                phrase: rest.to_owned(),
                side: Some(side),
                visit: None,
                confidence: 80,
                weak: false,
            });
        }
    }
}

/// "R", or "Visit 2 L" and nothing more: the total of that foot, if the cells are scores.
fn bare(words: &[String], out: &mut Vec<Reading>) {
    for (side, rest) in without_side(words) {
        let (visit, rest) = match without_number(&rest) {
            Some((visit, rest)) => (Some(visit), rest),
            None => (None, rest),
        };
        let nothing_more =
            rest.iter().all(|word| HEADING_LISTS.visit.has(word) || word == "foot" || word == "side");
        if nothing_more && (visit.is_some() || rest.is_empty()) {
            let sense = Sense { meaning: Meaning::Total, languages: Vec::new() };
            out.push(Reading {
                sense,
                phrase: String::new(),
                side: Some(side),
                visit,
                confidence: 55,
                weak: false,
            });
        }
    }
}

/// The nearest phrase for a heading that may be misspelt.
pub(crate) fn nearest(header: &str) -> Option<(Sense, String)> {
    let wanted = tokens(&without_scale(header)).join(" ");
    // Counted in characters: a short word in another script has many bytes and few letters to be sure by.
    let count = |text: &str| text.chars().count();
    let length = count(&wanted);
    if !(7..=60).contains(&length) || wanted.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let near = |phrase: &str| {
        count(phrase) >= 7
            && count(phrase).abs_diff(length) <= 2
            && strsim::osa_distance(phrase, &wanted) <= if length < 12 { 1 } else { 2 }
    };
    let mut found: Vec<_> = dictionary().iter().filter(|(phrase, _)| near(phrase)).collect();
    found.sort_by_key(|(phrase, _)| (*phrase).clone());
    let first = found.first()?.1.meaning;
    let agree = found.iter().all(|(_, sense)| sense.meaning == first);
    found.first().filter(|_| agree).map(|(phrase, sense)| ((*sense).clone(), (*phrase).clone()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic, clippy::unwrap_used)]
    use super::*;

    /// Every phrase of a file with its meaning.
    fn phrases(text: &str) -> Vec<(String, Meaning)> {
        let all: BTreeMap<String, BTreeMap<String, Vec<String>>> = toml::from_str(text).unwrap();
        let mut found = Vec::new();
        for (key, languages) in all {
            let meaning = Meaning::from_key(&key).unwrap_or_else(|| panic!("no meaning has the key {key}"));
            for (language, phrases) in languages {
                assert!(LANGUAGES.iter().any(|(code, _)| *code == language), "{key}: {language}");
                assert!(!phrases.is_empty(), "{key}: {language}");
                found.extend(phrases.iter().map(|phrase| (tokens(phrase).join(" "), meaning)));
            }
        }
        found
    }

    #[test]
    fn the_lists_of_headings_are_well_formed_and_no_heading_has_two_meanings() {
        let mut known = HashMap::new();
        for (phrase, meaning) in [HEADERS, SCRIPTS].into_iter().flat_map(phrases) {
            assert!(!phrase.is_empty(), "{meaning:?}");
            let first = *known.entry(phrase.clone()).or_insert(meaning);
            assert_eq!(first, meaning, "{phrase}");
        }
        let declared = |sense: &&Sense| matches!(sense.meaning, Meaning::Field(_));
        let declared = dictionary().values().filter(declared).count();
        assert!(declared > 0, "the kinds that declare columns are in the dictionary");
        // A heading of these files that a kind declares too would be counted in neither.
        assert_eq!(known.len() + declared, dictionary().len());
    }
}
