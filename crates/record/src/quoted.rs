//! How what somebody wrote is repeated in an error: enough to find it again, and no more. Errors end up in logs, on
//! screens and in messages for help, and what was written may be a name.

/// The most characters that an error repeats.
pub const QUOTED_CHARS: usize = 20;

/// The beginning of a text, with an ellipsis where something is left out. Characters that steer a screen or cannot be
/// seen are shown as "�".
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut chars = text.trim().chars();
    let shown: String =
        chars.by_ref().take(QUOTED_CHARS).map(|char| if is_seen(char) { char } else { '\u{fffd}' }).collect();
    if chars.next().is_some() { format!("{shown}…") } else { shown }
}

/// Whether a character can be seen where it stands: no control character, no mark of direction, nothing without width.
fn is_seen(char: char) -> bool {
    !char.is_control() && !is_invisible(char)
}

/// Whether a character is shown as nothing, or changes the direction of what follows.
#[must_use]
pub const fn is_invisible(char: char) -> bool {
    matches!(char,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}'
        | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_repeats_a_few_characters_and_steers_no_screen() {
        assert_eq!(quoted(" 14.5.2024 "), "14.5.2024");
        assert_eq!(quoted("Amina Vesterholt of the second house"), "Amina Vesterholt of …");
        assert_eq!(quoted("a\u{1b}[2Jb\nc\u{202e}d\u{200b}"), "a�[2Jb�c�d�");
        assert_eq!(quoted(&"ü".repeat(20)), "ü".repeat(20));
    }
}
