//! The languages of documents and pages, and how each writes days and times.

use crate::dates;
use record::{Day, FamilyLanguage};

/// A language of the program. Documents for families can be made in every one; which pages can be read in one is said by
/// `pages`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Language {
    /// English.
    English,
    /// Spanish.
    Spanish,
    /// French.
    French,
    /// Portuguese.
    Portuguese,
    /// Swahili.
    Swahili,
    /// Hindi.
    Hindi,
    /// Bengali.
    Bengali,
    /// Arabic, written from right to left.
    Arabic,
    /// Amharic.
    Amharic,
}

/// Everything about a language that is data.
struct LanguageData {
    tag: &'static str,
    /// The locale of its days (CLDR), with the digits that the messages have too.
    locale: &'static str,
}

impl Language {
    /// Every language, in the order of their declaration.
    pub const ALL: [Self; 9] = [
        Self::English,
        Self::Spanish,
        Self::French,
        Self::Portuguese,
        Self::Swahili,
        Self::Hindi,
        Self::Bengali,
        Self::Arabic,
        Self::Amharic,
    ];

    const fn data(self) -> LanguageData {
        let (tag, locale) = match self {
            Self::English => ("en", "en-GB"),
            Self::Spanish => ("es", "es"),
            Self::French => ("fr", "fr"),
            Self::Portuguese => ("pt", "pt"),
            Self::Swahili => ("sw", "sw"),
            Self::Hindi => ("hi", "hi-u-nu-latn"),
            Self::Bengali => ("bn", "bn-u-nu-latn"),
            Self::Arabic => ("ar", "ar-u-nu-latn"),
            Self::Amharic => ("am", "am"),
        };
        LanguageData { tag, locale }
    }

    /// Its tag (BCP 47), for the page's `lang` and for addresses.
    #[must_use]
    pub const fn tag(self) -> &'static str {
        self.data().tag
    }

    /// From a tag.
    #[must_use]
    pub fn from_tag(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.tag() == tag)
    }

    /// The same language as an entry records it.
    #[must_use]
    pub const fn recorded(self) -> FamilyLanguage {
        match self {
            Self::English => FamilyLanguage::English,
            Self::Spanish => FamilyLanguage::Spanish,
            Self::French => FamilyLanguage::French,
            Self::Portuguese => FamilyLanguage::Portuguese,
            Self::Swahili => FamilyLanguage::Swahili,
            Self::Hindi => FamilyLanguage::Hindi,
            Self::Bengali => FamilyLanguage::Bengali,
            Self::Arabic => FamilyLanguage::Arabic,
            Self::Amharic => FamilyLanguage::Amharic,
        }
    }

    /// Whether it is written from right to left.
    #[must_use]
    pub const fn is_right_to_left(self) -> bool {
        matches!(self, Self::Arabic)
    }

    /// Whether its texts still await a review by a clinician who speaks it. English is the language in which they
    /// were written.
    #[must_use]
    pub const fn awaits_review(self) -> bool {
        !matches!(self, Self::English)
    }

    /// A day with its weekday: "Tuesday 4 March 2025". In Amharic the day of the Ethiopian calendar follows, by which
    /// many families live.
    #[must_use]
    pub fn day(self, day: Day) -> String {
        match self {
            // As on the pages of the program.
            Self::English => format!("{} {}", day.weekday_word(), day.words()),
            // The pattern of CLDR for a full date in Swahili; the library puts the comma elsewhere.
            Self::Swahili => format!("{}, {}", dates::weekday("sw", day), dates::without_weekday("sw", day)),
            Self::Amharic => format!("{} ({})", dates::long(self.data().locale, day), dates::ethiopian(day)),
            _ => dates::long(self.data().locale, day),
        }
    }

    /// A day without its weekday: "4 March 2025".
    #[must_use]
    pub fn date(self, day: Day) -> String {
        match self {
            Self::English => day.words(),
            _ => dates::without_weekday(self.data().locale, day),
        }
    }

    /// A day without weekday and year, before one of the same year: "28 May".
    #[must_use]
    pub fn day_of_year(self, day: Day) -> String {
        dates::without_year(self.data().locale, day)
    }

    /// A day in a narrow column: "Tue 4".
    #[must_use]
    pub fn short_day(self, day: Day) -> String {
        dates::short(self.data().locale, day)
    }

    /// A time of day as the clinic wrote it. In Swahili and Amharic the hours of the day are counted from six in the
    /// morning; there the time by that clock follows, so that no family comes six hours early or late.
    #[must_use]
    pub fn time(self, written: &str) -> String {
        let by_that_clock = match self {
            Self::Swahili => dates::swahili_time(written),
            Self::Amharic => dates::amharic_time(written),
            _ => None,
        };
        by_that_clock.map_or_else(|| written.to_owned(), |time| format!("{written} ({time})"))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// Days as CLDR writes them, from the library: the patterns of Spanish are "EEEE, d 'de' MMMM 'de' y" and its parts.
    #[test]
    fn days_with_weekday_without_it_and_without_the_year() {
        let day: Day = "2024-05-08".parse().unwrap();
        let written = |language: Language| [language.day(day), language.date(day), language.day_of_year(day)];
        assert_eq!(written(Language::English), ["Wednesday 8 May 2024", "8 May 2024", "8 May"]);
        let spanish = ["miércoles, 8 de mayo de 2024", "8 de mayo de 2024", "8 de mayo"];
        assert_eq!(written(Language::Spanish), spanish);
        for language in Language::ALL {
            assert!(language.date(day).contains("2024"), "{}", language.date(day));
            assert!(!language.day_of_year(day).contains("2024"), "{}", language.day_of_year(day));
        }
    }

    #[test]
    fn every_language_is_found_by_its_tag() {
        for language in Language::ALL {
            assert_eq!(Language::from_tag(language.tag()), Some(language));
        }
        assert_eq!(Language::from_tag("xx"), None);
    }
}
