//! Photographs of a child's feet: the consent, what is on record by view and foot, taking more, naming what was sent,
//! two days side by side, and measuring an angle or a length.
//!
//! A foot and a view are always named in words, never by the place of a picture on the page.

mod length;
mod letter;
mod measure;
pub(crate) mod names;
mod pair;
mod strip;
mod tapping;

pub use length::{CARD_CORNERS, LENGTH_POINTS, LengthView, measure_length};
pub use letter::{CHOSEN_VIEWS, LetterPair, LetterPhotographsView, letter_photographs, pair_name};
pub use measure::{MeasureChoice, MeasureView, measure_photograph};
pub use names::{NamedPicture, PhotographNamesView, name_field, photograph_names};
pub use pair::{PhotographPairView, photograph_pair};
pub use strip::{PhotographShown, PhotographStripView, photograph_strip};
pub use tapping::{
    EnlargedPart, HOW_FOUND, HOW_MAGNIFIED, PART_SHOWN, PART_SIDE, TAPPED_PART, TAPPED_WHOLE, TapFields,
    WHOLE_SIDE, how_set, tap_fields,
};

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::{ConsentMatter, EntryId, Kind, PhotographView, Right, ViewFeet};

/// The form field with the files.
pub const PHOTOGRAPHS: &str = "photographs";

/// The form fields with what photographs may be used for, as the consent declares them.
pub const PHOTOGRAPH_USES: [&str; 2] = ["photographs_in_letters", "photographs_in_teaching"];

/// Whether photographs may be taken and shown, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ConsentShown {
    /// Whether they may.
    pub in_force: bool,
    /// "The family consents since 3 May 2024."
    pub words: String,
}

/// An upload that nobody has named yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingShown {
    /// Where it is named.
    pub href: String,
    /// "3 photographs, sent by Dr Invented on 3 May 2024, 10:12".
    pub words: String,
}

/// A letter with photographs that was handed over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandedLetterShown {
    /// The entry that says so.
    pub entry: EntryId,
    /// "3 May 2025: clinic summary, to Dr Invented, with 2 photographs: left foot, sole, 1 May 2025"
    pub words: String,
    /// Where the letter can be seen; `None` without a consent to photographs in letters.
    pub letter: Option<String>,
}

/// The page.
#[derive(Debug, Clone)]
pub struct PhotographsView {
    /// The child.
    pub who: Who,
    /// The consent.
    pub consent: ConsentShown,
    /// What is on record; empty without a consent in force.
    pub photographs: Vec<PhotographShown>,
    /// How many are on record and not shown, for want of a consent.
    pub hidden: usize,
    /// What they may be used for beside the record, in sentences; empty without a consent in force.
    pub uses: Vec<String>,
    /// Letters with photographs that were handed over.
    pub handed: Vec<HandedLetterShown>,
    /// What waits to be named.
    pub waiting: Vec<WaitingShown>,
    /// The form of the family's answer.
    pub answer: Filled,
    /// Why nothing was taken of what was just sent.
    pub error: Option<String>,
    /// How many are taken at once.
    pub most_at_once: usize,
    /// The largest picture, in bytes.
    pub most_bytes: usize,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn photographs(frame: &Frame, view: &PhotographsView) -> Markup {
    let may = frame.may(Right::RecordClinical);
    let body = html! {
        (parts::band(&view.who, "photographs", frame.today))
        @if let Some(error) = &view.error { div.errors role="alert" { p { strong { "Nothing was kept. " } (error) } } }
        (consent(frame, &MediaConsentView { matter: ConsentMatter::Photographs, who: &view.who, consent: &view.consent, answer: &view.answer, uses: &view.uses, once: &view.once }))
        @if !view.consent.in_force { (handed(view)) }
        @if view.consent.in_force && may { (waiting(view)) (send_form(frame, view)) }
        @if view.consent.in_force { (strip::strips(&view.who, &view.photographs)) (handed(view)) }
        @else if view.hidden > 0 { p.message.warning { (crate::words::count(count(view.hidden), "photograph is", "photographs are")) " on record and not shown." } }
        p.actions {
            a.button href=(view.who.href()) { "Back to " (view.who.shown_name()) } " "
            a.button href={ (view.who.href()) "/videos" } { "Videos of gait of " (view.who.shown_name()) }
        }
    };
    frame::page(frame, HelpTopic::Photographs, "Photographs", &body)
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// The family's answer about photographs or about videos.
pub(crate) struct MediaConsentView<'a> {
    pub matter: ConsentMatter,
    pub who: &'a Who,
    pub consent: &'a ConsentShown,
    pub answer: &'a Filled,
    /// What photographs may be used for, in sentences; empty for videos.
    pub uses: &'a [String],
    pub once: &'a str,
}

pub(crate) fn consent(frame: &Frame, view: &MediaConsentView<'_>) -> Markup {
    let in_force = view.consent.in_force;
    let is_video = view.matter == ConsentMatter::Videos;
    html! {
        section.card aria-labelledby="consent-head" {
            h2 id="consent-head" { "Consent to " (view.matter.words()) }
            p { strong { (view.consent.words) } }
            @for sentence in view.uses { p { (sentence) } }
            @if !in_force && is_video { p { "Without a consent in force no video is attached or shown. A consent to photographs is none to videos: ask the family for each." } }
            @else if !in_force { p { "Without a consent in force no photograph is taken, shown, or printed." } }
            @if frame.may(Right::RecordClinical) {
                details.more open[!view.answer.errors.is_empty()] {
                    summary { @if in_force { "The family takes its consent back" @if !is_video { ", or changes it" } } @else { "Record the family’s answer" } }
                    (answer_form(frame, view))
                }
            }
        }
    }
}

fn answer_form(frame: &Frame, view: &MediaConsentView<'_>) -> Markup {
    let filled = view.answer;
    let is_video = view.matter == ConsentMatter::Videos;
    let button = |answer: &str, words: &str, class: &str| {
        html! { button class=(class) type="submit" name="answer" value=(answer) { (words) " for " (view.who.shown_name()) } " " }
    };
    html! {
        (parts::error_summary(filled))
        form method="post" action={ (view.who.href()) "/" (view.matter.key()) "/consent" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, view.once))
            (parts::field(filled, &Field::new("relation", "Answered by: relation to the child", What::Text)))
            (parts::field(filled, &Field::new("by_name", "Answered by: name", What::Text)))
            @if !is_video { (uses_asked(filled)) }
            p.actions {
                @if view.consent.in_force {
                    @if !is_video { (button("given", "Save what they may be used for", "primary")) } (button("withdrawn", "Consent taken back", "grave"))
                } @else {
                    (button("given", "Consent given", "primary")) (button("refused", "Consent refused", "button"))
                }
            }
            @if view.consent.in_force && is_video { p.hint { "From then on no video is shown. They are not deleted: that is an erasure." } }
            @else if view.consent.in_force { p.hint { "Once the consent is taken back, no photograph is shown, printed or exported. They are not deleted: that is an erasure." } }
        }
    }
}

