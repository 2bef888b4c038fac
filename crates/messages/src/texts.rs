//! The messages of one language, read from Fluent files.

use crate::{
    language::Language,
    sentence::{Arg, Sentence},
};
use fluent_bundle::{FluentArgs, FluentResource, FluentValue, concurrent::FluentBundle};
use unic_langid::LanguageIdentifier;

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

/// The messages of one language. Plurals are chosen by the rules of CLDR for that language.
pub struct MessageTexts {
    language: Language,
    bundle: FluentBundle<FluentResource>,
}

impl MessageTexts {
    /// The messages of files; a message of a later file takes the place of an earlier one.
    ///
    /// The files are part of the program, and a test reads every one; what cannot be read is missing, and a missing
    /// message is an error where it is used.
    #[must_use]
    pub fn read(language: Language, files: &[&str]) -> Self {
        let languages = language.tag().parse::<LanguageIdentifier>().into_iter().collect();
        let mut bundle = FluentBundle::new_concurrent(languages);
        // Marks around what is put in are for mixed directions; each document marks its names itself.
        bundle.set_use_isolating(false);
        for file in files {
            let resource = match FluentResource::try_new((*file).to_owned()) {
                Ok(resource) | Err((resource, _)) => resource,
            };
            bundle.add_resource_overriding(resource);
        }
        Self { language, bundle }
    }

    /// A sentence, with days and times as the language writes them.
    ///
    /// # Errors
    /// When the message is missing or cannot be filled in.
    pub fn text(&self, sentence: &Sentence) -> Result<String, MessageFault> {
        let message = self.bundle.get_message(sentence.id).and_then(|message| message.value());
        let pattern = message.ok_or(MessageFault::Missing(sentence.id))?;
        let mut args = FluentArgs::new();
        for (name, arg) in &sentence.args {
            args.set(*name, self.value(arg));
        }
        let mut faults = Vec::new();
        let text = self.bundle.format_pattern(pattern, Some(&args), &mut faults).into_owned();
        match faults.first() {
            None => Ok(text),
            Some(fault) => Err(MessageFault::Broken { id: sentence.id, why: fault.to_string() }),
        }
    }

    fn value(&self, arg: &Arg) -> FluentValue<'static> {
        match arg {
            Arg::Number(number) => FluentValue::from(*number),
            Arg::Day(day) => FluentValue::from(self.language.day(*day)),
            Arg::Date(day) => FluentValue::from(self.language.date(*day)),
            Arg::Time(text) => FluentValue::from(self.language.time(text)),
            Arg::Text(text) => FluentValue::from(text.clone()),
            Arg::Key(key) => FluentValue::from(*key),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    const VISITS: &str = "visits = { $n ->\n    [zero] zero { $n }\n    [one] one { $n }\n    [two] two { $n }\n    [few] few { $n }\n    [many] many { $n }\n   *[other] other { $n }\n }\n";

    fn category(language: Language, n: i64) -> String {
        let texts = MessageTexts::read(language, &[VISITS]);
        let text = texts.text(&Sentence::new("visits").with("n", n)).unwrap();
        text.split_once(' ').unwrap().0.to_owned()
    }

    /// The plural rules of CLDR for whole numbers (from memory): English has one for 1; Spanish one for 1 and many for
    /// whole millions; French one for 0 and 1; Arabic zero, one, two, few for 3 to 10 and many for 11 to 99 within each
    /// hundred; Hindi one for 0 and 1.
    #[test]
    fn plurals_are_chosen_by_the_rules_of_the_language() {
        let of = |language, numbers: &[i64]| {
            numbers.iter().map(|n| category(language, *n)).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(of(Language::English, &[0, 1, 2, 11, 21]), "other one other other other");
        assert_eq!(of(Language::Spanish, &[0, 1, 2, 11, 21]), "other one other other other");
        assert_eq!(of(Language::French, &[0, 1, 2]), "one one other");
        assert_eq!(of(Language::Hindi, &[0, 1, 2]), "one one other");
        assert_eq!(
            of(Language::Arabic, &[0, 1, 2, 3, 10, 11, 99, 100]),
            "zero one two few few many many other"
        );
    }

    #[test]
    fn what_is_missing_is_an_error_and_never_blank() {
        let texts = MessageTexts::read(Language::Spanish, &["due = Hasta el { $day }\n", "not a message\n"]);
        assert_eq!(texts.text(&Sentence::new("nothing")), Err(MessageFault::Missing("nothing")));
        let unfilled = texts.text(&Sentence::new("due"));
        assert!(matches!(unfilled, Err(MessageFault::Broken { id: "due", .. })), "{unfilled:?}");
    }

    #[test]
    fn a_later_file_takes_the_place_of_an_earlier_one() {
        let texts = MessageTexts::read(Language::English, &["a = one\nb = two\n", "a = three\n"]);
        let read = |id| texts.text(&Sentence::new(id)).unwrap();
        assert_eq!((read("a"), read("b")), ("three".to_owned(), "two".to_owned()));
    }
}
