//! Planning capacity: places needed week by week, waits, boots and bars, and two settings side by side.

mod chart;
mod form;
mod tables;

pub use form::{CapacityForm, SERVICE_KEYS, WEEKDAY_KEYS};

use crate::{Frame, fields::Filled, frame, parts, words};
use caseload::{CAUTION, Comparison, Service, Summary, Told, difference_sentence, lead_sentences};
use maud::{Markup, html};

/// What the page shows.
#[derive(Debug, Clone)]
pub struct CapacityView {
    /// The form as it stands, with what is wrong with it.
    pub filled: Filled,
    /// Where the clinic's own setting stands; `None` where it has none and an example is shown.
    pub file: Option<String>,
    /// What the runs of the clinic's setting say; `None` where it cannot be run.
    pub summary: Option<Summary>,
    /// Why it cannot, in a sentence.
    pub trouble: Option<String>,
    /// The clinic's children.
    pub counted: Counted,
    /// New children a year, and whether it was counted from the clinic's own last year.
    pub per_year: Option<(f64, bool)>,
    /// The setting of the form, beside the clinic's own.
    pub other: Option<OtherSetting>,
    /// Every value with its source.
    pub told: Vec<Told>,
}

/// The setting that was asked for, beside the clinic's own.
#[derive(Debug, Clone)]
pub struct OtherSetting {
    /// What its runs say.
    pub summary: Summary,
    /// Both side by side.
    pub comparison: Comparison,
    /// What was changed, in words.
    pub changes: Vec<String>,
}

/// How the clinic's children were counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counted {
    /// In treatment, taken into the simulation.
    pub taken: usize,
    /// Left out: followed after bracing or other surgery.
    pub after_treatment: usize,
    /// Left out: not seen for so long that they count as dropped out.
    pub not_seen: usize,
}

/// The page.
#[must_use]
pub fn capacity(frame: &Frame, view: &CapacityView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Capacity" }
            p.tally { "Places, boots and bars needed over the next year, and how long children wait" }
        } }
        (parts::error_summary(&view.filled))
        @if let Some(trouble) = &view.trouble { p.message.warning role="status" { strong { "Look at this: " } (trouble) } }
        @if let Some(other) = &view.other { (side_by_side(other)) }
        @if let Some(summary) = &view.summary { (answer(view, summary)) }
        (form::form(frame, view))
        (rests_on(view))
        p.caution { (CAUTION) }
    };
    frame::page(frame, "Capacity", &body)
}

fn answer(view: &CapacityView, summary: &Summary) -> Markup {
    let sentences = lead_sentences(summary);
    html! {
        section.capacity-answer aria-label="In short" {
            @if let Some(first) = sentences.first() { p.capacity-first { (first) } }
            ul.plain-list { @for sentence in sentences.iter().skip(1) { li { (sentence) } } }
            p.rel { (runs_words(view, summary)) }
        }
        section {
            h2 { "Places needed, week by week" }
            (chart::legend())
            @for service in Service::ALL { (chart::figure(summary, service)) }
        }
        section { h2 { "Waits" } (tables::waits(summary)) }
        section {
            h2 { "Boots and bars to have in store" }
            p { "By quarters of 13 weeks from " (summary.start.words()) ": the middle run, and in brackets what nine of ten runs lie between. Boots are pairs by foot length (Mondopoint size in mm); a bar's length is measured between the heels." }
            (tables::sizes("Pairs of boots by quarter", "Foot length, mm", summary.start, &summary.boots))
            (tables::sizes("Bars by quarter", "Length, mm", summary.start, &summary.bars))
        }
    }
}

fn runs_words(view: &CapacityView, summary: &Summary) -> String {
    let Counted { taken, after_treatment, not_seen } = view.counted;
    let mut text = format!(
        "{} runs of {} weeks from {}. They begin with the clinic's own {}",
        summary.runs,
        summary.weeks,
        summary.start.words(),
        words::count(taken as i64, "child in treatment", "children in treatment")
    );
    if after_treatment + not_seen > 0 {
        text.push_str(&format!(
            "; left out are {after_treatment} after bracing or surgery and {not_seen} not seen for so long that they count as dropped out"
        ));
    }
    if summary.without_birth > 0 {
        text.push_str(&format!("; {} have no day of birth, and their age was drawn", summary.without_birth));
    }
    if let Some((per_year, own)) = view.per_year {
        let whence = if own { ", as many as were referred here in the last year" } else { "" };
        text.push_str(&format!(". About {per_year:.0} new children a year come{whence}"));
    }
    text.push('.');
    text
}

fn side_by_side(other: &OtherSetting) -> Markup {
    html! {
        section.capacity-compare aria-labelledby="side-by-side" {
            h2 id="side-by-side" { "Side by side" }
            @if other.changes.is_empty() {
                p { "Nothing was changed in the form, so both settings are the same." }
            } @else {
                p { "The other setting: " (words::join(&other.changes)) "." }
            }
            @let sentences = difference_sentence(&other.comparison);
            @if let Some(first) = sentences.first() { p.capacity-first { (first) } }
            ul.plain-list { @for sentence in sentences.iter().skip(1) { li { (sentence) } } }
            (tables::compared(&other.comparison))
            details.more {
                summary { "Places needed under the other setting" }
                @for service in Service::ALL { (chart::figure(&other.summary, service)) }
            }
        }
    }
}

fn rests_on(view: &CapacityView) -> Markup {
    html! {
        section {
            h2 { "What this rests on" }
            p { "The number of casts, tenotomies, relapses and drop-outs of children still to come is drawn from published cohorts; where no figure was found, the value is assumed and says so. "
                @match &view.file {
                    Some(file) => { "The clinic's own setting: " code { (file) } "." },
                    None => "The clinic has no setting of its own yet: places and absences below are an example.",
                }
            }
            details.more {
                summary { "Every value with its source" }
                div.scroll tabindex="0" role="group" aria-label="Table: values and sources" {
                    table.told {
                        thead { tr { th scope="col" { "What" } th scope="col" { "In force" } th scope="col" { "Where the built-in value comes from" } } }
                        tbody { @for told in &view.told {
                            tr.changed[told.changed] {
                                th scope="row" { (told.label) code.key { (told.key) } }
                                td { (told.value) @if told.changed { span.changed-note { "changed by this clinic" } } }
                                td { (told.source) }
                            }
                        } }
                    }
                }
            }
        }
    }
}
