//! The form of a visit, for both feet.
//!
//! It is filled in with plaster on the hands: the targets are large, and nothing is typed that can be
//! tapped. The next step marks an answer but never selects it. An action that is not selected was not done;
//! a sign that is not answered was not assessed.

mod brace;
pub(crate) mod foot;
mod pointers;
mod preview;
mod rest;

pub use preview::{PreviewView, preview};

use crate::{
    Frame,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
    words,
};
use guidance::Outlook;
use maud::{Markup, html};
use pointers::Pointers;
use record::{Day, Purpose, Side};

/// The form of a visit.
#[derive(Debug, Clone)]
pub struct VisitView<'a> {
    /// The child.
    pub who: Who,
    /// The day of the visit.
    pub on: Day,
    /// The outlook on that day, before this visit.
    pub outlook: &'a Outlook,
    /// The values in the form; empty for a new visit.
    pub filled: Filled,
    /// Number of entries from which `outlook` was computed.
    pub seen: usize,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// Whether the child is old enough for the walking-age score to be shown open.
    pub walking_age: bool,
    /// Days proposed for the next appointment, the best first.
    pub proposals: Vec<DayChoice>,
    /// The likely purpose of the next appointment.
    pub purpose: Option<Purpose>,
    /// The panel of next steps: those before this visit, or those if the form were saved.
    pub preview: PreviewView<'a>,
}

/// A day proposed for the next appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayChoice {
    /// The day.
    pub day: Day,
    /// The reason: "cast 5 is due 19–23 May; clinic on Tuesdays".
    pub why: String,
}

/// The page of a visit.
#[must_use]
pub fn visit(frame: &Frame, view: &VisitView<'_>) -> Markup {
    let name = view.who.shown_name();
    let pointers = Pointers::of(view.outlook);
    let body = html! {
        (parts::band(&view.who, "visit", frame.today))
        (parts::error_summary(&view.filled))
        form.visit method="post" action={ (view.who.href()) "/visit" } data-visit="" data-preview={ (view.who.href()) "/visit/preview" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen.to_string()))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::confirmation(&view.filled))
            (when(frame, view))
            div.feet { @for side in Side::BOTH { (foot::foot(view, &pointers, side)) } }
            (brace::brace(view, &pointers))
            (rest::problem(&view.filled))
            @for (kind, heading) in fields::visit::declared_kinds() { (rest::declared(&view.filled, kind, heading)) }
            (rest::next_appointment(view, frame.today))
            (rest::note(&view.filled))
            (bar(frame, view, &name))
        }
    };
    frame::page(frame, &format!("Visit: {name}"), &body)
}

/// "Tuesday 14 May 2024, today".
fn day_words(on: Day, today: Day) -> String {
    format!("{}, {}", words::weekday(on), words::relative(on, today))
}

fn when(frame: &Frame, view: &VisitView<'_>) -> Markup {
    let id = parts::field_id(fields::ON);
    let day = view.filled.given(fields::ON).map_or_else(|| view.on.to_string(), str::to_owned);
    html! {
        div.visit-when {
            label for=(id) { "Day of the visit" }
            input id=(id) name=(fields::ON) type="date" value=(day) required max=(frame.today) aria-describedby=[view.filled.has_error(fields::ON).then(|| format!("{id}-error"))];
            span.rel id="visit-day" { (day_words(view.on, frame.today)) }
            (parts::field_error(&view.filled, fields::ON))
        }
        p.hint.visit-hint { "Blank fields are not recorded. Dashed outline: answer of the last visit. Right foot on your left, as the child faces you." }
    }
}

/// The panel at the bottom of the window: next step with its reasons, caution, and the button that saves.
fn bar(frame: &Frame, view: &VisitView<'_>, name: &str) -> Markup {
    html! {
        section.bar aria-label="Next step, and save" {
            div.bar-next id="preview" { (preview(&view.preview, frame.today)) }
            p.sr id="preview-status" role="status" {}
            button.primary.save type="submit" { span.save-word { "Save visit" } " " span.save-name { "of " (name) } }
        }
    }
}
