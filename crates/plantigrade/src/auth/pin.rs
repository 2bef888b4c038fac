//! PINs: a few digits by which a person unlocks a session on one device. A PIN is no password: it opens nothing that
//! was not opened with the password before, and after a few wrong tries only the password helps.

use super::code::digit;

/// The shortest and the longest PIN, in digits.
pub const PIN_DIGITS: std::ops::RangeInclusive<usize> = 4..=8;
/// Wrong tries in a row after which a PIN is off until the password is given.
pub const PIN_TRIES: u32 = 5;
/// What is required, for the form.
pub const PIN_HINT: &str = "4 to 8 digits, not all the same, not in a row and not a year.";

/// Patterns of the keypad and others that are tried first (from memory).
const SIMPLE: [&str; 12] =
    ["2580", "0852", "1357", "2468", "1470", "3690", "1590", "7531", "8642", "147258", "159753", "147852"];

/// Why a new PIN is not accepted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PinError {
    /// It has other characters, or too few or too many digits.
    #[error("A PIN has 4 to 8 digits and nothing else.")]
    Digits,
    /// It is tried first by who guesses.
    #[error("This PIN is easy to guess: choose one that is no row, no year and no pattern of the keys.")]
    Simple,
    /// The two do not agree.
    #[error("The two PINs are not the same.")]
    Differ,
}

/// The digits that a person typed, on whatever keyboard; `None` if it is no PIN.
#[must_use]
pub fn pin_digits(text: &str) -> Option<String> {
    let digits: String = text.trim().chars().map(digit).collect::<Option<_>>()?;
    PIN_DIGITS.contains(&digits.len()).then_some(digits)
}

/// A new PIN typed twice, as digits.
///
/// # Errors
/// When it is not 4 to 8 digits, is guessed first, or the two differ.
pub fn judge_pin(first: &str, second: &str) -> Result<String, PinError> {
    let pin = pin_digits(first).ok_or(PinError::Digits)?;
    if is_simple(&pin) {
        return Err(PinError::Simple);
    }
    if pin_digits(second).as_deref() == Some(pin.as_str()) { Ok(pin) } else { Err(PinError::Differ) }
}

fn is_simple(pin: &str) -> bool {
    let digits: Vec<u8> = pin.bytes().map(|byte| byte - b'0').collect();
    let steps = |by: u8| digits.windows(2).all(|pair| (pair[0] + by) % 10 == pair[1]);
    let repeats = |unit: usize| digits.iter().zip(digits.iter().skip(unit)).all(|(a, b)| a == b);
    let year = pin.len() == 4 && ("1900".."2040").contains(&pin);
    [0, 1, 9].into_iter().any(steps) || (1..=digits.len() / 2).any(repeats) || year || SIMPLE.contains(&pin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pin_is_digits_on_whatever_keyboard() {
        assert_eq!(judge_pin("4071", "4071"), Ok("4071".to_owned()));
        assert_eq!(judge_pin("٤٠٧١", " 4071 "), Ok("4071".to_owned()));
        for wrong in ["", "407", "407123456", "40a1", "40 71"] {
            assert_eq!(judge_pin(wrong, wrong), Err(PinError::Digits), "{wrong}");
        }
        assert_eq!(judge_pin("4071", "4072"), Err(PinError::Differ));
    }

    #[test]
    fn what_is_guessed_first_is_refused() {
        for pin in [
            "0000", "7777", "1234", "4321", "7890", "0987", "123456", "1212", "407407", "1984", "2025",
            "2580",
        ] {
            assert_eq!(judge_pin(pin, pin), Err(PinError::Simple), "{pin}");
        }
        for pin in ["4071", "9036", "204817", "1899", "2040", "19842"] {
            assert!(judge_pin(pin, pin).is_ok(), "{pin}");
        }
    }
}
