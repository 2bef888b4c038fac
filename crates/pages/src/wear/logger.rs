//! A logger's file: sent, looked at, confirmed for one named child.

use super::WearView;
use crate::{
    Frame, frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::Day;

/// One day of a logger.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedDay {
    /// The day.
    pub day: Day,
    /// Hours worn.
    pub worn: f64,
    /// Hours that could not be judged.
    pub undecided: f64,
    /// Hours without samples.
    pub missing: f64,
    /// Chance of the states taken; `None` where nothing was judged.
    pub confidence: Option<f64>,
    /// Why most of the undecided hours are undecided, in words.
    pub because: Option<String>,
    /// Whether it will be written, and if not, why.
    pub left_out: Option<&'static str>,
}

/// What would be written.
#[derive(Debug, Clone)]
pub struct LoggerPreview {
    /// For whom.
    pub who: Who,
    /// Name of the file.
    pub file_name: String,
    /// The label under which it is kept.
    pub label: String,
    /// Every day.
    pub days: Vec<LoggedDay>,
    /// What to know.
    pub notes: Vec<String>,
    /// Days and hours to be written, as the form carries them.
    pub carried: String,
    /// The form's token.
    pub once: String,
}

/// The form.
pub(super) fn upload(frame: &Frame, view: &WearView) -> Markup {
    html! {
        h2 id="logger-head" { "A logger's file" }
        p { "For " strong { (view.who.shown_name()) } ". Times and temperatures of the logger in the boot, as CSV. Nothing is written before you have looked at the days." }
        @if let Some(error) = &view.file_error { div.errors role="alert" { p { (error) } } }
        form method="post" action={ (view.who.href()) "/wear/logger" } enctype="multipart/form-data" {
            (parts::csrf(&frame.csrf))
            div.field { label for="f-boot" { "File of the boot" } input id="f-boot" type="file" name="boot" accept=".csv,.txt,text/csv,text/plain" required; }
            div.field { label for="f-other-boot" { "File of the other boot" } input id="f-other-boot" type="file" name="other-boot" accept=".csv,.txt,text/csv,text/plain" aria-describedby="f-other-boot-hint";
                p.hint id="f-other-boot-hint" { "Where both boots of the bar have a logger. Hours in which only one boot was warm are undecided." } }
            div.field { label for="f-room" { "File of a logger in the room" } input id="f-room" type="file" name="room" accept=".csv,.txt,text/csv,text/plain" aria-describedby="f-room-hint";
                p.hint id="f-room-hint" { "Where there is one. It settles hours in a warm room." } }
            div.field { label for="f-zone" { "Time zone" } input id="f-zone" type="text" name="zone" autocomplete="off" aria-describedby="f-zone-hint";
                p.hint id="f-zone-hint" { "Such as Europe/Berlin. Empty: times as they stand in the file." } }
            p.actions { button type="submit" { "Look at the days" } }
        }
    }
}

/// The days, before anything is written.
#[must_use]
pub fn logger_preview(frame: &Frame, view: &LoggerPreview) -> Markup {
    let kept = view.days.iter().filter(|day| day.left_out.is_none()).count();
    let who = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "a logger’s file", frame.today))
        section.card {
            h2 { "What the file says" }
            p { strong { (view.file_name) } " would be written for " strong { (who) }
                @if let Some(born) = view.who.born { ", born " (born.words()) } ", " (view.who.number()) "." }
            p { (kept) " of " (view.days.len()) " days would be written as logged hours, under the label " (view.label) "." }
            p.hint { "The temperature shows that a foot was in the boot, and not whose: a brother or sister who wears the boot looks the same." }
            @if !view.notes.is_empty() { ul.plain-list { @for note in &view.notes { li { (note) } } } }
        }
        form.card method="post" action={ (view.who.href()) "/wear/logged" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden("once", &view.once))
            (parts::hidden("label", &view.label))
            (parts::hidden("days", &view.carried))
            @if kept > 0 {
                p.check { input type="checkbox" id="right-child" name="right-child" value="yes" required; label for="right-child" { "This logger was in the boots of " (who) } }
                p.actions { button.primary type="submit" { "Write " (kept) " days for " (who) } " " a href={ (view.who.href()) "/wear" } { "Write nothing" } }
            } @else { p { "No day can be written." } p { a href={ (view.who.href()) "/wear" } { "Back" } } }
        }
        section.card {
            h2 { "Day by day" }
            div.scroll tabindex="0" role="region" aria-label="Hours of each day" { (table(&view.days)) }
        }
    };
    frame::page(frame, &format!("A logger’s file: {who}"), &body)
}

fn table(days: &[LoggedDay]) -> Markup {
    html! {
        table.figures {
            caption { "Hours of each day" }
            thead { tr { th scope="col" { "Day" } th scope="col" { "Worn" } th scope="col" { "Undecided" } th scope="col" { "Missing" } th scope="col" { "Confidence" } th scope="col" { "Written" } th scope="col" { "Why undecided" } } }
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
