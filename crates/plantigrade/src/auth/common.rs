//! Whether a password is one that is guessed first.
//!
//! Compared are the letters and digits alone, in lower case, because a mark or a capital here and there is the first
//! thing that is tried. A password is expected if it consists of at most two common passwords, one word
//! repeated, a row of the keyboard of neighbours in the alphabet, or words that belong to the person and the
//! clinic, and of fewer than [`OWN_CHARS`] characters besides.

use std::{collections::HashSet, sync::LazyLock};

/// Characters that must be left over once everything expected is taken out.
const OWN_CHARS: usize = 6;
/// Words shorter than this are not taken out: they occur by chance.
const SHORTEST_WORD: usize = 4;
/// A unit of at most this many characters makes no password when it is repeated.
const LONGEST_UNIT: usize = 6;
/// A unit of at most this many makes none when it is repeated at least three times; a longer one is a phrase.
const LONGEST_THRICE: usize = 10;

/// The common passwords, without the notice at the top of the list.
static COMMON: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
    include_str!("common_passwords.txt").lines().filter(|line| !line.starts_with('#')).collect()
});

/// Whether a password is one that is guessed first. `own` has the names of the person, the clinic and the program.
pub(super) fn is_expected(password: &str, own: &[&str]) -> bool {
    let plain = plain(password);
    let left = without_words(&plain, own);
    if left.len() < OWN_CHARS {
        return true;
    }
    [plain, left].iter().any(|text| is_common(text, 2) || repeats(text) || climbs(text))
}

/// Letters and digits in lower case.
fn plain(text: &str) -> Vec<char> {
    text.chars().flat_map(char::to_lowercase).filter(|letter| letter.is_alphanumeric()).collect()
}

fn without_words(text: &[char], own: &[&str]) -> Vec<char> {
    let mut words: Vec<String> = own
        .iter()
        .flat_map(|name| name.split(|c: char| !c.is_alphanumeric()))
        .map(|word| word.to_lowercase())
        .collect();
    words.retain(|word| word.chars().count() >= SHORTEST_WORD);
    words.sort_by_key(|word| std::cmp::Reverse(word.len()));
    let mut left: String = text.iter().collect();
    for word in words {
        left = left.replace(&word, "");
    }
    left.chars().collect()
}

/// Whether the text consists of at most `words` common passwords and too little besides.
fn is_common(text: &[char], words: usize) -> bool {
    if text.len() < OWN_CHARS {
        return true;
    }
    let Some(words) = words.checked_sub(1) else { return false };
    (8..=text.len()).rev().any(|length| {
        let starts = [0, text.len() - length];
        starts.into_iter().any(|start| {
            let Some(part) = text.get(start..start + length) else { return false };
            let rest: Vec<char> = text
                .iter()
                .enumerate()
                .filter(|(at, _)| !(start..start + length).contains(at))
                .map(|(_, c)| *c)
                .collect();
            COMMON.contains(part.iter().collect::<String>().as_str()) && is_common(&rest, words)
        })
    })
}

/// Whether one unit is repeated: a short one twice ("abcabc"), a word three times.
fn repeats(text: &[char]) -> bool {
    let often = |unit: usize| text.len() >= if unit <= LONGEST_UNIT { 2 * unit } else { 3 * unit };
    (1..=LONGEST_THRICE)
        .any(|unit| often(unit) && text.iter().zip(text.iter().skip(unit)).all(|(a, b)| a == b))
}

/// Whether each character is the neighbour of the one before in the alphabet or the digits: "123456789012345".
fn climbs(text: &[char]) -> bool {
    let step = |(a, b): (&char, &char)| (*b as i64) - (*a as i64);
    let neighbours =
        text.iter().zip(text.iter().skip(1)).filter(|pair| matches!(step(*pair), 1 | -1 | 9 | -9)).count();
    text.len() > 1 && neighbours + 1 == text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    const OWN: &[&str] = &["Hillside Foot Clinic", "Maren Aldous", "maren", "Plantigrade"];

    #[test]
    fn the_list_is_there_without_its_notice() {
        assert!(COMMON.len() > 10_000 && COMMON.contains("password") && COMMON.contains("baseball"));
        assert!(!COMMON.iter().any(|word| word.contains([' ', '#'])));
    }

    #[test]
    fn what_is_guessed_first_is_expected() {
        for text in [
            "passwordpassword",
            "Password12345678!",
            "1234567890qwerty",
            "baseball-football",
            "aaaaaaaaaaaaaaaa",
            "abcabcabcabcabcabc",
            "123456789012345",
            "abcdefghijklmnop",
            "Hillside clinic 2025",
            "Maren.Aldous.1984",
            "plantigrade-plantigrade",
            "sunshine sunshine sunshine",
        ] {
            assert!(is_expected(text, OWN), "{text}");
        }
    }

    #[test]
    fn words_of_ones_own_are_not() {
        for text in [
            "four words in a row",
            "plaster and patience",
            "a grey heron on the quay",
            "computer under the sunshine tree",
            "Hillside goats eat thistles",
            "zwölf Boote im Hafen",
        ] {
            assert!(!is_expected(text, OWN), "{text}");
        }
    }
}
