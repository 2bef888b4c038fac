//! Chart of places needed by week and places available: bands, the median, and the weeks with a shortage.

use caseload::{CaseloadSummary, RunBand, Service, ServiceWeek};
use maud::{Markup, html};

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Size and place of the plot.
#[derive(Debug, Clone, Copy)]
struct Plot {
    class: &'static str,
    width: f64,
    left: f64,
    right: f64,
    /// Least distance between two month names.
    apart: f64,
}

const WIDE: Plot = Plot { class: "weeks wide", width: 960.0, left: 40.0, right: 950.0, apart: 46.0 };
const NARROW: Plot = Plot { class: "weeks narrow", width: 360.0, left: 32.0, right: 354.0, apart: 44.0 };
const TOP: f64 = 14.0;
const BOTTOM: f64 = 176.0;
const MARKS: f64 = 188.0;
const NAMES: f64 = 212.0;
const HEIGHT: f64 = 220.0;

fn num(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

/// The legend.
pub fn legend() -> Markup {
    html! {
        ul.weeks-legend {
            li { svg class="weeks key" viewBox="0 0 34 16" aria-hidden="true" { rect class="half" x="1" y="3" width="32" height="10" {} } " 50 % interval of the runs" }
            li { svg class="weeks key" viewBox="0 0 34 16" aria-hidden="true" { rect class="most" x="1" y="3" width="32" height="10" {} } " 90 % interval of the runs" }
            li { svg class="weeks key" viewBox="0 0 34 16" aria-hidden="true" { line class="middle" x1="1" y1="8" x2="33" y2="8" {} } " median of the runs" }
            li { svg class="weeks key" viewBox="0 0 34 16" aria-hidden="true" { line class="there" x1="1" y1="8" x2="33" y2="8" {} } " places available" }
            li { svg class="weeks key" viewBox="0 0 34 16" aria-hidden="true" { path class="short" d="M13 12L17 4L21 12Z" {} } " shortage in most runs: a child is left without a place" }
        }
    }
}

/// The figure of one service, with its table.
pub fn figure(summary: &CaseloadSummary, service: Service) -> Markup {
    let weeks = summary.service(service);
    let name = name(service);
    let description = description(weeks, name);
    html! {
        figure.weeks-figure {
            figcaption { h3 { (name) } }
            (drawn(WIDE, weeks, &description))
            (drawn(NARROW, weeks, &description))
            details.more {
                summary { (name) " as a table" }
                (table(weeks, name))
            }
        }
    }
}

const fn name(service: Service) -> &'static str {
    match service {
        Service::Cast => "Cast places",
        Service::Theatre => "Tenotomy places",
        Service::Brace => "Brace places",
    }
}

/// The chart in words.
fn description(weeks: &[ServiceWeek], name: &str) -> String {
    let short = weeks.iter().filter(|week| week.short > 0.5).count();
    let range = |of: fn(&ServiceWeek) -> f64| {
        let values = weeks.iter().map(of);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)))
    };
    let (low, high) = range(|week| week.needed.middle);
    let (few, many) = range(|week| f64::from(week.places));
    format!(
        "{name} needed in each of {} weeks: median {low:.0} to {high:.0}; available: {few:.0} to {many:.0}; shortage in most runs in {short} weeks. The table below lists every week.",
        weeks.len()
    )
}

struct Scale {
    plot: Plot,
    weeks: f64,
    most: f64,
}

impl Scale {
    fn of(plot: Plot, weeks: &[ServiceWeek]) -> Self {
        let most =
            weeks.iter().map(|week| week.needed.high90.max(f64::from(week.places))).fold(4.0, f64::max);
        Self { plot, weeks: weeks.len().max(1) as f64, most: nice(most) }
    }

    /// The middle of a week.
    fn x(&self, week: f64) -> f64 {
        self.plot.left + (self.plot.right - self.plot.left) * week / self.weeks
    }

    fn y(&self, value: f64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * (value / self.most).min(1.0)
    }
}

/// The next number of places that divides well into four.
fn nice(most: f64) -> f64 {
    let steps = [4.0, 8.0, 12.0, 16.0, 20.0, 24.0, 32.0, 40.0, 60.0, 80.0, 100.0, 120.0, 160.0, 200.0];
    let found = steps.into_iter().find(|&step| step >= most);
    found.unwrap_or_else(|| (most / 100.0).ceil() * 100.0)
}

fn drawn(plot: Plot, weeks: &[ServiceWeek], description: &str) -> Markup {
    let scale = Scale::of(plot, weeks);
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {HEIGHT}", plot.width)) role="img" aria-label=(description) {
            (grid(&scale))
            path class="most" d=(area(&scale, weeks, |band| (band.low90, band.high90))) {}
            path class="half" d=(area(&scale, weeks, |band| (band.low50, band.high50))) {}
            path class="there" d=(steps(&scale, weeks)) {}
            path class="middle" d=(middle(&scale, weeks)) {}
            (shorts(&scale, weeks))
            (months(&scale, weeks))
        }
    }
}

