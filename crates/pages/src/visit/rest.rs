//! The sections after the feet: problem, next appointment, note.

use super::VisitView;
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

/// The next appointment: proposed days with their reason, none taken until tapped.
pub(super) fn next_appointment(view: &VisitView<'_>, today: Day) -> Markup {
    let filled = &view.filled;
    let days: Vec<(String, String, String)> = view
        .proposals
        .iter()
        .map(|each| {
            (
                each.day.to_string(),
                words::weekday(each.day),
                format!("{}: {}", words::relative(each.day, today), each.why),
            )
        })
        .collect();
    let mut tiles = vec![Tile::none("no appointment")];
    tiles.extend(days.iter().map(|(value, word, why)| Tile::new(value, word).meaning(why)));
    tiles.push(Tile::new(names::NEXT_OTHER, "another day").meaning("enter it below"));
    let purposes: Vec<Tile<'_>> = std::iter::once(Tile::none("not recorded"))
        .chain(
            Purpose::ALL
                .iter()
                .map(|each| Tile::new(each.key(), each.words()).proposed(view.purpose == Some(*each))),
        )
        .collect();
    html! {
        section.panel {
            h2 { "Next appointment" }
            (parts::tiles(filled, names::NEXT_DAY, "words wide", &html! { "Date" }, &tiles))
            div.two {
                (parts::field(filled, &Field::new(names::NEXT_OTHER_DAY, "Another day", What::Day)))
                (parts::field(filled, &Field::new(names::NEXT_TIME, "Time", What::Time)))
            }
            (parts::tiles(filled, names::NEXT_PURPOSE, "words wide", &html! { "Purpose" }, &purposes))
        }
    }
}

/// The note in free text.
pub(super) fn note(filled: &Filled) -> Markup {
    html! {
        section.panel { h2.sr { "Note" } (parts::field(filled, &Field::new(names::NOTE, "Note", What::Long).hint("Only what does not fit above."))) }
    }
}
