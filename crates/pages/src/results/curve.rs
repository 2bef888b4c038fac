//! Time-to-event curves: survival or cumulative incidence with confidence band and numbers at risk.

use super::scale::{Plot, Scale, foot_words, num, value_axis};
use audit::{Curve, CurveStep, Measure, MeasureResult, words};
use maud::{Markup, html};

/// Largest number of steps drawn; more could not be distinguished.
const DRAWN: usize = 240;
const YEAR: f64 = 365.25;

/// The figure; empty where there is no curve.
pub(super) fn figure(answer: &MeasureResult) -> Markup {
    let Some(first) = answer.curves.first() else { return html! {} };
    let description = description(answer, first);
    html! {
        figure.plot-figure {
            @for plot in Plot::BOTH { (drawn(plot, answer, &description)) }
            (legend(answer))
        }
    }
}

fn clock(answer: &MeasureResult) -> &'static str {
    if answer.measure == Measure::RelapseFreeAge { "years of age" } else { "years since time zero" }
}

/// The figure in words.
fn description(answer: &MeasureResult, curve: &Curve) -> String {
    let read = horizon_words(curve);
    let other = answer.other.as_ref().and_then(|other| Some((other.name, other.curve.as_ref()?)));
    let other = other.map(|(name, curve)| format!(" {name}: {}.", horizon_words(curve))).unwrap_or_default();
    let at_risk = curve
        .at_risk
        .iter()
        .map(|(days, n)| format!("{n:.0} at {}", words::number(days / YEAR)))
        .collect::<Vec<_>>();
    format!(
        "{}, {}: {read}.{other} At risk, by {}: {}. The table below lists the steps.",
        answer.definition.name,
        curve.name,
        clock(answer),
        at_risk.join(", ")
    )
}

/// The shares read off a curve.
fn horizon_words(curve: &Curve) -> String {
    let value = |share| words::value(audit::MeasureScale::Share, share);
    let read: Vec<String> = curve
        .horizons
        .iter()
        .map(|figure| format!("{} {}", value(figure.estimate.value), figure.label))
        .collect();
    if read.is_empty() { "too few are followed long enough to read it".to_owned() } else { read.join(", ") }
}

/// The last time drawn: while at least five are at risk, so that the tail of a single foot does not fill the
/// plot.
fn end(answer: &MeasureResult) -> f64 {
    let Some(curve) = answer.curves.first() else { return YEAR };
    let last = curve.at_risk.iter().rev().find(|(_, n)| *n >= audit::FEWEST_AT_RISK as f64);
    let until = last.map_or(0.0, |(days, _)| days + YEAR / 2.0);
    let longest = curve.steps.last().map_or(YEAR, |step| step.days);
    until.min(longest).max(YEAR / 2.0)
}

fn drawn(plot: Plot, answer: &MeasureResult, description: &str) -> Markup {
    let end = end(answer);
    let begin = begin(answer);
    let scale = Scale { plot, x: (begin / YEAR, end / YEAR), y: (0.0, 1.0) };
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            (value_axis(&scale, |value| format!("{:.0} %", 100.0 * value)))
            (foot_words(&scale, &years(begin, end)))
            @for (place, curve) in answer.curves.iter().enumerate() {
                @let steps = thinned(curve, end);
                @if place == 0 { path class="band" d=(band(&scale, curve, &steps, end)) {} }
                path class=(format!("curve curve-{place}")) d=(path(&scale, curve, &steps, begin, end)) {}
            }
            @if let Some((place, _, curve)) = other(answer) {
                path class=(format!("curve curve-{place}")) d=(path(&scale, curve, &thinned(curve, end), begin, end)) {}
            }
            (numbers_at_risk(&scale, answer, end))
        }
    }
}

/// The start of the time axis; for ages, the first age at which anybody is at risk.
fn begin(answer: &MeasureResult) -> f64 {
    let first = answer.curves.first().and_then(|curve| curve.at_risk.iter().find(|(_, n)| *n > 0.0));
    first.map_or(0.0, |(days, _)| if *days < YEAR { 0.0 } else { *days })
}

fn years(begin: f64, end: f64) -> Vec<(f64, String)> {
    let whole = end - begin > 2.0 * YEAR;
    let step = if whole { 1.0 } else { 0.5 };
    let mut at = (begin / YEAR / step).ceil() * step;
    let mut words = Vec::new();
    while at <= end / YEAR + 1e-9 {
        words.push((at, words::number(at)));
        at += step;
    }
    words
}

/// The steps up to the end; if there are many, an even selection.
fn thinned(curve: &Curve, end: f64) -> Vec<CurveStep> {
    let within: Vec<CurveStep> = curve.steps.iter().copied().filter(|step| step.days <= end).collect();
    let every = within.len().div_ceil(DRAWN).max(1);
    let last = within.len().saturating_sub(1);
    within
        .iter()
        .enumerate()
        .filter(|(place, _)| place % every == 0 || *place == last)
        .map(|(_, step)| *step)
        .collect()
}

