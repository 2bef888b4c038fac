//! The small picture of a measure for the overview: its curve, its course over time, or its interval. The numbers
//! are in the tile, so the picture is hidden from readers of the page.

use super::scale::{nice, num};
use audit::{ControlChart, Curve, MeasureKind, MeasureResult, MeasureScale, words};
use maud::{Markup, html};

const WIDTH: f64 = 200.0;
const LEFT: f64 = 2.0;
const RIGHT: f64 = 198.0;
const TOP: f64 = 6.0;
const BOTTOM: f64 = 44.0;

/// The picture; empty where there is nothing to draw.
pub(super) fn small(answer: &MeasureResult) -> Markup {
    match (answer.curves.first(), &answer.chart) {
        (Some(curve), _) => of_curve(curve),
        (None, Some(chart)) if chart.points.len() > 1 => of_chart(chart, answer.definition.scale),
        _ => of_interval(answer),
    }
}

fn frame(drawing: &Markup, ends: (&str, &str)) -> Markup {
    html! {
        svg class="plot spark" viewBox=(format!("0 0 {WIDTH} 60")) aria-hidden="true" {
            line class="grid" x1=(LEFT) x2=(RIGHT) y1=(BOTTOM) y2=(BOTTOM) {}
            (drawing)
            text class="tick" x=(LEFT) y="57" { (ends.0) }
            text class="tick" x=(RIGHT) y="57" text-anchor="end" { (ends.1) }
        }
    }
}

fn height(share: f64) -> f64 {
    BOTTOM - (BOTTOM - TOP) * share.clamp(0.0, 1.0)
}

/// A curve from 0 to 100 %, to its last step.
fn of_curve(curve: &Curve) -> Markup {
    let end = curve.steps.last().map_or(1.0, |step| step.days).max(1.0);
    let every = curve.steps.len().div_ceil(80).max(1);
    let mut path = format!("M{LEFT} {}", num(height(if curve.falls { 1.0 } else { 0.0 })));
    for step in curve.steps.iter().step_by(every) {
        let x = LEFT + (RIGHT - LEFT) * step.days / end;
        path.push_str(&format!("H{}V{}", num(x), num(height(step.share))));
    }
    path.push_str(&format!("H{RIGHT}"));
    let drawing = html! {
        line class="grid" x1=(LEFT) x2=(RIGHT) y1=(TOP) y2=(TOP) {}
        path class="curve curve-0" d=(path) {}
    };
    frame(&drawing, ("0 to 100 %", &words::value(MeasureScale::Days, end)))
}

/// The value of one period after another.
fn of_chart(chart: &ControlChart, scale: MeasureScale) -> Markup {
    let top = nice(chart.points.iter().map(|point| point.value).fold(chart.centre, f64::max));
    let top = if scale == MeasureScale::Share { top.min(1.0) } else { top };
    let last = (chart.points.len() - 1) as f64;
    let points = chart.points.iter().enumerate().map(|(place, point)| {
        let x = LEFT + 4.0 + (RIGHT - LEFT - 8.0) * place as f64 / last;
        (x, height(point.value / top), point.outside)
    });
    let points: Vec<(f64, f64, bool)> = points.collect();
    let line: Vec<String> = points.iter().map(|(x, y, _)| format!("{} {}", num(*x), num(*y))).collect();
    let middle = num(height(chart.centre / top));
    let drawing = html! {
        line class="middle" x1=(LEFT) x2=(RIGHT) y1=(middle) y2=(middle) {}
        path class="thread" d=(format!("M{}", line.join("L"))) {}
        @for (x, y, outside) in &points { circle class=(if *outside { "out" } else { "dot" }) cx=(num(*x)) cy=(num(*y)) r="2.6" {} }
    };
    let year = |day: record::Day| day.parts().0.to_string();
    let ends = chart.points.first().zip(chart.points.last());
    let (first, end) = ends.map(|(first, end)| (year(first.from), year(end.to))).unwrap_or_default();
    frame(&drawing, (&first, &end))
}

/// The figure and its interval on a scale that begins at 0.
fn of_interval(answer: &MeasureResult) -> Markup {
    let Some(audit::Figure { estimate, .. }) = answer.figures.first() else { return html! {} };
    let scale = if answer.definition.kind == MeasureKind::Missing {
        MeasureScale::Share
    } else {
        answer.definition.scale
    };
    let (low, high) = (estimate.lower.unwrap_or(estimate.value), estimate.upper.unwrap_or(estimate.value));
    let top = match scale {
        MeasureScale::Share => 1.0,
        MeasureScale::Hours => 24.0,
        _ => nice(high),
    };
    let x = |value: f64| num(LEFT + (RIGHT - LEFT) * (value / top).clamp(0.0, 1.0));
    let y = (TOP + BOTTOM) / 2.0;
    let drawing = html! {
        path class="whisker" d=(format!("M{} {y}H{}", x(low), x(high))) {}
        circle class="dot" cx=(x(estimate.value)) cy=(y) r="4.5" {}
    };
    let end = if scale == MeasureScale::Hours { "24 h".to_owned() } else { words::value(scale, top) };
    frame(&drawing, ("0", &end))
}
