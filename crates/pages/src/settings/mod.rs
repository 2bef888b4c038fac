//! The clinic's settings: its name and days, the days on which it is closed, and links to everything else that holds
//! for the whole clinic.

pub mod clinic_form;
mod copies;
mod history;
mod letterhead;
mod maps;
mod second_factor;

pub use copies::{CopiesView, copies};
pub(crate) use history::table as history_table;
pub use history::{HistoryRow, HistoryView, setting_history};
pub use letterhead::{LetterheadView, LogoShown, letterhead};
pub use maps::{ImportMapRow, ImportMapsView, import_maps};
pub use second_factor::SecondFactorSettings;

use crate::{
    Frame, HelpTopic,
    fields::{
        self, Field, Filled, What,
        settings::{CLOSED_FROM, CLOSED_TO, CLOSED_WHY, CLOSURE},
    },
    frame, parts, words,
};
use caseload::Closure;
use maud::{Markup, html};
use record::Day;

/// A closure with the children who are expected on its days all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClosureRow {
    /// The closure.
    pub closure: Closure,
    /// Its days with appointments, and how many.
    pub expected: Vec<(Day, usize)>,
}

/// The settings.
#[derive(Debug, Clone)]
pub struct SettingsView {
    /// The form of name, days and time without use.
    pub filled: Filled,
    /// The version of the settings from which the form was made.
    pub seen: String,
    /// What somebody else changed since the form was shown.
    pub newer: Option<String>,
    /// The closures of today and later, in order of day.
    pub closures: Vec<ClosureRow>,
    /// The closures that are over, the latest first.
    pub past: Vec<Closure>,
    /// The form of a new closure.
    pub new_closure: Filled,
    /// Weekdays of the clinic on which the setting for capacity has no places, and the other way round. One sentence
    /// each.
    pub doubts: Vec<String>,
    /// Who needs a second factor.
    pub second_factor: SecondFactorSettings,
}

/// The page.
#[must_use]
pub fn settings(frame: &Frame, view: &SettingsView) -> Markup {
    let body = html! {
        h1 { "Settings" }
        p.lead { "What holds for the whole clinic. A change applies at once, and the history keeps who made it and what was there before." }
        @if let Some(newer) = &view.newer { p.look { strong { "Not saved yet. " } (newer) " Compare, then save again." } }
        (parts::error_summary(&view.filled))
        (parts::error_summary(&view.new_closure))
        (parts::error_summary(&view.second_factor.filled))
        @for doubt in &view.doubts { p.look { (doubt) " " a href="/capacity#change" { "See the places" } } }
        div.settings-columns {
            section.card aria-labelledby="clinic-head" {
                h2 id="clinic-head" { "The clinic" }
                form method="post" action="/settings" {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden(fields::SEEN, &view.seen))
                    (clinic_form::name_and_days(&view.filled))
                    (parts::field(&view.filled, &clinic_form::telephone()))
                    (parts::field(&view.filled, &clinic_form::paper()))
                    (parts::field(&view.filled, &clinic_form::lock_minutes()))
                    (parts::field(&view.filled, &clinic_form::idle_minutes()))
                    @for field in clinic_form::retention() { (parts::field(&view.filled, &field)) }
                    button.primary type="submit" { "Save" }
                }
            }
            section.card aria-labelledby="closed-head" {
                h2 id="closed-head" { "Closed days" }
                (closures(frame, view))
                (new_closure(frame, &view.new_closure))
            }
            (second_factor::form(frame, &view.second_factor))
        }
        (elsewhere())
    };
    frame::page(frame, HelpTopic::Settings, "Settings", &body)
}

fn closures(frame: &Frame, view: &SettingsView) -> Markup {
    html! {
        @if view.closures.is_empty() { p { "No day from today on is marked as closed." } }
        @else {
            p { "No appointment is proposed for these days, and the capacity page counts no places on them." }
            ul.closures { @for row in &view.closures { li { (closure(frame, row)) } } }
        }
        @if !view.past.is_empty() {
            details.more {
                summary { "Closed days that are over (" (view.past.len()) ")" }
                ul.closures { @for past in &view.past { li { p { (past.days()) ": " (past.reason()) } } } }
            }
        }
    }
}

fn closure(frame: &Frame, row: &ClosureRow) -> Markup {
    let days = row.closure.days();
    html! {
        div.closure-line {
            p { strong { (days) } ": " (row.closure.reason()) }
            form.inline method="post" action="/settings/closures" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(CLOSURE, &row.closure.to_string()))
                button.quiet type="submit" name=(fields::settings::DO) value="remove" { "Remove" span.sr { ": " (days) } }
            }
        }
        @if !row.expected.is_empty() {
            p.closure-expected {
                "Expected all the same: "
                @for (n, (day, count)) in row.expected.iter().enumerate() {
                    @if n > 0 { ", " }
                    a href={ "/day?on=" (day) } { (words::count(*count as i64, "child", "children")) " on " (words::weekday(*day)) }
                }
            }
        }
    }
}

fn new_closure(frame: &Frame, filled: &Filled) -> Markup {
    let fields = [
        Field::new(CLOSED_FROM, "First day", What::Day).needed(),
        Field::new(CLOSED_TO, "Last day", What::Day).hint("Empty for one day."),
        Field::new(CLOSED_WHY, "Reason", What::Text).needed().hint("Such as “public holiday” or “training”."),
    ];
    html! {
        form.new-closure method="post" action="/settings/closures" {
            (parts::csrf(&frame.csrf))
            h3 { "Add closed days" }
            div.closure-fields { @for field in &fields { (parts::field(filled, field)) } }
            button type="submit" name=(fields::settings::DO) value="add" { "Add these days" }
        }
    }
}

/// Where everything else is set.
fn elsewhere() -> Markup {
    let places = [
        ("/protocol", "Protocol values", "Intervals, thresholds and ages, each with its source."),
        (
            "/settings/letterhead",
            "Letterhead",
            "Address, logo and signature on letters, and people families may talk to.",
        ),
        (
            "/sheets",
            "Sheets for a power cut",
            "Blank sheets of a visit and of a tenotomy, to print in a stack.",
        ),
        ("/capacity", "Places", "Places of each weekday, for appointments and the capacity page."),
        ("/stock", "Boots and bars", "The clinic's own list of sizes."),
        ("/settings/maps", "Import maps", "What the columns of the clinic's sheets mean."),
        (
            "/backups",
            "Backups",
            "Encrypted, by themselves, tried once a week; where they are and how to restore.",
        ),
        ("/settings/copies", "Copies of the records", "When the last copy was made, and how to make one."),
        (
            crate::encryption::ENCRYPTION_PATH,
            "Encryption",
            "Whether the records are encrypted, the passphrase and the recovery sheet.",
        ),
        ("/retention", "Retention", "Which records fall due by the clinic’s retention period."),
        (
            crate::frame::DOCUMENT_LANGUAGES_PATH,
            "Documents for families",
            "Which translations are confirmed, and the clinic’s own words.",
        ),
        ("/settings/history", "History", "Who changed which setting, and when."),
        ("/first-steps", "First steps", "Import a spreadsheet, register a child, see an invented clinic."),
    ];
    html! {
        nav.elsewhere aria-label="Other settings" {
            @for (href, name, about) in places { a href=(href) { strong { (name) } span { (about) } } }
        }
    }
}
