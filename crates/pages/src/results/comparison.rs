//! The clinic's figure compared with published series, each drawn with its range.

use super::scale::{nice, num};
use audit::{Estimate, Figure, MeasureResult, MeasureScale, PublishedResult, words};
use maud::{Markup, html};

/// The strip and the table; a sentence where nothing is published.
pub(super) fn comparison(answer: &MeasureResult, links: &Markup) -> Markup {
    let published = answer.measure.published();
    html! {
        section aria-labelledby="beside" {
            h2 id="beside" { "Comparison with published series" }
            @if published.is_empty() {
                p { "No published series of this measure was found, so there is nothing to compare with." }
            } @else {
                p { "Series differ in their patients, definitions and length of follow-up: a large difference is a question, not a verdict. None of them is a target." }
                @let strip = strip(answer, published);
                (strip)
                @if !strip.0.is_empty() { (links) }
                div.scroll tabindex="0" role="group" aria-label="Table: published series" {
                    table.listed {
                        thead { tr { th scope="col" { "Figure" } th scope="col" { "Population" } th scope="col" { "Source" } } }
                        tbody { @for one in published { tr { th scope="row" { (one.figure) } td { (one.of) } td { cite.source { (one.source) } } } } }
                    }
                }
            }
        }
    }
}

/// The strip by itself.
pub(super) fn chart(answer: &MeasureResult) -> Markup {
    strip(answer, answer.measure.published())
}

fn shown(scale: MeasureScale, value: f64) -> String {
    match scale {
        MeasureScale::Share => format!("{:.0} %", 100.0 * value),
        _ => words::number(value),
    }
}

/// One line for the clinic and one for each series with a range.
fn strip(answer: &MeasureResult, published: &[PublishedResult]) -> Markup {
    let scale = answer.definition.scale;
    let ranges: Vec<(&PublishedResult, (f64, f64))> =
        published.iter().filter_map(|one| Some((one, one.range?))).collect();
    let own = answer.figures.first();
    let (Some(Figure { estimate: own, .. }), false) = (own, ranges.is_empty()) else { return html! {} };
    let most =
        ranges.iter().map(|(_, range)| range.1).fold(own.upper.unwrap_or(own.value).max(own.value), f64::max);
    let top = if scale == MeasureScale::Share { 1.0 } else { nice(most * 1.02) };
    let description = format!(
        "This clinic {}; published series from {} to {}. The table below lists each series.",
        shown(scale, own.value),
        shown(scale, ranges.iter().map(|(_, range)| range.0).fold(f64::INFINITY, f64::min)),
        shown(scale, ranges.iter().map(|(_, range)| range.1).fold(f64::NEG_INFINITY, f64::max)),
    );
    let height = 26.0 * (ranges.len() + 1) as f64 + 26.0;
    let x = |value: f64| 12.0 + 336.0 * (value / top).clamp(0.0, 1.0);
    html! {
        svg class="plot strip" viewBox=(format!("0 0 360 {height}")) role="img" aria-label=(description) {
            @for part in 0..=4 {
                @let value = top * f64::from(part) / 4.0;
                line class="grid" x1=(num(x(value))) x2=(num(x(value))) y1="2" y2=(num(height - 20.0)) {}
                text class="tick" x=(num(x(value))) y=(num(height - 5.0)) text-anchor=(if part == 0 { "start" } else if part == 4 { "end" } else { "middle" }) { (shown(scale, value)) }
            }
            (own_line(own, x))
            @for (place, (one, range)) in ranges.iter().enumerate() {
                @let y = 26.0 * (place + 1) as f64 + 16.0;
                @if range.1 > range.0 { path class="published" d=(format!("M{} {y}H{}", num(x(range.0)), num(x(range.1)))) {} }
                @else { circle class="published-dot" cx=(num(x(range.0))) cy=(y) r="3.6" {} }
                text class="tick" x=(num(if x(range.0) > 180.0 { x(range.0) - 8.0 } else { x(range.1) + 8.0 })) y=(y + 4.0) text-anchor=(if x(range.0) > 180.0 { "end" } else { "start" }) { (one.label()) }
            }
        }
    }
}

fn own_line(own: &Estimate, x: impl Fn(f64) -> f64) -> Markup {
    let (low, high) = (own.lower.unwrap_or(own.value), own.upper.unwrap_or(own.value));
    let left = x(own.value) > 180.0;
    html! {
        path class="whisker" d=(format!("M{} 16H{}", num(x(low)), num(x(high)))) {}
        circle class="dot" cx=(num(x(own.value))) cy="16" r="5" {}
        text class="tick strong" x=(num(if left { x(low) - 8.0 } else { x(high) + 8.0 })) y="20" text-anchor=(if left { "end" } else { "start" }) { "this clinic" }
    }
}
