//! Numbers with decimals.

use crate::in_language::PageLanguage;
use guidance::call_text::RoundedNumber;
use messages::Sentence;
use record::Halves;

impl PageLanguage {
    /// A number written with a decimal point, as the language writes it: "11.9", "11,9".
    fn decimal(self, number: &str) -> String {
        let Some((whole, tenths)) = number.split_once('.') else { return number.to_owned() };
        self.text(&Sentence::new("decimal").with("whole", whole).with("tenths", tenths))
    }

    /// Points of a score: "2", "2.5".
    pub(super) fn points(self, points: Halves) -> String {
        self.decimal(&points.to_string())
    }

    /// A number to one decimal.
    pub(super) fn tenths(self, number: RoundedNumber) -> String {
        self.decimal(&number.tenths())
    }
}
