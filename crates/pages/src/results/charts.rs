//! The charts of results as files, each with its method, numbers, day and source.

use super::{AgreementView, ResultsView, agreement, caption, comparison, control, curve, watch};
use crate::{ChartFile, chart_links};
use audit::{GroupBy, MeasureResult};
use maud::{Markup, html};

/// The curve.
pub(super) const CURVE: &str = "curve";
/// The control chart.
pub(super) const CONTROL: &str = "control";
/// The cumulative sum.
pub(super) const WATCH: &str = "cusum";
/// Hours by quarter of bracing.
pub(super) const WEAR: &str = "wear";
/// The clinic and published series.
pub(super) const PUBLISHED: &str = "published";

/// The funnel plot of sites or clinicians.
pub(super) fn funnel_key(by: GroupBy) -> String {
    format!("funnel-{}", by.key())
}

/// The links under a chart of a measure, and what to mind before the file leaves the clinic.
pub(super) fn links(view: &ResultsView, answer: &MeasureResult, key: &str, of: &str) -> Markup {
    let address = format!("/results/{}/chart/{key}", answer.measure.key());
    let query = match &view.watch {
        Some(shown) if key == WATCH => watch::query(view, shown.design),
        _ => view.filter.query(),
    };
    html! {
        (chart_links(&address, &query, of))
        @if key.starts_with("funnel-") { p.hint.no-print { "The file names each point, as the chart does." } }
    }
}

/// A chart of the page of a measure, by its key; `None` where the page has no such chart.
#[must_use]
pub fn result_chart(view: &ResultsView, key: &str, clinic: &str) -> Option<ChartFile> {
    let answer = view.answers.first()?;
    let name = answer.definition.name;
    let (title, figure) = match key {
        CURVE => (name.to_owned(), curve::figure(answer)),
        CONTROL => (format!("{name}: {}", answer.chart.as_ref()?.kind.name()), control::figure(answer)),
        WEAR => (format!("{name}, by quarter of bracing"), control::wear(answer)),
        WATCH => (format!("{name}: CUSUM"), watch::chart(answer, view.watch.as_ref()?)?),
        PUBLISHED => (format!("{name}, beside published series"), comparison::chart(answer)),
        _ => {
            let funnel = answer.funnels.iter().find(|funnel| funnel_key(funnel.by) == key)?;
            (format!("{name}: {}", funnel.by.words()), control::funnel(answer, funnel, &view.names))
        }
    };
    let selected = view.filter.words(&view.names.sites, &view.names.clinicians);
    let mut notes = vec![format!("{}.", caption(answer))];
    notes.extend(selected.map(|selected| format!("Shown: {selected}.")));
    notes.push(format!("Source: records of {clinic}. {}", answer.definition.method));
    Some(ChartFile { title, notes, figure })
}

/// The chart of differences of two raters, by its key; `None` where there is none.
#[must_use]
pub fn agreement_chart(view: &AgreementView, key: &str, clinic: &str) -> Option<ChartFile> {
    let (title, method, figure) = agreement::chart(view, key)?;
    Some(ChartFile { title, notes: vec![method, format!("Source: records of {clinic}.")], figure })
}
