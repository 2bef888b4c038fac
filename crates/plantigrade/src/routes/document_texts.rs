//! The languages and texts of documents for families: confirming a translation, and the clinic's own words.

use super::{document_handed::texts as read_texts, settings::history_view};
use crate::{
    app::App,
    clock::local_words,
    document_texts::{
        DocumentTexts, TextChange, TextOutcome, before, change_text, confirm, confirmation_key,
        take_confirmation_back, text_key, version,
    },
    setting_history::{ReadHistory, SettingChange},
    web::{Fail, PageResult, Posted, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, Query, State};
use letters::{
    Language, LetterLanguage, MESSAGE_GROUPS, Wording, built_in_text, check_text, samples, texts_of_group,
};
use maud::Markup;
use pages::{
    DocumentLanguagesView, DocumentTextView, DocumentTextsView, Frame, Here, LanguageRow, Message, TextRow,
    TranslationState,
    document_texts::{LANGUAGES_PATH, OF_LANGUAGE, READ_ALL, REVIEWER, TEXT, TEXTS_PATH},
    fields::{Filled, SEEN, settings as names},
};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct DoneQuery {
    done: Option<String>,
}

/// Which texts.
#[derive(Debug, Deserialize)]
pub struct TextsQuery {
    lang: Option<String>,
    group: Option<String>,
}

fn language_of(tag: &str) -> Result<Language, Fail> {
    Language::from_tag(tag).ok_or_else(Fail::not_found)
}

/// Every language with what is confirmed.
pub async fn languages(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<DoneQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    frame.message = asked.done.filter(|done| done == "saved").map(|_| Message::Done("Saved.".to_owned()));
    shown(work(&app, move |app| languages_drawn(app, &frame, None)).await?)
}

/// Confirms a translation, or takes that back.
pub async fn save_language(
    State(app): State<Shared>,
    visitor: Visitor,
    Posted(filled): Posted,
) -> PageResult {
    let (frame, by) = (app.frame(&visitor, Here::Settings), visitor.user()?);
    let language = language_of(filled.value(OF_LANGUAGE))?;
    let done = work(&app, move |app| {
        let outcome = match filled.value(names::DO) {
            "withdraw" => take_confirmation_back(app, by, language)?,
            _ if filled.value(READ_ALL) != "yes" => {
                let why =
                    "Confirm only once a health professional who speaks the language has read every text.";
                TextOutcome::Refused(why.to_owned())
            }
            _ => confirm(app, by, language, (filled.value(SEEN), filled.value(REVIEWER)))?,
        };
        let why = match outcome {
            TextOutcome::Saved => return Ok(None),
            TextOutcome::Text(fault) => fault.to_string(),
            TextOutcome::Refused(why) | TextOutcome::Newer(why) => why,
        };
        languages_drawn(app, &frame, Some((language, filled.wrong(REVIEWER, why)))).map(Some)
    });
    done.await?.map_or_else(|| to(&format!("{LANGUAGES_PATH}?done=saved")), again)
}

fn languages_drawn(app: &App, frame: &Frame, sent: Option<(Language, Filled)>) -> Result<Markup, Fail> {
    let texts = read_texts(app)?;
    let row = |language: Language| {
        let filled = sent.as_ref().filter(|(of, _)| *of == language).map(|(_, filled)| filled.clone());
        language_row(&texts, language, filled.unwrap_or_default())
    };
    let view = DocumentLanguagesView {
        rows: Language::ALL.into_iter().map(row).collect(),
        history: history_view(&texts.history, what_of).rows,
        unreadable: texts.history.unreadable,
    };
    Ok(pages::document_languages(frame, &view))
}

fn language_row(texts: &DocumentTexts, language: Language, filled: Filled) -> LanguageRow {
    let wording = texts.wording(language);
    let left_out = wording.left_out().iter().map(|text| (text.id.clone(), text.why.to_string())).collect();
    LanguageRow {
        tag: language.tag(),
        name: language.own_name(),
        english: language.recorded().words(),
        state: state(texts, &wording),
        own: texts.own(language).len(),
        left_out,
        filled,
        seen: wording.fingerprint(),
    }
}

fn state(texts: &DocumentTexts, wording: &Wording) -> TranslationState {
    if !wording.language().awaits_review() {
        return TranslationState::Original;
    }
    match texts.confirmation(wording.language()).filter(|last| last.value.is_some()) {
        None => TranslationState::AwaitsReview,
        Some(last) if wording.awaits_review() => TranslationState::ChangedSince(by_words(last)),
        Some(last) => TranslationState::Confirmed(by_words(last)),
    }
}

/// "by Ida on 4 March 2025: confirmed, read by …".
fn by_words(last: &SettingChange) -> String {
    let who = last.name.as_deref().unwrap_or("somebody in the file");
    let read = last.to.strip_prefix("confirmed, ").unwrap_or(&last.to);
    format!("by {who} on {}, {read}", local_words(last.at))
}

/// What a change is about, and its page.
fn what_of(change: &SettingChange) -> (String, Option<String>) {
    let mut languages = Language::ALL.into_iter();
    if let Some(language) = languages.clone().find(|language| confirmation_key(*language) == change.key) {
        return (format!("Translation: {}", language.recorded().words()), None);
    }
    let of_text = |language: Language| {
        let id = change.key.strip_prefix(&text_key(language, ""))?;
        let href = built_in_text(language, id).map(|_| format!("{TEXTS_PATH}/{}/{id}", language.tag()));
        Some((format!("{}: {id}", language.recorded().words()), href))
    };
    languages.find_map(of_text).unwrap_or_else(|| (change.key.clone(), None))
}

/// The texts of a group of messages in a language.
pub async fn list(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<TextsQuery>,
) -> PageResult {
    let language = asked.lang.as_deref().map_or(Ok(Language::English), language_of)?;
    let group = asked.group.unwrap_or_else(|| "common".to_owned());
    let (group, _) = MESSAGE_GROUPS.into_iter().find(|(key, _)| *key == group).ok_or_else(Fail::not_found)?;
    let frame = app.frame(&visitor, Here::Settings);
    shown(work(&app, move |app| Ok(list_drawn(&frame, &read_texts(app)?, language, group))).await?)
}

fn list_drawn(frame: &Frame, texts: &DocumentTexts, language: Language, group: &'static str) -> Markup {
    let own = texts.own(language);
    let rows = texts_of_group(language, group).into_iter().map(|built_in| {
        let clinic = own.get(&built_in.id).cloned();
        TextRow {
            english: english(language, &built_in.id),
            own: clinic.is_some(),
            text: clinic.unwrap_or(built_in.text),
            id: built_in.id,
        }
    });
    let languages = Language::ALL.into_iter();
    let view = DocumentTextsView {
        rows: rows.collect(),
        languages: languages.map(|one| (one.tag(), one.own_name(), one == language)).collect(),
        groups: MESSAGE_GROUPS.into_iter().map(|(key, words)| (key, words, key == group)).collect(),
        tag: language.tag(),
        group,
        is_right_to_left: language.is_right_to_left(),
    };
    pages::document_texts(frame, &view)
}

/// The English text of the program, for another language.
fn english(language: Language, id: &str) -> Option<String> {
    let other = language != Language::English;
    built_in_text(Language::English, id).filter(|_| other).map(|(_, text)| text.to_owned())
}

/// One text with its form.
pub async fn one(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((tag, id)): Path<(String, String)>,
    Query(asked): Query<DoneQuery>,
) -> PageResult {
    let language = language_of(&tag)?;
    let mut frame = app.frame(&visitor, Here::Settings);
    let saved = || Message::Done("The text is saved. Documents are printed with it from now on.".to_owned());
    frame.message = asked.done.filter(|done| done == "saved").map(|_| saved());
    shown(work(&app, move |app| one_drawn(app, &frame, (language, &id), None)).await?)
}

/// Changes a text, or shows what it would look like.
pub async fn change(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (tag, id), by, filled }: PostedTo<(String, String)>,
) -> PageResult {
    let language = language_of(&tag)?;
    let frame = app.frame(&visitor, Here::Settings);
    let place = format!("{TEXTS_PATH}/{tag}/{id}?done=saved");
    if filled.value(names::DO) == "preview" {
        return shown(
            work(&app, move |app| one_drawn(app, &frame, (language, &id), Some((filled, None)))).await?,
        );
    }
    let done = work(&app, move |app| {
        let change = match filled.value(names::DO) {
            "back" => TextChange::BuiltIn,
            "before" => TextChange::Before,
            _ => TextChange::Own(filled.value(TEXT).to_owned()),
        };
        let seen = (filled.value(SEEN), filled.value(names::WHY));
        let sent = match change_text(app, by, (language, &id), &change, seen)? {
            TextOutcome::Saved => return Ok(None),
            TextOutcome::Text(fault) => (filled.wrong(TEXT, fault.to_string()), None),
            TextOutcome::Refused(why) => (filled.wrong(TEXT, why), None),
            TextOutcome::Newer(why) => (filled, Some(why)),
        };
        one_drawn(app, &frame, (language, &id), Some(sent)).map(Some)
    });
    done.await?.map_or_else(|| to(&place), again)
}

