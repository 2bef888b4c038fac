//! The page of one child, in the order of what matters: who it is, what is urgent, what comes next, the course
//! of both feet as a picture; then forecast, brace, appointments, family, and all entries.

mod actions;
mod appointments;
mod contact;
mod family;
mod feet;
mod next;
mod timeline;
mod urgent;

pub use family::{FamilyView, SiblingView, TogetherView};

use crate::{
    Frame, HelpTopic, frame, ink, likely,
    parts::{self, Who},
    photographs::{PhotographStripView, photograph_strip},
    picture::AngleOnPhotograph,
    words,
};
use course::{CorrectedLog, Line};
use guidance::Outlook;
use maud::{Markup, html};
use record::{Day, Entry, Kind, Right, UserId};
use std::collections::BTreeMap;

/// One child as of a day.
#[derive(Debug, Clone)]
pub struct ChildView<'a> {
    /// The child.
    pub who: Who,
    /// The course and the next steps; the course holds the day as of which the page is shown.
    pub outlook: &'a Outlook,
    /// All entries of the child; the page leaves out those after the day shown.
    pub entries: &'a [Entry],
    /// The forecast of each foot; empty where nothing was forecast.
    pub forecasts: &'a [forecast::foot::FootForecast],
    /// Names of the writers of the entries.
    pub writers: &'a BTreeMap<UserId, String>,
    /// Brothers and sisters whose records are in the clinic.
    pub family: FamilyView,
    /// Photographs of the feet; `None` where nothing about them is on record.
    pub photographs: Option<PhotographStripView>,
    /// Angles measured on photographs.
    pub angles: &'a [AngleOnPhotograph],
}

/// Estimated size of a page without its entries, and of each entry, in bytes. Generous, so that the buffer is
/// not reallocated while the page is written.
const PAGE_BYTES: usize = 24_000;
const ENTRY_BYTES: usize = 1_300;

/// The page of one child. Who may not see treatment gets a page of its own, with how to reach the family and the
/// appointments.
#[must_use]
pub fn child(frame: &Frame, view: &ChildView<'_>) -> Markup {
    if !frame.may(Right::SeeClinical) {
        return contact::contact(frame, view);
    }
    let who = &view.who;
    let bytes = PAGE_BYTES + ENTRY_BYTES * view.entries.len();
    let body = ink::markup_of(bytes, |ink| {
        ink.markup(&above(frame, view));
        ink.tag("<div class=\"child-main\">").markup(&first(frame, view));
        let both = view.outlook.course.feet.len() > 1;
        ink.tag(if both { "<div class=\"child-feet both\">" } else { "<div class=\"child-feet\">" });
        feet::feet(ink, view.outlook, view.forecasts, view.angles);
        ink.markup(&parts::caution()).tag("</div></div>").markup(&below(frame, view));
        ink.tag("<section class=\"timeline\" aria-labelledby=\"timeline-head\">");
        timeline::timeline(ink, view);
        ink.tag("</section>");
        ink.markup(&other_day(who, view.outlook.course.as_of, frame.today));
        ink.markup(&protection(frame, who));
    });
    frame::page(frame, HelpTopic::Child, "Child", &body)
}

/// The page of all entries of one child, for a long history.
#[must_use]
pub fn all_entries(frame: &Frame, view: &ChildView<'_>) -> Markup {
    if !frame.may(Right::SeeClinical) {
        return contact::contact(frame, view);
    }
    let (who, as_of) = (&view.who, view.outlook.course.as_of);
    let body = ink::markup_of(PAGE_BYTES + ENTRY_BYTES * view.entries.len(), |ink| {
        ink.markup(&parts::band(who, "all entries", as_of));
        if as_of != frame.today {
            ink.markup(&shown_as_of(who, as_of));
        }
        ink.tag("<section class=\"timeline\" aria-labelledby=\"timeline-head\">");
        ink.markup(&html! { h2 id="timeline-head" { "All entries" } });
        timeline::whole(ink, view);
        ink.tag("</section>");
        ink.markup(&html! { p.actions { a.button href=(who.href()) { "Back to " (who.shown_name()) } } });
    });
    frame::page(frame, HelpTopic::Child, "All entries of a child", &body)
}

/// Who the child is, and how to reach the family.
fn above(frame: &Frame, view: &ChildView<'_>) -> Markup {
    let as_of = view.outlook.course.as_of;
    html! {
        (parts::band(&view.who, "", as_of))
        (family::telephone(view))
        @if as_of != frame.today { (shown_as_of(&view.who, as_of)) }
    }
}

/// What is urgent and what comes next, before any button.
fn first(frame: &Frame, view: &ChildView<'_>) -> Markup {
    html! {
        div.child-first {
            (urgent::urgent(view.outlook))
            (next::next(view.outlook))
            @if view.outlook.course.as_of == frame.today { (actions::actions(view.outlook, &view.who)) }
        }
    }
}

