//! Entries about the child, newest day first, with corrections and withdrawals. A long history has a page of its
//! own, so that the page of the child stays small.

use super::ChildView;
use crate::ink::Ink;
use course::{Age, CorrectedLog, Fate, Line};
use maud::html;
use record::{ChildId, EntryId};

/// Number of days shown; earlier days are folded.
const DAYS_OPEN: usize = 8;
/// Number of days folded; still earlier ones are on the page of all entries.
const DAYS_FOLDED: usize = 16;

/// The timeline.
pub fn timeline(ink: &mut Ink<'_>, view: &ChildView<'_>) {
    let reading = CorrectedLog::of(view.entries, view.outlook.course.as_of);
    // The lines are in clinical order, so those of one day are adjacent.
    let days: Vec<&[Line<'_>]> = reading.lines.chunk_by(|a, b| a.on == b.on).rev().collect();
    let (shown, folded) = days.split_at(days.len().min(DAYS_OPEN));
    ink.markup(&html! {
        h2 id="timeline-head" { "All entries" span.rel { " (" (reading.lines.len()) ")" } }
    });
    ink.tag("<ol class=\"days\">");
    days_of(ink, view, shown);
    ink.tag("</ol>");
    let (folded, left_out) = folded.split_at(folded.len().min(DAYS_FOLDED));
    if !folded.is_empty() {
        ink.tag("<details>").markup(&html! { summary { "Earlier days (" (folded.len()) ")" } });
        ink.tag("<ol class=\"days\">");
        days_of(ink, view, folded);
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
    days_of(ink, view, &days);
    ink.tag("</ol>");
}

fn days_of(ink: &mut Ink<'_>, view: &ChildView<'_>, days: &[&[Line<'_>]]) {
    let course = &view.outlook.course;
    for lines in days {
        let Some(first) = lines.first() else { continue };
        let age = course.age_on(first.on).map(Age::words).unwrap_or_default();
        ink.tag("<li class=\"day-of\"><h3>").day(first.on).tag("<span class=\"rel\"> ").text(&age);
        ink.tag("</span></h3><ul>");
        lines.iter().for_each(|line| entry_row(ink, view, course.child, line));
        ink.tag("</ul></li>");
    }
}

fn entry_row(ink: &mut Ink<'_>, view: &ChildView<'_>, child: ChildId, line: &Line<'_>) {
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
    ink.tag("<span class=\"entry-by\">").text(by).tag("</span></li>");
}

fn fate_link(ink: &mut Ink<'_>, child: ChildId, entry: EntryId, words: &'static str) {
    ink.tag(" <a class=\"fate\" href=\"").entry_href(child, entry).tag("\">").tag(words).tag("</a>");
}
