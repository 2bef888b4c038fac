//! Names of the fields of the visit form.
//!
//! Per foot they begin with the side, `right.` or `left.`. A value that is empty says "not assessed",
//! "not measured" or "not done"; it is never zero.

use super::{Field, FieldError, Filled};
use record::{AngleItem, Day, DimeglioSign, FieldSpec, Kind, PlacedField, Side, Sign, WalkingItem};

/// What was done to the brace: empty, `fitted`, or a `record::BraceChange` key.
pub const BRACE: &str = "brace";
/// `full_time`, `night_time` or empty.
pub const BRACE_REGIME: &str = "brace.regime";
/// Hours a day prescribed.
pub const BRACE_HOURS: &str = "brace.hours";
/// Bar, heel to heel, mm.
pub const BRACE_BAR_MM: &str = "brace.bar_mm";
/// Whether each boot can be set to its own angle: `yes`, `no` or empty.
pub const BRACE_BAR_PER_SIDE: &str = "brace.bar_per_side";
/// `yes` if the boots and the bar are to be taken out of the clinic's stock.
pub const STOCK_TAKE: &str = "stock.take";
/// The label of the bar on the clinic's stock list, or empty.
pub const STOCK_BAR: &str = "stock.bar";
/// A `record::ProblemKind` key or empty.
pub const PROBLEM: &str = "problem";
/// `right`, `left` or empty.
pub const PROBLEM_SIDE: &str = "problem.side";
/// In words.
pub const PROBLEM_NOTE: &str = "problem.note";
/// Day of the next appointment: empty for none made, a proposed day, or [`NEXT_OTHER`]. Read it with
/// [`next_day`].
pub const NEXT_DAY: &str = "next.day";
/// The value of [`NEXT_DAY`] that points at [`NEXT_OTHER_DAY`].
pub const NEXT_OTHER: &str = "other";
/// Another day than those proposed.
pub const NEXT_OTHER_DAY: &str = "next.other_day";
/// Time of the next appointment.
pub const NEXT_TIME: &str = "next.time";
/// A `record::Purpose` key or empty.
pub const NEXT_PURPOSE: &str = "next.purpose";
/// The first day of the hours that the family reports; the last is the day of the visit. It is filled in
/// beforehand and by itself says nothing.
pub const WEAR_FROM: &str = "wear.from";
/// Hours a day that the family reports.
pub const WEAR_HOURS: &str = "wear.hours";
/// Why it was worn less.
pub const WEAR_REASON: &str = "wear.reason";
/// Asks for the form again, with everything in it and computed anew, instead of saving.
pub const SHOW: &str = "show";
/// Free text.
pub const NOTE: &str = "note";

/// `right.talar_head`: `0`, `0.5`, `1` or empty.
#[must_use]
pub fn sign(side: Side, sign: Sign) -> String {
    format!("{side}.{}", sign.key())
}

/// `right.dimeglio.equinus`: degrees.
#[must_use]
pub fn angle(side: Side, item: AngleItem) -> String {
    format!("{side}.dimeglio.{}", item.key())
}

/// `right.dimeglio.cavus`: `yes`, `no` or empty.
#[must_use]
pub fn dimeglio_sign(side: Side, sign: DimeglioSign) -> String {
    format!("{side}.dimeglio.{}", sign.key())
}

/// `right.walking.pain`: `0` to `3` or empty.
#[must_use]
pub fn walking(side: Side, item: WalkingItem) -> String {
    format!("{side}.walking.{}", item.key())
}

/// `right.abduction_deg`.
#[must_use]
pub fn abduction_deg(side: Side) -> String {
    format!("{side}.abduction_deg")
}

/// `right.dorsiflexion_deg`.
#[must_use]
pub fn dorsiflexion_deg(side: Side) -> String {
    format!("{side}.dorsiflexion_deg")
}

/// `right.foot_length_mm`.
#[must_use]
pub fn foot_length_mm(side: Side) -> String {
    format!("{side}.foot_length_mm")
}

/// `right.cast_off`: empty or a `record::RemovalReason` key.
#[must_use]
pub fn cast_off(side: Side) -> String {
    format!("{side}.cast_off")
}

/// `right.tenotomy`: empty, `done` or `book`.
#[must_use]
pub fn tenotomy(side: Side) -> String {
    format!("{side}.tenotomy")
}

/// `right.tenotomy_on`: the day for which it is booked.
#[must_use]
pub fn tenotomy_on(side: Side) -> String {
    format!("{side}.tenotomy_on")
}

/// `right.anaesthesia`: how the tenotomy was done, empty or a `record::Anaesthesia` key.
#[must_use]
pub fn anaesthesia(side: Side) -> String {
    format!("{side}.anaesthesia")
}

/// `right.tenotomy_by`: who did it, if not the writer.
#[must_use]
pub fn tenotomy_by(side: Side) -> String {
    format!("{side}.tenotomy_by")
}

/// `right.tenotomy_complication`: anything that went wrong.
#[must_use]
pub fn tenotomy_complication(side: Side) -> String {
    format!("{side}.tenotomy_complication")
}

/// `right.cast_material`: empty or a `record::CastMaterial` key.
#[must_use]
pub fn cast_material(side: Side) -> String {
    format!("{side}.cast_material")
}

