//! The sheet of a tenotomy: checks before the cut, then what the entries of a tenotomy and of its cast declare.

use super::{AnswerRoom, FootRow, foot_table, room_of, ticks};
use crate::fields::{self, SIDE};
use maud::{Markup, html};
use record::Kind;

pub(super) fn sheet() -> Markup {
    html! {
        p.blank-caution { "Compare name, day of birth and number with the family, and mark the foot, before anything is prepared. The local protocol and the treating clinician always take precedence." }
        (foot_table("Before the cut", &before()))
        (foot_table("Tenotomy", &declared(Kind::TenotomyDone)))
        (foot_table("Cast after the tenotomy", &declared(Kind::CastApplied)))
        p { "Next visit ____ / ____ / ______   Told the family: when to come at once " span.tick { "yes" } }
        p { "Note" span.blank-line {} span.blank-line {} }
    }
}

/// Checks of the day: common practice, no source. They are no entry of the record.
fn before() -> Vec<FootRow> {
    let check = |label: &str| FootRow::new(label, |_| String::new(), ticks(["yes", "no"]));
    vec![
        check("This foot is to be cut, by the record and by the family"),
        check("This foot is marked"),
        FootRow::new("Midfoot and hindfoot score today", |_| String::new(), AnswerRoom::Line),
        FootRow::new("Dorsiflexion and abduction today", |_| String::new(), AnswerRoom::Line),
    ]
}

/// The declared fields of a kind for each foot.
fn declared(kind: Kind) -> Vec<FootRow> {
    let fields = fields::of_kind(kind).into_iter().filter(|field| field.name != SIDE);
    let row = |field: fields::Field| {
        let name = field.name.to_string();
        FootRow::new(
            field.label.to_string(),
            |side| format!("{side}.{}.{name}", kind.wire()),
            room_of(&field.what),
        )
    };
    fields.map(row).collect()
}