/// What photographs may be used for, asked as the kind of entry declares it. It is asked with a yes only.
fn uses_asked(filled: &Filled) -> Markup {
    let asked = fields::of_kind(Kind::Consent);
    let asked = asked.iter().filter(|field| PHOTOGRAPH_USES.contains(&field.name.as_ref()));
    html! { @for field in asked { (parts::field(filled, field)) } }
}

/// Letters that were handed over with photographs: they cannot be called back.
fn handed(view: &PhotographsView) -> Markup {
    html! {
        @if !view.handed.is_empty() {
            section.card aria-labelledby="handed-head" {
                h2 id="handed-head" { "Letters with photographs" }
                @if !view.consent.in_force { p.message.warning { "These were handed over before the consent ended. They cannot be called back from here: ask those who have them to destroy the photographs." } }
                ul.plain-list { @for one in &view.handed { li { a href={ (view.who.href()) "/entry/" (one.entry) } { (one.words) } @if let Some(letter) = &one.letter { " · " a.letter-with-photographs href=(letter) { "See this letter" } } } } }
            }
        }
    }
}

fn waiting(view: &PhotographsView) -> Markup {
    html! {
        @if !view.waiting.is_empty() {
            section.card aria-labelledby="waiting-head" {
                h2 id="waiting-head" { "Sent and not named yet" }
                p { "These belong to no foot and no day until somebody names them. After two days they are forgotten." }
                ul.plain-list { @for one in &view.waiting { li { a href=(one.href) { (one.words) } } } }
            }
        }
    }
}

fn send_form(frame: &Frame, view: &PhotographsView) -> Markup {
    html! {
        section.card aria-labelledby="send-head" {
            h2 id="send-head" { "Take photographs" }
            p { "Choose up to " (view.most_at_once) " pictures, JPEG or PNG. On the next page you name foot and view of each. Where and by which camera it was taken, and every other note of the camera, is removed before a picture is kept." }
            form.photograph-send method="post" action={ (view.who.href()) "/photographs" } enctype="multipart/form-data" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                div.field {
                    label for="f-photographs" { "Pictures of the feet of " (view.who.shown_name()) }
                    input id="f-photographs" type="file" name=(PHOTOGRAPHS) accept="image/jpeg,image/png,image/*" capture="environment" multiple required data-most=(view.most_at_once) data-bytes=(view.most_bytes);
                }
                p.actions { button.primary type="submit" { "Send the pictures of " (view.who.shown_name()) } }
                p.photograph-progress role="status" {}
            }
            (guides(false))
        }
    }
}

/// How each view is taken, one sentence or two each.
fn guides(open: bool) -> Markup {
    let of = |feet: ViewFeet| PhotographView::ALL.iter().filter(move |view| view.feet() == feet);
    html! {
        details.more open[open] {
            summary { "How each view is taken" }
            p { (PhotographView::BEFORE_ALL) }
            @for (feet, heading) in [(ViewFeet::One, "One foot"), (ViewFeet::Both, "Both feet")] {
                h3 { (heading) }
                dl.facts {
                    @for view in of(feet) {
                        div { dt { (crate::words::capital(view.words())) } dd { (view.how_to_take()) " " span.hint { "Makes sense " (view.stage().words()) "." } } }
                    }
                }
            }
        }
    }
}
