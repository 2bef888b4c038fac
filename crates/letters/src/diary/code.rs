//! What the code on a diary says: whose it is and which days, and no name.

use record::{ChildId, Day};
use uuid::Uuid;

/// The most weeks of a diary.
const MOST_WEEKS: u8 = 4;
/// How every code begins; the last character is the version of the sheet.
const BEGIN: &str = "PGD1";
/// Characters of the id of the child, of the day and of the whole.
const ID_CHARS: usize = 25;
const DAY_CHARS: usize = 4;
const CHARS: usize = BEGIN.len() + ID_CHARS + DAY_CHARS + 1;
/// Digits and capital letters, which take least room in a code.
const DIGITS: &[u8; 36] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// The code of a diary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiaryCode {
    /// The child.
    pub child: ChildId,
    /// The first day.
    pub from: Day,
    /// The number of weeks, from 1 to 4.
    pub weeks: u8,
}

/// Why a text is no code of a diary.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("This is no code of a wear diary of this program.")]
pub struct DiaryCodeFault;

impl DiaryCode {
    /// The text of the code.
    #[must_use]
    pub fn text(self) -> String {
        let day = self.from.number() - Day::FIRST.number();
        let day = written(u128::from(day.unsigned_abs()), DAY_CHARS);
        format!(
            "{BEGIN}{}{day}{}",
            written(self.child.uuid().as_u128(), ID_CHARS),
            self.weeks.min(MOST_WEEKS)
        )
    }

    /// From the text of a code.
    ///
    /// # Errors
    /// When it is something else.
    pub fn from_text(text: &str) -> Result<Self, DiaryCodeFault> {
        let rest = text
            .strip_prefix(BEGIN)
            .filter(|_| text.len() == CHARS && text.is_ascii())
            .ok_or(DiaryCodeFault)?;
        let (id, rest) = rest.split_at_checked(ID_CHARS).ok_or(DiaryCodeFault)?;
        let (day, weeks) = rest.split_at_checked(DAY_CHARS).ok_or(DiaryCodeFault)?;
        let child = ChildId::new(Uuid::from_u128(number(id).ok_or(DiaryCodeFault)?));
        let days = number(day).and_then(|days| i32::try_from(days).ok()).ok_or(DiaryCodeFault)?;
        let from = Day::FIRST.plus_days(days);
        let weeks: u8 = weeks.parse().map_err(|_| DiaryCodeFault)?;
        let code = Self { child, from, weeks };
        if (1..=MOST_WEEKS).contains(&weeks) && code.text() == text { Ok(code) } else { Err(DiaryCodeFault) }
    }

    /// Its days in order.
    pub fn days(self) -> impl Iterator<Item = Day> {
        (0..i32::from(self.weeks) * 7).map(move |n| self.from.plus_days(n))
    }
}

fn written(mut number: u128, chars: usize) -> String {
    let mut digits = Vec::with_capacity(chars);
    for _ in 0..chars {
        digits.push(DIGITS.get((number % 36) as usize).copied().unwrap_or(b'0'));
        number /= 36;
    }
    digits.iter().rev().map(|digit| char::from(*digit)).collect()
}

fn number(text: &str) -> Option<u128> {
    let digit = |char: u8| DIGITS.iter().position(|digit| *digit == char);
    text.bytes().try_fold(0_u128, |sum, char| sum.checked_mul(36)?.checked_add(digit(char)? as u128))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_code_is_read_back_and_anything_else_is_refused() {
        for id in [0, 1, u128::MAX, 0x0190_7e2a_0000_7000_8000_0000_0000_00c1] {
            for day in [Day::FIRST, "2025-03-04".parse().unwrap(), Day::LAST] {
                let code = DiaryCode { child: ChildId::new(Uuid::from_u128(id)), from: day, weeks: 4 };
                let text = code.text();
                assert_eq!((text.len(), DiaryCode::from_text(&text)), (CHARS, Ok(code)), "{text}");
            }
        }
        let whole = DiaryCode { child: ChildId::new(Uuid::from_u128(7)), from: Day::FIRST, weeks: 4 }.text();
        let tampered = ["", "PGD1", "https://clinic.example", &whole[..33], &format!("{whole}4")];
        for text in tampered {
            assert_eq!(DiaryCode::from_text(text), Err(DiaryCodeFault), "{text}");
        }
        for (at, with) in [(3, "2"), (33, "0"), (33, "9"), (10, "a"), (4, "Z")] {
            let mut text = whole.clone();
            text.replace_range(at..=at, with);
            assert_eq!(DiaryCode::from_text(&text), Err(DiaryCodeFault), "{text}");
        }
    }
}
