//! Every mark of the course picture, drawn here and nowhere else: the lanes place them, and the manual shows a sample
//! of each, so that what it explains cannot differ from what is drawn.

use super::plot::{Position, diamond, line, point, polygon, polyline, rect, sign, triangle};
use crate::ink::Ink;
use course::{Phase, WearKind};
use record::CastPurpose;

/// A line of values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Series {
    Total,
    Hindfoot,
    Midfoot,
    Abduction,
    Dorsiflexion,
    /// The forecast of the total.
    Ahead,
}

impl Series {
    /// Its CSS class, which is also the name of a movement.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Total => "total",
            Self::Hindfoot => "hindfoot",
            Self::Midfoot => "midfoot",
            Self::Abduction => "abduction",
            Self::Dorsiflexion => "dorsiflexion",
            Self::Ahead => "ahead",
        }
    }
}

/// The part of a forecast's probability that a band or window holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Held {
    Half,
    NineInTen,
}

pub(crate) fn series(ink: &mut Ink<'_>, which: Series, through: &[Position]) {
    polyline(ink, ("line ", which.name()), through);
}

/// A Pirani total.
pub(crate) fn score(ink: &mut Ink<'_>, at: Position) {
    point(ink, ("point", ""), at, 4);
}

/// A Pirani score with a sign missing.
pub(crate) fn incomplete(ink: &mut Ink<'_>, at: Position) {
    sign(ink, at, "?");
}

/// A measured angle.
pub(crate) fn angle(ink: &mut Ink<'_>, of: Series, at: Position) {
    point(ink, ("dot ", of.name()), at, 3);
}

/// An angle measured on a photograph: never on the line of what was measured on the foot.
pub(crate) fn angle_on_photograph(ink: &mut Ink<'_>, at: Position) {
    diamond(ink, "dot of-photograph", at, 4.5);
}

pub(crate) fn cast(ink: &mut Ink<'_>, purpose: CastPurpose, (x, y): Position) {
    match purpose {
        CastPurpose::Correction => triangle(ink, "cast", (x, y), 5.0),
        CastPurpose::Holding => triangle(ink, "cast hollow", (x, y), 5.0),
        CastPurpose::AfterTenotomy => rect(ink, ("cast", ""), (x - 4.5, y - 4.5), (9.0, 9.0)),
    }
}

pub(crate) fn problem(ink: &mut Ink<'_>, at: Position) {
    diamond(ink, "problem", at, 5.0);
}

/// A visit to which the child did not come.
pub(crate) fn missed(ink: &mut Ink<'_>, at: Position) {
    sign(ink, at, "×");
}

pub(crate) fn relapse(ink: &mut Ink<'_>, at: Position) {
    sign(ink, at, "R");
}

pub(crate) fn tenotomy(ink: &mut Ink<'_>, from: Position, to: Position) {
    line(ink, "tenotomy", from, to);
}

pub(crate) fn phase(ink: &mut Ink<'_>, phase: Phase, at: Position, size: (f64, f64)) {
    rect(ink, ("band ", phase.key()), at, size);
}

/// The window of the next step.
pub(crate) fn planned(ink: &mut Ink<'_>, at: Position, size: (f64, f64)) {
    rect(ink, ("planned", ""), at, size);
}

pub(crate) fn worn(ink: &mut Ink<'_>, kind: WearKind, at: Position, size: (f64, f64)) {
    let class = match kind {
        WearKind::Reported => "wear reported",
        WearKind::Logged => "wear logged",
    };
    rect(ink, (class, ""), at, size);
}

/// The hours prescribed.
pub(crate) fn prescribed(ink: &mut Ink<'_>, from: Position, to: Position) {
    line(ink, "prescribed", from, to);
}

/// The band of future scores.
pub(crate) fn fan(ink: &mut Ink<'_>, held: Held, corners: &[Position]) {
    let class = match held {
        Held::NineInTen => "fan",
        Held::Half => "fan half",
    };
    polygon(ink, class, corners);
}

/// The window of a future step.
pub(crate) fn likely(ink: &mut Ink<'_>, held: Held, from: Position, to: Position) {
    let class = match held {
        Held::NineInTen => "likely",
        Held::Half => "likely half",
    };
    line(ink, class, from, to);
}

/// The day for which the picture is drawn.
pub(crate) fn today(ink: &mut Ink<'_>, from: Position, to: Position) {
    line(ink, "today", from, to);
}

/// A line of the scale.
pub(crate) fn grid(ink: &mut Ink<'_>, from: Position, to: Position) {
    line(ink, "grid", from, to);
}