/// `right.cast`: empty or a `record::CastPurpose` key.
#[must_use]
pub fn cast(side: Side) -> String {
    format!("{side}.cast")
}

/// `right.cast_abduction_deg`.
#[must_use]
pub fn cast_abduction_deg(side: Side) -> String {
    format!("{side}.cast_abduction_deg")
}

/// `right.relapse`: empty, `ungraded` or a `record::RelapseGrade` key.
#[must_use]
pub fn relapse(side: Side) -> String {
    format!("{side}.relapse")
}

/// `right.signs.equinus` and the other signs of relapse, each as a field whose label names the foot.
#[must_use]
pub fn relapse_signs(side: Side) -> Vec<Field> {
    let signs = Kind::Assessment.spec().fields.iter().find(|spec| spec.key == "signs");
    let of_foot = |mut placed: PlacedField| {
        placed.name = format!("{side}.{}", placed.name);
        placed.label = format!("{} foot: {}", side.title(), placed.label);
        Field::from(placed)
    };
    signs.map(FieldSpec::fields_below).unwrap_or_default().into_iter().map(of_foot).collect()
}

/// The kinds that the visit form shows as they are declared, each with the heading of its panel.
pub fn declared_kinds() -> impl Iterator<Item = (Kind, &'static str)> {
    Kind::ALL.iter().filter_map(|kind| Some((*kind, kind.spec().visit?)))
}

/// The prefix of the names of the fields of a declared kind.
#[must_use]
pub fn declared_prefix(kind: Kind) -> String {
    format!("{}.", kind.wire())
}

/// The fields of a declared kind. None of them is required.
#[must_use]
pub fn declared_fields(kind: Kind) -> Vec<Field> {
    let prefix = declared_prefix(kind);
    let in_visit =
        |field: Field| Field { name: format!("{prefix}{}", field.name).into(), needed: false, ..field };
    super::of_kind(kind).into_iter().map(in_visit).collect()
}

/// `brace.right.abduction_deg`, `.dorsiflexion_deg`, `.length_mm`.
#[must_use]
pub fn boot(side: Side, what: &str) -> String {
    format!("brace.{side}.{what}")
}

/// `next.purpose.2024-05-21`: what a proposed day is for, as its tile says.
#[must_use]
pub fn next_purpose_of(day: Day) -> String {
    format!("{NEXT_PURPOSE}.{day}")
}

/// The day of the next appointment as text: the chosen proposed day, or the other day that was entered, even if
/// "another day" was not chosen; `None` if no appointment was made.
#[must_use]
pub fn next_day(filled: &Filled) -> Option<&str> {
    match filled.given(NEXT_DAY) {
        Some(NEXT_OTHER) | None => filled.given(NEXT_OTHER_DAY),
        day => day,
    }
}

fn loose_ends_of_foot(filled: &Filled, side: Side) -> Vec<(String, &'static str)> {
    let mut ends = Vec::new();
    let given = |names: &[String]| names.iter().any(|name| filled.given(name).is_some());
    if filled.given(&cast(side)).is_none() {
        if given(&[cast_abduction_deg(side)]) {
            ends.push((cast(side), "the abduction in the cast is given, but no new cast."));
        }
        if given(&[cast_material(side)]) {
            ends.push((cast(side), "the material of a cast is given, but no new cast."));
        }
    }
    let answer = filled.given(&tenotomy(side));
    if answer != Some("book") && given(&[tenotomy_on(side)]) {
        ends.push((tenotomy(side), "a day for the tenotomy is given, but it is not booked."));
    }
    if answer != Some("done") && given(&[anaesthesia(side), tenotomy_by(side), tenotomy_complication(side)]) {
        ends.push((tenotomy(side), "details of a tenotomy are given, but not that it was done."));
    }
    ends
}

/// Errors for what was filled in without the answer to which it belongs, and would be lost: the abduction of a
/// cast if no cast was applied, or the day of a tenotomy that was not booked.
#[must_use]
pub fn loose_ends(filled: &Filled) -> Vec<FieldError> {
    let mut ends = Vec::new();
    let mut end = |field: String, text: String| ends.push(FieldError { field, text });
    for side in Side::BOTH {
        for (field, what) in loose_ends_of_foot(filled, side) {
            end(field, format!("{} foot: {what}", side.title()));
        }
    }
    if filled.given(WEAR_HOURS).is_none() && filled.given(WEAR_REASON).is_some() {
        end(WEAR_HOURS.to_owned(), "Why the brace was worn less is given, but no hours.".to_owned());
    }
    if filled.given(BRACE).is_none() && (filled.any_under("brace.") || filled.given(STOCK_BAR).is_some()) {
        end(BRACE.to_owned(), "Details of the brace are given, but not what was done.".to_owned());
    }
    if filled.given(PROBLEM).is_none() && filled.any_under("problem.") {
        end(PROBLEM.to_owned(), "Details of a problem are given, but not which problem.".to_owned());
    }
    if next_day(filled).is_none()
        && (filled.given(NEXT_TIME).is_some() || filled.given(NEXT_DAY) == Some(NEXT_OTHER))
    {
        end(NEXT_OTHER_DAY.to_owned(), "The next appointment has no day.".to_owned());
    }
    ends
}
