//! The code on the printed recovery sheet, whole or as two halves.
//!
//! The code has 160 random bits, so that it needs no slow computation against guessing. It is printed as eight groups
//! of five letters, of which the last finds typing errors. For two people who are each not to open the records alone
//! it is printed as two halves: one is random, the other is what the first lacks to the code (exclusive or), so that
//! either half by itself is a random number and says nothing about the code.

use crate::{check_letters, error::SafekeepingError};
use std::{fmt, str::FromStr};
use zeroize::{Zeroize, ZeroizeOnDrop};

const BYTES: usize = 20;
/// Groups of a code: 160 bits, 20 a group.
const GROUPS: usize = 8;
/// The numbers of the groups: of a whole code, of the first half, of the second.
const FIRST_NUMBERS: [u8; 3] = [0, 8, 16];

/// The recovery code of a clinic.
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct RecoveryCode {
    bytes: [u8; BYTES],
}

/// One half of a recovery code: useless without the other.
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct CodeHalf {
    second: bool,
    bytes: [u8; BYTES],
}

/// What somebody typed from a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecoverySheetText {
    /// A whole code.
    Whole(RecoveryCode),
    /// One half: the other is still needed.
    Half(CodeHalf),
}

impl RecoveryCode {
    /// A new code.
    #[must_use]
    #[allow(clippy::new_without_default)]
    pub fn new() -> Self {
        let mut bytes = [0; BYTES];
        rand::fill(&mut bytes[..]);
        Self { bytes }
    }

    pub(crate) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The groups as they are printed.
    #[must_use]
    pub fn groups(&self) -> Vec<String> {
        check_letters::groups(&self.bytes, FIRST_NUMBERS[0])
    }

    /// Two halves; different ones at each call.
    #[must_use]
    pub fn halves(&self) -> (CodeHalf, CodeHalf) {
        let mut first = [0; BYTES];
        rand::fill(&mut first[..]);
        let second = exclusive_or(&self.bytes, &first);
        (CodeHalf { second: false, bytes: first }, CodeHalf { second: true, bytes: second })
    }

    /// The code of two halves, in whichever order.
    ///
    /// # Errors
    /// When both are the first or both are the second half.
    pub fn of_halves(one: &CodeHalf, other: &CodeHalf) -> Result<Self, SafekeepingError> {
        if one.second == other.second {
            let which = "Both are the same half. Type the first half and the second half.";
            return Err(SafekeepingError::Halves(which));
        }
        Ok(Self { bytes: exclusive_or(&one.bytes, &other.bytes) })
    }
}

impl CodeHalf {
    /// Whether it is the second half.
    #[must_use]
    pub fn is_second(&self) -> bool {
        self.second
    }

    /// The groups as they are printed.
    #[must_use]
    pub fn groups(&self) -> Vec<String> {
        let [_, first, second] = FIRST_NUMBERS;
        check_letters::groups(&self.bytes, if self.second { second } else { first })
    }
}

/// Reads a whole code or a half; the check letters say which it is.
///
/// # Errors
/// The character or group in which there is a typing error, or that it is too short or long.
pub fn read_sheet_text(text: &str) -> Result<RecoverySheetText, SafekeepingError> {
    let values = check_letters::typed_values(text)?;
    if values.len() != GROUPS * check_letters::GROUP {
        return Err(SafekeepingError::CodeLength { expected: GROUPS, letters: values.len() });
    }
    let [whole, first, second] = FIRST_NUMBERS.map(|number| check_letters::bytes_of(&values, number));
    let fits = |bytes: Vec<u8>| <[u8; BYTES]>::try_from(bytes).ok();
    match (first.map(fits), second.map(fits)) {
        (Ok(Some(bytes)), _) => Ok(RecoverySheetText::Half(CodeHalf { second: false, bytes })),
        (_, Ok(Some(bytes))) => Ok(RecoverySheetText::Half(CodeHalf { second: true, bytes })),
        (first, second) => match whole.map(fits) {
            Ok(Some(bytes)) => Ok(RecoverySheetText::Whole(RecoveryCode { bytes })),
            whole => Err(furthest([whole.err(), first.err(), second.err()])),
        },
    }
}

/// Of three readings the one that went furthest before it failed: that is what was meant.
fn furthest(errors: [Option<SafekeepingError>; 3]) -> SafekeepingError {
    let group = |error: &SafekeepingError| match error {
        SafekeepingError::CodeGroup(group) => *group,
        _ => 0,
    };
    let errors = errors.into_iter().flatten();
    errors.max_by_key(group).unwrap_or(SafekeepingError::CodeGroup(1))
}

fn exclusive_or(one: &[u8; BYTES], other: &[u8; BYTES]) -> [u8; BYTES] {
    let mut out = *one;
    out.iter_mut().zip(other).for_each(|(byte, other)| *byte ^= other);
    out
}

impl fmt::Display for RecoveryCode {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(&self.groups().join("-"))
    }
}

impl fmt::Display for CodeHalf {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(&self.groups().join("-"))
    }
}

impl fmt::Debug for RecoveryCode {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("RecoveryCode(…)")
    }
}

impl fmt::Debug for CodeHalf {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(if self.second { "CodeHalf(second)" } else { "CodeHalf(first)" })
    }
}

impl FromStr for RecoveryCode {
    type Err = SafekeepingError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match read_sheet_text(text)? {
            RecoverySheetText::Whole(code) => Ok(code),
            RecoverySheetText::Half(_) => {
                Err(SafekeepingError::Halves("This is one half of a code. The other half is needed too."))
            }
        }
    }
}
