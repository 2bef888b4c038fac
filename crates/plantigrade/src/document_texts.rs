//! The clinic's own texts of documents for families, and which translations it has confirmed.
//!
//! Both are the last lines of a history about them: there is no second file that could disagree with it. Nothing is
//! deleted, so that every text that a family was ever handed can be found again.

use crate::{
    app::App,
    request::Fail,
    setting_changes::newer,
    setting_history::{ReadHistory, SettingChange, SettingHistory},
};
use letters::{Language, TextFault, Wording, built_in_text, check_text};
use record::UserId;
use std::{collections::BTreeMap, io, path::Path, sync::PoisonError};

/// The history in the data folder.
pub const DOCUMENTS_HISTORY: &str = "documents.history.jsonl";
/// The longest reason, and the longest name of a reviewer, in characters.
const LONGEST_WORDS: usize = 200;

/// What the history says.
#[derive(Debug, Clone, Default)]
pub struct DocumentTexts {
    /// The history.
    pub history: ReadHistory,
}

/// The outcome of a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TextOutcome {
    /// It is in force.
    Saved,
    /// The text cannot be used.
    Text(TextFault),
    /// Nothing was changed, because of this. One sentence.
    Refused(String),
    /// Somebody changed it since the form was shown, as this says.
    Newer(String),
}

/// What a text is changed to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TextChange {
    /// Words of the clinic.
    Own(String),
    /// The text of the program.
    BuiltIn,
    /// The text that was there before the last change.
    Before,
}

impl DocumentTexts {
    /// Reads the history.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn read(dir: &Path) -> io::Result<Self> {
        Ok(Self { history: SettingHistory::of(dir, DOCUMENTS_HISTORY).read()? })
    }

    /// The clinic's own texts in a language, by the name of the message.
    #[must_use]
    pub fn own(&self, language: Language) -> BTreeMap<String, String> {
        let (mut own, begin) = (BTreeMap::new(), format!("text.{}.", language.tag()));
        for change in &self.history.changes {
            let Some(id) = change.key.strip_prefix(&begin) else { continue };
            match &change.value {
                Some(text) => drop(own.insert(id.to_owned(), text.clone())),
                None => drop(own.remove(id)),
            }
        }
        own
    }

    /// The last confirmation of a translation, or that it was taken back.
    #[must_use]
    pub fn confirmation(&self, language: Language) -> Option<&SettingChange> {
        self.history.last(&confirmation_key(language))
    }

    /// The texts of a language as they are printed. A history of which a line cannot be read confirms nothing: the
    /// line could be a change.
    #[must_use]
    pub fn wording(&self, language: Language) -> Wording {
        let whole = self.history.unreadable == 0;
        let confirmed = self.confirmation(language).and_then(|last| last.value.as_deref()).filter(|_| whole);
        Wording::of_clinic(language, &self.own(language), confirmed)
    }
}

/// The key of a text in the history.
#[must_use]
pub fn text_key(language: Language, id: &str) -> String {
    format!("text.{}.{id}", language.tag())
}

/// The key of a confirmation in the history.
#[must_use]
pub fn confirmation_key(language: Language) -> String {
    format!("confirmed.{}", language.tag())
}

/// A text that differs after every change of a text.
#[must_use]
pub fn version(texts: &DocumentTexts, language: Language, id: &str) -> String {
    texts.history.times(&text_key(language, id)).to_string()
}

/// Changes a text.
///
/// # Errors
/// When the program has no such text, or the history cannot be read or written. Nothing is then changed.
pub fn change_text(
    app: &App,
    by: UserId,
    (language, id): (Language, &str),
    change: &TextChange,
    (seen, why): (&str, &str),
) -> Result<TextOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    let (_, built_in) = built_in_text(language, id).ok_or_else(Fail::not_found)?;
    let texts = DocumentTexts::read(&app.dir).map_err(fault)?;
    let key = text_key(language, id);
    if version(&texts, language, id) != seen {
        return Ok(TextOutcome::Newer(newer(texts.history.last(&key))));
    }
    if why.chars().count() > LONGEST_WORDS {
        return Ok(TextOutcome::Refused(format!("The reason has more than {LONGEST_WORDS} characters.")));
    }
    let own = texts.own(language);
    let value = match change {
        TextChange::Own(text) => Some(plain(text)),
        TextChange::BuiltIn => None,
        TextChange::Before => before(&texts.history, &key),
    };
    if value.as_ref() == own.get(id) {
        return Ok(TextOutcome::Refused("This is the text that is printed already.".to_owned()));
    }
    if let Some(text) = &value
        && let Err(why) = check_text(language, id, text, &own)
    {
        return Ok(TextOutcome::Text(why));
    }
    let words = |value: Option<&String>| value.map_or_else(|| built_in.to_owned(), Clone::clone);
    let (from, to) = (words(own.get(id)), words(value.as_ref()));
    append(app, by, SettingChange { key, from, to, value, ..line(app, why) })
}

