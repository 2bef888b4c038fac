//! What is likely: the forecast of each foot in plain words, with its basis and its reliability.

pub mod sentences;
mod trust;

pub use trust::{ForecastsView, forecasts};

use crate::words;
use forecast::foot::{FootForecast, Input, Stage};
use maud::{Markup, html};
use record::{ChildId, Day};
use sentences::ForecastLine;

/// The forecasts of a child's feet, right before left, as a section of the child's page.
///
/// Empty where nothing can be forecast.
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
                "Forecasts, provided that the child continues to attend: they show what happened to similar feet. They are not a plan and not a promise. "
                a href="/forecasts" { "How accurate the forecasts have been here" }
            }
            div.likely-feet { @for forecast in &shown { (foot(child, forecast)) } }
        }
    }
}

fn foot(child: ChildId, forecast: &FootForecast) -> Markup {
    let lines = sentences::forecast_lines(forecast);
    let name = forecast.side.title();
    html! {
        section.likely-foot aria-label={ "What is likely for the " (forecast.side.word()) " foot" } {
            h3 { (name) " foot" span.foot-phase { (forecast.stage.words()) } }
            @if lines.is_empty() { p { "No reliable forecast is possible at this point." } }
            @else { dl.likely-said { @for each in &lines { (line(each)) } } }
            @for unlike in &forecast.unlike { p.likely-unlike { strong { "Differs from the published feet: " } (unlike.text) } }
            p.likely-basis { (forecast.basis.words) }
            details.why {
                summary { "Why" span.sr { ": basis of the forecast for the " (forecast.side.word()) " foot" } }
                (why(child, forecast))
            }
        }
    }
}

fn line(line: &ForecastLine) -> Markup {
    html! {
        div {
            dt { (line.what) }
            dd {
                strong { (line.answer) }
                span.likely-interval { (line.interval) }
                @if let Some(coverage) = &line.coverage { span.likely-here { (coverage) } }
            }
        }
    }
}

fn why(child: ChildId, forecast: &FootForecast) -> Markup {
    html! {
        p { "Data used from the record:" }
        ul.likely-list { @for input in &forecast.inputs { li { (fact(child, input)) } } }
        @if !forecast.cautions.is_empty() {
            p { "Cautions:" }
            ul.likely-list { @for caution in &forecast.cautions { li { (caution) } } }
        }
        @if !forecast.basis.sources.is_empty() {
            div.likely-sources {
                p { "Sources on other feet:" }
                ul.likely-list { @for source in &forecast.basis.sources { li { cite.source { (source) } } } }
            }
        }
    }
}

/// A fact with its day, which links to the child's page as of that day.
fn fact(child: ChildId, input: &Input) -> Markup {
    html! {
        span.fact { (input.what) ": " @match &input.found { Some(found) => (found), None => "not recorded and not guessed" } }
        @if let Some(day) = input.day.map(Day::from_number) {
            " " a href={ "/child/" (child) "?as_of=" (day) } { (words::day(day)) }
        }
    }
}
