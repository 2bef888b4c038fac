//! The length of the feet by age: the published mean with two standard deviations, the measurements, and the
//! forecast for the next year as a fan.

use crate::{ChartFile, words};
use growth::{Curves, FootCurve, Posture, PublishedCurve};
use maud::{Markup, html};
use record::Side;

/// Size of a drawing.
#[derive(Debug, Clone, Copy)]
struct Plot {
    class: &'static str,
    width: f64,
    right: f64,
    every_months: usize,
}

const WIDE: Plot = Plot { class: "growth wide", width: 960.0, right: 946.0, every_months: 6 };
const NARROW: Plot = Plot { class: "growth narrow", width: 360.0, right: 352.0, every_months: 12 };
const LEFT: f64 = 42.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 312.0;
const HEIGHT: f64 = 350.0;
const LOW_MM: f64 = 60.0;

struct Scale {
    plot: Plot,
    months: f64,
    high_mm: f64,
}

impl Scale {
    fn x(&self, months: f64) -> f64 {
        LEFT + (self.plot.right - LEFT) * (months / self.months).clamp(0.0, 1.0)
    }

    fn y(&self, mm: f64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * ((mm - LOW_MM) / (self.high_mm - LOW_MM)).clamp(0.0, 1.0)
    }

    fn at(&self, months: f64, mm: f64) -> String {
        format!("{:.1} {:.1}", self.x(months), self.y(mm))
    }
}

/// The figure with its legend and table.
pub(super) fn growth(curves: Option<&Curves>, links: &Markup) -> Markup {
    html! {
        section.growth-section aria-labelledby="growth-head" {
            h2 id="growth-head" { "Growth of the feet" }
            @match curves.filter(|curves| !curves.feet.is_empty()) {
                None => p { "No curve: the date of birth and the length of a foot are needed." },
                Some(curves) => {
                    (legend(curves))
                    @let description = description(curves);
                    @for plot in [WIDE, NARROW] { (drawn(plot, curves, &description)) }
                    (links)
                    p.rel { (PUBLISHED) }
                    details.more { summary { "Lengths as a table" } (table(curves)) }
                },
            }
        }
    }
}

/// The figure by itself, as a file; `None` without a curve.
#[must_use]
pub fn growth_chart(
    curves: &Curves,
    who: Option<&str>,
    clinic: &str,
    as_of: record::Day,
) -> Option<ChartFile> {
    if curves.feet.is_empty() {
        return None;
    }
    let of_whom = who.map_or_else(String::new, |who| format!(", {who}"));
    Some(ChartFile {
        title: format!("Length of the feet by age{of_whom}"),
        notes: vec![
            format!("Length in mm, age in months. {PUBLISHED}"),
            format!("One child. Source: records of {clinic}, {}.", as_of.words()),
        ],
        figure: html! { figure { (drawn(WIDE, curves, "")) (legend(curves)) } },
    })
}

const PUBLISHED: &str = "Published curve: feet without clubfoot, Snyder 1977, measured lying up to two years and standing after that. The step at two years is the difference between the two methods, not growth. A clubfoot is about 5 % smaller. The fan applies to the posture in which the child was last measured; it shows the length of the foot, without the error of a measurement.";

fn legend(curves: &Curves) -> Markup {
    html! {
        ul.weeks-legend {
            li { svg class="growth key" viewBox="0 0 34 16" aria-hidden="true" { rect class="spread" x="1" y="2" width="32" height="12" {} line class="mean" x1="1" y1="8" x2="33" y2="8" {} } " published mean, two SD either side" }
            @for foot in &curves.feet {
                li { svg class="growth key" viewBox="0 0 34 16" aria-hidden="true" { (mark(foot.side, 17.0, 8.0, true)) } " " (foot.side.word()) " foot" @if foot.affected { ", clubfoot" } }
            }
            li { svg class="growth key" viewBox="0 0 34 16" aria-hidden="true" { path class="fan most" d="M1 9L33 1V15Z" {} path class="fan half" d="M1 9L33 5V11Z" {} } " forecast for the next year: 50 % and 90 % interval" }
        }
    }
}

/// A circle for the right foot, a square for the left; hollow where the length was judged implausible.
fn mark(side: Side, x: f64, y: f64, believed: bool) -> Markup {
    let class = if believed { "foot" } else { "foot doubted" };
    html! {
        @match side {
            Side::Right => circle class=(class) cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="5" {},
            Side::Left => rect class=(class) x=(format!("{:.1}", x - 4.5)) y=(format!("{:.1}", y - 4.5)) width="9" height="9" {},
        }
    }
}

fn description(curves: &Curves) -> String {
    let feet: Vec<String> = curves.feet.iter().filter_map(foot_words).collect();
    format!("Length of the feet by age. {}. The table below lists every length.", feet.join(". "))
}

fn foot_words(foot: &FootCurve) -> Option<String> {
    let (_, mm, on, _) = foot.measured.last()?;
    let (_, day, ahead) = foot.ahead.last()?;
    let (low, high) = ahead.ninety();
    Some(format!(
        "{} foot {mm:.0} mm on {}; one year later, on {}, likely {:.0} mm, 90 % interval {low:.0} to {high:.0}",
        foot.side.title(),
        on.words(),
        day.words(),
        ahead.mm
    ))
}

