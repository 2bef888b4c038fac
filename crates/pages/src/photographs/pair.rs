//! Two days of one view of one foot, side by side.

use super::strip::{PhotographShown, pair_href, strip_words};
use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::{EntryId, PhotographView, Right, Sides};

/// The page.
#[derive(Debug, Clone)]
pub struct PhotographPairView {
    /// The child.
    pub who: Who,
    /// The foot or feet.
    pub feet: Sides,
    /// The view.
    pub view: PhotographView,
    /// All of this view, in the order of their days.
    pub photographs: Vec<PhotographShown>,
    /// The earlier and the later of the two that are compared; the same where there is only one.
    pub chosen: (EntryId, EntryId),
}

/// The page.
#[must_use]
pub fn photograph_pair(frame: &Frame, view: &PhotographPairView) -> Markup {
    let title = strip_words(view.feet, view.view);
    let of = |entry: EntryId| view.photographs.iter().find(|one| one.entry == entry);
    let (first, second) = (of(view.chosen.0), of(view.chosen.1));
    let both = view.chosen.0 != view.chosen.1;
    let body = html! {
        (parts::band(&view.who, &title, frame.today))
        @if view.photographs.len() > 1 { (choice(view)) }
        section.card.photograph-pair aria-label=(title) {
            @if both { @if let Some(one) = first { (whole(frame, view, one)) } }
            @if let Some(one) = second { (whole(frame, view, one)) }
        }
        @if both { p.hint { "The pictures may have been taken from other distances and directions: look at the foot, not at its size." } }
        (parts::caution())
        p.actions { a.button href={ (view.who.href()) "/photographs" } { "All photographs of " (view.who.shown_name()) } }
    };
    frame::page(frame, HelpTopic::Photographs, &title, &body)
}

fn choice(view: &PhotographPairView) -> Markup {
    let menu = |name: &str, label: &str, chosen: EntryId| {
        html! {
            div { label for={ "p-" (name) } { (label) }
                select id={ "p-" (name) } name=(name) {
                    @for one in &view.photographs { option value=(one.entry) selected[one.entry == chosen] { (one.on.words()) ", " (view.who.age(one.on)) @if let Some(time) = &one.taken_at { ", " (time) } } }
                }
            }
        }
    };
    html! {
        form.filters method="get" action=(pair_href(&view.who, view.feet, view.view)) {
            (menu("first", "One day", view.chosen.0))
            (menu("second", "Other day", view.chosen.1))
            button type="submit" { "Show these two" }
        }
    }
}

fn whole(frame: &Frame, view: &PhotographPairView, one: &PhotographShown) -> Markup {
    let who = &view.who;
    html! {
        figure {
            img src=(one.src(who, false)) alt=(one.alt(who));
            figcaption {
                strong { (one.what()) } br;
                (words::day(one.on)) @if let Some(time) = &one.taken_at { ", " (time) } ", " (who.age(one.on))
                @if let Some(note) = &one.note { br; (note) }
                @if !one.measured.is_empty() { ul.plain-list { @for said in &one.measured { li { (said) } } } }
                p.actions {
                    @if frame.may(Right::RecordClinical) && one.feet != Sides::Both { a.button href={ (who.href()) "/photographs/" (one.entry) "/measure" } { "Measure an angle" } " " }
                    @if frame.may(Right::RecordClinical) && one.view.shows_length() { a.button href={ (who.href()) "/photographs/" (one.entry) "/length" } { "Measure the length" } " " }
                    a.button href={ (who.href()) "/entry/" (one.entry) } { "Wrong foot, view or day" }
                }
            }
        }
    }
}
