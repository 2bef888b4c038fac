//! The family's diary: a form on the screen that also prints as a sheet, to be filled in by hand and entered later.

use super::WearView;
use crate::{Frame, parts, words};
use maud::{Markup, html};
use record::{Day, Right};

/// Prefix of the form field with the hours of a day; the day follows.
pub const HOURS: &str = "hours.";
/// Prefix of the form field with the reason of a day; the day follows.
pub const REASON: &str = "reason.";
/// Prefix of the question about a day that could not be read from a picture; the day follows. No field is sent for it.
pub const ASKED: &str = "asked.";
/// Largest number of weeks shown at once.
pub const WEEKS_AT_MOST: u16 = 8;

/// The questions about days that could not be read from a picture, each with a link to its field.
pub(super) fn asked(view: &WearView) -> Markup {
    let asked = view.filled.values.iter().filter_map(|(name, text)| Some((name.strip_prefix(ASKED)?, text)));
    let asked: Vec<(&str, &String)> = asked.collect();
    html! {
        @if !asked.is_empty() {
            div.look.asked role="alert" {
                h2 { "Look at the paper for these days" }
                ul { @for (day, text) in &asked { li { a href={ "#" (parts::field_id(&format!("{HOURS}{day}"))) } { (text) } } } }
            }
        }
    }
}

/// The diary.
pub(super) fn diary(frame: &Frame, view: &WearView) -> Markup {
    let (first, weeks) = view.weeks;
    let href = |monday: Day, weeks: u16| format!("{}/wear?week={monday}&weeks={weeks}", view.who.href());
    html! {
        h2 id="diary-head" { "The family's diary" }
        p.sheet-for { (view.who.shown_name()) @if let Some(born) = view.who.born { ", born " (words::day(born)) } ". Hours in the brace on each day, 0 where it was not worn at all." }
        nav.wear-weeks.no-print aria-label="Weeks of the diary" {
            a.button href=(href(first - 7 * i32::from(weeks), weeks)) { "Earlier" }
            a.button href=(href(first + 7 * i32::from(weeks), weeks)) { "Later" }
            @for (count, name) in [(1, "one week"), (4, "four weeks"), (WEEKS_AT_MOST, "eight weeks")] {
                @if count == weeks { span.wear-now aria-current="true" { (name) } }
                @else { a href=(href(first, count)) { (name) } }
            }
        }
        @if frame.may(Right::RecordClinical) {
            p.no-print { a.button href={ (view.who.href()) "/wear/scan" } { "Read a diary from a picture" } }
        }
        p.hint.no-print { "This part prints as a sheet for the family: choose the coming weeks and print the page. When the sheet comes back, enter it here, several weeks at once if needed. Leave a day empty if nobody remembers it." }
        form method="post" action={ (view.who.href()) "/wear" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden("once", &view.once))
            (parts::draft(&view.filled))
            (parts::hidden("week", &first.to_string()))
            (parts::hidden("weeks", &weeks.to_string()))
            @for week in 0..i32::from(weeks) { (one_week(view, first + 7 * week)) }
            p.actions.no-print { button.primary type="submit" { "Save the diary of " (view.who.shown_name()) } }
        }
    }
}

fn one_week(view: &WearView, monday: Day) -> Markup {
    html! {
        table.diary {
            caption { "Week of " (monday.words()) }
            thead { tr { th scope="col" { "Day" } th scope="col" { "Hours worn" } th scope="col" { "Reason for less wear" } } }
            tbody { @for day in 0..7 { (one_day(view, monday + day)) } }
        }
    }
}

fn one_day(view: &WearView, day: Day) -> Markup {
    let (hours, reason) = (format!("{HOURS}{day}"), format!("{REASON}{day}"));
    let (hours_id, reason_id) = (parts::field_id(&hours), parts::field_id(&reason));
    let wrong = view.filled.has_error(&hours);
    let asked = view.filled.given(&format!("{ASKED}{day}"));
    let described = [(wrong, "error"), (asked.is_some(), "asked")].into_iter().filter(|(there, _)| *there);
    let described: Vec<String> = described.map(|(_, what)| format!("{hours_id}-{what}")).collect();
    let reported = view.adherence.reported.days.get(&day);
    let logged = view.adherence.logged.days.get(&day);
    html! {
        tr {
            th scope="row" {
                (words::weekday(day))
                @if reported.is_some() || logged.is_some() {
                    span.wear-recorded.no-print {
                        @if let Some(hours) = reported { "reported " (format!("{hours:.1}")) " h" }
                        @if reported.is_some() && logged.is_some() { ", " }
                        @if let Some(hours) = logged { "logged " (format!("{hours:.1}")) " h" }
                    }
                }
            }
            td {
                label.sr for=(hours_id) { "Hours worn on " (words::weekday(day)) }
                input id=(hours_id) name=(hours) type="text" inputmode="decimal" value=(view.filled.value(&hours)) size="5" autocomplete="off"
                    aria-invalid=[wrong.then_some("true")] aria-describedby=[(!described.is_empty()).then(|| described.join(" "))];
                (parts::field_error(&view.filled, &hours))
                @if let Some(asked) = asked { p.hint.no-print id={ (hours_id) "-asked" } { (asked) } }
            }
            td {
                label.sr for=(reason_id) { "Reason for less wear on " (words::weekday(day)) }
                input id=(reason_id) name=(reason) type="text" value=(view.filled.value(&reason)) autocomplete="off";
                (parts::field_error(&view.filled, &reason))
            }
        }
    }
}
