//! Folding of words, so that "Côté", "COTE" and "cote" are one word.

use std::borrow::Cow;
use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

/// Lower case, without accents, digits of any script as 0 to 9; everything that is no letter or digit
/// becomes one space. The vowel signs of Indic scripts are letters and stay: without them the words for
/// address and father would be one.
pub(crate) fn fold(text: &str) -> String {
    if text.is_ascii() {
        return join(text.chars().map(|c| c.to_ascii_lowercase()));
    }
    let plain =
        text.nfkd().filter(|&c| !is_combining_mark(c) || is_vowel_sign(c)).flat_map(char::to_lowercase);
    join(plain.flat_map(|c| letters(c).chars().collect::<Vec<_>>()))
}

/// A mark that is a letter of its word: the vowel signs, nasal signs and virama of Indic scripts, not the
/// dot that some writers leave out.
fn is_vowel_sign(c: char) -> bool {
    matches!(c, '\u{900}'..='\u{dff}') && !matches!(c, '\u{93c}' | '\u{9bc}' | '\u{a3c}' | '\u{abc}')
}

/// A character that belongs to a word: a letter, a digit, a mark on either, an apostrophe.
pub(crate) fn is_of_word(c: char) -> bool {
    c.is_alphanumeric() || is_combining_mark(c) || is_unseen(c) || matches!(c, '\'' | '’')
}

/// A mark of direction or joining that nobody sees.
fn is_unseen(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{640}')
}

/// The value of a digit in Arabic, Devanagari, Bengali or full-width writing.
fn digit(c: char) -> Option<char> {
    const ZEROS: [char; 5] = ['\u{660}', '\u{6f0}', '\u{966}', '\u{9e6}', '\u{ff10}'];
    ZEROS.iter().find_map(|&zero| {
        let value = u32::from(c).checked_sub(u32::from(zero))?;
        char::from_digit(value, 10)
    })
}

/// A cell with the digits of other scripts as 0 to 9 and without marks of direction.
pub(crate) fn latin_digits(text: &str) -> Cow<'_, str> {
    let other = |c: char| digit(c).is_some() || is_unseen(c) || c == '\u{66b}';
    if text.is_ascii() || !text.contains(other) {
        return Cow::Borrowed(text);
    }
    let chars = text.chars().filter(|&c| !is_unseen(c));
    Cow::Owned(chars.map(|c| if c == '\u{66b}' { '.' } else { digit(c).unwrap_or(c) }).collect())
}

fn letters(c: char) -> String {
    if let Some(digit) = digit(c) {
        return digit.to_string();
    }
    match c {
        'ı' => "i".to_owned(),
        'ß' => "ss".to_owned(),
        'ø' => "o".to_owned(),
        'đ' => "d".to_owned(),
        'ł' => "l".to_owned(),
        'æ' => "ae".to_owned(),
        'œ' => "oe".to_owned(),
        'ँ' => "ं".to_owned(),
        'ঁ' => "ং".to_owned(),
        _ if is_combining_mark(c) && !is_vowel_sign(c) => String::new(),
        _ => c.to_string(),
    }
}

fn join(chars: impl Iterator<Item = char>) -> String {
    let mut out = String::new();
    let mut gap = false;
    for c in chars {
        if c.is_alphanumeric() || is_vowel_sign(c) {
            if gap && !out.is_empty() {
                out.push(' ');
            }
            gap = false;
            out.push(c);
        } else if c != '\'' && c != '’' && !is_unseen(c) {
            gap = true;
        }
    }
    out
}

/// The words of a header: folded, split where letters meet digits.
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let folded = fold(text);
    let mut out: Vec<String> = Vec::new();
    let mut kind = 0u8;
    for c in folded.chars() {
        let now = if c == ' ' {
            0
        } else if c.is_ascii_digit() {
            1
        } else {
            2
        };
        match (now, out.last_mut()) {
            (0, _) => {}
            (_, Some(word)) if now == kind => word.push(c),
            _ => out.push(c.to_string()),
        }
        kind = now;
    }
    out
}

/// Whether a heading is a name with `{n}` and a number in its place.
pub(crate) fn is_numbered_like(header: &str, name: &str) -> bool {
    number_in(header, &name_words(name)).is_some()
}

