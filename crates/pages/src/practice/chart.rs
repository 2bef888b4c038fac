//! Kappa over time, with its intervals.

use crate::results::scale::{Plot, Scale, foot_words, num, value_axis};
use maud::{Markup, html};

/// One point: a word below the axis, kappa and the limits of its interval. Without kappa the place stays empty.
pub(super) struct KappaPoint {
    pub(super) word: String,
    pub(super) kappa: Option<(f64, Option<(f64, f64)>)>,
}

/// Lowest value drawn: agreement below what is expected by chance says no more the lower it is.
const LOWEST: f64 = -0.4;

/// The chart. `shaded` is the number of points at the beginning that are shaded, for the first feet of a person.
pub(super) fn kappa_chart(points: &[KappaPoint], shaded: usize, description: &str) -> Markup {
    html! { @for plot in Plot::BOTH { (drawn(plot.low(), points, shaded, description)) } }
}

fn drawn(plot: Plot, points: &[KappaPoint], shaded: usize, description: &str) -> Markup {
    let last = points.len().max(1) as f64;
    let scale = Scale { plot, x: (0.5, last + 0.5), y: (LOWEST, 1.0) };
    let across: Vec<(f64, String)> =
        points.iter().enumerate().map(|(place, point)| (place as f64 + 1.0, point.word.clone())).collect();
    let known = across.iter().zip(points).filter_map(|((x, _), point)| point.kappa.map(|kappa| (*x, kappa)));
    let line = scale.line(known.clone().map(|(x, (value, _))| (x, value.max(LOWEST))));
    let (left, right) = (scale.x(0.5), scale.x(shaded as f64 + 0.5));
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            @if shaded > 0 { rect class="band" x=(num(left)) y=(num(plot.top)) width=(num((right - left).max(0.0))) height=(num(plot.bottom - plot.top)) {} }
            (value_axis(&scale, super::two))
            (foot_words(&scale, &across))
            path class="curve" d=(line) {}
            @for (x, (value, limits)) in known {
                @if let Some((low, high)) = limits {
                    path class="whisker" d=(scale.line([(x, low.max(LOWEST)), (x, high)].into_iter())) {}
                }
                circle class="dot" cx=(num(scale.x(x))) cy=(num(scale.y(value.max(LOWEST)))) r="4.5" {}
            }
        }
    }
}

/// The key of the chart.
pub(super) fn key(shaded: Option<&str>) -> Markup {
    html! {
        figcaption.plot-legend { ul {
            li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { circle class="dot" cx="17" cy="6" r="4.5" {} } " weighted kappa" }
            li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="whisker" d="M17 0V12" {} } " its 95 % interval" }
            @if let Some(words) = shaded { li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { rect class="band" x="2" y="0" width="30" height="12" {} } " " (words) } }
        } }
    }
}
