//! The languages and texts of documents for families: which translations the clinic has confirmed, and its own words
//! in place of those of the program.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What, settings as names},
    frame, parts,
    settings::{HistoryRow, history_table},
};
use maud::{Markup, html};

/// The address of the languages.
pub use crate::frame::DOCUMENT_LANGUAGES_PATH as LANGUAGES_PATH;
/// The address of the texts.
pub const TEXTS_PATH: &str = "/documents/texts";
/// The form field with the name of the person who read a translation.
pub const REVIEWER: &str = "reviewer";
/// The form field that states that all texts were read.
pub const READ_ALL: &str = "read_all";
/// The form field with the tag of a language.
pub const OF_LANGUAGE: &str = "language";
/// The form field with a text.
pub const TEXT: &str = "text";

/// Whether a translation may be printed alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TranslationState {
    /// The texts were written in this language.
    Original,
    /// Nobody has confirmed it.
    AwaitsReview,
    /// It is confirmed, as these words say: by whom and when.
    Confirmed(String),
    /// It was confirmed, as these words say, and texts were changed since.
    ChangedSince(String),
}

/// A language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LanguageRow {
    /// Its tag.
    pub tag: &'static str,
    /// Its own name.
    pub name: String,
    /// Its name in English.
    pub english: &'static str,
    /// Whether it may be printed alone.
    pub state: TranslationState,
    /// How many texts the clinic has changed.
    pub own: usize,
    /// The clinic's texts that cannot be used, each with the reason.
    pub left_out: Vec<(String, String)>,
    /// The form in which it is confirmed.
    pub filled: Filled,
    /// The state of the texts from which the form was made.
    pub seen: String,
}

/// The languages.
#[derive(Debug, Clone)]
pub struct DocumentLanguagesView {
    /// Every language.
    pub rows: Vec<LanguageRow>,
    /// Who confirmed what, and which texts were changed, the latest first.
    pub history: Vec<HistoryRow>,
    /// Lines of the history that cannot be read.
    pub unreadable: usize,
}

/// The page of the languages.
#[must_use]
pub fn document_languages(frame: &Frame, view: &DocumentLanguagesView) -> Markup {
    let body = html! {
        h1 { "Languages of documents" }
        p.lead { "A translation is printed beside the English, sentence by sentence, until somebody who speaks the language has read it and a lead confirms that. After a change of any text it is printed beside the English again." }
        @if view.unreadable > 0 { p.message.warning { strong { (view.unreadable) " lines of the history of texts cannot be read. " } "Texts and confirmations may be older than they should be. Compare with the latest backup." } }
        @for row in &view.rows { (language(frame, row)) }
        section aria-labelledby="history-head" {
            h2 id="history-head" { "Changes of languages and texts" }
            @if view.history.is_empty() { p { "Nothing was changed yet." } } @else { (history_table(&view.history)) }
        }
        p.actions { a.button href=(TEXTS_PATH) { "Texts of documents" } a.button href="/settings" { "Settings" } }
    };
    frame::page(frame, HelpTopic::DocumentTexts, "Languages of documents", &body)
}

fn language(frame: &Frame, row: &LanguageRow) -> Markup {
    let id = format!("language-{}", row.tag);
    html! {
        section.card aria-labelledby=(id) {
            h2 id=(id) { (row.english) @if row.english != row.name { " (" bdi lang=(row.tag) { (row.name) } ")" } }
            @match &row.state {
                TranslationState::Original => p { "The texts were written in this language." },
                TranslationState::AwaitsReview => p.caution { "Awaits review. Documents are printed beside the English." },
                TranslationState::Confirmed(by) => p { strong { "Confirmed" } " " (by) ". Documents are printed alone." },
                TranslationState::ChangedSince(by) => p.caution { "Confirmed " (by) ". Texts have changed since, by the clinic or with a new version of the program: it awaits review again." },
            }
            @if row.own > 0 { p { (row.own) @if row.own == 1 { " text is" } @else { " texts are" } " the clinic’s own." } }
            @for (id, why) in &row.left_out {
                p.message.warning { "The clinic’s text “" a href={ (TEXTS_PATH) "/" (row.tag) "/" (id) } { (id) } "” cannot be used, and the text of the program is printed in its place. " (why) }
            }
            p { a href={ (TEXTS_PATH) "?lang=" (row.tag) } { "Read the texts" span.sr { " in " (row.english) } } }
            @match &row.state {
                TranslationState::Original => {},
                TranslationState::Confirmed(_) => form.actions method="post" action=(LANGUAGES_PATH) {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden(OF_LANGUAGE, row.tag))
                    button type="submit" name=(names::DO) value="withdraw" { "Take the confirmation back" span.sr { ": " (row.english) } }
                },
                _ => (confirm(frame, row)),
            }
        }
    }
}