/// The words of a name with `{n}`, and "0" in the place of the number.
pub(crate) fn name_words(name: &str) -> Vec<String> {
    tokens(&name.replace("{n}", " 0 "))
}

/// The number that a heading has in the place of that in a name with `{n}`.
pub(crate) fn number_in(header: &str, wanted: &[String]) -> Option<u16> {
    let words = tokens(header);
    let mut number = None;
    for (word, wanted) in words.iter().zip(wanted) {
        match (wanted.as_str(), word.parse::<u16>()) {
            ("0", Ok(of)) if number.is_none() => number = Some(of),
            _ if word == wanted => {}
            _ => return None,
        }
    }
    number.filter(|_| words.len() == wanted.len())
}

/// As [`tokens`], with "visitDate" split before the capital.
pub(crate) fn camel_tokens(text: &str) -> Vec<String> {
    let mut spaced = String::with_capacity(text.len() + 8);
    let mut lower = false;
    for c in text.chars() {
        if c.is_uppercase() && lower {
            spaced.push(' ');
        }
        lower = c.is_lowercase();
        spaced.push(c);
    }
    tokens(&spaced)
}

/// A text with each run of digits written otherwise.
pub(crate) fn numbers_as(text: &str, mut written: impl FnMut(&str) -> String) -> String {
    let (mut out, mut digits) = (String::with_capacity(text.len()), String::new());
    for c in text.chars().map(Some).chain([None]) {
        if let Some(digit) = c.filter(char::is_ascii_digit) {
            digits.push(digit);
            continue;
        }
        if !digits.is_empty() {
            out.push_str(&written(&std::mem::take(&mut digits)));
        }
        out.extend(c);
    }
    out
}

/// Stands for a number in a form that several cells share: "cast # left".
pub(crate) const ANY_NUMBER: &str = "#";

/// The form of a folded text, with [`ANY_NUMBER`] in the place of each number: cells that differ by their
/// numbers have the same. A form has itself as its form.
pub(crate) fn form_of(text: &str) -> String {
    numbers_as(&fold_marked(&text.replace(ANY_NUMBER, "0")), |_| ANY_NUMBER.to_owned())
}

/// Marks that part one thing in a cell from another.
pub(crate) const COMMAS: [char; 7] = [',', ';', '\n', '،', '؛', '、', '।'];
/// Marks that part less than a comma.
pub(crate) const MARKS: [char; 4] = ['+', '&', '/', '|'];

/// A folded text that keeps the marks between things: with the comma in another place, "R tenotomy, L cast" is
/// another cell.
pub(crate) fn fold_marked(text: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    let spaced = text.replace(" - ", " | ").replace(" – ", " | ").replace(" — ", " | ");
    let mut piece = String::new();
    for c in spaced.chars().map(Some).chain([None]) {
        let mark = c.filter(|c| COMMAS.contains(c) || MARKS.contains(c));
        if let (Some(c), None) = (c, mark) {
            piece.push(c);
            continue;
        }
        out.extend(Some(fold(&std::mem::take(&mut piece))).filter(|piece| !piece.is_empty()));
        out.extend(mark.map(|mark| if COMMAS.contains(&mark) { ",".to_owned() } else { mark.to_string() }));
    }
    out.join(" ")
}

/// The text with at most `chars` characters, with an ellipsis where something was cut.
pub(crate) fn clip(text: &str, chars: usize) -> String {
    match text.char_indices().nth(chars) {
        Some((cut, _)) => format!("{}…", text.get(..cut).unwrap_or(text)),
        None => text.to_owned(),
    }
}

/// The letter of a column, counted from 0: A … Z, AA …
#[must_use]
pub fn column_letter(index: usize) -> String {
    let mut rest = index + 1;
    let mut out = Vec::new();
    while rest > 0 {
        out.push(b'A' + u8::try_from((rest - 1) % 26).unwrap_or(0));
        rest = (rest - 1) / 26;
    }
    out.reverse();
    String::from_utf8(out).unwrap_or_default()
}

/// The index of a column letter, `None` where it is none.
pub(crate) fn column_index(letters: &str) -> Option<usize> {
    let plain = (1..=3).contains(&letters.len()) && letters.bytes().all(|b| b.is_ascii_uppercase());
    plain.then(|| letters.bytes().fold(0, |sum, b| sum * 26 + usize::from(b - b'A') + 1) - 1)
}
