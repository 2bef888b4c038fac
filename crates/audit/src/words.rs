//! Values, numbers and probabilities as they are read.

use crate::definition::MeasureScale;

/// The longest time in words of days; a longer one is read in years.
const MOST_DAYS: f64 = 400.0;
const YEAR_DAYS: f64 = 365.25;

/// A value on the scale of a measure in words: "70 %", "5.2", "12 days", "1.3 years".
#[must_use]
pub fn value(scale: MeasureScale, value: f64) -> String {
    match scale {
        MeasureScale::Share => format!("{} %", number(100.0 * value)),
        MeasureScale::Days if value > MOST_DAYS => format!("{} years", number(value / YEAR_DAYS)),
        MeasureScale::Days => format!("{} days", number(value)),
        MeasureScale::Count | MeasureScale::PerHundred => number(value),
        MeasureScale::Hours => format!("{value:.1} h"),
    }
}

/// One decimal below ten, none above; a true minus sign; never "−0".
#[must_use]
pub fn number(value: f64) -> String {
    let text = if value.abs() < 9.95 { format!("{value:.1}") } else { format!("{value:.0}") };
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.replacen('-', "−", 1) }
}

/// A probability: "0.03", "below 0.001".
#[must_use]
pub fn probability(p: f64) -> String {
    if p < 0.001 {
        return "p below 0.001".to_owned();
    }
    if p < 0.1 { format!("p = {p:.3}") } else { format!("p = {p:.2}") }
}
