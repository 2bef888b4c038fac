//! Numbers, halves, yes and no, as people write them in a cell.

use crate::{
    lists::{ANSWER_LISTS, WordSet},
    text::{ANY_NUMBER, fold, latin_digits, numbers_as},
};
use record::{HalfPoint, Halves, Nature, Sex};
use std::{collections::HashSet, sync::LazyLock};

/// What a cell says where a value was expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Read<T> {
    /// Nothing was written, or that nothing was measured.
    Nothing,
    /// A value.
    Value(T),
    /// Something that is no such value.
    Unreadable,
}

impl<T> Read<T> {
    /// With another value in the place of the one there is.
    pub(crate) fn map<U>(self, change: impl FnOnce(T) -> U) -> Read<U> {
        match self {
            Self::Nothing => Read::Nothing,
            Self::Value(value) => Read::Value(change(value)),
            Self::Unreadable => Read::Unreadable,
        }
    }
}

/// Words and marks for "not measured".
pub(crate) fn is_nothing(text: &str) -> bool {
    let text = text.trim();
    match text.as_bytes().first() {
        None => return true,
        Some(b'0'..=b'9') => return false,
        _ if text.len() > 20 => return false,
        _ => {}
    }
    text.chars().all(|c| matches!(c, '-' | '–' | '—' | '.' | '_' | '?' | '*'))
        || ANSWER_LISTS.nothing.has(&fold(text))
}

/// How many letters the words for "the same as above" have.
static LETTERS_OF_AS_ABOVE: LazyLock<HashSet<usize>> =
    LazyLock::new(|| ANSWER_LISTS.as_above.words().map(|word| word.chars().count()).collect());

/// Whether a cell is a mark, or a word, for "the same as above".
pub(crate) fn is_as_above(text: &str) -> bool {
    const LONGEST: usize = 40;
    let mark = |c: char| matches!(c, '"' | '”' | '“' | '„' | '〃' | '\'' | '’' | '″');
    let around = |c: char| mark(c) || matches!(c, '-' | '–' | '—' | ' ');
    match text.chars().next() {
        Some(first) if text.len() <= LONGEST && around(first) => {
            text.contains(mark) && text.chars().all(around)
        }
        // Most cells are numbers and names: a look at their length is enough.
        Some(first) if text.len() <= LONGEST && first.is_alphabetic() => {
            // Do is a family name as well.
            matches!(text, "do" | "do.")
                || (LETTERS_OF_AS_ABOVE.contains(&text.chars().count())
                    && ANSWER_LISTS.as_above.has(&fold(text)))
        }
        _ => false,
    }
}

/// A number as written: `0.5`, `0,5`, `½`, `.5`, `1/2`, `1 ½`, `−15°`, `20 deg`, `78 mm`.
pub(crate) fn number(text: &str) -> Read<f64> {
    if is_nothing(text) {
        return Read::Nothing;
    }
    let text = latin_digits(text);
    let plain = text.trim();
    if let Ok(value) = plain.parse::<f64>() {
        let digits = plain.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
        return if value.is_finite() && digits { Read::Value(value) } else { Read::Unreadable };
    }
    written(plain).map_or(Read::Unreadable, Read::Value)
}

/// Units that may follow a number, the longer before the shorter.
const UNITS: &[&str] = &[
    "points", "point", "pts", "pt", "degrees", "deg", "°", "º", "mm", "cm", "weeks", "wks", "wk", "kg", "g",
    "hours", "hrs", "hr", "h",
];

fn written(text: &str) -> Option<f64> {
    let mut text = text.replace(['\u{2212}', '\u{2013}'], "-").replace(',', ".");
    let lower = text.trim_end().to_lowercase();
    let same_length = lower.len() == text.trim_end().len();
    if let Some(unit) = UNITS.iter().find(|unit| same_length && lower.ends_with(**unit)) {
        text.truncate(lower.len() - unit.len());
    }
    let text = text.trim();
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    unsigned(text).map(|value| sign * value)
}

fn unsigned(text: &str) -> Option<f64> {
    let digits = |part: &str| {
        let plain =
            !part.is_empty() && part.len() <= 12 && part.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        plain.then(|| part.parse::<f64>().ok()).flatten()
    };
    if let Some(whole) = text.strip_suffix('½') {
        let whole = whole.trim();
        return if whole.is_empty() { Some(0.5) } else { digits(whole).map(|value| value + 0.5) };
    }
    if let Some(whole) = text.strip_suffix("1/2") {
        let whole = whole.trim_end();
        let apart = whole.len() < text.len() - 3;
        return match whole {
            "" => Some(0.5),
            _ if apart => digits(whole).map(|value| value + 0.5),
            _ => None,
        };
    }
    digits(text)
}

