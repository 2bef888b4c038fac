//! What is likely: the forecast of each foot in plain words, why, and how far to trust it.

pub mod sentences;
mod trust;

pub use trust::{ForecastsView, forecasts};

use crate::words;
use forecast::foot::{FootForecast, Input, Stage};
use maud::{Markup, html};
use record::{ChildId, Day};
use sentences::Said;

/// The forecasts of a child's feet, right before left, as a section of the child's page.
///
/// Gives nothing where nothing can be forecast.
#[must_use]
pub fn likely(child: ChildId, forecasts: &[FootForecast]) -> Markup {
    let shown: Vec<&FootForecast> =
        forecasts.iter().filter(|forecast| forecast.stage != Stage::NotFollowed).collect();
    if shown.is_empty() {
        return html! {};
    }
    html! {
        section.card.likely aria-labelledby="likely-head" {
            h2 id="likely-head" { "What is likely" }
            p.hint {
                "Forecasts, if the child keeps coming: what happened to feet like this, never a plan and never a promise. "
                a href="/forecasts" { "How good such forecasts were here" }
            }
            div.likely-feet { @for forecast in &shown { (foot(child, forecast)) } }
        }
    }
}

fn foot(child: ChildId, forecast: &FootForecast) -> Markup {
    let said = sentences::said(forecast);
    let name = forecast.side.title();
    html! {
        section.likely-foot aria-label={ "What is likely for the " (forecast.side.word()) " foot" } {
            h3 { (name) " foot" span.foot-phase { (forecast.stage.words()) } }
            @if said.is_empty() { p { "Nothing that can be forecast honestly from here." } }
            @else { dl.likely-said { @for said in &said { (line(said)) } } }
            @for unlike in &forecast.unlike { p.likely-unlike { strong { "Unlike the published feet: " } (unlike.text) } }
            p.likely-basis { (forecast.basis.words) }
            details.why {
                summary { "Why" span.sr { ": what the forecast of the " (forecast.side.word()) " foot rests on" } }
                (why(child, forecast))
            }
        }
    }
}

fn line(said: &Said) -> Markup {
    html! {
        div {
            dt { (said.what) }
            dd {
                strong { (said.answer) }
                span.likely-interval { (said.interval) }
                @if let Some(here) = &said.here { span.likely-here { (here) } }
            }
        }
    }
}

fn why(child: ChildId, forecast: &FootForecast) -> Markup {
    html! {
        p { "What of the record went in:" }
        ul.likely-list { @for input in &forecast.inputs { li { (fact(child, input)) } } }
        @if !forecast.cautions.is_empty() {
            p { "Before relying on it:" }
            ul.likely-list { @for caution in &forecast.cautions { li { (caution) } } }
        }
        @if !forecast.basis.sources.is_empty() {
            p { "What is known of other feet:" }
            ul.likely-list { @for source in &forecast.basis.sources { li { cite.source { (source) } } } }
        }
    }
}

/// A fact with its day, which leads to the page as it was known on that day.
fn fact(child: ChildId, input: &Input) -> Markup {
    html! {
        span.fact { (input.what) ": " @match &input.found { Some(found) => (found), None => "not recorded, and not guessed" } }
        @if let Some(day) = input.day.map(Day::from_number) {
            " " a href={ "/child/" (child) "?as_of=" (day) } { (words::day(day)) }
        }
    }
}
