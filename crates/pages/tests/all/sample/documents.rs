//! The documents for a family: the list, the form of one handed over, and the clinic's texts.

use super::{frame, in_casts};
use maud::Markup;
use pages::{
    DocumentChoice, DocumentHandedView, DocumentLanguage, DocumentLanguagesView, DocumentTextView,
    DocumentTextsView, DocumentsView, Here, LanguageChoice, LanguageRow, LookChoice, TextRow,
    TranslationState,
    document_handed::WITH_INTERPRETER,
    document_texts::{REVIEWER, TEXT},
    fields::Filled,
    settings::HistoryRow,
};

/// In a translation that awaits review, without a telephone, with a document that cannot be made.
pub fn page(given: &str) -> Markup {
    let choice = |key, name, why: Option<&str>| DocumentChoice {
        key,
        name,
        refused: why.map(str::to_owned),
        has_pdf: true,
        handed: (key == "plan").then(|| format!("on 4 March 2025, in Swahili, to {given}")),
    };
    let language = |tag, name: &str, chosen| DocumentLanguage {
        tag,
        name: name.into(),
        english: if tag == "en" { "English" } else { "Swahili" },
        awaits_review: tag != "en",
        chosen,
    };
    let view = DocumentsView {
        who: in_casts(given).who(),
        carers_read: vec!["Swahili".into()],
        choice: LanguageChoice::NotOurs,
        languages: vec![language("en", "English", false), language("sw", "Kiswahili", true)],
        look: LookChoice { large: true, pictures_first: false },
        first: vec![choice("plan", "Family plan", None), choice("cast-sheet", "Cast care sheet", None)],
        more: vec![choice("brace-sheet", "Brace sheet", Some("No brace is recorded as worn."))],
        has_telephone: false,
    };
    pages::documents(&frame(Here::Child), &view)
}

/// In a translation that awaits review, with the question unanswered.
pub fn handed(given: &str) -> Markup {
    let view = DocumentHandedView {
        who: in_casts(given).who(),
        document: ("plan", "Family plan"),
        language: ("sw", "Swahili"),
        awaits_review: true,
        carers: vec![format!("{given} (mother)")],
        filled: Filled::default()
            .with("on", "2025-03-04")
            .wrong(WITH_INTERPRETER, "Say whether it was read through with an interpreter."),
        once: "once".into(),
    };
    pages::document_handed(&frame(Here::Child), &view)
}

fn changed(given: &str) -> HistoryRow {
    HistoryRow {
        what: "Swahili: plan-title".into(),
        href: Some("/documents/texts/sw/plan-title".into()),
        when: "4 March 2025 at 09:00".into(),
        who: Some(given.to_owned()),
        from: "Mpango wa { $name }".into(),
        to: given.to_owned(),
        why: None,
    }
}

/// Languages in every state.
pub fn languages(given: &str) -> Markup {
    let row = |tag, name: &str, english, state| LanguageRow {
        tag,
        name: name.into(),
        english,
        state,
        own: 0,
        left_out: Vec::new(),
        filled: Filled::default(),
        seen: "0a1b".into(),
    };
    let by = || format!("by {given} on 4 March 2025, read by a nurse");
    let wrong = Filled::default().with(REVIEWER, given).wrong(REVIEWER, "Enter who has read it.");
    let left_out = vec![("plan-title".to_owned(), "Line 1 cannot be read.".to_owned())];
    let view = DocumentLanguagesView {
        rows: vec![
            row("en", "English", "English", TranslationState::Original),
            LanguageRow {
                own: 1,
                left_out,
                ..row("sw", "Kiswahili", "Swahili", TranslationState::Confirmed(by()))
            },
            row("ar", "العربية", "Arabic", TranslationState::ChangedSince(by())),
            LanguageRow { filled: wrong, ..row("fr", "Français", "French", TranslationState::AwaitsReview) },
        ],
        history: vec![changed(given)],
        unreadable: 1,
    };
    pages::document_languages(&frame(Here::Settings), &view)
}

/// Texts in a language from right to left.
pub fn texts(given: &str) -> Markup {
    let row = |id: &str, own| TextRow {
        id: id.into(),
        text: format!("{given} {{ $name }}"),
        english: Some("Plan for { $name }".into()),
        own,
    };
    let view = DocumentTextsView {
        languages: vec![("en", "English".into(), false), ("ar", "العربية".into(), true)],
        groups: vec![("common", "On every document", false), ("plan", "Family plan", true)],
        tag: "ar",
        group: "plan",
        is_right_to_left: true,
        rows: vec![row("plan-title", true), row("plan-urgent", false)],
    };
    pages::document_texts(&frame(Here::Settings), &view)
}

/// A text that is refused, changed by somebody else too.
pub fn text(given: &str) -> Markup {
    let view = DocumentTextView {
        id: "plan-title".into(),
        language: ("sw", "Swahili"),
        is_right_to_left: false,
        group: ("plan", "Family plan"),
        built_in: "Mpango wa { $name }".into(),
        english: Some("Plan for { $name }".into()),
        own: true,
        has_before: true,
        preview: vec![(String::new(), format!("Mpango wa {given}")), ("left".into(), given.to_owned())],
        filled: Filled::default().with(TEXT, given).wrong(TEXT, "Line 1 cannot be read."),
        seen: "1".into(),
        newer: Some("Somebody changed this.".into()),
        history: vec![changed(given)],
    };
    pages::document_text(&frame(Here::Settings), &view)
}
