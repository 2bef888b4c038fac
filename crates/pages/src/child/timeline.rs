//! Entries about the child, newest day first, with corrections and withdrawals. A long history has a page of its
//! own, so that the page of the child stays small.

use super::ChildView;
use crate::ink::Ink;
use course::{Age, CorrectedLog, Fate, Line, VisitPart, visit_part, written_in_steps};
use maud::html;
use record::{ChildId, Day, Entry, EntryId};
use std::collections::BTreeMap;

/// The entries written in one step, each with the entry that lists it.
type Steps<'a> = BTreeMap<EntryId, &'a Entry>;

/// Number of days shown; earlier days are folded.
const DAYS_OPEN: usize = 8;
/// Number of days folded; still earlier ones are on the page of all entries.
const DAYS_FOLDED: usize = 16;

/// The timeline.
pub fn timeline(ink: &mut Ink<'_>, view: &ChildView<'_>) {
    let reading = CorrectedLog::of(view.entries, view.outlook.course.as_of);
    let steps = written_in_steps(view.entries);
    // The lines are in clinical order, so those of one day are adjacent.
    let days: Vec<&[Line<'_>]> = reading.lines.chunk_by(|a, b| a.on == b.on).rev().collect();
    let (shown, folded) = days.split_at(days.len().min(DAYS_OPEN));
    ink.markup(&html! {
        h2 id="timeline-head" { "All entries" span.rel { " (" (reading.lines.len()) ")" } }
    });
    ink.tag("<ol class=\"days\">");
    days_of(ink, view, &steps, shown);
    ink.tag("</ol>");
    let (folded, left_out) = folded.split_at(folded.len().min(DAYS_FOLDED));
    if !folded.is_empty() {
        ink.tag("<details>").markup(&html! { summary { "Earlier days (" (folded.len()) ")" } });
        ink.tag("<ol class=\"days\">");
        days_of(ink, view, &steps, folded);
        ink.tag("</ol></details>");
    }
    if !left_out.is_empty() {
        let course = &view.outlook.course;
        ink.markup(&html! {
            p.all-entries { a href={ "/child/" (course.child) "?entries=all&as_of=" (course.as_of) } {
                "All entries, " (left_out.len()) " more days"
            } }
        });
    }
}

/// Every day, none folded.
pub fn whole(ink: &mut Ink<'_>, view: &ChildView<'_>) {
    let reading = CorrectedLog::of(view.entries, view.outlook.course.as_of);
    let days: Vec<&[Line<'_>]> = reading.lines.chunk_by(|a, b| a.on == b.on).rev().collect();
    ink.tag("<ol class=\"days\">");
    days_of(ink, view, &written_in_steps(view.entries), &days);
    ink.tag("</ol>");
}

fn days_of(ink: &mut Ink<'_>, view: &ChildView<'_>, steps: &Steps<'_>, days: &[&[Line<'_>]]) {
    let course = &view.outlook.course;
    for lines in days {
        let Some(first) = lines.first() else { continue };
        let age = course.age_on(first.on).map(Age::words).unwrap_or_default();
        ink.tag("<li class=\"day-of\"><h3>").day(first.on).tag("<span class=\"rel\"> ").text(&age);
        ink.tag("</span>");
        let holds = |line: &&Line<'_>| line.fate.holds();
        if lines.iter().filter(holds).any(|line| visit_part(line.body) == Some(VisitPart::Part)) {
            whole_visit(ink, course.child, first.on);
        }
        ink.tag("</h3><ul>");
        // What a step wrote is read with the entry that lists it.
        let amends = |line: &&Line<'_>| line.entry.kind().spec().amends && steps.contains_key(&line.entry.id);
        let withdrawn_by = |line: &Line<'_>| match line.fate {
            Fate::Withdrawn { by } => steps.get(&by).map(|step| step.id),
            _ => None,
        };
        for line in lines.iter().filter(|line| !amends(line) && withdrawn_by(line).is_none()) {
            entry_row(ink, view, steps, line);
        }
        let mut by_step: BTreeMap<EntryId, Vec<&Line<'_>>> = BTreeMap::new();
        for line in lines.iter().filter(|line| !amends(line)) {
            by_step.entry(withdrawn_by(line).unwrap_or(line.entry.id)).or_default().push(line);
        }
        by_step.retain(|step, lines| lines.iter().any(|line| line.entry.id != *step));
        by_step.iter().for_each(|(step, lines)| withdrawn_step(ink, view, steps, *step, lines));
        ink.tag("</ul></li>");
    }
}

fn whole_visit(ink: &mut Ink<'_>, child: ChildId, on: Day) {
    let href = format!("/child/{child}/visit/{on}/change");
    ink.markup(&html! { " " a.visit-of href=(href) { "whole visit" span.sr { " of " (on.words()) } } });
}

/// The entries of a day that one step withdrew, as one line.
fn withdrawn_step(
    ink: &mut Ink<'_>,
    view: &ChildView<'_>,
    steps: &Steps<'_>,
    step: EntryId,
    lines: &[&Line<'_>],
) {
    let listed = view.entries.iter().find(|entry| entry.id == step);
    let said = listed.map(|step| step.body.sentence()).unwrap_or_default();
    ink.tag("<li class=\"entry withdrawn\"><details class=\"step-of\"><summary>");
    ink.markup(&html! { (said) " (" (crate::words::count(lines.len() as i64, "entry", "entries")) ")" });
    ink.tag("</summary><ul>");
    lines.iter().for_each(|line| entry_row(ink, view, steps, line));
    ink.tag("</ul></details></li>");
}

fn entry_row(ink: &mut Ink<'_>, view: &ChildView<'_>, steps: &Steps<'_>, line: &Line<'_>) {
    let child = view.outlook.course.child;
    let by = view.writers.get(&line.entry.by).map_or("unknown user", String::as_str);
    let text = line.body.sentence();
    let (class, fate) = match line.fate {
        Fate::Unchanged => ("entry", None),
        Fate::Corrected { by } => ("entry corrected", Some((by, "corrected"))),
        Fate::Withdrawn { by } => ("entry withdrawn", Some((by, "withdrawn"))),
        Fate::Amends { entry } => ("entry amends", Some((entry, "see the entry"))),
    };
    ink.tag("<li class=\"").tag(class).tag("\"><a href=\"").entry_href(child, line.entry.id).tag("\">");
    match line.fate {
        Fate::Withdrawn { .. } => ink.tag("<s>").text(&text).tag("</s></a>"),
        _ => ink.text(&text).tag("</a>"),
    };
    if let Some((entry, words)) = fate {
        fate_link(ink, child, entry, words);
    }
    if matches!(line.fate, Fate::Corrected { .. }) {
        let was = line.entry.body.sentence();
        if was != text {
            ink.tag("<span class=\"was\">was: <s>").text(&was).tag("</s></span>");
        }
    }
    if let Some((other, origin)) = origin(steps, line) {
        fate_link(ink, other, origin, "from another record");
    }
    ink.tag("<span class=\"entry-by\">").text(by).tag("</span></li>");
}

/// The entry of another record from which this one was recorded again, with that record.
fn origin(steps: &Steps<'_>, line: &Line<'_>) -> Option<(ChildId, EntryId)> {
    let list = steps.get(&line.entry.id)?.body.written_together()?;
    Some((list.other?, list.origin_of(line.entry.id)?))
}

fn fate_link(ink: &mut Ink<'_>, child: ChildId, entry: EntryId, words: &'static str) {
    ink.tag(" <a class=\"fate\" href=\"").entry_href(child, entry).tag("\">").tag(words).tag("</a>");
}
