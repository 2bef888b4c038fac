//! Values and changes in words.

use crate::{
    Measure,
    chart::ControlChart,
    definition::{MeasureKind, MeasureScale, Unit},
    ratio::{Ratio, RatioDifference},
    verdict::DIFFERS,
    words::{number, probability, value},
};
use record::Day;

fn exposure(measure: Measure) -> &'static str {
    match (measure.definition().kind, measure.definition().unit) {
        (MeasureKind::Rate, _) => "casts",
        (_, Unit::Foot) => "foot-years",
        (_, Unit::Child) => "child-years",
    }
}

/// The figure of a year with its numbers.
fn year((measure, kind): (Measure, MeasureKind), ratio: &Ratio) -> String {
    let definition = measure.definition();
    let Some(found) = ratio.value() else { return "no data".to_owned() };
    match kind {
        MeasureKind::Share => {
            format!(
                "{:.0} of {} ({})",
                ratio.y,
                definition.unit.count(ratio.n),
                value(MeasureScale::Share, found)
            )
        }
        MeasureKind::Number => {
            format!("a mean of {} ({})", value(definition.scale, found), definition.unit.count(ratio.n))
        }
        _ => format!(
            "{:.0} in {:.0} {} ({} per 100)",
            ratio.y,
            ratio.x,
            exposure(measure),
            number(100.0 * found)
        ),
    }
}

/// The factor and the unit in which a difference is shown.
fn apart((measure, kind): (Measure, MeasureKind)) -> (f64, &'static str) {
    match (kind, measure.definition().scale) {
        (MeasureKind::Share, _) => (100.0, "percentage points"),
        (MeasureKind::Number, MeasureScale::Days) => (1.0, "days"),
        (MeasureKind::Number, _) => (1.0, "casts"),
        (MeasureKind::Rate, _) => (100.0, "per 100 casts"),
        (_, _) if measure.definition().unit == Unit::Foot => (100.0, "per 100 foot-years"),
        _ => (100.0, "per 100 child-years"),
    }
}

/// The event of a time to an event, in the plural.
fn events(measure: Measure) -> &'static str {
    match measure {
        Measure::Correction => "braced within six months",
        Measure::BraceTolerance => "braces not tolerated",
        Measure::DropOut | Measure::DropOutPublished => "drop-outs",
        Measure::RelapseFree | Measure::RelapseFreeAge | Measure::Relapse => "relapses",
        Measure::SecondTenotomy => "second tenotomies",
        Measure::TendonTransfer => "tendon transfers",
        Measure::MajorSurgery => "releases",
        Measure::CastProblems => "problems",
        _ => "",
    }
}

/// Compares the last year with the one before.
pub(crate) fn change(
    of: (Measure, MeasureKind),
    before: &Ratio,
    now: &Ratio,
    found: Option<&RatioDifference>,
    as_of: Day,
) -> String {
    let what = events(of.0);
    let head = if what.is_empty() { String::new() } else { format!("{what} ") };
    let years = format!(
        "In the 12 months to {}: {head}{}; in the 12 months before: {head}{}.",
        as_of.words(),
        year(of, now),
        year(of, before)
    );
    let Some(found) = found else {
        return format!("{years} These are too few to judge whether anything changed.");
    };
    format!("{years} {}: {} ({}).", difference(of, found), chance(found), probability(found.p))
}

fn difference(of: (Measure, MeasureKind), found: &RatioDifference) -> String {
    let (by, unit) = apart(of);
    let direction = if found.value < 0.0 { "lower" } else { "higher" };
    format!(
        "{} {unit} {direction} (95 % confidence interval {} to {})",
        number(by * found.value.abs()),
        number(by * found.lower),
        number(by * found.upper)
    )
}

/// Whether chance explains a difference.
fn chance(found: &RatioDifference) -> &'static str {
    if found.p < DIFFERS {
        "more than chance explains"
    } else if found.p < 0.05 {
        "perhaps more than chance: one comparison in twenty looks like this when nothing has changed, and this page makes many comparisons"
    } else {
        "no more than chance explains"
    }
}

/// The signals of a chart in words.
pub(crate) fn signals(chart: &ControlChart, late: usize) -> String {
    let outside = chart.points.iter().filter(|point| point.outside).count();
    let points = chart.points.len();
    if points < 12 {
        return format!("The chart has only {points} points: too few for a conclusion.");
    }
    let outside = match (outside, late) {
        (0, _) => format!("None of the {points} points of the chart lies outside its limits"),
        (1, 0) => {
            format!("One of the {points} points of the chart, more than a year ago, lies outside its limits")
        }
        (n, 0) => format!(
            "{n} of the {points} points of the chart, all more than a year ago, lie outside their limits"
        ),
        (1, _) => {
            format!("One of the {points} points of the chart, within the last year, lies outside its limits")
        }
        (n, late) => format!(
            "{n} of the {points} points of the chart lie outside their limits, {late} of them within the last year"
        ),
    };
    let runs = if chart.runs { "; long runs or a trend show a change over time" } else { "" };
    format!("{outside}{runs}.")
}
