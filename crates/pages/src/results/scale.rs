//! The scale of a plot, and the lines and labels of its axes.

use maud::{Markup, html};

/// Size and margins of a plot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plot {
    /// Its CSS class, which depends on the width for which it is drawn.
    pub class: &'static str,
    pub width: f64,
    pub height: f64,
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
    /// Largest number of labels along the x-axis.
    pub words: usize,
}

impl Plot {
    /// The plot for a screen or paper, and the one for a phone; the style sheet shows one of them.
    pub const BOTH: [Self; 2] = [
        Self {
            class: "plot wide",
            width: 760.0,
            height: 300.0,
            left: 52.0,
            right: 744.0,
            top: 14.0,
            bottom: 236.0,
            words: 8,
        },
        Self {
            class: "plot narrow",
            width: 360.0,
            height: 280.0,
            left: 46.0,
            right: 350.0,
            top: 14.0,
            bottom: 216.0,
            words: 4,
        },
    ];

    /// A lower plot, for use where only labels are below the axis.
    pub const fn low(self) -> Self {
        Self { height: self.height - 24.0, ..self }
    }
}

/// A plot with the ends of its two axes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scale {
    pub plot: Plot,
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Scale {
    pub fn x(&self, value: f64) -> f64 {
        self.plot.left + (self.plot.right - self.plot.left) * along(value, self.x)
    }

    pub fn y(&self, value: f64) -> f64 {
        self.plot.bottom - (self.plot.bottom - self.plot.top) * along(value, self.y)
    }

    pub fn point(&self, x: f64, y: f64) -> String {
        format!("{} {}", num(self.x(x)), num(self.y(y)))
    }

    /// A line through points.
    pub fn line(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        let points: Vec<String> = points.map(|(x, y)| self.point(x, y)).collect();
        if points.is_empty() { String::new() } else { format!("M{}", points.join("L")) }
    }
}

fn along(value: f64, (low, high): (f64, f64)) -> f64 {
    if high > low { ((value - low) / (high - low)).clamp(0.0, 1.0) } else { 0.5 }
}

/// A coordinate, rounded to a tenth.
pub(crate) fn num(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

/// The next larger round number, for the top of an axis.
pub(crate) fn nice(most: f64) -> f64 {
    if most <= 0.0 || !most.is_finite() {
        return 1.0;
    }
    let power = 10_f64.powf(most.log10().floor());
    let steps = [1.0, 1.2, 1.6, 2.0, 2.4, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
    steps.into_iter().map(|step| step * power).find(|step| *step >= most * 0.999_999).unwrap_or(10.0 * power)
}

/// The axis of values: five lines with their labels.
pub(crate) fn value_axis(scale: &Scale, words: impl Fn(f64) -> String) -> Markup {
    let (low, high) = scale.y;
    html! {
        @for part in 0..=4 {
            @let value = low + (high - low) * f64::from(part) / 4.0;
            @let y = scale.y(value);
            line class="grid" x1=(num(scale.plot.left)) x2=(num(scale.plot.right)) y1=(num(y)) y2=(num(y)) {}
            text class="tick" x=(num(scale.plot.left - 6.0)) y=(num(y + 4.0)) text-anchor="end" { (words(value)) }
        }
    }
}

/// Labels along the x-axis; some are left out where they would overlap.
pub(crate) fn foot_words(scale: &Scale, words: &[(f64, String)]) -> Markup {
    let every = words.len().div_ceil(scale.plot.words).max(1);
    html! {
        @for (x, word) in words.iter().step_by(every) {
            line class="grid" x1=(num(scale.x(*x))) x2=(num(scale.x(*x))) y1=(num(scale.plot.bottom)) y2=(num(scale.plot.bottom + 5.0)) {}
            text class="tick" x=(num(scale.x(*x))) y=(num(scale.plot.bottom + 19.0)) text-anchor="middle" { (word) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_ends_at_a_round_number() {
        for (most, end) in
            [(0.0, 1.0), (0.93, 1.0), (1.0, 1.0), (11.0, 12.0), (31.0, 40.0), (0.031, 0.04), (99.0, 100.0)]
        {
            assert!((nice(most) - end).abs() < 1e-9, "{most}: {}", nice(most));
        }
    }
}
