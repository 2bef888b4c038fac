//! Which foot a word means. The wrong side is the worst error, so a single letter that means right in
//! one language and left in another is settled from the whole file or not at all.

use crate::{
    lists::{SIDE_LISTS, SideWords},
    text::{fold, tokens},
};
use record::{Side, Sides};
use std::collections::BTreeMap;

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
    ('п', Side::Right, &["ru"]),
    ('л', Side::Left, &["ru"]),
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

/// The foot that a folded word in Latin letters means by itself.
pub(crate) fn full(word: &str) -> Option<Side> {
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
    let mut out = (false, false);
    for word in folded.split(' ').filter(|word| !word.is_empty()) {
        let feet = match CellSides::default().of_word(word) {
            WordSide::Feet(feet) => feet.each(),
            _ => &[],
        };
        out.0 |= feet.contains(&Side::Right) || right.has(word) || both.has(word);
        out.1 |= feet.contains(&Side::Left) || left.has(word) || both.has(word);
    }
    out
}

/// The letters of this file and what they mean.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct SideLetters(Vec<(char, Side)>);

impl SideLetters {
    /// Settles the letters seen in a file.
    ///
    /// `languages` are those of its headings and of whole side words in it. R and L hold by themselves;
    /// the others need their pair or the language to be known. Where letters of two
    /// alphabets of sides occur in one file, none of the letters in dispute is believed.
    pub(crate) fn settle(seen: &[char], languages: &[&str]) -> Self {
        let spoken = |of: &[&str]| languages.iter().any(|language| of.contains(language));
        let has = |letter: char| seen.contains(&letter);
        let romance = ['d', 'i', 'e', 'g', 's'].into_iter().any(has);
        let germanic = has('r') || has('l');
        if (romance && germanic) || ((romance || germanic) && (has('п') || has('л'))) {
            return Self(Vec::new());
        }
        let mut known = Vec::new();
        // One of the two alone may be short for another word.
        if has('п') && has('л') {
            known.extend([('п', Side::Right), ('л', Side::Left)]);
        }
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
        // Turkish sağ and sol both begin with S; D together with E, I, G or S leaves no doubt.
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

/// What the words of a cell mean as sides in one file.
#[derive(Debug, Clone, Default)]
pub(crate) struct CellSides {
    letters: SideLetters,
    languages: Vec<&'static str>,
    /// What the user stated about single words; `None` where a word names no foot.
    explained: BTreeMap<String, Option<Sides>>,
}

/// What a word within a cell says of the foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WordSide {
    Feet(Sides),
    /// A foot in some language, and nothing settles whether in this file.
    Doubtful,
    Other,
}

impl CellSides {
    /// Settles the letters within cells. `used` are the letters in the cells, of which only those count that
    /// are a side in a language of the file; `seen` are those of headings and of side columns.
    pub(crate) fn settle(seen: &[char], used: &[char], languages: Vec<&'static str>) -> Self {
        let spoken = |letter: &&char| {
            let of = LETTERS.iter().find(|known| known.0 == **letter).map_or(&[][..], |known| known.2);
            of.iter().any(|language| languages.contains(language))
        };
        let mut letters: Vec<char> = seen.iter().chain(used.iter().filter(spoken)).copied().collect();
        letters.sort_unstable();
        letters.dedup();
        Self { letters: SideLetters::settle(&letters, &languages), languages, explained: BTreeMap::new() }
    }

    /// With what the user stated about single words, folded.
    pub(crate) fn with_explained(self, explained: BTreeMap<String, Option<Sides>>) -> Self {
        Self { explained, ..self }
    }

    /// The feet named within a text, as `(right, left)`, in the words of any language and in those that a
    /// person has explained.
    pub(crate) fn named_within(&self, text: &str) -> (bool, bool) {
        let named = named_within(text);
        if self.explained.is_empty() {
            return named;
        }
        let folded = fold(text);
        let named_too = folded.split(' ').filter_map(|word| self.explained.get(word).copied().flatten());
        named_too.flat_map(Sides::each).fold(named, |named, side| match side {
            Side::Right => (true, named.1),
            Side::Left => (named.0, true),
        })
    }

    /// What a folded word says of the foot.
    pub(crate) fn of_word(&self, word: &str) -> WordSide {
        if let Some(feet) = self.explained.get(word) {
            return feet.map_or(WordSide::Other, WordSide::Feet);
        }
        if let Some(sides) = other_script(word) {
            return WordSide::Feet(sides);
        }
        if let Some(letter) = single(word) {
            return self.of_letter(letter);
        }
        if let Some(side) = self.short(word) {
            return side;
        }
        match full(word) {
            Some(side) => WordSide::Feet(side.into()),
            None if SIDE_LISTS.both.has(word) => WordSide::Feet(Sides::Both),
            None => WordSide::Other,
        }
    }

    fn of_letter(&self, letter: char) -> WordSide {
        if letter == 'b' {
            return WordSide::Feet(Sides::Both);
        }
        if let Some(side) = self.letters.side(letter) {
            return WordSide::Feet(side.into());
        }
        let other_alphabet =
            ['d', 'i', 'e', 'g', 's', 'п'].into_iter().any(|c| self.letters.side(c).is_some());
        match letter {
            'r' if !other_alphabet => WordSide::Feet(Sides::Right),
            'l' if !other_alphabet => WordSide::Feet(Sides::Left),
            _ if LETTERS.iter().any(|(known, ..)| *known == letter) => WordSide::Doubtful,
            _ => WordSide::Other,
        }
    }

    /// A short form that is a side in some languages only; `None` where it is none.
    fn short(&self, word: &str) -> Option<WordSide> {
        let lists = &SIDE_LISTS.short;
        let listed =
            |list: &BTreeMap<String, crate::lists::WordSet>| list.values().any(|words| words.has(word));
        let spoken = |list: &BTreeMap<String, crate::lists::WordSet>| {
            self.languages.iter().any(|&language| list.get(language).is_some_and(|words| words.has(word)))
        };
        if !listed(&lists.right) && !listed(&lists.left) && !SIDE_LISTS.not_in_headings.has(word) {
            return None;
        }
        Some(match (spoken(&lists.right), spoken(&lists.left), spoken(&lists.plain)) {
            (true, false, false) => WordSide::Feet(Sides::Right),
            (false, true, false) => WordSide::Feet(Sides::Left),
            (false, false, true) => WordSide::Other,
            _ => WordSide::Doubtful,
        })
    }
}

/// The foot of a word, or of a letter by the language in which it is one: only for a pair of them, as in
/// "D/G", where each settles the other.
pub(crate) fn of_either_letter(word: &str) -> Option<Side> {
    match single(word) {
        Some(letter) => LETTERS.iter().find(|known| known.0 == letter).map(|known| known.1),
        None => full(word).or_else(|| match other_script(word)?.each() {
            [side] => Some(*side),
            _ => None,
        }),
    }
}

/// The single letters of a text that are a side in some language, save an "e" that may be "and".
pub(crate) fn letters_in(text: &str) -> Vec<char> {
    let single = |word: &str| {
        let mut chars = word.chars();
        chars.next().filter(|_| chars.next().is_none()).and_then(|c| c.to_lowercase().next())
    };
    let words = text.split(|c: char| !c.is_alphanumeric());
    let letters = words.filter(|word| *word != "e").filter_map(single);
    letters.filter(|letter| LETTERS.iter().any(|(known, ..)| known == letter)).collect()
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
