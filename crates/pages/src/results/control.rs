//! Control charts, funnel plots and wear: points with the limits within which chance alone would put them.

use super::{
    Names,
    scale::{Plot, Scale, foot_words, nice, num, value_axis},
};
use audit::{
    ChartKind, ControlChart, ControlPoint, FunnelChart, FunnelKind, FunnelLimit, FunnelPoint,
    LOGGED_BY_QUARTER, Measure, MeasureResult, WearLine, words,
};
use maud::{Markup, html};
use record::Day;

fn month(day: Day) -> String {
    let (year, month, _) = day.parts();
    format!("{} {year}", Day::month_word(month).get(..3).unwrap_or_default())
}

fn chart_value(chart: &ControlChart, value: f64) -> String {
    match chart.kind {
        ChartKind::P => words::value(audit::MeasureScale::Share, value),
        _ => words::number(value),
    }
}

/// The control chart; empty where there is none.
pub(super) fn figure(answer: &MeasureResult) -> Markup {
    let Some(chart) = &answer.chart else { return html! {} };
    let outside = chart.points.iter().filter(|point| point.outside).count();
    let axis = ends(chart);
    let clipped = chart.points.iter().map(|point| beyond(point, axis)).filter(|one| one.0 || one.1).count();
    let left = if clipped > 0 { format!(" {clipped} outside the axis.") } else { String::new() };
    let description = format!(
        "{}: {} of {}, from {} to {}; centre {}; {outside} of {} points outside the limits.{left} The table below lists every point.",
        chart.kind.name(),
        chart.value_words,
        answer.definition.name,
        chart.points.first().map(|point| month(point.from)).unwrap_or_default(),
        chart.points.last().map(|point| month(point.to)).unwrap_or_default(),
        chart_value(chart, chart.centre),
        chart.points.len()
    );
    html! {
        figure.plot-figure {
            @for plot in Plot::BOTH { (drawn(plot.low(), chart, &description)) }
            figcaption.plot-legend { ul {
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { circle class="dot" cx="17" cy="6" r="3.5" {} } " " (chart.value_words) }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="limit" d="M1 6H33" {} } " control limits" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="middle" d="M1 6H33" {} } " centre" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="out" d="M17 0L23 6L17 12L11 6Z" {} } " outside the limits" }
                @if clipped > 0 { li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="beyond" d="M17 1l6 9h-12Z" {} } " beyond the axis" } }
            } }
            @if clipped > 0 { p.rel { (BEYOND) } }
        }
    }
}

/// The note shown where a point lies outside the axis.
const BEYOND: &str = "The axis covers every point, with its limits, that is based on at least half of the median number of observations per point. A point based on fewer may lie outside the axis: it is then marked ▲ or ▼ at the edge and listed in the table.";

/// The ends of the axis of values. The limits of a point with very little exposure are so wide that they would
/// flatten all others.
fn ends(chart: &ControlChart) -> (f64, f64) {
    let mut sizes: Vec<f64> = chart.points.iter().map(|point| point.of).collect();
    sizes.sort_unstable_by(f64::total_cmp);
    let median = sizes.get(sizes.len() / 2).copied().unwrap_or(0.0);
    let usual = || chart.points.iter().filter(|point| point.of >= 0.5 * median);
    let most = usual().map(|point| point.value.max(point.upper)).fold(chart.centre, f64::max);
    let top = if chart.kind == ChartKind::P { nice(most).min(1.0) } else { nice(most) };
    // No value of a measure is below 0, so a lower limit below 0 limits nothing.
    (0.0, top)
}

/// Whether a point or one of its limits is above the axis, and whether it is below.
fn beyond(point: &ControlPoint, (low, top): (f64, f64)) -> (bool, bool) {
    (point.value.max(point.upper) > top, point.value < low)
}

