//! What the values of a column stand for, where they are codes: the map file names one of these codings,
//! or gives each value a word.

use crate::{
    Meaning,
    sides::named_within,
    values::{self, Read},
};

/// A way in which the values of a column are coded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ValueCoding {
    /// Signs as 0, 1 and 2 for 0, 0.5 and 1; sums of such signs are halved too.
    ZeroOneTwo,
    /// Signs as 1, 2 and 3 for 0, 0.5 and 1; sums of such signs likewise.
    OneTwoThree,
    /// A number with words after it, `0,5 - moderado`.
    LeadingNumber,
    /// As written: no coding.
    Plain,
    /// 1 a boy, 2 a girl.
    OneMale,
    /// 1 a girl, 2 a boy.
    OneFemale,
    /// 1 right, 2 left, 3 both.
    OneRight,
    /// 1 left, 2 right, 3 both.
    OneLeft,
}

/// Every coding with its key in a map file.
pub(crate) const CODINGS: [(&str, ValueCoding); 8] = [
    ("0/1/2", ValueCoding::ZeroOneTwo),
    ("1/2/3", ValueCoding::OneTwoThree),
    ("leading number", ValueCoding::LeadingNumber),
    ("as written", ValueCoding::Plain),
    ("1 male 2 female", ValueCoding::OneMale),
    ("1 female 2 male", ValueCoding::OneFemale),
    ("1 right 2 left 3 both", ValueCoding::OneRight),
    ("1 left 2 right 3 both", ValueCoding::OneLeft),
];

impl ValueCoding {
    /// What a number of a sign stands for.
    pub(crate) fn point(self, number: f64) -> f64 {
        match self {
            Self::ZeroOneTwo => number / 2.0,
            Self::OneTwoThree => (number - 1.0) / 2.0,
            _ => number,
        }
    }

    pub(crate) fn from_key(key: &str) -> Option<Self> {
        CODINGS.iter().find(|(known, _)| *known == key).map(|(_, coding)| *coding)
    }

    /// What a value stands for; `None` where it stays as it is.
    pub(crate) fn value(self, meaning: Option<Meaning>, text: &str) -> Option<String> {
        match self {
            Self::Plain => None,
            Self::ZeroOneTwo => halved(meaning, 0, text),
            Self::OneTwoThree => halved(meaning, 1, text),
            Self::LeadingNumber => leading_number(text),
            Self::OneMale => one_of(text, ["male", "female", ""]),
            Self::OneFemale => one_of(text, ["female", "male", ""]),
            Self::OneRight => one_of(text, ["right", "left", "both"]),
            Self::OneLeft => one_of(text, ["left", "right", "both"]),
        }
    }
}

/// Half of a whole number within the range of the meaning, where 0 is written as `least` in each sign; any
/// other number is left to be refused.
fn halved(meaning: Option<Meaning>, least: i32, text: &str) -> Option<String> {
    let signs = match meaning {
        Some(Meaning::Sign(_)) => 1,
        Some(Meaning::Midfoot | Meaning::Hindfoot) => 3,
        Some(Meaning::Total) => 6,
        _ => return None,
    };
    match values::whole(text).map(|value| value - signs * least) {
        Read::Value(value) if (0..=signs * 2).contains(&value) => Some(format!("{}", f64::from(value) / 2.0)),
        // Without its coding 0.5 would be read as a half point, which this file does not write.
        Read::Value(_) | Read::Unreadable if values::number(text) != Read::Nothing => {
            Some(format!("{text} (coded)"))
        }
        _ => None,
    }
}

/// The number at the beginning of "0,5 - moderado"; its words must hold no other number, and no word for a
/// foot, which would be lost.
pub(crate) fn leading_number(text: &str) -> Option<String> {
    if named_within(text) != (false, false) {
        return None;
    }
    let text = crate::text::latin_digits(text);
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))?;
    let (number, rest) = text.split_at_checked(end)?;
    let words = rest.chars().any(char::is_alphabetic) && !rest.chars().any(|c| c.is_ascii_digit());
    let parted = rest.starts_with([' ', '-', '=', ':', '(', '–', '—']);
    (!number.is_empty() && words && parted).then(|| number.to_owned())
}

fn one_of(text: &str, words: [&str; 3]) -> Option<String> {
    let Read::Value(value @ 1..=3) = values::whole(text) else { return None };
    let word = words.get(usize::try_from(value).ok()?.checked_sub(1)?)?;
    (!word.is_empty()).then(|| (*word).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::Sign;

    #[test]
    fn codes_of_signs_and_their_sums_are_halved_and_others_refused() {
        let sign = Some(Meaning::Sign(Sign::EmptyHeel));
        let read = |meaning, text| ValueCoding::ZeroOneTwo.value(meaning, text);
        assert_eq!(read(sign, "2").as_deref(), Some("1"));
        assert_eq!(read(sign, "1").as_deref(), Some("0.5"));
        assert_eq!(read(sign, "0").as_deref(), Some("0"));
        assert_eq!(read(sign, "0.5").as_deref(), Some("0.5 (coded)"));
        assert_eq!(read(Some(Meaning::Total), "11").as_deref(), Some("5.5"));
        assert_eq!(read(sign, ""), None);
        assert_eq!(read(Some(Meaning::Abduction), "2"), None);
    }

    #[test]
    fn a_number_with_words_after_it() {
        assert_eq!(leading_number("0,5 - moderado").as_deref(), Some("0,5"));
        assert_eq!(leading_number("1 (severe)").as_deref(), Some("1"));
        assert_eq!(leading_number("0.5"), None);
        assert_eq!(leading_number("1 of 2"), None);
        assert_eq!(leading_number("2nd"), None);
        assert_eq!(leading_number("4.5 (R)"), None);
    }

    #[test]
    fn numbers_for_a_sex_and_a_side() {
        assert_eq!(ValueCoding::OneFemale.value(None, "1").as_deref(), Some("female"));
        assert_eq!(ValueCoding::OneLeft.value(None, "3").as_deref(), Some("both"));
        assert_eq!(ValueCoding::OneMale.value(None, "3"), None);
    }

    #[test]
    fn every_coding_has_a_key_of_its_own() {
        for (key, coding) in CODINGS {
            assert_eq!(ValueCoding::from_key(key), Some(coding), "{key}");
        }
    }
}
