//! An appointment moved by hand to another day, with what is booked on each day.

use crate::{
    DayPlaces, Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Tile, Who},
    words,
};
use maud::{Markup, html};
use record::Day;

/// The form field with the new day: one of those shown, or [`OTHER`].
pub const TO_DAY: &str = "day";
/// The answer that the day is another one.
pub const OTHER: &str = "other";
/// The form field with another day.
pub const OTHER_DAY: &str = "other_day";
/// The form field with the time.
pub const TIME: &str = "time";

/// A day for an appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayLoad {
    /// The day.
    pub day: Day,
    /// What is booked on it.
    pub places: DayPlaces,
    /// Whether the next step falls due on it.
    pub due: bool,
}

impl DayLoad {
    /// "5 of 8 cast places booked, due then".
    #[must_use]
    pub fn words(&self) -> String {
        let load = self.places.words();
        if self.due { format!("{load}, due then") } else { load }
    }
}

/// The form.
#[derive(Debug, Clone)]
pub struct MoveAppointmentView {
    /// The child.
    pub who: Who,
    /// The address to which the form is sent.
    pub path: String,
    /// The day of the appointment.
    pub from: Day,
    /// Its time and purpose, in words.
    pub about: String,
    /// Days to which it can be moved.
    pub days: Vec<DayLoad>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn move_appointment(frame: &Frame, view: &MoveAppointmentView) -> Markup {
    let MoveAppointmentView { who, filled, .. } = view;
    let days: Vec<(String, String, String)> = view
        .days
        .iter()
        .map(|load| {
            let when = format!("{}, {}", words::relative(load.day, frame.today), load.words());
            (load.day.to_string(), words::weekday(load.day), when)
        })
        .collect();
    let mut tiles: Vec<Tile<'_>> =
        days.iter().map(|(value, word, load)| Tile::new(value, word).meaning(load)).collect();
    tiles.push(Tile::new(OTHER, "another day").meaning("enter it below"));
    let body = html! {
        (parts::band(who, "move the appointment", frame.today))
        (parts::error_summary(filled))
        form.card.add method="post" action=(view.path) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::draft(filled))
            (parts::closed_seen(filled))
            p { "Now on " strong { (words::weekday(view.from)) } @if !view.about.is_empty() { ": " (view.about) } "." }
            (parts::tiles(filled, TO_DAY, "words wide", &html! { "Move to" }, &tiles))
            div.two {
                (parts::field(filled, &Field::new(OTHER_DAY, "Another day", What::Day)))
                (parts::field(filled, &Field::new(TIME, "Time", What::Time)))
            }
            p.actions { button.primary type="submit" { "Move the appointment of " (who.shown_name()) } " " a.button href={ "/day?on=" (view.from) } { "Leave without saving" } }
        }
    };
    frame::page(frame, HelpTopic::MoveAppointment, "Move the appointment", &body)
}
