//! Photographs of one view of one foot in the order of their days.

use crate::{Frame, parts::Who, words};
use maud::{Markup, html};
use record::{Day, EntryId, PhotographView, Right, Sides};

/// The most pictures of one view on the child's page.
const ON_CHILD_PAGE: usize = 6;

/// A photograph on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotographShown {
    /// The entry.
    pub entry: EntryId,
    /// The day on which it was taken.
    pub on: Day,
    /// The foot or feet.
    pub feet: Sides,
    /// From where.
    pub view: PhotographView,
    /// The time of day, if it is recorded.
    pub taken_at: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// What was measured on it, in sentences.
    pub measured: Vec<String>,
}

impl PhotographShown {
    /// "Left foot, sole".
    pub(super) fn what(&self) -> String {
        strip_words(self.feet, self.view)
    }

    /// "Left foot, sole, 3 May 2024, 4 months".
    pub(super) fn alt(&self, who: &Who) -> String {
        format!("{}, {}, {}", self.what(), self.on.words(), who.age(self.on))
    }

    /// The address of the picture, small or whole.
    pub(super) fn src(&self, who: &Who, small: bool) -> String {
        let size = if small { "small" } else { "whole" };
        format!("{}/photographs/{}/{size}", who.href(), self.entry)
    }
}

/// "Left foot, sole"; "Both feet, squatting".
pub(super) fn strip_words(feet: Sides, view: PhotographView) -> String {
    words::capital(&view.of_feet(feet))
}

/// The address of the page of one view of one foot.
pub(super) fn pair_href(who: &Who, feet: Sides, view: PhotographView) -> String {
    format!("{}/photographs/view/{}/{}", who.href(), feet.key(), view.key())
}

/// Photographs on the page of a child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotographStripView {
    /// Whether they may be shown, and why not.
    pub consent: super::ConsentShown,
    /// What is on record; empty without a consent in force.
    pub photographs: Vec<PhotographShown>,
    /// How many are on record and not shown.
    pub hidden: usize,
}

/// The section on the page of a child.
#[must_use]
pub fn photograph_strip(frame: &Frame, who: &Who, view: &PhotographStripView) -> Markup {
    html! {
        section.card aria-labelledby="photographs-head" {
            h2 id="photographs-head" { "Photographs" }
            p { (view.consent.words) }
            @if view.hidden > 0 { p.hint { (words::count(super::count(view.hidden), "photograph is", "photographs are")) " on record and not shown." } }
            @for (feet, kind, of) in by_view(&view.photographs) {
                (one_strip(who, (feet, kind), of.get(of.len().saturating_sub(ON_CHILD_PAGE)..).unwrap_or_default(), of.len(), "h3"))
            }
            @if frame.may(Right::SeeClinical) {
                p.actions { a.button href={ (who.href()) "/photographs" } { "Photographs of " (who.shown_name()) } }
            }
        }
    }
}

/// Every view on record, each by itself.
pub(super) fn strips(who: &Who, photographs: &[PhotographShown]) -> Markup {
    html! {
        @if photographs.is_empty() { p.hint { "No photograph is on record." } }
        @for (feet, kind, of) in by_view(photographs) {
            section.card { (one_strip(who, (feet, kind), &of, of.len(), "h2")) }
        }
    }
}

/// The photographs of each foot and view that there are, in the order of feet and views.
fn by_view(photographs: &[PhotographShown]) -> Vec<(Sides, PhotographView, Vec<&PhotographShown>)> {
    let mut found = Vec::new();
    for feet in [Sides::Right, Sides::Left, Sides::Both] {
        for &view in PhotographView::ALL {
            let of: Vec<&PhotographShown> =
                photographs.iter().filter(|one| one.feet == feet && one.view == view).collect();
            if !of.is_empty() {
                found.push((feet, view, of));
            }
        }
    }
    found
}

fn one_strip(
    who: &Who,
    (feet, view): (Sides, PhotographView),
    shown: &[&PhotographShown],
    all: usize,
    heading: &str,
) -> Markup {
    let title = strip_words(feet, view);
    html! {
        @if heading == "h2" { h2 { (title) } } @else { h3 { (title) } }
        ul.photograph-strip {
            @for one in shown {
                li {
                    figure {
                        a href={ (pair_href(who, feet, view)) "?second=" (one.entry) } { img src=(one.src(who, true)) alt=(one.alt(who)) loading="lazy"; }
                        figcaption { strong { (one.what()) } br; (words::day(one.on)) br; (who.age(one.on)) }
                    }
                }
            }
        }
        @if all > 1 { p { a href=(pair_href(who, feet, view)) { "Two days side by side: " (title) @if all > shown.len() { " (" (all) " pictures)" } } } }
    }
}