fn path(scale: &Scale, curve: &Curve, steps: &[CurveStep], begin: f64, end: f64) -> String {
    let mut height = if curve.falls { 1.0 } else { 0.0 };
    let mut path = format!("M{}", scale.point(begin / YEAR, height));
    for step in steps {
        path.push_str(&format!("H{}V{}", num(scale.x(step.days / YEAR)), num(scale.y(step.share))));
        height = step.share;
    }
    let _ = height;
    path.push_str(&format!("H{}", num(scale.x(end / YEAR))));
    path
}

/// The confidence band, from the first step that has limits.
fn band(scale: &Scale, curve: &Curve, steps: &[CurveStep], end: f64) -> String {
    let flat = if curve.falls { 1.0 } else { 0.0 };
    let of = |step: &CurveStep| (step.lower.unwrap_or(step.share), step.upper.unwrap_or(step.share));
    let mut upper = Vec::new();
    let mut lower = Vec::new();
    let mut last = (flat, flat);
    for step in steps {
        let x = step.days / YEAR;
        let (low, high) = of(step);
        upper.extend([(x, last.1), (x, high)]);
        lower.extend([(x, last.0), (x, low)]);
        last = (low, high);
    }
    upper.push((end / YEAR, last.1));
    lower.push((end / YEAR, last.0));
    lower.reverse();
    format!("{}Z", scale.line(upper.into_iter().chain(lower)))
}

/// The numbers at risk, below the axis.
fn numbers_at_risk(scale: &Scale, answer: &MeasureResult, end: f64) -> Markup {
    let Some(curve) = answer.curves.first() else { return html! {} };
    let counts: Vec<&(f64, f64)> = curve
        .at_risk
        .iter()
        .filter(|(days, _)| *days <= end + 1.0 && *days / YEAR >= scale.x.0 - 1e-9)
        .collect();
    let every = counts.len().div_ceil(scale.plot.words).max(1);
    let y = scale.plot.bottom + 56.0;
    html! {
        text class="tick strong" x="4" y=(num(y - 17.0)) { "At risk · " (clock(answer)) }
        @for (days, n) in counts.into_iter().step_by(every) {
            text class="tick" x=(num(scale.x(days / YEAR))) y=(num(y)) text-anchor="middle" { (format!("{n:.0}")) }
        }
    }
}

/// The curve by another definition: its index after the others, its name and the curve.
fn other(answer: &MeasureResult) -> Option<(usize, &'static str, &Curve)> {
    let other = answer.other.as_ref()?;
    Some((answer.curves.len(), other.name, other.curve.as_ref()?))
}

/// The lines drawn, each with its name; where two definitions are drawn, each is named by its definition.
fn lines(answer: &MeasureResult) -> Vec<(usize, &'static str, &Curve)> {
    let other = other(answer);
    let name = |place: usize, curve: &Curve| {
        if place == 0 && other.is_some() { answer.definition.name } else { curve.name }
    };
    let own = answer.curves.iter().enumerate().map(|(place, curve)| (place, name(place, curve), curve));
    own.chain(other).collect()
}

fn legend(answer: &MeasureResult) -> Markup {
    html! {
        figcaption.plot-legend {
            ul {
                @for (place, name, _) in lines(answer) {
                    li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class=(format!("curve curve-{place}")) d="M1 6H33" {} } " " (name) }
                }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="band" d="M1 1H33V11H1Z" {} } " 95 % confidence band of the first" }
            }
        }
    }
}

/// The steps of the curves as tables; if there are many steps, an even selection.
pub(super) fn table(answer: &MeasureResult) -> Markup {
    html! {
        @for (_, name, curve) in lines(answer) {
            @let steps = table_steps(curve);
            details.more {
                summary { (crate::words::capital(name)) " as a table" }
                @if steps.len() < curve.steps.len() { p.rel { (steps.len()) " of " (curve.steps.len()) " steps are shown, evenly selected; the command line gives all of them." } }
                div.scroll tabindex="0" role="group" aria-label={ "Table: " (name) } {
                    table.numbers {
                        thead { tr { @for head in ["Day", "At risk", "Events", "Share", "95 % CI"] { th scope="col" { (head) } } } }
                        tbody { @for step in steps {
                            tr {
                                th scope="row" { (format!("{:.0}", step.days)) }
                                td { (format!("{:.0}", step.at_risk)) }
                                td { (format!("{:.0}", step.events)) }
                                td { (words::value(audit::MeasureScale::Share, step.share)) }
                                td { (super::interval_words(audit::MeasureScale::Share, step.lower, step.upper)) }
                            }
                        } }
                    }
                }
            }
        }
    }
}

fn table_steps(curve: &Curve) -> Vec<CurveStep> {
    const ROWS: usize = 60;
    let every = curve.steps.len().div_ceil(ROWS).max(1);
    let last = curve.steps.len().saturating_sub(1);
    let chosen = curve.steps.iter().enumerate().filter(|(place, _)| place % every == 0 || *place == last);
    chosen.map(|(_, step)| *step).collect()
}