/// The text before the last change; `None` for that of the program.
#[must_use]
pub fn before(history: &ReadHistory, key: &str) -> Option<String> {
    history
        .changes
        .iter()
        .rev()
        .filter(|change| change.key == key)
        .nth(1)
        .and_then(|change| change.value.clone())
}

/// Lines as they are kept: without the ends of lines of another system, and without blanks around the text.
fn plain(text: &str) -> String {
    text.replace("\r\n", "\n").trim().to_owned()
}

/// Confirms a translation as it is printed now. `seen` is the state of the texts that was shown.
///
/// # Errors
/// When the history cannot be read or written. Nothing is then changed.
pub fn confirm(
    app: &App,
    by: UserId,
    language: Language,
    (seen, reviewer): (&str, &str),
) -> Result<TextOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    let texts = DocumentTexts::read(&app.dir).map_err(fault)?;
    let wording = texts.wording(language);
    let reviewer = reviewer.trim();
    if !language.awaits_review() {
        return Ok(TextOutcome::Refused(
            "English is the language in which the texts were written.".to_owned(),
        ));
    }
    if texts.history.unreadable > 0 {
        let why = "Lines of the history of texts cannot be read, so that it cannot be told which texts are printed. Restore the file from a backup first.";
        return Ok(TextOutcome::Refused(why.to_owned()));
    }
    if wording.fingerprint() != seen {
        let why = "A text was changed since you opened the page. Let it be read again, then confirm.";
        return Ok(TextOutcome::Refused(why.to_owned()));
    }
    if reviewer.is_empty() || reviewer.chars().count() > LONGEST_WORDS {
        let why = format!("Enter who has read it: name and profession, at most {LONGEST_WORDS} characters.");
        return Ok(TextOutcome::Refused(why));
    }
    let from = confirmed_words(texts.confirmation(language));
    let value = Some(wording.fingerprint());
    let to = format!("confirmed, read by {reviewer}");
    append(app, by, SettingChange { key: confirmation_key(language), from, to, value, ..line(app, "") })
}

/// Takes the confirmation of a translation back.
///
/// # Errors
/// When the history cannot be read or written. Nothing is then changed.
pub fn take_confirmation_back(app: &App, by: UserId, language: Language) -> Result<TextOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    let texts = DocumentTexts::read(&app.dir).map_err(fault)?;
    let last = texts.confirmation(language);
    if last.is_none_or(|last| last.value.is_none()) {
        return Ok(TextOutcome::Refused("It is not confirmed.".to_owned()));
    }
    let (from, to) = (confirmed_words(last), "awaits review".to_owned());
    append(app, by, SettingChange { key: confirmation_key(language), from, to, ..line(app, "") })
}

fn confirmed_words(last: Option<&SettingChange>) -> String {
    last.map_or_else(|| "awaits review".to_owned(), |last| last.to.clone())
}

fn line(app: &App, why: &str) -> SettingChange {
    let why = Some(why.trim().to_owned()).filter(|why| !why.is_empty());
    let (key, from, to) = (String::new(), String::new(), String::new());
    SettingChange { at: app.clock.now(), by: None, name: None, key, from, to, value: None, why }
}

fn append(app: &App, by: UserId, change: SettingChange) -> Result<TextOutcome, Fail> {
    let change = SettingChange { by: Some(by), name: Some(app.name_of(by)), ..change };
    let _ = SettingHistory::of(&app.dir, DOCUMENTS_HISTORY).append(&[change]).map_err(fault)?;
    Ok(TextOutcome::Saved)
}

fn fault(error: io::Error) -> Fail {
    Fail::fault(&format!("the texts of documents cannot be read or changed: {error}"))
}
