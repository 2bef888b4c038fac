//! Words that several modules use.

use record::{Day, Halves, Pirani, Side, SubScore};
use std::fmt::Write as _;

/// Degrees with a true minus sign.
pub(crate) fn degrees(deg: i16) -> String {
    if deg < 0 { format!("−{}°", deg.unsigned_abs()) } else { format!("{deg}°") }
}

/// A foot at the beginning of a sentence, "Right foot".
pub(crate) const fn foot_title(side: Side) -> &'static str {
    match side {
        Side::Right => "Right foot",
        Side::Left => "Left foot",
    }
}

/// A sentence or the words of a step, for use within a sentence.
pub(crate) fn lower_first(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// "1 week", "6 weeks".
pub(crate) fn weeks(number: u16) -> String {
    if number == 1 { "1 week".to_owned() } else { format!("{number} weeks") }
}

fn sub_score(words: &mut String, part: SubScore, value: Option<Halves>) {
    let name = match part {
        SubScore::Hindfoot => "hindfoot",
        SubScore::Midfoot => "midfoot",
    };
    let _ = match value {
        Some(value) => write!(words, "{name} {value}"),
        None => write!(words, "{name} incomplete"),
    };
}

/// The score in words, with the signs that were not assessed.
pub(crate) fn score_words(pirani: &Pirani, on: Day) -> String {
    let mut words = String::with_capacity(96);
    let _ = match pirani.total() {
        Some(total) => write!(words, "Pirani {total} on {}: ", on.words()),
        None => write!(words, "Pirani incomplete on {}: ", on.words()),
    };
    sub_score(&mut words, SubScore::Hindfoot, pirani.hindfoot());
    words.push_str(", ");
    sub_score(&mut words, SubScore::Midfoot, pirani.midfoot());
    for (place, sign) in pirani.missing().enumerate() {
        words.push_str(if place == 0 { "; not assessed: " } else { ", " });
        words.extend(sign.name().chars().flat_map(char::to_lowercase));
    }
    words.push('.');
    words
}