fn confirm(frame: &Frame, row: &LanguageRow) -> Markup {
    // The names of the fields are the same for each language, their ids may not be.
    let (reviewer, all) = (format!("reviewer-{}", row.tag), format!("read-all-{}", row.tag));
    let errors = row.filled.errors.iter().map(|error| error.text.as_str()).collect::<Vec<_>>();
    let error = format!("error-{}", row.tag);
    html! {
        details.more open[!errors.is_empty()] {
            summary { "Confirm this translation" span.sr { ": " (row.english) } }
            form method="post" action=(LANGUAGES_PATH) {
                (parts::csrf(&frame.csrf))
                (parts::hidden(OF_LANGUAGE, row.tag))
                (parts::hidden(fields::SEEN, &row.seen))
                @if !errors.is_empty() { p.error id=(error) { (errors.join(" ")) } }
                div.field.line {
                    label for=(reviewer) { "Name and profession of the person who read it " span.needed { "required" } }
                    input id=(reviewer) name=(REVIEWER) type="text" value=(row.filled.value(REVIEWER)) autocomplete="off" required aria-invalid=[(!errors.is_empty()).then_some("true")] aria-describedby=[(!errors.is_empty()).then_some(error.as_str())];
                }
                p.check { input type="checkbox" id=(all) name=(READ_ALL) value="yes" required checked[row.filled.value(READ_ALL) == "yes"]; label for=(all) { "This person speaks " (row.english) ", is a health professional, and has read every text" } }
                p.actions { button.primary type="submit" name=(names::DO) value="confirm" { "Confirm " (row.english) } }
            }
        }
    }
}

/// A text in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextRow {
    /// The name of its message.
    pub id: String,
    /// The text that is printed.
    pub text: String,
    /// The text of the program in English, where the language is another.
    pub english: Option<String>,
    /// Whether it is the clinic's own.
    pub own: bool,
}

