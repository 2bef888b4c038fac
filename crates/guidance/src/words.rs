//! Words that several modules use.

use record::Side;

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
