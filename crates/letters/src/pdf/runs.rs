//! A text as runs of one script each, so that every run is shaped with its own typeface as a whole.

use super::{fault::PdfFault, typefaces::FontScript};
use unicode_segmentation::UnicodeSegmentation;

/// A word of more letters than this may be broken anywhere between letters: it might be wider than the page.
const UNBROKEN: usize = 24;
/// A place at which a word may be broken, without a hyphen.
const BREAK: char = '\u{200B}';

/// The runs of a text. `usual` is the script of the document, which signs and digits at the beginning take.
///
/// # Errors
/// When no typeface has a character of the text.
pub(super) fn runs(text: &str, usual: FontScript) -> Result<Vec<(FontScript, String)>, PdfFault> {
    let text = breakable(&printable(text));
    let mut runs: Vec<(FontScript, String)> = Vec::new();
    for character in text.chars() {
        let last = runs.last().map_or(usual, |(script, _)| *script);
        let script = FontScript::of(character).unwrap_or(last);
        match runs.last_mut() {
            Some((same, run)) if *same == script => run.push(character),
            _ => runs.push((script, character.to_string())),
        }
    }
    let missing = missing(&runs);
    if missing.is_empty() { Ok(runs) } else { Err(PdfFault::NoTypeface(missing)) }
}

/// The characters that no typeface has, each once.
fn missing(runs: &[(FontScript, String)]) -> String {
    let mut missing = String::new();
    for (script, run) in runs {
        for character in run.chars() {
            let there = character == BREAK || (script.has(character) && !is_private(character));
            if !there && !missing.contains(character) {
                missing.push(character);
            }
        }
    }
    missing
}

/// Characters without an agreed meaning.
const fn is_private(character: char) -> bool {
    matches!(character, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..)
}

/// Without control characters: lines and tabulators become spaces. Marks that turn the direction of what follows are
/// left out, so that a name cannot turn the sentence in which it stands; the direction follows from the letters.
fn printable(text: &str) -> String {
    let kept = |character: char| match character {
        '\u{2028}' | '\u{2029}' => Some(' '),
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}' | '\u{FFFE}' | '\u{FFFF}' => None,
        _ if character.is_whitespace() && character.is_control() => Some(' '),
        _ if character.is_control() => None,
        _ => Some(character),
    };
    text.chars().filter_map(kept).collect()
}

/// With places at which very long words can be broken.
fn breakable(text: &str) -> String {
    let mut broken = String::with_capacity(text.len());
    for piece in text.split_inclusive(char::is_whitespace) {
        let letters: Vec<&str> = piece.graphemes(true).collect();
        let is_long = letters.len() > UNBROKEN;
        for (place, letter) in letters.into_iter().enumerate() {
            if is_long && place > 0 && !letter.starts_with(char::is_whitespace) {
                broken.push(BREAK);
            }
            broken.push_str(letter);
        }
    }
    broken
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn of(text: &str) -> Vec<(FontScript, String)> {
        runs(text, FontScript::Latin).unwrap()
    }

    #[test]
    fn each_script_is_a_run_and_signs_stay_with_what_comes_before() {
        assert_eq!(of("Plan 22"), [(FontScript::Latin, "Plan 22".to_owned())]);
        let mixed = of("Plan for खुशी, 3");
        assert_eq!(
            mixed,
            [(FontScript::Latin, "Plan for ".to_owned()), (FontScript::Devanagari, "खुशी, 3".to_owned())]
        );
        let bengali = runs("22 ঘণ্টা।", FontScript::Bengali).unwrap();
        assert_eq!(bengali, [(FontScript::Bengali, "22 ঘণ্টা।".to_owned())]);
    }

    #[test]
    fn what_no_typeface_has_is_named() {
        assert_eq!(runs("Plan for 小雨", FontScript::Latin), Err(PdfFault::NoTypeface("小雨".to_owned())));
        assert_eq!(runs("a\u{E000}", FontScript::Latin), Err(PdfFault::NoTypeface("\u{E000}".to_owned())));
    }

    #[test]
    fn control_characters_are_left_out() {
        assert_eq!(of("a\nb\u{202E}c\u{0}\u{FEFF}"), [(FontScript::Latin, "a bc".to_owned())]);
    }

    #[test]
    fn a_long_word_can_be_broken_between_letters_only() {
        let word = "a\u{301}".repeat(30);
        let made = of(&word);
        let (_, text) = made.first().unwrap();
        assert_eq!(text.matches(BREAK).count(), 29);
        assert!(!text.contains("\u{200B}\u{301}"));
        assert_eq!(of("clinic"), [(FontScript::Latin, "clinic".to_owned())]);
    }
}