fn drawn(plot: Plot, chart: &ControlChart, description: &str) -> Markup {
    let (low, top) = ends(chart);
    let scale = Scale { plot, x: (-0.5, chart.points.len() as f64 - 0.5), y: (low, top) };
    let value = |of: fn(&ControlPoint) -> f64| {
        chart.points.iter().enumerate().map(move |(place, point)| (place as f64, of(point)))
    };
    let dates: Vec<(f64, String)> =
        chart.points.iter().enumerate().map(|(place, point)| (place as f64, month(point.to))).collect();
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            (value_axis(&scale, |value| chart_value(chart, value)))
            (foot_words(&scale, &dates))
            path class="limit" d=(stairs(&scale, value(|point| point.upper))) {}
            path class="limit" d=(stairs(&scale, value(|point| point.lower.max(0.0)))) {}
            path class="middle" d=(scale.line([(-0.5, chart.centre), (chart.points.len() as f64 - 0.5, chart.centre)].into_iter())) {}
            path class="thread" d=(scale.line(value(|point| point.value))) {}
            @for (place, point) in chart.points.iter().enumerate() {
                @let (above, below) = beyond(point, (low, top));
                @if above { path class="beyond" d=(format!("M{} {}l5 8h-10Z", num(scale.x(place as f64)), num(plot.top - 8.0))) {} }
                @if below { path class="beyond" d=(format!("M{} {}l5 -8h-10Z", num(scale.x(place as f64)), num(plot.bottom + 8.0))) {} }
                @if (low..=top).contains(&point.value) { (dot(&scale, place as f64, point.value, point.outside)) }
            }
        }
    }
}

/// A point; a diamond where it is outside its limits.
fn dot(scale: &Scale, x: f64, y: f64, outside: bool) -> Markup {
    let (x, y) = (scale.x(x), scale.y(y));
    html! {
        @if outside {
            path class="out" d=(format!("M{} {}l6.5 6.5l-6.5 6.5l-6.5 -6.5Z", num(x), num(y - 6.5))) {}
        } @else { circle class="dot" cx=(num(x)) cy=(num(y)) r="3.8" {} }
    }
}

fn stairs(scale: &Scale, points: impl Iterator<Item = (f64, f64)>) -> String {
    scale.line(points.flat_map(|(x, y)| [(x - 0.5, y), (x + 0.5, y)]))
}

/// The points as a table.
pub(super) fn table(chart: &ControlChart) -> Markup {
    html! {
        details.more {
            summary { "Points of the chart as a table" }
            div.scroll tabindex="0" role="group" aria-label="Table: points of the control chart" {
                table.numbers {
                    thead { tr { @for head in ["From", "To", "Of", "Events", "Value", "Limits", "Outside"] { th scope="col" { (head) } } } }
                    tbody { @for point in &chart.points {
                        tr {
                            th scope="row" { (point.from.words()) }
                            td { (point.to.words()) }
                            td { (words::number(point.of)) }
                            td { @match point.events { Some(events) => (format!("{events:.0}")), None => "–" } }
                            td { (chart_value(chart, point.value)) }
                            td { (chart_value(chart, point.lower.max(0.0))) " to " (chart_value(chart, point.upper)) }
                            td { @if point.outside { "◆ outside" } @else { "no" } }
                        }
                    } }
                }
            }
        }
    }
}

fn funnel_value(funnel: &FunnelChart, value: f64) -> String {
    match funnel.kind {
        FunnelKind::Share => words::value(audit::MeasureScale::Share, value),
        _ => words::number(value),
    }
}

const fn funnel_words(kind: FunnelKind) -> (&'static str, &'static str) {
    match kind {
        FunnelKind::Share => ("share", "effective number of independent feet"),
        FunnelKind::Mean => ("mean", "effective number of independent feet"),
        FunnelKind::OverExpected => ("observed divided by expected events", "expected events"),
    }
}