/// The form of a value that holds numbers and something else, with [`ANY_NUMBER`] for each number: "4.5*" and
/// "3*" have the same. `None` for a number alone and for words.
pub(crate) fn form(text: &str) -> Option<String> {
    let has_number = text.chars().any(|c| c.is_ascii_digit());
    if matches!(number(text), Read::Value(_)) || !has_number || text.contains(ANY_NUMBER) {
        return None;
    }
    let mut form = numbers_as(&text.trim().to_lowercase(), |_| ANY_NUMBER.to_owned());
    for mark in [".", ","] {
        form = form.replace(&format!("{ANY_NUMBER}{mark}{ANY_NUMBER}"), ANY_NUMBER);
    }
    Some(form)
}

/// The first number in a text, as it is written there.
pub(crate) fn first_number(text: &str) -> Option<&str> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let rest = text.get(start..)?;
    let end = rest.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(rest.len());
    Some(rest.get(..end)?.trim_end_matches(['.', ',']))
}

/// An answer to a sign: 0, 0.5 or 1.
pub(crate) fn half_point(text: &str) -> Read<HalfPoint> {
    match number(text) {
        Read::Value(value) => HalfPoint::from_value(value).map_or(Read::Unreadable, Read::Value),
        Read::Nothing => Read::Nothing,
        Read::Unreadable => Read::Unreadable,
    }
}

/// A score in half points, not above `most`.
pub(crate) fn halves(text: &str, most: f64) -> Read<Halves> {
    match number(text) {
        Read::Value(value) if (0.0..=most).contains(&value) && (value * 2.0).fract().abs() < 1e-9 => {
            Read::Value(Halves((value * 2.0).round() as u8))
        }
        Read::Nothing => Read::Nothing,
        _ => Read::Unreadable,
    }
}

/// Two parts of a score with their sum in one cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ScoreSum {
    /// The two parts, each 0 to 3, in the order of the cell.
    pub(crate) parts: [Halves; 2],
    /// What the cell gives as their sum; `None` where it gives none.
    pub(crate) stated: Option<Halves>,
}

impl ScoreSum {
    /// The sum of the parts.
    pub(crate) const fn sum(self) -> Halves {
        let [first, second] = self.parts;
        Halves(first.0.saturating_add(second.0))
    }
}

/// "2.5+3=5.5" or "2.5 + 3"; `None` where the cell is of another form.
pub(crate) fn score_sum(text: &str) -> Option<ScoreSum> {
    let (parts, stated) = match text.split_once('=') {
        Some((parts, stated)) => (parts, Some(stated)),
        None => (text, None),
    };
    let (first, second) = parts.split_once('+')?;
    let value = |text: &str, most: f64| match halves(text.trim(), most) {
        Read::Value(value) => Some(value),
        _ => None,
    };
    let stated = match stated {
        Some(stated) => Some(value(without_out_of(stated, 6), 6.0)?),
        None => None,
    };
    Some(ScoreSum { parts: [value(first, 3.0)?, value(second, 3.0)?], stated })
}

/// "3/2.5": two scores whose meaning the cell does not give. What is plainly out of six is none.
pub(crate) fn score_pair(text: &str) -> Option<[Halves; 2]> {
    let (first, second) = text.split_once('/')?;
    let (first, second) = (first.trim(), second.trim());
    if matches!(number(text), Read::Value(_)) || second == "6" {
        return None;
    }
    match (halves(first, 6.0), halves(second, 6.0)) {
        (Read::Value(first), Read::Value(second)) => Some([first, second]),
        _ => None,
    }
}

/// "3/-" and "-/2.5": two scores of which one was not taken.
pub(crate) fn is_half_a_pair(text: &str) -> bool {
    let Some((first, second)) = text.split_once('/') else { return false };
    let score = |text: &str| matches!(halves(text, 6.0), Read::Value(_));
    let none = |text: &str| !text.trim().is_empty() && is_nothing(text);
    (score(first) && none(second)) || (none(first) && score(second))
}

