//! Normal forms of names and numbers, so that a search finds them in any spelling of case, accents and
//! punctuation.

use unicode_normalization::UnicodeNormalization;

/// Lower case without accents: "Zoë Łukasz" becomes "zoe lukasz".
#[must_use]
pub(crate) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for letter in text.nfkd().filter(|letter| !is_accent(*letter)) {
        for lower in letter.to_lowercase() {
            match plain(lower) {
                Some(plain) => folded.push_str(plain),
                None => folded.push(lower),
            }
        }
    }
    folded
}

fn is_accent(letter: char) -> bool {
    unicode_normalization::char::canonical_combining_class(letter) != 0
}

// Letters that Unicode does not decompose.
const fn plain(letter: char) -> Option<&'static str> {
    Some(match letter {
        'ß' => "ss",
        'æ' => "ae",
        'œ' => "oe",
        'ø' => "o",
        'đ' | 'ð' => "d",
        'ħ' => "h",
        'ı' => "i",
        'ł' => "l",
        'ŧ' => "t",
        'þ' => "th",
        _ => return None,
    })
}

/// The words of a name. An apostrophe joins ("O'Brien" is "obrien").
#[must_use]
pub(crate) fn words(text: &str) -> Vec<String> {
    let joined: String = text.chars().filter(|letter| !"'’ʼ`´".contains(*letter)).collect();
    fold(&joined)
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The words by which a name is found: its words and, if there are several, also their concatenation, so that
/// "Al-Hassan" is found as "alhassan".
#[must_use]
pub(crate) fn name_words(family: &str, given: &str) -> Vec<String> {
    let mut all = Vec::new();
    for name in [family, given] {
        let words = words(name);
        if words.len() > 1 {
            all.push(words.concat());
        }
        all.extend(words);
    }
    all.sort();
    all.dedup();
    all
}

/// The digits of a telephone number: "+254 700 029-123" becomes "254700029123".
#[must_use]
pub(crate) fn phone(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

/// A hospital number without spaces and punctuation: "CF 12/034" becomes "cf12034".
#[must_use]
pub(crate) fn number(text: &str) -> String {
    fold(text).chars().filter(|letter| letter.is_alphanumeric()).collect()
}
