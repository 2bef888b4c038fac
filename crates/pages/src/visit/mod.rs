//! The form of a visit, for both feet.
//!
//! It is filled in with plaster on the hands: the targets are large, and nothing is typed that can be
//! tapped. The next step marks an answer but never selects it. An action that is not selected was not done;
//! a sign that is not answered was not assessed.

mod brace;
pub(crate) mod foot;
mod jump;
mod pointers;
mod preview;
mod rest;

pub use preview::{PreviewView, preview};
pub(crate) use rest::next_days;

use crate::{
    DayPlaces, Frame, HelpTopic,
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
    /// The child, as known today, whatever the day of the visit.
    pub who: Who,
    /// The outlook on the day of the visit, before it.
    pub outlook: &'a Outlook,
    /// The values in the form; empty for a new visit.
    pub filled: Filled,
    /// Number of entries from which `outlook` was computed.
    pub seen: usize,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// Whether the child is old enough for the walking-age score to be shown open.
    pub walking_age: bool,
    /// The clinic's own stock list of boots and bars; empty if it has none.
    pub stock: &'a guidance::brace::Stock,
    /// What follows from the form as it is filled in.
    pub now: VisitNow<'a>,
}

/// What follows from the form as it is filled in, and changes with it.
#[derive(Debug, Clone)]
pub struct VisitNow<'a> {
    /// The day of the visit.
    pub on: Day,
    /// The panel of next steps: those before this visit, or those if the form were saved.
    pub preview: PreviewView<'a>,
    /// Days proposed for the next appointment, the best first.
    pub days: Vec<DayChoice>,
}

/// A day proposed for the next appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayChoice {
    /// The day.
    pub day: Day,
    /// What the appointment is for.
    pub purpose: Purpose,
    /// The reason: "cast 5 is due 19–23 May".
    pub why: String,
    /// What is booked on it.
    pub places: DayPlaces,
}

/// A first visit has a section of its own in the manual.
fn topic(view: &VisitView<'_>) -> HelpTopic {
    let seen = view.outlook.course.feet.iter().any(|foot| !foot.scores.is_empty() || !foot.casts.is_empty());
    if seen { HelpTopic::Visit } else { HelpTopic::FirstVisit }
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
            (parts::draft(&view.filled))
            (parts::closed_seen(&view.filled))
            (parts::confirmation(&view.filled))
            (when(frame, view))
            div.feet { @for side in Side::BOTH { (foot::foot(view, &pointers, side)) } }
            p.hint.visit-hint { "Blank fields are not recorded. Dashed outline: value of the last visit. Right foot on your left, as the child faces you." }
            (brace::brace(view, &pointers))
            (rest::problem(&view.filled))
            @for (kind, heading) in fields::visit::declared_kinds() { (rest::declared(&view.filled, kind, heading)) }
            (rest::next_appointment(view, frame.today))
            (rest::note(&view.filled))
            (bar(frame, view, &name))
        }
    };
    frame::page(frame, topic(view), "Visit", &body)
}

/// The parts of the form that change while it is filled in, for the script.
#[must_use]
pub fn visit_parts(now: &VisitNow<'_>, filled: &Filled, today: Day) -> Markup {
    html! {
        div data-part="preview" { (preview(&now.preview, today)) }
        div data-part="next-days" { (rest::next_days(filled, &now.days, today)) }
        div data-part="visit-day" { (day_words(filled, now.on, today)) }
    }
}

/// The day of the visit in words: the one in the form, even if it is refused; never today for a field that was
/// emptied.
fn day_words(filled: &Filled, on: Day, today: Day) -> String {
    let in_words = |day: Day| format!("{}, {}", words::weekday(day), words::relative(day, today));
    match filled.values.get(fields::ON).map(|text| text.trim()) {
        None => in_words(on),
        Some("") => "not given".to_owned(),
        Some(text) => text.parse().map_or_else(|_| text.to_owned(), in_words),
    }
}

/// The day of the visit: today, folded, unless it is changed. Without the script it stays open, because its words
/// would not follow the field.
fn when(frame: &Frame, view: &VisitView<'_>) -> Markup {
    let id = parts::field_id(fields::ON);
    let on = view.now.on;
    let day = view.filled.given(fields::ON).map_or_else(|| on.to_string(), str::to_owned);
    let wrong = view.filled.has_error(fields::ON);
    html! {
        details.visit-when open data-fold=[(!wrong).then_some("")] {
            summary { "Day of the visit" span.visit-day { ": " span id="visit-day" { (day_words(&view.filled, on, frame.today)) } } }
            div.visit-when-in {
                label.sr for=(id) { "Day of the visit" }
                input id=(id) name=(fields::ON) type="date" value=(day) required max=(frame.today) aria-describedby=[wrong.then(|| format!("{id}-error"))];
                button type="submit" name=(fields::visit::SHOW) value="day" formnovalidate { "Show the form for this day" }
                (parts::field_error(&view.filled, fields::ON))
            }
        }
    }
}

/// The panel at the bottom of the window: next step with its reasons, caution, and the button that saves.
fn bar(frame: &Frame, view: &VisitView<'_>, name: &str) -> Markup {
    html! {
        section.bar aria-label="Next step, and save" {
            div.bar-next id="preview" { (preview(&view.now.preview, frame.today)) }
            p.sr id="preview-status" role="status" {}
            button.primary.save id="save" type="submit" { span.save-word { "Save visit" } " " span.save-name { "of " (name) } }
        }
    }
}