fn grid(scale: &Scale) -> Markup {
    let lines = [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| part * scale.most);
    html! {
        @for value in lines {
            @let y = num(scale.y(value));
            line class="grid" x1=(num(scale.plot.left)) x2=(num(scale.plot.right)) y1=(y) y2=(y) {}
            text class="tick" x=(num(scale.plot.left - 6.0)) y=(num(scale.y(value) + 4.0)) text-anchor="end" { (num(value)) }
        }
    }
}

/// The outline of a band over the weeks: along its upper edge and back along its lower edge.
fn area(scale: &Scale, weeks: &[ServiceWeek], ends: impl Fn(&RunBand) -> (f64, f64)) -> String {
    let point = |(n, week): (usize, &ServiceWeek), high: bool| {
        let (low, top) = ends(&week.needed);
        format!("{} {}", num(scale.x(n as f64 + 0.5)), num(scale.y(if high { top } else { low })))
    };
    let upper = weeks.iter().enumerate().map(|week| point(week, true));
    let lower = weeks.iter().enumerate().rev().map(|week| point(week, false));
    let points: Vec<String> = upper.chain(lower).collect();
    if points.is_empty() { String::new() } else { format!("M{}Z", points.join("L")) }
}

fn middle(scale: &Scale, weeks: &[ServiceWeek]) -> String {
    let points: Vec<String> = weeks
        .iter()
        .enumerate()
        .map(|(n, week)| format!("{} {}", num(scale.x(n as f64 + 0.5)), num(scale.y(week.needed.middle))))
        .collect();
    if points.is_empty() { String::new() } else { format!("M{}", points.join("L")) }
}

/// The places available, week by week in steps.
fn steps(scale: &Scale, weeks: &[ServiceWeek]) -> String {
    let mut path = String::new();
    for (n, week) in weeks.iter().enumerate() {
        let y = num(scale.y(week.places.into()));
        let word = if n == 0 { "M" } else { "L" };
        path.push_str(&format!("{word}{} {y}L{} {y}", num(scale.x(n as f64)), num(scale.x(n as f64 + 1.0))));
    }
    path
}

fn shorts(scale: &Scale, weeks: &[ServiceWeek]) -> Markup {
    html! {
        @for (n, week) in weeks.iter().enumerate() {
            @if week.short > 0.5 {
                @let (x, y) = (scale.x(n as f64 + 0.5), MARKS);
                path class="short" d=(format!("M{} {}L{} {}L{} {}Z", num(x - 3.4), num(y + 4.0), num(x), num(y - 4.0), num(x + 3.4), num(y + 4.0))) {}
            }
        }
    }
}

/// The name of each month at its first week, where it fits.
fn months(scale: &Scale, weeks: &[ServiceWeek]) -> Markup {
    let mut names: Vec<(f64, String)> = Vec::new();
    let mut last = 0;
    for (n, week) in weeks.iter().enumerate() {
        let (year, month, _) = week.from.parts();
        let x = scale.x(n as f64);
        // A name with its year needs more room.
        let room = |name: &str| if name.len() > 3 { 1.7 * scale.plot.apart } else { scale.plot.apart };
        let far = names.last().is_none_or(|(before, name)| x - before >= room(name));
        if month != last && far && x + 26.0 < scale.plot.right {
            let name = MONTHS[(month as usize).saturating_sub(1) % 12];
            let year = if n == 0 || month == 1 { format!(" {year}") } else { String::new() };
            names.push((x, format!("{name}{year}")));
            last = month;
        }
    }
    html! {
        @for (x, name) in &names {
            line class="grid" x1=(num(*x)) x2=(num(*x)) y1=(num(BOTTOM)) y2=(num(NAMES - 12.0)) {}
            text class="tick" x=(num(*x + 2.0)) y=(num(NAMES)) text-anchor="start" { (name) }
        }
    }
}

fn table(weeks: &[ServiceWeek], name: &str) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label={ "Table: " (name) } {
            table.numbers {
                thead { tr {
                    @for head in ["Week from", "Due", "Needed", "50 % interval", "90 % interval", "Available", "Shortage in"] { th scope="col" { (head) } }
                } }
                tbody { @for week in weeks { (row(week)) } }
            }
        }
    }
}

fn row(week: &ServiceWeek) -> Markup {
    let span = |low: f64, high: f64| format!("{low:.0}–{high:.0}");
    html! {
        tr.short[week.short > 0.5] {
            th scope="row" { (week.from.words()) }
            td { (format!("{:.0}", week.due.middle)) }
            td { (format!("{:.0}", week.needed.middle)) }
            td { (span(week.needed.low50, week.needed.high50)) }
            td { (span(week.needed.low90, week.needed.high90)) }
            td { (week.places) }
            td { (format!("{:.0} % of runs", 100.0 * week.short)) @if week.short > 0.5 { " ▲" } }
        }
    }
}
