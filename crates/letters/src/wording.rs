//! The texts of a language as a clinic prints them: its own in front of those of the program.
//!
//! A text of the clinic is checked each time it is used ([`crate::check_text`]), because the program may have changed
//! since it was written. One that can no longer be used is left out, the text of the program is printed in its place,
//! and [`Wording::left_out`] says so to the staff.

use crate::{
    letter_language::{LetterLanguage, sources, texts_with},
    own_text::{TextFault, check_text, source_of},
};
use messages::{Language, MessageFault, MessageTexts, Sentence};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// A clinic's own text that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOutText {
    /// The name of the message.
    pub id: String,
    /// Why.
    pub why: TextFault,
}

/// The texts of a language.
pub struct Wording {
    language: Language,
    own: Option<MessageTexts>,
    used: BTreeMap<String, String>,
    left_out: Vec<LeftOutText>,
    is_confirmed: bool,
}

impl Wording {
    /// The texts of the program.
    #[must_use]
    pub fn built_in(language: Language) -> Self {
        Self::of_clinic(language, &BTreeMap::new(), None)
    }

    /// The texts of the program with those of the clinic in front. `confirmed` is the fingerprint of the texts that
    /// the clinic confirmed; it counts only while the texts are still those.
    #[must_use]
    pub fn of_clinic(language: Language, own: &BTreeMap<String, String>, confirmed: Option<&str>) -> Self {
        let mut left_out = Vec::new();
        let mut used = BTreeMap::new();
        for (id, text) in own {
            match check_text(language, id, text, own) {
                Ok(()) => {
                    used.insert(id.clone(), text.clone());
                }
                Err(why) => left_out.push(LeftOutText { id: id.clone(), why }),
            }
        }
        let sources: Vec<String> = used.iter().map(|(id, text)| source_of(id, text)).collect();
        let sources: Vec<&str> = sources.iter().map(String::as_str).collect();
        let own = (!sources.is_empty()).then(|| texts_with(language, &sources));
        let is_confirmed = confirmed.is_some_and(|confirmed| confirmed == fingerprint(language, &used));
        Self { language, own, used, left_out, is_confirmed }
    }

    /// The language.
    #[must_use]
    pub const fn language(&self) -> Language {
        self.language
    }

    /// The clinic's own texts that cannot be used; the text of the program stands in their place.
    #[must_use]
    pub fn left_out(&self) -> &[LeftOutText] {
        &self.left_out
    }

    /// A text that differs after every change of a text, by the clinic or by the program. Every text of the language is
    /// read for it.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        fingerprint(self.language, &self.used)
    }

    /// Whether a clinician who speaks the language has still to read these texts.
    #[must_use]
    pub const fn awaits_review(&self) -> bool {
        self.language.awaits_review() && !self.is_confirmed
    }

    /// A sentence. Where the clinic's text cannot be filled in, it is that of the program.
    ///
    /// # Errors
    /// When the text of the program is missing or cannot be filled in.
    pub fn text(&self, sentence: &Sentence) -> Result<String, MessageFault> {
        let own = self.own.as_ref().and_then(|own| own.text(sentence).ok());
        own.map_or_else(|| self.language.text(sentence), Ok)
    }
}

fn fingerprint(language: Language, own: &BTreeMap<String, String>) -> String {
    let mut hash = Sha256::new();
    for source in sources(Language::English).iter().chain(sources(language)) {
        hash.update(source);
        hash.update([0]);
    }
    for (id, text) in own {
        hash.update(source_of(id, text));
        hash.update([0]);
    }
    hash.finalize().iter().take(12).map(|byte| format!("{byte:02x}")).collect()
}
