//! Import of a logger file: upload, preview, and confirmation for one named child.

use super::WearView;
use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::Day;

/// One day of logged wear.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedDay {
    /// The day.
    pub day: Day,
    /// Hours worn.
    pub worn: f64,
    /// Hours that could not be classified as worn or not worn.
    pub undecided: f64,
    /// Hours without samples.
    pub missing: f64,
    /// Probability that the classification is right, from 0 to 1; `None` where no hour was classified.
    pub confidence: Option<f64>,
    /// Why most of the undecided hours are undecided, in words.
    pub because: Option<String>,
    /// Why the day will not be saved; `None` if it will be.
    pub left_out: Option<&'static str>,
}

/// Preview of an import.
#[derive(Debug, Clone)]
pub struct LoggerPreview {
    /// The child.
    pub who: Who,
    /// Name of the file.
    pub file_name: String,
    /// The label under which it will be saved.
    pub label: String,
    /// Every day.
    pub days: Vec<LoggedDay>,
    /// Notes on the file and its hours, the weightiest first.
    pub notes: Vec<String>,
    /// Days and hours to be saved, as the form sends them.
    pub carried: String,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The upload form.
pub(super) fn upload(frame: &Frame, view: &WearView) -> Markup {
    html! {
        h2 id="logger-head" { "Import a logger file" }
        p { "For " strong { (view.who.shown_name()) } ". Times and temperatures of the logger in the boot, as CSV. Nothing is saved until you have checked the days." }
        @if let Some(error) = &view.file_error { div.errors role="alert" { p { (error) } } }
        form method="post" action={ (view.who.href()) "/wear/logger" } enctype="multipart/form-data" {
            (parts::csrf(&frame.csrf))
            div.field { label for="f-boot" { "File of the logger in the boot" } input id="f-boot" type="file" name="boot" accept=".csv,.txt,text/csv,text/plain" required; }
            div.field { label for="f-other-boot" { "File of the logger in the other boot" } input id="f-other-boot" type="file" name="other-boot" accept=".csv,.txt,text/csv,text/plain" aria-describedby="f-other-boot-hint";
                p.hint id="f-other-boot-hint" { "If both boots have a logger. Hours in which only one boot was warm are undecided." } }
            div.field { label for="f-room" { "File of a logger in the room" } input id="f-room" type="file" name="room" accept=".csv,.txt,text/csv,text/plain" aria-describedby="f-room-hint";
                p.hint id="f-room-hint" { "If there is one. It helps to classify hours in a warm room." } }
            div.field { label for="f-zone" { "Time zone" } input id="f-zone" type="text" name="zone" autocomplete="off" aria-describedby="f-zone-hint";
                p.hint id="f-zone-hint" { "For example Europe/Berlin. Empty: times as in the file." } }
            p.actions { button type="submit" { "Preview the days" } }
        }
    }
}

/// The preview page, before anything is saved.
#[must_use]
pub fn logger_preview(frame: &Frame, view: &LoggerPreview) -> Markup {
    let to_save = view.days.iter().filter(|day| day.left_out.is_none()).count();
    let who = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "import of a logger file", frame.today))
        section.card {
            h2 { "Contents of the file" }
            p { strong { (view.file_name) } " will be saved for " strong { (who) }
                @if let Some(born) = view.who.born { ", born " (born.words()) } ", " (view.who.number()) "." }
            p { (to_save) " of " (words::count(view.days.len() as i64, "day", "days")) " will be saved as logged hours, with the label " (view.label) "." }
            p.hint { "The temperature shows that a foot was in the boot, but not whose: a brother or sister wearing the boot looks the same." }
            (odd(&odd_lines(view)))
        }
        form.card method="post" action={ (view.who.href()) "/wear/logged" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden("once", &view.once))
            (parts::hidden("label", &view.label))
            (parts::hidden("days", &view.carried))
            @if to_save > 0 {
                p.check { input type="checkbox" id="right-child" name="right-child" value="yes" required; label for="right-child" { "This logger was in the boots of " (who) } }
                p.actions { button.primary type="submit" { "Save " (words::count(to_save as i64, "day", "days")) " for " (who) } " " a href={ (view.who.href()) "/wear" } { "Cancel" } }
            } @else { p { "No day can be saved." } p { a href={ (view.who.href()) "/wear" } { "Back" } } }
        }
        section.card {
            h2 { "Day by day" }
            div.scroll tabindex="0" role="region" aria-label="Hours of each day" { (table(&view.days)) }
        }
    };
    frame::page(frame, HelpTopic::Wear, "Logger file", &body)
}

/// The most lines of what is odd about a file that are shown at once.
const ODD_LINES: usize = 5;

/// Everything odd: the days that will not be saved, by reason, then the notes.
fn odd_lines(view: &LoggerPreview) -> Vec<String> {
    let mut reasons: Vec<(&str, i64)> = Vec::new();
    for reason in view.days.iter().filter_map(|day| day.left_out) {
        match reasons.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, days)) => *days += 1,
            None => reasons.push((reason, 1)),
        }
    }
    let left_out: i64 = reasons.iter().map(|(_, days)| days).sum();
    let each: Vec<String> = reasons
        .iter()
        .map(|(reason, days)| format!("{days} {}", reason.strip_prefix("no: ").unwrap_or(reason)))
        .collect();
    let days = words::count(left_out, "day", "days");
    let summary = (left_out > 0).then(|| format!("{days} will not be saved: {}.", each.join(", ")));
    summary.into_iter().chain(view.notes.iter().cloned()).collect()
}

/// At most [`ODD_LINES`] lines; where there are more, the last line opens the rest and says how many they are.
fn odd(lines: &[String]) -> Markup {
    let shown = if lines.len() > ODD_LINES { ODD_LINES - 1 } else { lines.len() };
    let (first, rest) = lines.split_at(shown);
    html! {
        @if !first.is_empty() { ul.plain-list.odd { @for line in first { li { (line) } } } }
        @if !rest.is_empty() {
            details.more { summary { (words::count(rest.len() as i64, "more note", "more notes")) " on the file" }
                ul.plain-list { @for line in rest { li { (line) } } }
            }
        }
    }
}

fn table(days: &[LoggedDay]) -> Markup {
    html! {
        table.figures {
            caption { "Hours of each day" }
            thead { tr { th scope="col" { "Day" } th scope="col" { "Worn" } th scope="col" { "Undecided" } th scope="col" { "Missing" } th scope="col" { "Confidence" } th scope="col" { "Saved" } th scope="col" { "Why undecided" } } }
            tbody {
                @for day in days {
                    tr {
                        th scope="row" { (day.day.words()) }
                        td { @if day.confidence.is_some() { (format!("{:.1}", day.worn)) } @else { "–" } }
                        td { (format!("{:.1}", day.undecided)) }
                        td { (format!("{:.1}", day.missing)) }
                        td { @match day.confidence { Some(sure) => (format!("{:.0} %", 100.0 * sure)), None => "–" } }
                        td { (day.left_out.unwrap_or("yes")) }
                        td { (day.because.as_deref().unwrap_or("")) }
                    }
                }
            }
        }
    }
}
