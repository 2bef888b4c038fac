//! Names of children: told apart, compared, never corrected.

use crate::{lists::HEADING_LISTS, text::fold};

/// A name as words, so that "Okonjo, Amadi" and "AMADI OKONJO" are one name.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub(crate) struct NameKey(Vec<String>);

/// How like two names are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Likeness {
    Same,
    Similar,
    Different,
    /// One of them is missing.
    Unknown,
}

impl NameKey {
    pub(crate) fn of(family: &str, given: &str) -> Self {
        let mut words: Vec<String> = [family, given]
            .iter()
            .flat_map(|part| fold(part).split(' ').map(str::to_owned).collect::<Vec<_>>())
            .collect();
        words.retain(|word| !word.is_empty());
        words.sort();
        Self(words)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Compares two names: spelling slips, initials and a name left out are similar.
    pub(crate) fn likeness(&self, other: &Self) -> Likeness {
        if self.is_empty() || other.is_empty() {
            return Likeness::Unknown;
        }
        if self == other || self.0.concat() == other.0.concat() {
            return Likeness::Same;
        }
        let mut right: Vec<&String> = other.0.iter().collect();
        let mut left: Vec<&String> = Vec::new();
        let mut shared = 0;
        for word in &self.0 {
            match right.iter().position(|other| *other == word) {
                Some(at) => {
                    right.remove(at);
                    shared += 1;
                }
                None => left.push(word),
            }
        }
        let mut unmatched = 0;
        for word in left {
            match right.iter().position(|other| near(word, other)) {
                Some(at) => {
                    right.remove(at);
                    shared += usize::from(word.len() > 1);
                }
                None => unmatched += 1,
            }
        }
        // Words over on one side only are a name left out; on both sides they are another name.
        if shared > 0 && (unmatched == 0 || right.is_empty()) {
            Likeness::Similar
        } else {
            Likeness::Different
        }
    }
}

/// Two spellings of one word, or its initial.
fn near(a: &str, b: &str) -> bool {
    let (short, long) = if a.len() < b.len() { (a, b) } else { (b, a) };
    if short.chars().count() == 1 {
        return long.starts_with(short);
    }
    let most = match long.chars().count() {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    };
    most > 0 && share_letters(a, b, most) && strsim::osa_distance(a, b) <= most
}

/// A cheap test before the dear one: each slip changes at most two of the letters that occur.
fn share_letters(a: &str, b: &str, slips: usize) -> bool {
    let letters = |word: &str| word.bytes().fold(0u32, |set, byte| set | 1 << (byte % 32));
    (letters(a) ^ letters(b)).count_ones() as usize <= 4 * slips
}

/// Family and given name from one cell: "Family, Given", or "Given Family" without a comma. Where the
/// heading says that the family name comes first, the first word is taken.
pub(crate) fn split(text: &str, family_first: bool) -> (String, String) {
    let text = text.trim();
    if let Some((family, given)) = text.split_once(',') {
        return (family.trim().to_owned(), given.trim().to_owned());
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    match words.as_slice() {
        [] => (String::new(), String::new()),
        [one] => (String::new(), (*one).to_owned()),
        [first, rest @ ..] if family_first => ((*first).to_owned(), rest.join(" ")),
        [given @ .., last] => capitals(&words).unwrap_or_else(|| ((*last).to_owned(), given.join(" "))),
    }
}

/// "OKONJO Amadi": the words in capitals are the family name where others are not.
fn capitals(words: &[&str]) -> Option<(String, String)> {
    let loud = |word: &&&str| {
        word.chars().filter(|c| c.is_alphabetic()).count() > 1 && !word.chars().any(char::is_lowercase)
    };
    let family: Vec<&str> = words.iter().filter(loud).copied().collect();
    let given: Vec<&str> = words.iter().filter(|word| !loud(word)).copied().collect();
    (!family.is_empty() && !given.is_empty()).then(|| (family.join(" "), given.join(" ")))
}

/// Whether a heading for whole names puts the family name first, as "Surname and name" does.
pub(crate) fn heading_puts_family_first(header: &str) -> bool {
    let folded = fold(header);
    let words: Vec<&str> = folded.split(' ').collect();
    words.len() > 1
        && words.first().is_some_and(|word| HEADING_LISTS.family_first.has(word))
        && folded != "nom complet"
        && folded != "family name"
        && !folded.starts_with("nom de")
        && !folded.starts_with("nom du")
}