fn below(frame: &Frame, view: &ChildView<'_>) -> Markup {
    html! {
        (second_scores(frame, view, &view.who))
        (urgent::questions(view.outlook))
        (likely::likely(view.outlook.course.child, view.forecasts))
        div.child-below {
            @if let Some(brace) = view.outlook.course.brace_now() { (feet::brace_section(brace)) }
            (appointments::appointments(view.outlook))
            (family::family(frame, view))
            (listed(view))
        }
        @if let Some(strip) = &view.photographs { (photograph_strip(frame, &view.who, strip)) }
    }
}

/// A short list for each kind that declares one: what holds, newest first.
fn listed(view: &ChildView<'_>) -> Markup {
    let recorded = |kind: Kind| view.entries.iter().any(|entry| entry.kind() == kind);
    let kinds = Kind::ALL.iter().filter_map(|kind| Some((*kind, kind.spec().list?)));
    let kinds: Vec<(Kind, &str)> = kinds.filter(|(kind, _)| recorded(*kind)).collect();
    if kinds.is_empty() {
        return html! {};
    }
    let (course, reading) = (&view.outlook.course, CorrectedLog::of(view.entries, view.outlook.course.as_of));
    let holds = |line: &&Line<'_>| line.fate.holds();
    html! {
        @for (kind, heading) in kinds {
            @let id = format!("{}-head", kind.wire());
            section.card aria-labelledby=(id) {
                h2 id=(id) { (heading) }
                ul.plain { @for line in reading.lines.iter().rev().filter(holds).filter(|line| line.body.kind() == kind) {
                    li { (words::day(line.on)) ": " a href={ "/child/" (course.child) "/entry/" (line.entry.id) } { (line.body.sentence()) } }
                } }
            }
        }
    }
}

fn shown_as_of(who: &Who, as_of: Day) -> Markup {
    html! {
        p.message.warning role="status" {
            strong { "Shown as known on " (words::day(as_of)) ". " }
            "Later entries are left out. " a href=(who.href()) { "Show today" }
        }
    }
}

/// Links for a colleague to score again the feet scored today.
fn second_scores(frame: &Frame, view: &ChildView<'_>, who: &Who) -> Markup {
    let course = &view.outlook.course;
    let today = |scored: &&course::AssessmentSeen| {
        scored.on == course.as_of && !(scored.pirani.is_empty() && scored.dimeglio.is_empty())
    };
    let scored: Vec<_> = course
        .feet
        .iter()
        .filter_map(|foot| Some((foot.side, foot.scores.iter().rev().find(today)?.entry)))
        .filter(|(_, entry)| !is_own(frame, view, *entry))
        .collect();
    html! {
        @if !scored.is_empty() {
            p.second-scores {
                "Scored today. A colleague can score again without seeing the first score: "
                @for (n, (side, entry)) in scored.iter().enumerate() {
                    @if n > 0 { ", " }
                    a href={ (who.href()) "/second-score/" (entry) } { "second score, " (side) " foot" }
                }
                ". " span.hint { "The second rater should not read this page first; the page of the day has the same link." }
            }
        }
    }
}

/// Whether the person who is signed in wrote an entry: who scored a foot cannot score it again blindly.
fn is_own(frame: &Frame, view: &ChildView<'_>, entry: record::EntryId) -> bool {
    let by = view.entries.iter().find(|each| each.id == entry).map(|each| each.by);
    by.and_then(|by| view.writers.get(&by)).is_some_and(|name| Some(name) == frame.user.as_ref())
}
/// The family's copy; and for a lead who opened the record, who may, and its erasure.
fn protection(frame: &Frame, who: &Who) -> Markup {
    let (log, protect) = (frame.may(Right::SeeAccessLog), frame.may(Right::ProtectRecords));
    let copy = frame.may(Right::RecordClinical);
    html! {
        @if log || protect || copy {
            p.actions.no-print {
                @if copy { a.button href={ (who.href()) "/photographs" } { "Photographs" } " " a.button href={ (who.href()) "/videos" } { "Videos of gait" } " " }
                @if copy { a.button href={ (who.href()) "/family-copy" } { "Copy for the family" } " " }
                @if log { a.button href={ "/access-log?child=" (who.id) } { "Who opened this record" } " " }
                @if protect { a.button href={ (who.href()) "/restriction" } { "Who may open this record" } " " a.button href={ (who.href()) "/erasure" } { "Erasure" } }
            }
        }
    }
}

fn other_day(who: &Who, as_of: Day, today: Day) -> Markup {
    html! {
        form.as-of method="get" action=(who.href()) {
            label for="as-of" { "Show this page as of another day" }
            input id="as-of" type="date" name="as_of" value=(as_of) max=(today);
            button type="submit" { "Show" }
        }
    }
}
