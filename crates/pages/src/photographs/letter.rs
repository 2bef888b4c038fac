//! Choosing photographs for a letter to a colleague: of each view of a foot the first and the latest.

use super::strip::{PhotographShown, strip_words};
use crate::{
    Frame, HelpTopic,
    document_handed::TO,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::{PhotographView, Sides};

/// The form field under which it is said that no photograph was chosen.
pub const CHOSEN_VIEWS: &str = "chosen";

/// The photographs of one view of a foot that can go into a letter: the first and the latest, or the only one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LetterPair {
    /// The foot or feet.
    pub feet: Sides,
    /// The view.
    pub view: PhotographView,
    /// One or two, the earlier first.
    pub photographs: Vec<PhotographShown>,
}

/// The form.
#[derive(Debug, Clone)]
pub struct LetterPhotographsView {
    /// The child.
    pub who: Who,
    /// The letter: key and name.
    pub letter: (&'static str, &'static str),
    /// Why no photograph may be in a letter; `None` where they may.
    pub refused: Option<String>,
    /// What can be chosen.
    pub pairs: Vec<LetterPair>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The form field with which the photographs of a view are chosen.
#[must_use]
pub fn pair_name(feet: Sides, view: PhotographView) -> String {
    format!("pair.{}.{}", feet.key(), view.key())
}

/// The page.
#[must_use]
pub fn letter_photographs(frame: &Frame, view: &LetterPhotographsView) -> Markup {
    let (who, back) = (&view.who, format!("{}/letters/{}", view.who.href(), view.letter.0));
    let body = html! {
        (parts::band(who, "photographs in a letter", frame.today))
        @if let Some(why) = &view.refused {
            p.message.warning { (why) }
            p.actions { a.button href={ (who.href()) "/photographs" } { "Consent to photographs" } " " a.button href=(back) { "The letter without photographs" } }
        } @else if view.pairs.is_empty() {
            p.message.note { "No photograph is on record." }
            p.actions { a.button href=(back) { "The letter without photographs" } }
        } @else { (form(frame, view, &back)) }
    };
    frame::page(frame, HelpTopic::Letters, "Photographs in a letter", &body)
}

fn form(frame: &Frame, view: &LetterPhotographsView, back: &str) -> Markup {
    let (who, filled) = (&view.who, &view.filled);
    html! {
        (parts::error_summary(filled))
        form method="post" action={ (back) "/photographs" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::draft(filled))
            section.card {
                p { "A letter with photographs is recorded when it is made: to whom it goes, and which photographs are in it. If the family takes its consent back later, it is listed on the page of photographs." }
                (parts::field(filled, &Field::new(TO, "To whom the letter goes", What::Text).needed()))
                div id=(parts::field_id(CHOSEN_VIEWS)) { (parts::field_error(filled, CHOSEN_VIEWS)) }
            }
            @for pair in &view.pairs { (choice(view, pair)) }
            p.actions {
                button.primary type="submit" { "Record and open: " (view.letter.1) " of " (who.shown_name()) " with these photographs" } " "
                a.button href=(back) { "The letter without photographs" }
            }
        }
    }
}

fn choice(view: &LetterPhotographsView, pair: &LetterPair) -> Markup {
    let (who, name) = (&view.who, pair_name(pair.feet, pair.view));
    let (id, days) = (parts::field_id(&name), days(pair));
    html! {
        section.card {
            p.check {
                input type="checkbox" id=(id) name=(name) value="yes" checked[view.filled.value(&name) == "yes"];
                label for=(id) { strong { (strip_words(pair.feet, pair.view)) } ": " (days) }
            }
            ul.photograph-strip {
                @for one in &pair.photographs { li { figure { img src=(one.src(who, true)) alt=(one.alt(who)) loading="lazy"; figcaption { strong { (one.what()) } br; (crate::words::day(one.on)) } } } }
            }
        }
    }
}

/// "3 May 2024 and 1 February 2025".
fn days(pair: &LetterPair) -> String {
    pair.photographs.iter().map(|one| one.on.words()).collect::<Vec<_>>().join(" and ")
}
