//! The sections after the feet: problem, next appointment, note.

use super::{DayChoice, VisitView, jump::jump};
use crate::{
    fields::{Field, Filled, What, visit as names},
    parts::{self, Tile},
    words,
};
use maud::{Markup, html};
use record::{Day, Kind, ProblemKind, Purpose};

/// The section on a problem; closed until one is entered.
pub(super) fn problem(filled: &Filled) -> Markup {
    let mut tiles = vec![Tile::none("no problem")];
    tiles.extend(ProblemKind::ALL.iter().map(|kind| Tile::new(kind.key(), kind.words())));
    let sides = [
        Tile::none("the child or both feet"),
        Tile::new("right", "right foot"),
        Tile::new("left", "left foot"),
    ];
    html! {
        details.panel open[filled.any_under(names::PROBLEM)] {
            summary { h2 { "Problem" } }
            (parts::tiles(filled, names::PROBLEM, "words wide", &html! { "Problem" }, &tiles))
            (parts::tiles(filled, names::PROBLEM_SIDE, "words", &html! { "Concerns" }, &sides))
            (parts::field(filled, &Field::new(names::PROBLEM_NOTE, "Description, and advice given", What::Long)))
        }
    }
}

/// A kind whose fields are shown as declared, folded until one of them is filled.
pub(super) fn declared(filled: &Filled, kind: Kind, heading: &str) -> Markup {
    html! {
        details.panel open[filled.any_under(&names::declared_prefix(kind))] {
            summary { h2 { (heading) } }
            @for field in &names::declared_fields(kind) { (parts::field(filled, field)) }
        }
    }
}

/// The id of the first control of the next appointment.
pub(super) fn start_id() -> String {
    format!("{}-0", parts::field_id(names::NEXT_DAY))
}

/// The next appointment: proposed days with their reason, none taken until tapped.
pub(super) fn next_appointment(view: &VisitView<'_>, today: Day) -> Markup {
    let (filled, days) = (&view.filled, &view.now.days);
    let none = if days.is_empty() { "not recorded" } else { "that of the proposed day" };
    let mut purposes = vec![Tile::none(none)];
    purposes.extend(Purpose::ALL.iter().map(|each| Tile::new(each.key(), each.words())));
    html! {
        section.panel {
            h2 { "Next appointment" }
            div id="next-days" { (next_days(filled, days, today)) }
            (jump("save", "To the button that saves"))
            p.actions.unscripted data-unscripted="" {
                button type="submit" name=(names::SHOW) value="days" formnovalidate { "Show again with days that follow from the form" }
            }
            div.two {
                (parts::field(filled, &Field::new(names::NEXT_OTHER_DAY, "Another day", What::Day)))
                (parts::field(filled, &Field::new(names::NEXT_TIME, "Time", What::Time)))
            }
            (parts::tiles(filled, names::NEXT_PURPOSE, "words wide", &html! { "Purpose" }, &purposes))
        }
    }
}

/// The days to choose from. A day chosen before stays chosen, even if it is no longer proposed.
pub(crate) fn next_days(filled: &Filled, days: &[DayChoice], today: Day) -> Markup {
    let chosen = filled.given(names::NEXT_DAY).and_then(|text| text.parse::<Day>().ok());
    let kept = chosen.filter(|day| days.iter().all(|each| each.day != *day)).map(|day| {
        let why = format!(
            "{}: chosen before; the form as it is now does not propose it",
            words::relative(day, today)
        );
        (day.to_string(), words::weekday(day), why)
    });
    let shown: Vec<(String, String, String)> =
        days.iter().map(|each| (each.day.to_string(), words::weekday(each.day), each.words(today))).collect();
    let mut tiles = vec![Tile::none("no appointment")];
    tiles.extend(shown.iter().chain(&kept).map(|(value, word, why)| Tile::new(value, word).meaning(why)));
    tiles.push(Tile::new(names::NEXT_OTHER, "another day").meaning("enter it below"));
    html! {
        (parts::tiles(filled, names::NEXT_DAY, "words wide", &html! { "Date" }, &tiles))
        @for each in days { (parts::hidden(&names::next_purpose_of(each.day), each.purpose.key())) }
    }
}

impl DayChoice {
    /// "in 7 days, cast: cast 2 is due … · 7 of 12 cast places booked".
    fn words(&self, today: Day) -> String {
        let (when, purpose) = (words::relative(self.day, today), self.purpose.words());
        format!("{when}, {purpose}: {} · {}", self.why, self.places.words())
    }
}

/// The note in free text.
pub(super) fn note(filled: &Filled) -> Markup {
    html! {
        section.panel { h2.sr { "Note" } (parts::field(filled, &Field::new(names::NOTE, "Note", What::Long).hint("Only what does not fit above."))) }
    }
}
