//! The documents for a child's family and for those who look after it: what there is now, in which languages.

use crate::{Frame, HelpTopic, frame, parts, parts::Who};
use maud::{Markup, html};

/// A document as it can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentChoice {
    /// Its key in the address.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Why it cannot be made now; `None` where it can.
    pub refused: Option<String>,
}

/// A language in which documents can be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentLanguage {
    /// Its tag.
    pub tag: &'static str,
    /// Its own name.
    pub name: String,
    /// Whether its texts still await a review by a clinician who speaks it.
    pub awaits_review: bool,
    /// Whether it is the one chosen.
    pub chosen: bool,
}

/// The page.
#[derive(Debug, Clone)]
pub struct DocumentsView {
    /// The child.
    pub who: Who,
    /// What the carers read or speak, as recorded.
    pub carers_read: Vec<String>,
    /// Languages.
    pub languages: Vec<DocumentLanguage>,
    /// What suits the stage of the child, the likeliest first.
    pub first: Vec<DocumentChoice>,
    /// The others.
    pub more: Vec<DocumentChoice>,
    /// Whether the clinic's telephone is set.
    pub has_telephone: bool,
}

/// The page.
#[must_use]
pub fn documents(frame: &Frame, view: &DocumentsView) -> Markup {
    let chosen = view.languages.iter().find(|language| language.chosen);
    let body = html! {
        (parts::band(&view.who, "documents for the family", frame.today))
        @if !view.has_telephone {
            p.message.note { "The clinic’s telephone is not set: each sheet has room to write it. " a href="/settings" { "Settings" } }
        }
        section.card aria-labelledby="language-head" {
            h2 id="language-head" { "Language" }
            @if !view.carers_read.is_empty() {
                p { "Recorded for the carers: " strong { (view.carers_read.join(", ")) } "." }
            }
            ul.plain-list.document-languages {
                @for language in &view.languages {
                    li { a.button aria-current=[language.chosen.then_some("true")] lang=(language.tag) href={ (view.who.href()) "/documents?lang=" (language.tag) } { (language.name) } }
                }
            }
            @if chosen.is_some_and(|language| language.awaits_review) {
                p.caution { "This translation awaits review by a clinician who speaks the language. Read it through with an interpreter before you hand it over. Each sheet says so too." }
            }
        }
        section.card aria-labelledby="now-head" {
            h2 id="now-head" { "For now" }
            (list(view, &view.first))
        }
        section.card aria-labelledby="more-head" {
            h2 id="more-head" { "Others" }
            (list(view, &view.more))
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Documents, "Documents", &body)
}

fn list(view: &DocumentsView, choices: &[DocumentChoice]) -> Markup {
    let tag = view.languages.iter().find(|language| language.chosen).map_or("en", |language| language.tag);
    html! {
        ul.plain-list.document-list {
            @for choice in choices {
                li {
                    @match &choice.refused {
                        Some(why) => { span { (choice.name) } span.hint { (why) } },
                        None => {
                            a.button href={ (view.who.href()) "/documents/" (choice.key) "?lang=" (tag) } { (choice.name) }
                            " "
                            a href={ (view.who.href()) "/documents/" (choice.key) "/pdf?lang=" (tag) } aria-label={ (choice.name) " as PDF" } { "as PDF" }
                        },
                    }
                }
            }
        }
    }
}
