//! The fields of the clinic's name, its days and the time without use, of the settings and of the first start.

use crate::{
    fields::{
        Field, Filled, What,
        settings::{
            ANY_DAY, DAYS, IDLE_MINUTES, LOCK_MINUTES, NAME, PAPER, RETENTION_AFTER_LAST, RETENTION_AGE,
            SOME_DAYS, TELEPHONE, weekday_field,
        },
    },
    parts::{self, field_error, field_id},
};
use maud::{Markup, html};
use record::Weekday;

/// The telephone number for families.
pub(crate) fn telephone() -> Field {
    Field::new(TELEPHONE, "Telephone for families", What::Text)
        .hint("Printed large on everything that families take home. Without it there is room to write it.")
}

/// The paper for documents. The answers are the keys of the setting.
pub(crate) fn paper() -> Field {
    let answers = vec![("a4", "A4"), ("letter", "US Letter")];
    Field::new(PAPER, "Paper", What::Choice(answers)).hint("For documents as PDF.")
}

/// The name and the days.
pub(crate) fn name_and_days(filled: &Filled) -> Markup {
    let name =
        Field::new(NAME, "Name of the clinic", What::Text).needed().hint("Shown at the head of every page.");
    let described = filled.has_error(DAYS).then(|| format!("{}-error", field_id(DAYS)));
    html! {
        (parts::field(filled, &name))
        fieldset.clinic-days aria-describedby=[described.as_deref()] {
            legend { "When the clinic is held " span.needed { "required" } span.hint { "Appointments are proposed for these days." } }
            (way(filled, SOME_DAYS, "On these weekdays:"))
            div.weekdays { @for day in Weekday::ALL { (weekday(filled, day)) } }
            (way(filled, ANY_DAY, "On any day"))
            (field_error(filled, DAYS))
        }
    }
}

/// The time without use after which a session ends.
pub(crate) fn idle_minutes() -> Field {
    Field::new(IDLE_MINUTES, "Sign out after", What::Whole { min: 5, max: 720, unit: "minutes without use" })
        .needed()
        .hint("5 to 720. A short time protects the records where others can reach the device.")
}

/// How long records are kept; both fields may be empty.
pub(crate) fn retention() -> [Field; 2] {
    let years = |unit| What::Whole { min: 1, max: 100, unit };
    [
        Field::new(RETENTION_AFTER_LAST, "Keep records for", years("years after the last entry"))
            .hint("Empty for no period. The program deletes nothing by itself: it lists what falls due."),
        Field::new(RETENTION_AGE, "And until the age of", years("years"))
            .hint("Empty for no age. If both are set, the later day counts."),
    ]
}

/// The time without use after which a session is locked.
pub(crate) fn lock_minutes() -> Field {
    Field::new(LOCK_MINUTES, "Lock after", What::Whole { min: 1, max: 720, unit: "minutes without use" })
        .needed()
        .hint("At most the time below. A locked page shows nothing until its person gives a PIN or the password.")
}

fn way(filled: &Filled, value: &'static str, label: &str) -> Markup {
    // The first of the two has the id to which an error leads.
    let id = if value == SOME_DAYS { field_id(DAYS) } else { format!("{}-{value}", field_id(DAYS)) };
    let chosen = filled.value(DAYS) == value;
    html! {
        p.check { input type="radio" id=(id) name=(DAYS) value=(value) required checked[chosen]; label for=(id) { (label) } }
    }
}

fn weekday(filled: &Filled, day: Weekday) -> Markup {
    let name = weekday_field(day);
    let id = field_id(&name);
    html! {
        span.tile {
            input type="checkbox" id=(id) name=(name) value="yes" checked[!filled.value(&name).is_empty()];
            label for=(id) { (day.word()) }
        }
    }
}
