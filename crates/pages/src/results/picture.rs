//! The small picture of a measure for the overview: its curve, its course over time, or its interval. The numbers
//! are in the tile, so the picture is hidden from readers of the page.

use super::scale::{Plot, Scale, nice, num};
use audit::{ControlChart, Curve, MeasureKind, MeasureResult, MeasureScale, words};
use maud::{Markup, html};

const SMALL: Plot = Plot {
    class: "plot spark",
    width: 200.0,
    height: 60.0,
    left: 2.0,
    right: 198.0,
    top: 6.0,
    bottom: 44.0,
    words: 2,
};
/// Room for half a dot at both ends.
const DOTTED: Plot = Plot { left: 6.0, right: 194.0, ..SMALL };

/// The picture; empty where there is nothing to draw.
pub(super) fn small(answer: &MeasureResult) -> Markup {
    match (answer.curves.first(), &answer.chart) {
        (Some(curve), _) => of_curve(curve),
        (None, Some(chart)) if chart.points.len() > 1 => of_chart(chart, answer.definition.scale),
        _ => of_interval(answer),
    }
}

fn frame(drawing: &Markup, ends: (&str, &str)) -> Markup {
    let Plot { class, width, height, left, right, bottom, .. } = SMALL;
    html! {
        svg class=(class) viewBox=(format!("0 0 {width} {height}")) aria-hidden="true" {
            line class="grid" x1=(left) x2=(right) y1=(bottom) y2=(bottom) {}
            (drawing)
            text class="tick" x=(left) y="57" { (ends.0) }
            text class="tick" x=(right) y="57" text-anchor="end" { (ends.1) }
        }
    }
}

fn curve_line(path: &str) -> Markup {
    html! { path class="curve curve-0" d=(path) {} }
}

fn mean_line(path: &str) -> Markup {
    html! { path class="middle" d=(path) {} }
}

fn thread(path: &str) -> Markup {
    html! { path class="thread" d=(path) {} }
}

/// The value of one period.
fn period(outside: bool, x: f64, y: f64) -> Markup {
    html! { circle class=(if outside { "out" } else { "dot" }) cx=(num(x)) cy=(num(y)) r="2.6" {} }
}

fn interval(path: &str) -> Markup {
    html! { path class="whisker" d=(path) {} }
}

fn figure(x: f64, y: f64) -> Markup {
    html! { circle class="dot" cx=(num(x)) cy=(num(y)) r="4.5" {} }
}

/// A sample of each mark with its meaning, for the manual.
pub(crate) fn samples() -> Vec<(Markup, &'static str)> {
    let wave = "M4 20L18 12L32 17L46 8L56 10";
    vec![
        (
            curve_line("M4 6H20V12H36V20H56"),
            "A share over time: how many feet or children are still without the event, or have had it. The line of the scale above it is 100 %, the one below 0 %.",
        ),
        (thread(wave), "The value of one period after another, joined by a thin line."),
        (
            html! { (thread(wave)) (period(false, 18.0, 12.0)) (period(false, 32.0, 17.0)) },
            "Small points: one period each.",
        ),
        (
            html! { (thread(wave)) (period(true, 46.0, 8.0)) },
            "A point in red: a period outside the control limits. The page of the measure shows the limits.",
        ),
        (mean_line("M4 14H56"), "A level line between the points: the mean of all periods."),
        (
            html! { (interval("M10 14H50")) (figure(28.0, 14.0)) },
            "A large point on a bar: the figure and its 95 % confidence interval, on a scale that begins at 0.",
        ),
    ]
}

/// A curve from 0 to 100 %, to its last step.
fn of_curve(curve: &Curve) -> Markup {
    let Plot { left, right, top, .. } = SMALL;
    let end = curve.steps.last().map_or(1.0, |step| step.days).max(1.0);
    let scale = Scale { plot: SMALL, x: (0.0, end), y: (0.0, 1.0) };
    let every = curve.steps.len().div_ceil(80).max(1);
    let mut path = format!("M{}", scale.point(0.0, if curve.falls { 1.0 } else { 0.0 }));
    for step in curve.steps.iter().step_by(every) {
        path.push_str(&format!("H{}V{}", num(scale.x(step.days)), num(scale.y(step.share))));
    }
    path.push_str(&format!("H{right}"));
    let drawing = html! {
        line class="grid" x1=(left) x2=(right) y1=(top) y2=(top) {}
        (curve_line(&path))
    };
    frame(&drawing, ("0 to 100 %", &words::value(MeasureScale::Days, end)))
}

/// The value of one period after another.
fn of_chart(chart: &ControlChart, of: MeasureScale) -> Markup {
    let top = nice(chart.points.iter().map(|point| point.value).fold(chart.centre, f64::max));
    let top = if of == MeasureScale::Share { top.min(1.0) } else { top };
    let scale = Scale { plot: DOTTED, x: (0.0, (chart.points.len() - 1) as f64), y: (0.0, top) };
    let values = chart.points.iter().enumerate().map(|(place, point)| (place as f64, point.value));
    let middle = num(scale.y(chart.centre));
    let drawing = html! {
        (mean_line(&format!("M{} {middle}H{}", num(SMALL.left), num(SMALL.right))))
        (thread(&scale.line(values)))
        @for (place, point) in chart.points.iter().enumerate() {
            (period(point.outside, scale.x(place as f64), scale.y(point.value)))
        }
    };
    let year = |day: record::Day| day.parts().0.to_string();
    let ends = chart.points.first().zip(chart.points.last());
    let (first, end) = ends.map(|(first, end)| (year(first.from), year(end.to))).unwrap_or_default();
    frame(&drawing, (&first, &end))
}

/// The figure and its interval on a scale that begins at 0.
fn of_interval(answer: &MeasureResult) -> Markup {
    let Some(audit::Figure { estimate, .. }) = answer.figures.first() else { return html! {} };
    let of = if answer.definition.kind == MeasureKind::Missing {
        MeasureScale::Share
    } else {
        answer.definition.scale
    };
    let (low, high) = (estimate.lower.unwrap_or(estimate.value), estimate.upper.unwrap_or(estimate.value));
    let top = match of {
        MeasureScale::Share => 1.0,
        MeasureScale::Hours => 24.0,
        _ => nice(high),
    };
    let scale = Scale { plot: SMALL, x: (0.0, top), y: (0.0, 1.0) };
    let x = |value: f64| num(scale.x(value));
    let y = (SMALL.top + SMALL.bottom) / 2.0;
    let drawing = html! {
        (interval(&format!("M{} {y}H{}", x(low), x(high))))
        (figure(scale.x(estimate.value), y))
    };
    let end = if of == MeasureScale::Hours { "24 h".to_owned() } else { words::value(of, top) };
    frame(&drawing, ("0", &end))
}
