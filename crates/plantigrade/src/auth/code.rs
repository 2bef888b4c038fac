//! The one-time code by which a device is enrolled: eight digits, read from one screen and typed on another.
//!
//! Digits can be typed on any keyboard. A code is valid for minutes only and guessing is slowed down: within its
//! time at most 85 of 100 million codes can be tried.

use sha2::{Digest, Sha256};

const DIGITS: usize = 8;
const CODES: u32 = 100_000_000;

/// The digit zero of the scripts in which keyboards of this program's users type digits.
const ZEROS: [char; 6] = ['0', '٠', '۰', '०', '০', '０'];

/// A one-time code.
#[derive(Clone, PartialEq, Eq)]
pub struct EnrolmentCode(String);

impl EnrolmentCode {
    /// A new code from the operating system's random numbers.
    #[must_use]
    pub fn new() -> Self {
        Self(format!("{:0DIGITS$}", rand::random_range(0..CODES)))
    }

    /// From what a person typed; spaces and dashes do not matter. `None` if it has not eight digits.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let shown = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '–' | '.'));
        let digits: String = shown.take(DIGITS + 1).map(digit).collect::<Option<_>>()?;
        (digits.len() == DIGITS).then_some(Self(digits))
    }

    /// The code as it is shown: "4827 1539".
    #[must_use]
    pub fn words(&self) -> String {
        let (first, last) = self.0.split_at(DIGITS / 2);
        format!("{first} {last}")
    }

    /// The hash for the records.
    #[must_use]
    pub fn hash(&self) -> [u8; 32] {
        Sha256::digest(format!("enrolment code {}", self.0)).into()
    }
}

impl Default for EnrolmentCode {
    fn default() -> Self {
        Self::new()
    }
}

pub(super) fn digit(c: char) -> Option<char> {
    let value = ZEROS.iter().find_map(|zero| {
        let value = u32::from(c).checked_sub(u32::from(*zero))?;
        (value <= 9).then_some(value)
    });
    value.and_then(|value| char::from_digit(value, 10))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_code_is_read_however_it_is_typed() {
        let code = EnrolmentCode("04827153".into());
        assert_eq!(code.words(), "0482 7153");
        for typed in ["0482 7153", "04827153", " 0482-7153 ", "٠٤٨٢ ٧١٥٣", "०४८२७१५३"]
        {
            assert!(EnrolmentCode::read(typed).unwrap() == code, "{typed}");
        }
        for wrong in ["", "0482 715", "0482 71533", "O482 7153", "0482 715x"] {
            assert!(EnrolmentCode::read(wrong).is_none(), "{wrong}");
        }
    }

    #[test]
    fn new_codes_have_eight_digits_and_differ() {
        let codes: std::collections::BTreeSet<String> =
            (0..200).map(|_| EnrolmentCode::new().words()).collect();
        assert!(codes.iter().all(|code| EnrolmentCode::read(code).is_some() && code.len() == 9));
        assert!(codes.len() > 195, "only {} of 200 differ", codes.len());
    }
}
