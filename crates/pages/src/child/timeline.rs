//! Everything written about the child, newest day first, corrections and withdrawals visible.

use super::ChildView;
use crate::{parts, words};
use course::{Age, Fate, Line, Reading};
use maud::{Markup, html};
use record::{ChildId, Day};
use std::collections::BTreeMap;

/// Days shown at once; the rest folds.
const DAYS_OPEN: usize = 8;

/// The timeline.
pub fn timeline(view: &ChildView<'_>) -> Markup {
    let course = &view.outlook.course;
    let reading = Reading::of(view.entries, course.as_of);
    let mut days: BTreeMap<Day, Vec<&Line<'_>>> = BTreeMap::new();
    for line in &reading.lines {
        days.entry(line.on).or_default().push(line);
    }
    let age = |day: Day| course.age_on(day).map(Age::words).unwrap_or_default();
    let one = |(day, lines): (&Day, &Vec<&Line<'_>>)| one_day(view, course.child, *day, &age(*day), lines);
    html! {
        section.timeline aria-labelledby="timeline-head" {
            h2 id="timeline-head" { "Everything written" span.rel { " " (reading.lines.len()) " entries" } }
            ol.days { @for day in days.iter().rev().take(DAYS_OPEN) { (one(day)) } }
            @if days.len() > DAYS_OPEN {
                details {
                    summary { "Earlier days (" (days.len() - DAYS_OPEN) ")" }
                    ol.days { @for day in days.iter().rev().skip(DAYS_OPEN) { (one(day)) } }
                }
            }
        }
    }
}

fn one_day(view: &ChildView<'_>, child: ChildId, day: Day, age: &str, lines: &[&Line<'_>]) -> Markup {
    html! {
        li.day-of {
            h3 { (words::day(day)) span.rel { " " (age) } }
            ul { @for line in lines { (entry_row(view, child, line)) } }
        }
    }
}

fn entry_row(view: &ChildView<'_>, child: ChildId, line: &Line<'_>) -> Markup {
    let link = |entry: record::EntryId| format!("/child/{child}/entry/{entry}");
    let by = view.writers.get(&line.entry.by).map_or("somebody no longer known", String::as_str);
    let says = parts::entry_line(line.body);
    let class = match line.fate {
        Fate::Stands => "entry",
        Fate::Corrected { .. } => "entry corrected",
        Fate::Withdrawn { .. } => "entry withdrawn",
        Fate::Amends { .. } => "entry amends",
    };
    html! {
        li class=(class) {
            @match line.fate {
                Fate::Withdrawn { by } => {
                    a href=(link(line.entry.id)) { s { (says) } }
                    " " a.fate href=(link(by)) { "withdrawn" }
                },
                Fate::Corrected { by } => {
                    a href=(link(line.entry.id)) { (says) }
                    " " a.fate href=(link(by)) { "corrected" }
                    @let was = parts::entry_line(&line.entry.body);
                    @if was != says { span.was { "was: " s { (was) } } }
                },
                Fate::Amends { entry } => {
                    a href=(link(line.entry.id)) { (says) }
                    " " a.fate href=(link(entry)) { "see the entry" }
                },
                Fate::Stands => a href=(link(line.entry.id)) { (says) },
            }
            span.entry-by { (by) }
        }
    }
}