/// The texts of a group of messages.
#[derive(Debug, Clone)]
pub struct DocumentTextsView {
    /// Languages: tag, own name, whether it is the one shown.
    pub languages: Vec<(&'static str, String, bool)>,
    /// Groups: key, words, whether it is the one shown.
    pub groups: Vec<(&'static str, &'static str, bool)>,
    /// The tag of the language shown.
    pub tag: &'static str,
    /// The key of the group shown.
    pub group: &'static str,
    /// Whether the language is written from right to left.
    pub is_right_to_left: bool,
    /// The texts.
    pub rows: Vec<TextRow>,
}

/// The page of the texts.
#[must_use]
pub fn document_texts(frame: &Frame, view: &DocumentTextsView) -> Markup {
    let href = |tag: &str, group: &str| format!("{TEXTS_PATH}?lang={tag}&group={group}");
    let body = html! {
        h1 { "Texts of documents" }
        p.lead { "Every sentence that a family reads. The clinic can put its own words in place of those of the program; what is put in, such as a day, a number or a foot, has to stay in the text." }
        section.card aria-labelledby="which-head" {
            h2 id="which-head" { "Language and document" }
            ul.plain-list.document-languages {
                @for (tag, name, chosen) in &view.languages { li { a.button aria-current=[chosen.then_some("true")] lang=(tag) href=(href(tag, view.group)) { (name) } } }
            }
            ul.plain-list.document-languages {
                @for (group, name, chosen) in &view.groups { li { a.button aria-current=[chosen.then_some("true")] href=(href(view.tag, group)) { (name) } } }
            }
        }
        ul.plain-list.document-texts {
            @for row in &view.rows {
                li.card {
                    p.document-text lang=(view.tag) dir=[view.is_right_to_left.then_some("rtl")] { (row.text) }
                    @if let Some(english) = &row.english { p.hint.document-text lang="en" { (english) } }
                    p { code { (row.id) } @if row.own { " · " strong { "the clinic’s own" } } " · " a href={ (TEXTS_PATH) "/" (view.tag) "/" (row.id) } { "Change" span.sr { ": " (row.id) } } }
                }
            }
        }
        p.actions { a.button href=(LANGUAGES_PATH) { "Languages of documents" } a.button href="/settings" { "Settings" } }
    };
    frame::page(frame, HelpTopic::DocumentTexts, "Texts of documents", &body)
}

/// One text with its form.
#[derive(Debug, Clone)]
pub struct DocumentTextView {
    /// The name of its message.
    pub id: String,
    /// The tag of the language, and its name in English.
    pub language: (&'static str, &'static str),
    /// Whether the language is written from right to left.
    pub is_right_to_left: bool,
    /// The group: key and words.
    pub group: (&'static str, &'static str),
    /// The text of the program.
    pub built_in: String,
    /// The text of the program in English, where the language is another.
    pub english: Option<String>,
    /// Whether the clinic's own is in use.
    pub own: bool,
    /// Whether there was another text before that it can go back to.
    pub has_before: bool,
    /// As it is printed for an invented child: what was put in, and the text.
    pub preview: Vec<(String, String)>,
    /// The form.
    pub filled: Filled,
    /// The version of the text from which the form was made.
    pub seen: String,
    /// What somebody else changed since the form was shown.
    pub newer: Option<String>,
    /// Its changes, the latest first.
    pub history: Vec<HistoryRow>,
}

/// The page of one text.
#[must_use]
pub fn document_text(frame: &Frame, view: &DocumentTextView) -> Markup {
    let (tag, language) = view.language;
    let dir = view.is_right_to_left.then_some("rtl");
    let list = format!("{TEXTS_PATH}?lang={tag}&group={}", view.group.0);
    let body = html! {
        p.step-of { a href=(list) { (view.group.1) ", " (language) } }
        h1 { "A text of the documents" }
        p.lead { code { (view.id) } ": " @if view.own { "the clinic’s own text is printed." } @else { "the text of the program is printed." } }
        @if let Some(newer) = &view.newer { p.look { strong { "Not saved yet. " } (newer) " Compare, then save again." } }
        (parts::error_summary(&view.filled))
        section.card aria-labelledby="preview-head" {
            h2 id="preview-head" { "As it is printed for an invented child" }
            dl.facts { @for (put_in, text) in &view.preview { div.wide { dt { @if put_in.is_empty() { "Text" } @else { (put_in) } } dd.document-text lang=(tag) dir=[dir] { (text) } } } }
        }
        section.card aria-labelledby="program-head" {
            h2 id="program-head" { "The text of the program" }
            p.document-text lang=(tag) dir=[dir] { (view.built_in) }
            @if let Some(english) = &view.english { p.hint { "In English: " span.document-text lang="en" { (english) } } }
        }
        (text_form(frame, view, dir))
        section aria-labelledby="history-head" {
            h2 id="history-head" { "Changes of this text" }
            @if view.history.is_empty() { p { "It was never changed." } } @else { (history_table(&view.history)) }
        }
        p.actions { a.button href=(list) { "All texts" } a.button href=(LANGUAGES_PATH) { "Languages of documents" } }
    };
    frame::page(frame, HelpTopic::DocumentTexts, "A text of the documents", &body)
}

fn text_form(frame: &Frame, view: &DocumentTextView, dir: Option<&str>) -> Markup {
    let (tag, language) = view.language;
    let id = parts::field_id(TEXT);
    let why = Field::new(names::WHY, "Reason", What::Text)
        .hint("Shown in the history, with your name and the time.");
    let wrong = view.filled.has_error(TEXT);
    html! {
        form.card method="post" action={ (TEXTS_PATH) "/" (tag) "/" (view.id) } {
            h2 { "Change it" }
            p { "Words in braces, such as " code { "{ $name }" } ", are put in by the program. Every document in " (language) " is printed with the new text as soon as it is saved" @if tag != "en" { ", beside the English until the translation is confirmed again" } "." }
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen))
            div.field.long {
                label for=(id) { "New text" }
                textarea id=(id) name=(TEXT) rows="6" lang=(tag) dir=[dir] aria-invalid=[wrong.then_some("true")] aria-describedby=[wrong.then(|| format!("{id}-error"))] { (view.filled.value(TEXT)) }
                (parts::field_error(&view.filled, TEXT))
            }
            (parts::field(&view.filled, &why))
            div.actions {
                button.primary type="submit" name=(names::DO) value="save" { "Save" }
                button type="submit" name=(names::DO) value="preview" formnovalidate { "Show it first" }
                @if view.own { button type="submit" name=(names::DO) value="back" formnovalidate { "Back to the text of the program" } }
                @if view.has_before { button type="submit" name=(names::DO) value="before" formnovalidate { "Back to the text before" } }
            }
        }
    }
}