/// The funnel plot of sites or clinicians, with its table.
pub(super) fn funnel(answer: &MeasureResult, funnel: &FunnelChart, names: &Names) -> Markup {
    let (value, size) = funnel_words(funnel.kind);
    let outside: Vec<String> = funnel
        .points
        .iter()
        .filter(|point| point.outside())
        .map(|point| names.of(funnel.by, point.code))
        .collect();
    let verdict = if outside.is_empty() {
        "None is outside the outer limits: the differences are no larger than chance explains.".to_owned()
    } else {
        format!(
            "Outside the outer limits: {}. Not adjusted for severity and aetiology: consider the feet treated before judging a person.",
            crate::words::join(&outside)
        )
    };
    let description = format!(
        "Funnel plot of {}: {value} against {size}; overall {}. {verdict} The table below lists each.",
        answer.definition.name,
        funnel_value(funnel, funnel.overall)
    );
    html! {
        figure.plot-figure {
            figcaption { h3 { (funnel.by.words()) ": comparison" } p { (verdict) } }
            @for plot in Plot::BOTH { (funnel_drawn(plot.low(), funnel, names, &description)) }
            p.rel { "y-axis: " (value) ". x-axis: " (size) " (design effect " (words::number(funnel.design_effect)) "). If only chance is at work, the inner limits contain 95 % and the outer limits 99.8 % of units of that size." }
            details.more {
                summary { "Funnel plot as a table" }
                (funnel_table(funnel, names))
            }
        }
    }
}

fn funnel_drawn(plot: Plot, funnel: &FunnelChart, names: &Names, description: &str) -> Markup {
    let of = |pick: fn(&FunnelPoint) -> f64| funnel.points.iter().map(pick);
    let widest = of(|point| point.size).fold(1.0, f64::max);
    let most = of(|point| point.value.max(point.outer.1)).fold(funnel.overall, f64::max);
    let top = if funnel.kind == FunnelKind::Share {
        1.0
    } else {
        nice(most.min(8.0 * funnel.overall.abs().max(0.1)))
    };
    let scale = Scale { plot, x: (0.0, nice(widest * 1.05)), y: (0.0, top) };
    let across: Vec<(f64, String)> =
        (0..=4).map(|part| scale.x.1 * f64::from(part) / 4.0).map(|at| (at, words::number(at))).collect();
    let line = |pick: fn(&FunnelLimit) -> f64| {
        scale.line(funnel.limits.iter().map(|limit| (limit.size, pick(limit).max(0.0))))
    };
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            (value_axis(&scale, |value| funnel_value(funnel, value)))
            (foot_words(&scale, &across))
            path class="limit" d=(line(|point| point.outer.1)) {}
            path class="limit" d=(line(|point| point.outer.0)) {}
            path class="limit inner" d=(line(|point| point.inner.1)) {}
            path class="limit inner" d=(line(|point| point.inner.0)) {}
            path class="middle" d=(scale.line([(scale.x.0, funnel.overall), (scale.x.1, funnel.overall)].into_iter())) {}
            @for point in &funnel.points { (dot(&scale, point.size, point.value, point.outside())) }
            (point_labels(&scale, funnel, names))
        }
    }
}

/// Most points of a funnel that are all labelled; of more, those outside the limits are.
const LABELLED_POINTS: usize = 12;
/// Height of a label, so that two do not overlap.
const LABEL_HEIGHT: f64 = 14.0;

/// The name of each point beside it, moved down where it would lie over another.
fn point_labels(scale: &Scale, funnel: &FunnelChart, names: &Names) -> Markup {
    let all = funnel.points.len() <= LABELLED_POINTS;
    let mut points: Vec<&FunnelPoint> = funnel.points.iter().filter(|point| all || point.outside()).collect();
    points.sort_by(|a, b| b.value.total_cmp(&a.value));
    let middle = (scale.plot.left + scale.plot.right) / 2.0;
    let mut lowest = [f64::NEG_INFINITY; 2];
    let labels = points.into_iter().map(|point| {
        let (x, at_left) = (scale.x(point.size), scale.x(point.size) > middle);
        let last = &mut lowest[usize::from(at_left)];
        let y = (scale.y(point.value) + 4.0).max(*last + LABEL_HEIGHT);
        *last = y;
        (if at_left { x - 9.0 } else { x + 9.0 }, y, at_left, names.of(funnel.by, point.code))
    });
    let labels: Vec<(f64, f64, bool, String)> = labels.collect();
    html! {
        @for (x, y, at_left, name) in &labels {
            text class="tick strong" x=(num(*x)) y=(num(*y)) text-anchor=(if *at_left { "end" } else { "start" }) { (name) }
        }
    }
}

