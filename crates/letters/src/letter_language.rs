//! The messages of documents in each language, and the language of a carer.
//!
//! Each language has its messages as Fluent files, one for each document. A message that is missing is an error and
//! never a blank line: a family that reads half a list of emergency signs would rely on it.

use messages::{Language, MessageFault, MessageTexts, Sentence};
use std::sync::LazyLock;

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

static TEXTS: LazyLock<Vec<MessageTexts>> = LazyLock::new(|| {
    Language::ALL.iter().map(|language| MessageTexts::read(*language, sources(*language))).collect()
});

/// The files of a language, in the order of [`crate::MESSAGE_GROUPS`].
pub(crate) const fn sources(language: Language) -> &'static [&'static str] {
    match language {
        Language::English => files!("en", "clinic.ftl"),
        Language::Spanish => files!("es"),
        Language::French => files!("fr"),
        Language::Portuguese => files!("pt"),
        Language::Swahili => files!("sw"),
        Language::Hindi => files!("hi"),
        Language::Bengali => files!("bn"),
        Language::Arabic => files!("ar"),
        Language::Amharic => files!("am"),
    }
}

/// The messages of a language with other texts in front of those of the program.
pub(crate) fn texts_with(language: Language, texts: &[&str]) -> MessageTexts {
    let all: Vec<&str> = sources(language).iter().chain(texts).copied().collect();
    MessageTexts::read(language, &all)
}

/// What documents need to know of a language.
pub trait LetterLanguage: Sized {
    /// A sentence of a document, in the words of the program.
    ///
    /// # Errors
    /// When the message is missing or cannot be filled in.
    fn text(self, sentence: &Sentence) -> Result<String, MessageFault>;

    /// Its own name, for a list of languages.
    #[must_use]
    fn own_name(self) -> String;

    /// The language that a person wrote down for a carer, such as "Kiswahili" or "Luo, Swahili": of several words the
    /// first that is a language here. `None` where documents cannot be made in any of them.
    #[must_use]
    fn of_words(words: &str) -> Option<Self>;
}

impl LetterLanguage for Language {
    fn text(self, sentence: &Sentence) -> Result<String, MessageFault> {
        let texts = TEXTS.get(self as usize).ok_or(MessageFault::Missing(sentence.id))?;
        texts.text(sentence)
    }

    fn own_name(self) -> String {
        self.text(&Sentence::new("language-name")).unwrap_or_else(|_| "English".to_owned())
    }

    fn of_words(words: &str) -> Option<Self> {
        let parts = words.split([',', ';', '/', '(', ')', '+', '&']);
        parts.flat_map(|part| part.split(" and ")).find_map(|part| {
            let part = part.trim().to_lowercase();
            Self::ALL.into_iter().find(|language| is_called(*language, &part))
        })
    }
}

/// Whether this is one of the names of a language, in lower case.
fn is_called(language: Language, name: &str) -> bool {
    let more: &[&str] = match language {
        Language::English => &[],
        Language::Spanish => &["español", "espanol", "castellano"],
        Language::French => &["français", "francais"],
        Language::Portuguese => &["português", "portugues"],
        Language::Swahili => &["kiswahili"],
        Language::Hindi => &["हिंदी", "हिन्दी"],
        Language::Bengali => &["bangla", "বাংলা"],
        Language::Arabic => &["العربية", "عربي"],
        Language::Amharic => &["amarigna", "amarinya", "አማርኛ"],
    };
    name == language.tag()
        || name == language.recorded().words().to_lowercase()
        || name == language.own_name().to_lowercase()
        || more.contains(&name)
}
