//! What the values of a column stand for, where they are codes: the map file names one of these codings,
//! or gives each value a word.

use crate::{
    Meaning,
    values::{self, Read},
};

/// A way in which the values of a column are coded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ValueCoding {
    /// Signs as 0, 1 and 2 for 0, 0.5 and 1; sums of such signs are halved too.
    ZeroOneTwo,
    /// A number with words after it, `0,5 - moderado`.
    LeadingNumber,
    /// As they stand: no coding.
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
pub(crate) const CODINGS: [(&str, ValueCoding); 7] = [
    ("0/1/2", ValueCoding::ZeroOneTwo),
    ("leading number", ValueCoding::LeadingNumber),
    ("as written", ValueCoding::Plain),
    ("1 male 2 female", ValueCoding::OneMale),
    ("1 female 2 male", ValueCoding::OneFemale),
    ("1 right 2 left 3 both", ValueCoding::OneRight),
    ("1 left 2 right 3 both", ValueCoding::OneLeft),
];

impl ValueCoding {
    pub(crate) fn from_key(key: &str) -> Option<Self> {
        CODINGS.iter().find(|(known, _)| *known == key).map(|(_, coding)| *coding)
    }

    pub(crate) fn key(self) -> &'static str {
        CODINGS.iter().find(|(_, coding)| *coding == self).map_or("as written", |(key, _)| key)
    }

    /// What a value stands for; `None` where it stays as it is.
    pub(crate) fn value(self, meaning: Option<Meaning>, text: &str) -> Option<String> {
        match self {
            Self::Plain => None,
            Self::ZeroOneTwo => halved(meaning, text),
            Self::LeadingNumber => leading_number(text),
            Self::OneMale => one_of(text, ["male", "female", ""]),
            Self::OneFemale => one_of(text, ["female", "male", ""]),
            Self::OneRight => one_of(text, ["right", "left", "both"]),
            Self::OneLeft => one_of(text, ["left", "right", "both"]),
        }
    }
}

/// Half of a whole number within the range of the meaning; any other number is left to be refused.
fn halved(meaning: Option<Meaning>, text: &str) -> Option<String> {
    let most = match meaning {
        Some(Meaning::Sign(_)) => 2,
        Some(Meaning::Midfoot | Meaning::Hindfoot) => 6,
        Some(Meaning::Total) => 12,
        _ => return None,
    };
    match values::whole(text) {
        Read::Value(value) if (0..=most).contains(&value) => Some(format!("{}", f64::from(value) / 2.0)),
        // Without its coding 0.5 would be read as a half point, which this file does not write.
        Read::Value(_) | Read::Unreadable if values::number(text) != Read::Nothing => {
            Some(format!("{text} (coded)"))
        }
        _ => None,
    }
}

/// The number at the beginning of "0,5 - moderado"; its words must hold no other number.
pub(crate) fn leading_number(text: &str) -> Option<String> {
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
    }

    #[test]
    fn numbers_for_a_sex_and_a_side() {
        assert_eq!(ValueCoding::OneFemale.value(None, "1").as_deref(), Some("female"));
        assert_eq!(ValueCoding::OneLeft.value(None, "3").as_deref(), Some("both"));
        assert_eq!(ValueCoding::OneMale.value(None, "3"), None);
    }

    #[test]
    fn every_coding_has_a_key_that_leads_back_to_it() {
        for (key, coding) in CODINGS {
            assert_eq!((ValueCoding::from_key(key), coding.key()), (Some(coding), key));
        }
    }
}
