//! Capacity planning: places needed week by week, waits, boots and bars, and a comparison of two settings.

mod chart;
mod form;
mod tables;

pub use form::{CapacityForm, SERVICE_KEYS, WEEKDAY_KEYS};

use crate::{Frame, HelpTopic, fields::Filled, frame, parts, words};
use caseload::{
    CAUTION, CaseloadSummary, Comparison, Service, SettingValue, difference_sentence, lead_sentences,
};
use maud::{Markup, html};

/// The page of capacity planning.
#[derive(Debug, Clone)]
pub struct CapacityView {
    /// The values in the form, with their errors.
    pub filled: Filled,
    /// The file with the clinic's own setting; `None` if it has none and an example is shown.
    pub file: Option<String>,
    /// Whether an earlier setting of the clinic can be restored.
    pub has_previous: bool,
    /// The result of simulating the clinic's setting; `None` if it cannot be simulated.
    pub summary: Option<CaseloadSummary>,
    /// Why it cannot be simulated, in a sentence.
    pub warning: Option<String>,
    /// How many of the clinic's children are in the simulation.
    pub counted: ChildrenCounted,
    /// New children per year, and whether they were counted from the clinic's last year.
    pub per_year: Option<(f64, bool)>,
    /// The setting of the form, compared with the clinic's own.
    pub other: Option<OtherSetting>,
    /// Every value with its source.
    pub values: Vec<SettingValue>,
}

/// A setting that is compared with the clinic's own.
#[derive(Debug, Clone)]
pub struct OtherSetting {
    /// The result of its simulation.
    pub summary: CaseloadSummary,
    /// The comparison of both.
    pub comparison: Comparison,
    /// The changes, in words.
    pub changes: Vec<String>,
}

/// How many of the clinic's children are in the simulation, and how many are left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct ChildrenCounted {
    /// In treatment, included in the simulation.
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
        @if let Some(warning) = &view.warning { p.message.warning role="status" { strong { "Warning: " } (warning) } }
        @if let Some(other) = &view.other { (side_by_side(other)) }
        @if let Some(summary) = &view.summary { (answer(view, summary)) }
        (form::form(frame, view))
        (basis(view))
        p.caution { (CAUTION) }
    };
    frame::page(frame, HelpTopic::Capacity, "Capacity", &body)
}

fn answer(view: &CapacityView, summary: &CaseloadSummary) -> Markup {
    let sentences = lead_sentences(summary);
    html! {
        section.capacity-answer aria-label="Summary" {
            @if view.file.is_none() { p.message.note { strong { "With example places, not this clinic's own. " } "Enter your places " a href="#change" { "below" } " and save them; until then the figures show only how the page works." } }
            @if let Some(first) = sentences.first() { p.capacity-first { @if view.file.is_none() { "With example places: " } (first) } }
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
            h2 { "Boots and bars needed" }
            p { "By quarters of 13 weeks from " (summary.start.words()) ": the median of the runs, with the 90 % interval in brackets. Boots are pairs by foot length (Mondopoint size in mm); the length of a bar is measured between the heels." }
            (tables::sizes("Pairs of boots by quarter", "Foot length, mm", summary.start, &summary.boots))
            (tables::sizes("Bars by quarter", "Length, mm", summary.start, &summary.bars))
        }
    }
}

fn runs_words(view: &CapacityView, summary: &CaseloadSummary) -> String {
    let ChildrenCounted { taken, after_treatment, not_seen } = view.counted;
    let mut text = format!(
        "{} runs of {} weeks from {}. They start with this clinic's {}",
        summary.runs,
        summary.weeks,
        summary.start.words(),
        words::count(taken as i64, "child in treatment", "children in treatment")
    );
    if after_treatment + not_seen > 0 {
        text.push_str(&format!(
            "; left out: {after_treatment} after bracing or surgery, and {not_seen} not seen for so long that they count as dropped out"
        ));
    }
    if summary.without_birth > 0 {
        text.push_str(&format!(
            "; for {} without a date of birth the age is drawn at random",
            summary.without_birth
        ));
    }
    if let Some((per_year, own)) = view.per_year {
        let source = if own { ", the number referred here in the last year" } else { "" };
        text.push_str(&format!(". About {per_year:.0} new children per year are expected{source}"));
    }
    text.push('.');
    text
}

fn side_by_side(other: &OtherSetting) -> Markup {
    html! {
        section.capacity-compare aria-labelledby="side-by-side" {
            h2 id="side-by-side" { "Comparison" }
            @if other.changes.is_empty() {
                p { "The form was not changed, so both settings are the same." }
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

fn basis(view: &CapacityView) -> Markup {
    html! {
        section {
            h2 { "Sources and assumptions" }
            p { "Casts, tenotomies, relapses and drop-outs of future children are drawn from published cohorts; where no figure was found, the value is assumed and marked as such. "
                @match &view.file {
                    Some(file) => { "The clinic's own setting: " code { (file) } "." },
                    None => "The clinic has no setting of its own yet: the places and absences in the form are an example.",
                }
            }
            details.more {
                summary { "All values with their sources" }
                div.scroll tabindex="0" role="group" aria-label="Table: values and sources" {
                    table.listed {
                        thead { tr { th scope="col" { "Setting" } th scope="col" { "Value" } th scope="col" { "Source of the built-in value" } } }
                        tbody { @for value in &view.values {
                            tr.changed[value.changed] {
                                th scope="row" { (value.label) code.key { (value.key) } }
                                td { (value.value) @if value.changed { span.changed-note { "changed by this clinic" } } }
                                td { (value.source) }
                            }
                        } }
                    }
                }
            }
        }
    }
}