fn drawn(plot: Plot, curves: &Curves, description: &str) -> Markup {
    let months = curves.published.last().map_or(60.0, |point| point.months);
    let scale = Scale { plot, months, high_mm: if months > 60.0 { 220.0 } else { 200.0 } };
    let of =
        |posture| curves.published.iter().filter(move |point| point.posture == posture).collect::<Vec<_>>();
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {HEIGHT}", plot.width)) role="img" aria-label=(description) {
            (grid(&scale))
            @for posture in [Posture::Lying, Posture::Standing] {
                @let points = of(posture);
                path class="spread" d=(area(&scale, points.iter().map(|point| (point.months, point.low_mm, point.high_mm)))) {}
                path class="mean" d=(path(&scale, points.iter().map(|point: &&PublishedCurve| (point.months, point.mean_mm)))) {}
            }
            @for foot in &curves.feet {
                path class="fan most" d=(area(&scale, foot.ahead.iter().map(|(months, _, length)| { let (low, high) = length.ninety(); (*months, low, high) }))) {}
                path class="fan half" d=(area(&scale, foot.ahead.iter().map(|(months, _, length)| { let (low, high) = length.fifty(); (*months, low, high) }))) {}
            }
            @for foot in &curves.feet {
                path class="ahead" d=(path(&scale, foot.ahead.iter().map(|(months, _, length)| (*months, length.mm)))) {}
                path class="was" d=(path(&scale, foot.measured.iter().filter(|one| one.3).map(|one| (one.0, one.1)))) {}
                @for (months, mm, _, believed) in &foot.measured { (mark(foot.side, scale.x(*months), scale.y(*mm), *believed)) }
            }
        }
    }
}

fn grid(scale: &Scale) -> Markup {
    let lengths = (0..).map(|n| LOW_MM + 20.0 * f64::from(n)).take_while(|mm| *mm <= scale.high_mm);
    let ages = (0..=scale.months as usize).step_by(scale.plot.every_months);
    html! {
        @for mm in lengths {
            @let y = format!("{:.1}", scale.y(mm));
            line class="grid" x1=(LEFT) x2=(scale.plot.right) y1=(y) y2=(y) {}
            text class="tick" x=(LEFT - 6.0) y=(format!("{:.1}", scale.y(mm) + 4.0)) text-anchor="end" { (format!("{mm:.0}")) }
        }
        @for months in ages {
            @let x = format!("{:.1}", scale.x(months as f64));
            line class="grid" x1=(x) x2=(x) y1=(TOP) y2=(BOTTOM) {}
            text class="tick" x=(x) y=(BOTTOM + 16.0) text-anchor="middle" { (months) }
        }
        text class="tick" x=(scale.plot.right) y=(BOTTOM + 33.0) text-anchor="end" { "age in months; length in mm" }
    }
}

fn path(scale: &Scale, points: impl Iterator<Item = (f64, f64)>) -> String {
    let points: Vec<String> = points.map(|(months, mm)| scale.at(months, mm)).collect();
    if points.len() > 1 { format!("M{}", points.join("L")) } else { String::new() }
}

fn area(scale: &Scale, points: impl Iterator<Item = (f64, f64, f64)>) -> String {
    let points: Vec<(f64, f64, f64)> = points.collect();
    let there = points.iter().map(|(months, _, high)| scale.at(*months, *high));
    let back = points.iter().rev().map(|(months, low, _)| scale.at(*months, *low));
    let all: Vec<String> = there.chain(back).collect();
    if all.len() > 2 { format!("M{}Z", all.join("L")) } else { String::new() }
}

fn table(curves: &Curves) -> Markup {
    html! {
        @for foot in &curves.feet {
            div.scroll tabindex="0" role="group" aria-label={ "Table: " (foot.side.word()) " foot" } {
                table.listed {
                    caption { (foot.side.title()) " foot" }
                    thead { tr { th scope="col" { "Day" } th scope="col" { "Age, months" } th scope="col" { "Length, mm" } th scope="col" { "50 % interval" } th scope="col" { "90 % interval" } } }
                    tbody {
                        @for (months, mm, on, believed) in &foot.measured { tr {
                            th scope="row" { (words::day(*on)) } td { (format!("{months:.1}")) }
                            td { (format!("{mm:.0}")) " measured" @if !believed { ", implausible" } } td { "" } td { "" }
                        } }
                        @for (months, on, length) in foot.ahead.iter().skip(1).step_by(2) {
                            @let (half, most) = (length.fifty(), length.ninety());
                            tr { th scope="row" { (words::day(*on)) } td { (format!("{months:.1}")) } td { (format!("{:.0}", length.mm)) " likely" }
                                td { (format!("{:.0}–{:.0}", half.0, half.1)) } td { (format!("{:.0}–{:.0}", most.0, most.1)) } }
                        }
                    }
                }
            }
        }
    }
}
