//! The languages of documents, and their messages.
//!
//! Each language has its messages as Fluent files, one for each document. A message that is missing is an error and
//! never a blank line: a family that reads half a list of emergency signs would rely on it.

use crate::{
    dates,
    sentence::{Arg, Sentence},
};
use fluent_bundle::{FluentArgs, FluentResource, FluentValue, concurrent::FluentBundle};
use record::{Day, FamilyLanguage};
use std::sync::LazyLock;
use unic_langid::LanguageIdentifier;

pub(crate) type Bundle = FluentBundle<FluentResource>;

/// A language in which documents can be made.
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

/// Why a message cannot be put into a language.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MessageFault {
    /// The language has no such message.
    #[error("The text “{0}” is missing in this language.")]
    Missing(&'static str),
    /// The message uses something that is not there, or cannot be read.
    #[error("The text “{id}” cannot be used: {why}.")]
    Broken {
        /// Its name.
        id: &'static str,
        /// What is wrong.
        why: String,
    },
}

/// The files of a language; letters to colleagues are in English only.
macro_rules! files {
    ($tag:literal $(, $more:literal)*) => {
        &[
            include_str!(concat!("../texts/", $tag, "/common.ftl")),
            include_str!(concat!("../texts/", $tag, "/plan.ftl")),
            include_str!(concat!("../texts/", $tag, "/cast-sheet.ftl")),
            include_str!(concat!("../texts/", $tag, "/brace-sheet.ftl")),
            include_str!(concat!("../texts/", $tag, "/expect.ftl")),
            include_str!(concat!("../texts/", $tag, "/letters.ftl")),
            $(include_str!(concat!("../texts/", $tag, "/", $more)),)*
        ]
    };
}

/// Everything about a language that is data.
struct LanguageData {
    tag: &'static str,
    /// The locale of its days (CLDR), with the digits that the messages have too.
    locale: &'static str,
    files: &'static [&'static str],
}

static BUNDLES: LazyLock<Vec<Bundle>> = LazyLock::new(|| {
    Language::ALL.iter().map(|language| bundle(language.data().tag, language.data().files)).collect()
});

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
        let (tag, locale, files): (_, _, &'static [&'static str]) = match self {
            Self::English => ("en", "en-GB", files!("en", "clinic.ftl")),
            Self::Spanish => ("es", "es", files!("es")),
            Self::French => ("fr", "fr", files!("fr")),
            Self::Portuguese => ("pt", "pt", files!("pt")),
            Self::Swahili => ("sw", "sw", files!("sw")),
            Self::Hindi => ("hi", "hi-u-nu-latn", files!("hi")),
            Self::Bengali => ("bn", "bn-u-nu-latn", files!("bn")),
            Self::Arabic => ("ar", "ar-u-nu-latn", files!("ar")),
            Self::Amharic => ("am", "am", files!("am")),
        };
        LanguageData { tag, locale, files }
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

    /// The language that a person wrote down for a carer, such as "Kiswahili" or "Luo, Swahili": of several words the
    /// first that is a language here. `None` where documents cannot be made in any of them.
    #[must_use]
    pub fn of_words(words: &str) -> Option<Self> {
        let parts = words.split([',', ';', '/', '(', ')', '+', '&']);
        parts.flat_map(|part| part.split(" and ")).find_map(|part| {
            let part = part.trim().to_lowercase();
            Self::ALL.into_iter().find(|language| language.is_called(&part))
        })
    }

    /// Whether this is one of its names, in lower case.
    fn is_called(self, name: &str) -> bool {
        let more: &[&str] = match self {
            Self::English => &[],
            Self::Spanish => &["español", "espanol", "castellano"],
            Self::French => &["français", "francais"],
            Self::Portuguese => &["português", "portugues"],
            Self::Swahili => &["kiswahili"],
            Self::Hindi => &["हिंदी", "हिन्दी"],
            Self::Bengali => &["bangla", "বাংলা"],
            Self::Arabic => &["العربية", "عربي"],
            Self::Amharic => &["amarigna", "amarinya", "አማርኛ"],
        };
        name == self.tag()
            || name == self.recorded().words().to_lowercase()
            || name == self.own_name().to_lowercase()
            || more.contains(&name)
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

    /// Its own name, for a list of languages.
    #[must_use]
    pub fn own_name(self) -> String {
        self.text(&Sentence::new("language-name")).unwrap_or_else(|_| "English".to_owned())
    }

    /// A sentence in this language.
    ///
    /// # Errors
    /// When the message is missing or cannot be filled in.
    pub fn text(self, sentence: &Sentence) -> Result<String, MessageFault> {
        self.bundle()
            .ok_or(MessageFault::Missing(sentence.id))
            .and_then(|bundle| self.filled(bundle, sentence))
    }

    /// A sentence from the messages of a bundle, with days and times as this language writes them.
    pub(crate) fn filled(self, bundle: &Bundle, sentence: &Sentence) -> Result<String, MessageFault> {
        let missing = || MessageFault::Missing(sentence.id);
        let message = bundle.get_message(sentence.id).and_then(|message| message.value());
        let pattern = message.ok_or_else(missing)?;
        let mut args = FluentArgs::new();
        for (name, arg) in &sentence.args {
            args.set(*name, self.value(arg));
        }
        let mut faults = Vec::new();
        let text = bundle.format_pattern(pattern, Some(&args), &mut faults).into_owned();
        match faults.first() {
            None => Ok(text),
            Some(fault) => Err(MessageFault::Broken { id: sentence.id, why: fault.to_string() }),
        }
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

    fn value(self, arg: &Arg) -> FluentValue<'static> {
        match arg {
            Arg::Number(number) => FluentValue::from(*number),
            Arg::Day(day) => FluentValue::from(self.day(*day)),
            Arg::Time(text) => FluentValue::from(self.time(text)),
            Arg::Text(text) => FluentValue::from(text.clone()),
            Arg::Key(key) => FluentValue::from(*key),
        }
    }

    /// Its files, in the order of [`crate::MESSAGE_GROUPS`].
    pub(crate) const fn sources(self) -> &'static [&'static str] {
        self.data().files
    }

    /// The messages of this language with other texts in front of those of the program.
    pub(crate) fn bundle_with(self, texts: &[&str]) -> Bundle {
        let all: Vec<&str> = self.sources().iter().chain(texts).copied().collect();
        bundle(self.tag(), &all)
    }

    fn bundle(self) -> Option<&'static Bundle> {
        BUNDLES.get(self as usize)
    }
}

/// The files are part of the program, and a test reads every one; what cannot be read is missing, and a missing
/// message is an error where it is used.
fn bundle(tag: &str, files: &[&str]) -> Bundle {
    let languages = tag.parse::<LanguageIdentifier>().into_iter().collect();
    let mut bundle = Bundle::new_concurrent(languages);
    // Marks around what is put in are for mixed directions; each document marks its names itself.
    bundle.set_use_isolating(false);
    for file in files {
        let resource = match FluentResource::try_new((*file).to_owned()) {
            Ok(resource) | Err((resource, _)) => resource,
        };
        bundle.add_resource_overriding(resource);
    }
    bundle
}
