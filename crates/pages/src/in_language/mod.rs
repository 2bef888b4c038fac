//! The language in which a page is read, and what several pages say in it.
//!
//! The words are in `texts/`, one folder for each language. A page that is translated asks here for every word; a test
//! finds a message that is missing in a language or that nobody uses. A page that is not translated says so by being
//! drawn with [`crate::page`], whatever language its reader chose.

mod calls;
mod choices;
mod days;
mod steps;

use messages::{Language, MessageFault, MessageTexts, Sentence};
use std::sync::LazyLock;

/// A language in which pages can be read, as far as they are translated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PageLanguage {
    /// English, in which every page is written.
    #[default]
    English,
    /// Spanish.
    Spanish,
}

/// The files of a language.
macro_rules! files {
    ($tag:literal) => {
        &[
            include_str!(concat!("../../texts/", $tag, "/common.ftl")),
            include_str!(concat!("../../texts/", $tag, "/steps.ftl")),
            include_str!(concat!("../../texts/", $tag, "/calls.ftl")),
            include_str!(concat!("../../texts/", $tag, "/day.ftl")),
        ]
    };
}

static TEXTS: LazyLock<Vec<MessageTexts>> = LazyLock::new(|| {
    let read = |language: &PageLanguage| MessageTexts::read(language.language(), language.files());
    PageLanguage::ALL.iter().map(read).collect()
});

impl PageLanguage {
    /// Every language, in the order of their declaration.
    pub const ALL: [Self; 2] = [Self::English, Self::Spanish];

    /// The language, with its days and plurals.
    #[must_use]
    pub const fn language(self) -> Language {
        match self {
            Self::English => Language::English,
            Self::Spanish => Language::Spanish,
        }
    }

    const fn files(self) -> &'static [&'static str] {
        match self {
            Self::English => files!("en"),
            Self::Spanish => files!("es"),
        }
    }

    /// Its tag (BCP 47).
    #[must_use]
    pub const fn tag(self) -> &'static str {
        self.language().tag()
    }

    /// From a tag.
    #[must_use]
    pub fn from_tag(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.tag() == tag)
    }

    /// The direction in which it is written, for the page's `dir`.
    #[must_use]
    pub const fn direction(self) -> &'static str {
        if self.language().is_right_to_left() { "rtl" } else { "ltr" }
    }

    /// The tag of English for what is not translated, within a page in another language.
    #[must_use]
    pub const fn untranslated(self) -> Option<&'static str> {
        match self {
            Self::English => None,
            Self::Spanish => Some("en"),
        }
    }

    /// Its own name, for a list of languages.
    #[must_use]
    pub fn own_name(self) -> String {
        self.named("language-name")
    }

    /// What heads the choice of the language, for readers who do not read English; `None` for English.
    #[must_use]
    pub fn heading(self) -> Option<String> {
        self.untranslated().map(|_| self.named("translation-choose"))
    }

    /// A sentence.
    ///
    /// # Errors
    /// When the message is missing or cannot be filled in.
    pub fn checked(self, sentence: &Sentence) -> Result<String, MessageFault> {
        let texts = TEXTS.get(self as usize).ok_or(MessageFault::Missing(sentence.id))?;
        texts.text(sentence)
    }

    /// A sentence on a page. Tests see to it that every message is there; if one were not, the reader has a child at
    /// the table and gets the English words, or the name of the message, rather than no page.
    #[must_use]
    pub fn text(self, sentence: &Sentence) -> String {
        let found = self.checked(sentence).or_else(|_| Self::English.checked(sentence));
        found.unwrap_or_else(|_| sentence.id.to_owned())
    }

    /// A sentence into which nothing is put.
    #[must_use]
    pub fn named(self, id: &'static str) -> String {
        self.text(&Sentence::new(id))
    }

    /// A sentence that depends on a number.
    #[must_use]
    pub fn counted(self, id: &'static str, n: i64) -> String {
        self.text(&Sentence::new(id).with("n", n))
    }
}
