//! The form that records that a document was handed to the family.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};

/// The form field with the key of the document.
pub const DOCUMENT: &str = "document";
/// The form field with the tag of the language.
pub const LANGUAGE: &str = "language";
/// The form field with the person who got it.
pub const TO: &str = "to";
/// The form field that states whether it was read through with an interpreter.
pub const WITH_INTERPRETER: &str = "with_interpreter";

/// The form.
#[derive(Debug, Clone)]
pub struct DocumentHandedView {
    /// The child.
    pub who: Who,
    /// The document: key and name.
    pub document: (&'static str, &'static str),
    /// The language: tag and name in English.
    pub language: (&'static str, &'static str),
    /// Whether its translation awaits review, so that the interpreter is asked about.
    pub awaits_review: bool,
    /// The carers on record, each with name and relation.
    pub carers: Vec<String>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn document_handed(frame: &Frame, view: &DocumentHandedView) -> Markup {
    let DocumentHandedView { who, document, language, filled, .. } = view;
    let back = format!("{}/documents?lang={}", who.href(), language.0);
    let body = html! {
        (parts::band(who, "document handed over", frame.today))
        (parts::error_summary(filled))
        form.card.add method="post" action={ (who.href()) "/handed-over" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::hidden(DOCUMENT, document.0))
            (parts::hidden(LANGUAGE, language.0))
            (parts::draft(filled))
            p { "Handed over: " strong { (document.1) } ", in " strong { (language.1) } "." }
            (parts::field(filled, &Field::new(fields::ON, "Handed over on", What::Day).needed()))
            (parts::field(filled, &Field::new(TO, "Handed to", What::Text)))
            @if !view.carers.is_empty() { p.hint { "Carers on record: " (view.carers.join("; ")) "." } }
            @if view.awaits_review {
                p.caution { "This translation awaits review. Nobody who speaks the language has confirmed it for this clinic." }
                (parts::field(filled, &Field::new(WITH_INTERPRETER, "Was it read through with an interpreter?", What::Choice(vec![("yes", "yes"), ("no", "no")])).needed()))
            }
            p.actions { button.primary type="submit" { "Save for " (who.shown_name()) } " " a.button href=(back) { "Leave without saving" } }
        }
    };
    frame::page(frame, HelpTopic::Documents, "Document handed over", &body)
}