/// The page; with `sent`, the form as it was sent and what somebody else changed since it was shown. The preview is of
/// the text in the form.
fn one_drawn(
    app: &App,
    frame: &Frame,
    (language, id): (Language, &str),
    sent: Option<(Filled, Option<String>)>,
) -> Result<Markup, Fail> {
    let texts = read_texts(app)?;
    let (group, built_in) = built_in_text(language, id).ok_or_else(Fail::not_found)?;
    let words = MESSAGE_GROUPS.into_iter().find(|(key, _)| *key == group).map_or("", |(_, words)| words);
    let own = texts.own(language);
    let printed = own.get(id).cloned().unwrap_or_else(|| built_in.to_owned());
    let (mut filled, newer) = sent.unwrap_or_else(|| (Filled::default().with(TEXT, printed.as_str()), None));
    let preview = preview(language, id, &filled.value(TEXT).replace("\r\n", "\n"), &own);
    let preview = preview.unwrap_or_else(|why| {
        if filled.errors.is_empty() {
            filled = filled.clone().wrong(TEXT, why);
        }
        Vec::new()
    });
    let key = text_key(language, id);
    let of_text = |change: &SettingChange| change.key == key;
    let changes = texts.history.changes.iter().filter(|change| of_text(change)).cloned().collect();
    let of_text = ReadHistory { changes, unreadable: 0 };
    let view = DocumentTextView {
        id: id.to_owned(),
        language: (language.tag(), language.recorded().words()),
        is_right_to_left: language.is_right_to_left(),
        group: (group, words),
        built_in: built_in.to_owned(),
        english: english(language, id),
        own: own.contains_key(id),
        has_before: before(&texts.history, &key).is_some(),
        preview,
        filled,
        seen: version(&texts, language, id),
        newer,
        history: history_view(&of_text, |change| (what_of(change).0, None)).rows,
    };
    Ok(pages::document_text(frame, &view))
}

/// A text with everything that can be put in.
fn preview(
    language: Language,
    id: &str,
    text: &str,
    own: &BTreeMap<String, String>,
) -> Result<Vec<(String, String)>, String> {
    let mut own = own.clone();
    if built_in_text(language, id).is_some_and(|(_, built_in)| built_in == text.trim()) {
        own.remove(id);
    } else {
        check_text(language, id, text, &own).map_err(|why| why.to_string())?;
        own.insert(id.to_owned(), text.to_owned());
    }
    let wording = Wording::of_clinic(language, &own, None);
    let printed = |(put_in, sentence): (String, letters::Sentence)| {
        Ok((put_in, wording.text(&sentence).map_err(|fault| fault.to_string())?))
    };
    samples(language, id).into_iter().map(printed).collect()
}
