//! The sheet of a tenotomy: checks before the cut, then what the entries of a tenotomy and of its cast declare.

use super::{AnswerRoom, FootRow, SheetPart, room_of, ticks};
use crate::fields::{self, SIDE};
use messages::{PaperBit, PaperText};
use record::Kind;

/// What has to be done before anything else.
const COMPARE: &str = "Compare name, day of birth and number with the family, and mark the foot, before anything is prepared. The local protocol and the treating clinician always take precedence.";

pub(super) fn parts() -> Vec<SheetPart> {
    let next = PaperText::of("Next visit ").with(PaperBit::Day);
    let note = PaperText::of("Note").with(PaperBit::Line).with(PaperBit::Line);
    vec![
        SheetPart::Caution(COMPARE),
        SheetPart::Feet("Before the cut", before()),
        SheetPart::Feet("Tenotomy", declared(Kind::TenotomyDone)),
        SheetPart::Feet("Cast after the tenotomy", declared(Kind::CastApplied)),
        SheetPart::Line(next.and("   Told the family: when to come at once ").tick("yes")),
        SheetPart::Line(note),
    ]
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
