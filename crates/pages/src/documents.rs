//! The documents for a child's family and for those who look after it: what there is now, in which languages and
//! looks, and when each was last handed over.

use crate::{Frame, HelpTopic, frame, parts, parts::Who};
use maud::{Markup, html};
use record::Right;

/// A document as it can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentChoice {
    /// Its key in the address.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Why it cannot be made now; `None` where it can.
    pub refused: Option<String>,
    /// Whether it is given as a PDF too.
    pub has_pdf: bool,
    /// When it was last handed over, in which language and to whom, in words; `None` if never.
    pub handed: Option<String>,
}

/// A language in which documents can be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentLanguage {
    /// Its tag.
    pub tag: &'static str,
    /// Its own name.
    pub name: String,
    /// Its English name, for whoever cannot read the other.
    pub english: &'static str,
    /// Whether its texts still await a review by a clinician who speaks it.
    pub awaits_review: bool,
    /// Whether it is the one chosen.
    pub chosen: bool,
}

/// How the language of the documents was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LanguageChoice {
    /// By the person.
    Chosen,
    /// It is the first recorded for a carer.
    OfFamily,
    /// None is recorded for a carer.
    NoneRecorded,
    /// What is recorded is no language in which documents can be made.
    NotOurs,
}

/// The look of the documents.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LookChoice {
    /// Large letters.
    pub large: bool,
    /// The pictures first.
    pub pictures_first: bool,
}

impl LookChoice {
    /// The end of an address that keeps the look; empty for the usual one.
    #[must_use]
    pub const fn query(self) -> &'static str {
        match (self.large, self.pictures_first) {
            (false, false) => "",
            (true, false) => "&type=large",
            (false, true) => "&style=pictures",
            (true, true) => "&type=large&style=pictures",
        }
    }
}

/// The page.
#[derive(Debug, Clone)]
pub struct DocumentsView {
    /// The child.
    pub who: Who,
    /// What the carers read or speak, as recorded.
    pub carers_read: Vec<String>,
    /// How the language was chosen.
    pub choice: LanguageChoice,
    /// Languages.
    pub languages: Vec<DocumentLanguage>,
    /// The look.
    pub look: LookChoice,
    /// What suits the stage of the child, the likeliest first.
    pub first: Vec<DocumentChoice>,
    /// The others.
    pub more: Vec<DocumentChoice>,
    /// Whether the clinic's telephone is set.
    pub has_telephone: bool,
}

impl DocumentsView {
    fn tag(&self) -> &'static str {
        self.languages.iter().find(|language| language.chosen).map_or("en", |language| language.tag)
    }
}

/// The page.
#[must_use]
pub fn documents(frame: &Frame, view: &DocumentsView) -> Markup {
    let body = html! {
        (parts::band(&view.who, "documents for the family", frame.today))
        @if !view.has_telephone {
            p.message.note { "The clinic’s telephone is not set: each sheet has room to write it. " a href="/settings" { "Settings" } }
        }
        section.card aria-labelledby="language-head" {
            h2 id="language-head" { "Language" }
            (languages(frame, view))
        }
        section.card aria-labelledby="look-head" {
            h2 id="look-head" { "For whom it is printed" }
            (looks(view))
        }
        section.card aria-labelledby="now-head" {
            h2 id="now-head" { "For now" }
            (list(frame, view, &view.first))
        }
        section.card aria-labelledby="more-head" {
            h2 id="more-head" { "Others" }
            (list(frame, view, &view.more))
        }
        // Where nothing suits the child, as after a death, nothing is planned either.
        @if !view.first.is_empty() {
            section.card aria-labelledby="team-head" {
                h2 id="team-head" { "For the team" }
                ul.plain-list.document-list { li { a.button href={ (view.who.href()) "/tenotomy" } { "Tenotomy checklist" } } }
            }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Documents, "Documents", &body)
}

fn languages(frame: &Frame, view: &DocumentsView) -> Markup {
    let chosen = view.languages.iter().find(|language| language.chosen);
    html! {
        @if view.carers_read.is_empty() {
            p { "No language is recorded for the carers. Ask which they read best, and add it to " a href={ (view.who.href()) "/add/registration" } { "the details of the child" } "." }
        } @else {
            p { "Recorded for the carers: " strong { (view.carers_read.join(", ")) } "." }
        }
        @if view.choice == LanguageChoice::NotOurs {
            p.caution { "Documents cannot be made in a language that is recorded for the carers. Choose one that the family reads as well, or read a sheet through with an interpreter; the pictures first may help." }
        }
        ul.plain-list.document-languages {
            @for language in &view.languages {
                li { a.button aria-current=[language.chosen.then_some("true")] href={ (view.who.href()) "/documents?lang=" (language.tag) (view.look.query()) } { (language_name(language)) } }
            }
        }
        @if chosen.is_some_and(|language| language.awaits_review) {
            p.caution { "This translation awaits review by a clinician who speaks the language. It is printed sentence by sentence beside the English. Read it through with an interpreter before you hand it over. Each sheet says so too." }
            @if frame.may(Right::ChangeSettings) {
                p { a href="/documents/languages" { "Confirm a translation" } ", once somebody who speaks it has read it." }
            }
        }
    }
}

fn language_name(language: &DocumentLanguage) -> Markup {
    html! {
        span { (language.english) }
        @if language.name != language.english { " " span lang=(language.tag) { (language.name) } }
    }
}

fn looks(view: &DocumentsView) -> Markup {
    let LookChoice { large, pictures_first } = view.look;
    let link =
        |look: LookChoice| format!("{}/documents?lang={}{}", view.who.href(), view.tag(), look.query());
    let other = [
        (large, "Large letters", LookChoice { large: !large, ..view.look }),
        (pictures_first, "Pictures first", LookChoice { pictures_first: !pictures_first, ..view.look }),
    ];
    html! {
        ul.plain-list.document-languages {
            @for (on, name, look) in other {
                li { a.button aria-current=[on.then_some("true")] href=(link(look)) { (name) @if on { span.sr { ", chosen; leads to the usual look" } } } }
            }
        }
        p.hint { "Large letters for whoever sees badly. Pictures first for whoever reads little: the signs to come at once stand at the top, large." }
    }
}

fn list(frame: &Frame, view: &DocumentsView, choices: &[DocumentChoice]) -> Markup {
    let (tag, look, child) = (view.tag(), view.look.query(), view.who.href());
    // A PDF has no room for the English beside a translation.
    let pdf = !view.languages.iter().any(|language| language.chosen && language.awaits_review);
    html! {
        ul.plain-list.document-list {
            @for choice in choices {
                li {
                    @match &choice.refused {
                        Some(why) => { span { (choice.name) } span.hint { (why) } },
                        None => {
                            a.button href={ (child) "/documents/" (choice.key) "?lang=" (tag) (look) } { (choice.name) }
                            " "
                            @if pdf && choice.has_pdf { a href={ (child) "/documents/" (choice.key) "/pdf?lang=" (tag) } aria-label={ (choice.name) " as PDF" } { "as PDF" } }
                            @if frame.may(Right::RecordClinical) {
                                " " a href={ (child) "/handed-over?document=" (choice.key) "&lang=" (tag) } { "Handed over" span.sr { ": " (choice.name) } }
                            }
                        },
                    }
                    @if let Some(handed) = &choice.handed { span.hint { "Last handed over " (handed) "." } }
                }
            }
        }
    }
}