fn funnel_table(funnel: &FunnelChart, names: &Names) -> Markup {
    let span = |(low, high): (f64, f64)| {
        format!("{} to {}", funnel_value(funnel, low.max(0.0)), funnel_value(funnel, high))
    };
    html! {
        div.scroll tabindex="0" role="group" aria-label={ "Table: " (funnel.by.words()) } {
            table.numbers {
                thead { tr { @for head in ["Name", "n", "Children", "Value", "95 % limits", "99.8 % limits", "Outside"] { th scope="col" { (head) } } } }
                tbody { @for point in &funnel.points {
                    tr {
                        th scope="row" { (names.of(funnel.by, point.code)) }
                        td { (point.n) } td { (point.children) }
                        td { (funnel_value(funnel, point.value)) }
                        td { (span(point.inner)) } td { (span(point.outer)) }
                        td { @if point.outside() { "◆ outside" } @else { "no" } }
                    }
                } }
            }
        }
    }
}

/// Hours by quarter of bracing, compared with published ones where they were logged.
pub(super) fn wear(answer: &MeasureResult) -> Markup {
    if answer.wear.iter().all(|line| line.hours.is_none()) {
        return html! {};
    }
    let published = answer.measure == Measure::WearLogged;
    let read: Vec<String> = answer
        .wear
        .iter()
        .filter_map(|line| {
            Some(format!("{} {}", line.label, words::value(audit::MeasureScale::Hours, line.hours?)))
        })
        .collect();
    let description = format!(
        "Mean hours a day: {}. The table below lists each with its confidence interval.",
        read.join(", ")
    );
    html! {
        figure.plot-figure {
            @for plot in Plot::BOTH { (wear_drawn(plot.low(), &answer.wear, published, &description)) }
            figcaption.plot-legend { ul {
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { circle class="dot" cx="17" cy="6" r="3.5" {} } " this clinic, with 95 % confidence interval" }
                @if published { li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="other" d="M11 1L17 11L23 1Z" {} } " 124 children, all still corrected at two years (Richards)" } }
            } }
            div.scroll tabindex="0" role="group" aria-label="Table: wear by quarter of bracing" {
                table.numbers {
                    thead { tr { @for head in ["Bracing", "Children", "Hours a day, mean", "95 % CI"] { th scope="col" { (head) } } } }
                    tbody { @for line in &answer.wear {
                        tr {
                            th scope="row" { (crate::words::capital(&line.label)) }
                            td { (line.children) }
                            td { @match line.hours { Some(hours) => (words::number(hours)), None => "not recorded" } }
                            td { (super::interval_words(audit::MeasureScale::Hours, line.lower, line.upper)) }
                        }
                    } }
                }
            }
        }
    }
}

fn wear_drawn(plot: Plot, lines: &[WearLine], published: bool, description: &str) -> Markup {
    let scale =
        Scale { plot: Plot { words: 6, ..plot }, x: (-0.5, lines.len() as f64 - 0.5), y: (0.0, 24.0) };
    let across: Vec<(f64, String)> = lines
        .iter()
        .enumerate()
        .map(|(place, line)| (place as f64, line.label.replace("months ", "").replace(" to ", "–")))
        .collect();
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            (value_axis(&scale, |value| format!("{value:.0} h")))
            (foot_words(&scale, &across))
            @for (place, line) in lines.iter().enumerate() {
                @let x = place as f64;
                @if let (Some(low), Some(high)) = (line.lower, line.upper) {
                    path class="whisker" d=(scale.line([(x, low), (x, high)].into_iter())) {}
                }
                @if let Some(hours) = line.hours { (dot(&scale, x, hours, false)) }
                @if published {
                    @let (px, py) = (scale.x(x + 0.14), scale.y(LOGGED_BY_QUARTER[place.min(5)]));
                    path class="other" d=(format!("M{} {}l5.5 10l5.5 -10Z", num(px - 5.5), num(py - 5.0))) {}
                }
            }
        }
    }
}
