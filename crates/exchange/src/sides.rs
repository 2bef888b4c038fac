//! Which foot a word means. The wrong side is the worst error, so a single letter that means right in
//! one language and left in another is settled from the whole file or not at all.

use crate::{
    lists::{SIDE_LISTS, SideWords},
    text::{fold, tokens},
};
use record::{Side, Sides};

/// A word that can mean a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum SideWord {
    /// A whole word that means one thing.
    Full(Side),
    /// A letter that must be settled from the file.
    Letter(char),
}

impl SideWord {
    pub(crate) const fn is_full(self) -> bool {
        matches!(self, Self::Full(_))
    }
}

/// Letters that mean a side in some language: letter, side, languages.
const LETTERS: &[(char, Side, &[&str])] = &[
    ('r', Side::Right, &["en", "de", "nl"]),
    ('l', Side::Left, &["en", "de", "nl"]),
    ('d', Side::Right, &["es", "pt", "fr", "it"]),
    ('i', Side::Left, &["es"]),
    ('e', Side::Left, &["pt"]),
    ('g', Side::Left, &["fr"]),
    ('s', Side::Left, &["it"]),
];

/// A word of a heading that can mean a side.
pub(crate) fn side_word(word: &str) -> Option<SideWord> {
    if let Some(sides) = other_script(word) {
        return if let [side] = *sides.each() { Some(SideWord::Full(side)) } else { None };
    }
    let mut chars = word.chars();
    if let (Some(letter), None) = (chars.next(), chars.next()) {
        return LETTERS.iter().any(|(known, ..)| *known == letter).then_some(SideWord::Letter(letter));
    }
    if SIDE_LISTS.not_in_headings.has(word) {
        return None;
    }
    full(word).map(SideWord::Full)
}

fn full(word: &str) -> Option<Side> {
    if SIDE_LISTS.right.has(word) {
        Some(Side::Right)
    } else if SIDE_LISTS.left.has(word) {
        Some(Side::Left)
    } else {
        None
    }
}

/// Which foot or feet a folded word in another script than the Latin one means.
fn other_script(word: &str) -> Option<Sides> {
    let SideWords { right, left, both } = &SIDE_LISTS.other_scripts;
    let lists = [(right, Sides::from(Side::Right)), (left, Sides::from(Side::Left)), (both, Sides::Both)];
    // Most words are in Latin letters and need no search.
    let found = lists.into_iter().find(|(words, _)| !word.is_ascii() && words.has(word));
    found.map(|(_, sides)| sides)
}

/// The side words within a text of several words, as `(right, left)`; "both" and its like count for each.
pub(crate) fn named_within(text: &str) -> (bool, bool) {
    let SideWords { right, left, both } = &SIDE_LISTS.within;
    let folded = fold(text);
    let any = |words: [&crate::lists::WordSet; 2]| {
        folded.split(' ').any(|word| words.into_iter().any(|list| list.has(word)))
    };
    (any([right, both]), any([left, both]))
}

/// The letters of this file and what they mean.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct SideLetters(Vec<(char, Side)>);

impl SideLetters {
    /// Settles the letters seen in a file.
    ///
    /// `languages` are those of its headings and of whole side words in it. R and L hold by themselves;
    /// the others need their pair beside them or the language to be known. Where letters of two
    /// alphabets of sides stand in one file, none of the letters in dispute is believed.
    pub(crate) fn settle(seen: &[char], languages: &[&str]) -> Self {
        let spoken = |of: &[&str]| languages.iter().any(|language| of.contains(language));
        let has = |letter: char| seen.contains(&letter);
        let romance = ['d', 'i', 'e', 'g', 's'].into_iter().any(has);
        let germanic = has('r') || has('l');
        if romance && germanic {
            return Self(Vec::new());
        }
        let mut known = Vec::new();
        if has('r') {
            known.push(('r', Side::Right));
        }
        if has('l') && (has('r') || languages.is_empty() || spoken(&["en", "de", "nl"])) {
            known.push(('l', Side::Left));
        }
        let lefts: Vec<char> = ['i', 'e', 'g', 's'].into_iter().filter(|&letter| has(letter)).collect();
        if lefts.len() > 1 {
            return Self(known);
        }
        let language_of =
            |letter: char| LETTERS.iter().find(|(known, ..)| *known == letter).map(|known| known.2);
        let left = lefts.first().copied();
        let paired = has('d') && left.is_some();
        // Turkish sağ and sol both begin with S; D and E, I, G, S beside each other leave no doubt.
        let left_spoken = left.and_then(language_of).is_some_and(spoken);
        if let Some(letter) = left.filter(|_| paired || left_spoken) {
            known.push((letter, Side::Left));
        }
        if has('d') && (paired || spoken(&["es", "pt", "fr", "it"])) {
            known.push(('d', Side::Right));
        }
        Self(known)
    }

    /// What a letter means in this file.
    pub(crate) fn side(&self, letter: char) -> Option<Side> {
        self.0.iter().find(|(known, _)| *known == letter).map(|&(_, side)| side)
    }

    /// What a word of a heading means in this file.
    pub(crate) fn resolve(&self, word: SideWord) -> Option<Side> {
        match word {
            SideWord::Full(side) => Some(side),
            SideWord::Letter(letter) => self.side(letter),
        }
    }
}

/// What a cell of the side column says, as far as it can be known without the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SideCell {
    Known(Sides),
    Letter(char),
    Unknown,
}

/// Reads a cell of the side column.
pub(crate) fn read(text: &str) -> SideCell {
    if text.contains('?') {
        return SideCell::Unknown;
    }
    let words = fold(text);
    if let Some(sides) = other_script(&words) {
        return SideCell::Known(sides);
    }
    if let Some(letter) = single(&words) {
        return if letter == 'b' { SideCell::Known(Sides::Both) } else { letter_cell(letter) };
    }
    if let Some(side) = full(&words) {
        return SideCell::Known(side.into());
    }
    if SIDE_LISTS.both.has(&words) {
        return SideCell::Known(Sides::Both);
    }
    let kept: Vec<String> = tokens(text).into_iter().filter(|word| !SIDE_LISTS.around.has(word)).collect();
    let kept = kept.join(" ");
    if kept == words || kept.is_empty() {
        return SideCell::Unknown;
    }
    if SIDE_LISTS.both.has(&kept) {
        return SideCell::Known(Sides::Both);
    }
    match single(&kept) {
        Some(letter) => letter_cell(letter),
        None => full(&kept).map_or(SideCell::Unknown, |side| SideCell::Known(side.into())),
    }
}

fn single(words: &str) -> Option<char> {
    let mut chars = words.chars();
    chars.next().filter(|_| chars.next().is_none())
}

fn letter_cell(letter: char) -> SideCell {
    if LETTERS.iter().any(|(known, ..)| *known == letter) {
        SideCell::Letter(letter)
    } else {
        SideCell::Unknown
    }
}

/// The languages in which a whole side word is at home, as evidence for the letters.
pub(crate) fn languages_of(text: &str) -> Vec<&'static str> {
    let folded = fold(text);
    let at_home = SIDE_LISTS.languages.iter().filter(|(_, words)| words.has(&folded));
    at_home.map(|(language, _)| language.as_str()).collect()
}
