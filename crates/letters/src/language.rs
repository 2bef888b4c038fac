//! The languages of documents, and their messages.
//!
//! Each language has its messages as Fluent files, one for each document. A message that is missing is an error and
//! never a blank line: a family that reads half a list of emergency signs would rely on it.

use crate::sentence::{Arg, Sentence};
use fluent_bundle::{FluentArgs, FluentResource, FluentValue, concurrent::FluentBundle};
use record::Day;
use std::sync::LazyLock;
use unic_langid::LanguageIdentifier;

type Bundle = FluentBundle<FluentResource>;

/// A language in which documents can be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Language {
    /// English.
    English,
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

const ENGLISH: &[&str] = &[
    include_str!("../texts/en/common.ftl"),
    include_str!("../texts/en/plan.ftl"),
    include_str!("../texts/en/cast-sheet.ftl"),
    include_str!("../texts/en/brace-sheet.ftl"),
    include_str!("../texts/en/expect.ftl"),
    include_str!("../texts/en/letters.ftl"),
];

static ENGLISH_BUNDLE: LazyLock<Bundle> = LazyLock::new(|| bundle("en", ENGLISH));

impl Language {
    /// Every language.
    pub const ALL: [Self; 1] = [Self::English];

    /// Its tag (BCP 47), for the page's `lang`.
    #[must_use]
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
        }
    }

    /// A sentence in this language.
    ///
    /// # Errors
    /// When the message is missing or cannot be filled in.
    pub fn text(self, sentence: &Sentence) -> Result<String, MessageFault> {
        let bundle = self.bundle();
        let message = bundle.get_message(sentence.id).and_then(|message| message.value());
        let pattern = message.ok_or(MessageFault::Missing(sentence.id))?;
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

    /// A day with its weekday: "Tuesday 4 March 2025".
    #[must_use]
    pub fn day(self, day: Day) -> String {
        match self {
            Self::English => format!("{} {}", day.weekday_word(), day.words()),
        }
    }

    /// A day in a narrow column: "Tue 4".
    #[must_use]
    pub fn short_day(self, day: Day) -> String {
        match self {
            Self::English => {
                let weekday: String = day.weekday_word().chars().take(3).collect();
                let words = day.words();
                format!("{weekday} {}", words.split(' ').next().unwrap_or_default())
            }
        }
    }

    fn value(self, arg: &Arg) -> FluentValue<'static> {
        match arg {
            Arg::Number(number) => FluentValue::from(*number),
            Arg::Day(day) => FluentValue::from(self.day(*day)),
            Arg::Text(text) => FluentValue::from(text.clone()),
            Arg::Key(key) => FluentValue::from(*key),
        }
    }

    fn bundle(self) -> &'static Bundle {
        match self {
            Self::English => &ENGLISH_BUNDLE,
        }
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