/// Whether a cell holds more than one score.
pub(crate) fn has_two_scores(text: &str) -> bool {
    score_sum(text).is_some() || score_pair(text).is_some()
}

/// "4.5/6" without the "/6" that says what the score is out of.
pub(crate) fn without_out_of(text: &str, most: u8) -> &str {
    let trimmed = text.trim();
    match trimmed.strip_suffix(['6', '3']).and_then(|rest| rest.trim_end().strip_suffix('/')) {
        Some(score) if trimmed.ends_with(char::from(b'0' + most)) && !score.trim().is_empty() => score.trim(),
        _ => trimmed,
    }
}

/// A whole number.
pub(crate) fn whole(text: &str) -> Read<i32> {
    match number(text) {
        Read::Value(value) if value.fract() == 0.0 && value.abs() < 1e6 => Read::Value(value as i32),
        Read::Nothing => Read::Nothing,
        _ => Read::Unreadable,
    }
}

/// Yes or no.
pub(crate) fn yes_no(text: &str) -> Read<bool> {
    if is_nothing(text) {
        return Read::Nothing;
    }
    let lists = &*ANSWER_LISTS;
    if matches!(text.trim(), "✓" | "✔") {
        return Read::Value(true);
    }
    one_of(
        &fold(text),
        &[
            (&lists.yes, true),
            (&lists.no, false),
            (&lists.other_scripts.yes, true),
            (&lists.other_scripts.no, false),
        ],
    )
}

/// The value whose words hold a folded cell.
fn one_of<T: Copy>(folded: &str, lists: &[(&WordSet, T)]) -> Read<T> {
    let found = lists.iter().find(|(words, _)| words.has(folded));
    found.map_or(Read::Unreadable, |(_, value)| Read::Value(*value))
}

/// Sex as registered, by a whole word. Single letters are settled from the file by [`sex_letter`].
pub(crate) fn sex(text: &str) -> Read<Sex> {
    if is_nothing(text) {
        return Read::Nothing;
    }
    let (sex, other) = (&ANSWER_LISTS.sex, &ANSWER_LISTS.other_scripts);
    one_of(
        &fold(text),
        &[
            (&sex.male, Sex::Male),
            (&sex.female, Sex::Female),
            (&sex.undetermined, Sex::Undetermined),
            (&other.male, Sex::Male),
            (&other.female, Sex::Female),
        ],
    )
}

/// What a single letter for the sex means among the letters of its file. M is a boy where F or W is used too, a girl
/// (mujer) where H or a Spanish V; alone under Spanish headings it is neither.
pub(crate) fn sex_letter(letter: char, seen: &[char], languages: &[&str]) -> Option<Sex> {
    let has = |letter: char| seen.contains(&letter);
    let spanish = languages.contains(&"es");
    let male = match letter {
        'f' | 'w' => false,
        'm' if has('f') || has('w') => true,
        'm' if has('h') || (has('v') && spanish) => false,
        'm' if spanish => return None,
        'm' => true,
        'h' if has('m') || has('f') || has('v') => true,
        'v' if has('m') && (spanish || languages.contains(&"nl")) => spanish,
        'b' if has('g') => true,
        'g' if has('b') => false,
        'g' if has('f') => true,
        'k' if has('e') => false,
        'e' if has('k') => true,
        'l' if has('p') => true,
        'p' if has('l') => false,
        _ => return None,
    };
    Some(if male { Sex::Male } else { Sex::Female })
}

/// Where a clubfoot comes from, and whether it is complex.
pub(crate) fn nature(text: &str) -> Option<(Option<Nature>, Option<bool>)> {
    let lists = &ANSWER_LISTS.nature;
    let read = one_of(
        &fold(text),
        &[
            (&lists.idiopathic, (Some(Nature::Idiopathic), None)),
            (&lists.syndromic, (Some(Nature::Syndromic), None)),
            (&lists.neurogenic, (Some(Nature::Neurogenic), None)),
            (&lists.positional, (Some(Nature::Positional), None)),
            (&lists.not_a_clubfoot, (Some(Nature::NotClubfoot), None)),
            (&lists.complex, (None, Some(true))),
            (&lists.idiopathic_complex, (Some(Nature::Idiopathic), Some(true))),
            (&lists.no_cause_named, (None, None)),
        ],
    );
    if let Read::Value(nature) = read { Some(nature) } else { None }
}
