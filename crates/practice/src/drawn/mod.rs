//! Drawn feet: every sign at every level, and between them, from geometry alone.
//!
//! A drawing is made of a right foot, turned a little and, for a left foot, mirrored. It holds points, lines and
//! words and no markup: `pages` draws it.

mod above;
mod behind;
mod line;
mod look;
mod shape;
mod side;
mod sole;

pub use look::{FootLook, SkinShade};
pub use shape::{
    DrawnLabel, DrawnLayer, DrawnPart, DrawnPoint, DrawnShape, FRAME, FillClass, LabelAnchor, StrokeWeight,
};

use crate::geometry::SignGeometry;
use record::{HalfPoint, Side, Sign};
use shape::Sketch;

/// From where a foot is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FootView {
    /// The sole, toes up.
    Sole,
    /// The front and above, toes up, bones drawn through the skin.
    Instep,
    /// Behind.
    Behind,
    /// The outer side.
    OuterSide,
    /// The outer side, bones drawn through the skin.
    HeelSection,
}

impl FootView {
    /// The view in which a sign is drawn.
    #[must_use]
    pub const fn of(sign: Sign) -> Self {
        match sign {
            Sign::LateralBorder | Sign::MedialCrease => Self::Sole,
            Sign::TalarHead => Self::Instep,
            Sign::PosteriorCrease => Self::Behind,
            Sign::RigidEquinus => Self::OuterSide,
            Sign::EmptyHeel => Self::HeelSection,
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sole => "seen from the sole",
            Self::Instep => "seen from the front and above, with the bones drawn through the skin",
            Self::Behind => "seen from behind",
            Self::OuterSide => "seen from the outer side",
            Self::HeelSection => "seen from the outer side, with the bones drawn through the skin",
        }
    }
}

/// Whether a drawing can show a sign as it is examined. Two signs are felt with a finger, and a drawing of what the
/// finger would feel does not teach the finger.
#[must_use]
pub const fn is_felt(sign: Sign) -> bool {
    matches!(sign, Sign::TalarHead | Sign::EmptyHeel)
}

/// A drawing of one sign of one foot.
#[derive(Debug, Clone, PartialEq)]
pub struct FootDrawing {
    /// Which sign it shows. It is no measure of another sign.
    pub sign: Sign,
    /// Which foot.
    pub side: Side,
    /// From where it is seen.
    pub view: FootView,
    /// The shade of the skin.
    pub shade: SkinShade,
    /// Lines and areas, the hindmost first.
    pub shapes: Vec<DrawnShape>,
    /// Words.
    pub labels: Vec<DrawnLabel>,
}

impl FootDrawing {
    /// The textbook drawing of a level.
    #[must_use]
    pub fn of_level(sign: Sign, level: HalfPoint, side: Side) -> Self {
        let value = SignGeometry::of(sign).level(level).typical;
        Self::of_value(sign, value, side, &FootLook::TEXTBOOK)
    }

    /// A sign whose item in the table of numbers has a value, on a foot with a look.
    #[must_use]
    pub fn of_value(sign: Sign, value: f64, side: Side, look: &FootLook) -> Self {
        let table = SignGeometry::of(sign);
        let severity = table.severity(value);
        let also = table.also_value(severity);
        let sketch = match sign {
            Sign::LateralBorder => sole::lateral_border(look, value, also),
            Sign::MedialCrease => sole::medial_crease(look, severity, value, also),
            Sign::TalarHead => above::talar_head(look, severity, value),
            Sign::PosteriorCrease => behind::posterior_crease(look, severity, value, also),
            Sign::RigidEquinus => side::rigid_equinus(look, value),
            Sign::EmptyHeel => side::empty_heel(look, value, also),
        };
        finished(sketch, sign, side, look)
    }
}

/// The right foot turned about the middle of the frame, and mirrored for a left foot.
fn finished(sketch: Sketch, sign: Sign, side: Side, look: &FootLook) -> FootDrawing {
    let middle = (FRAME / 2.0, FRAME / 2.0);
    // Rounded to a thousandth, so that twice mirrored is exactly the first drawing.
    let rounded = |value: f64| (value * 1_000.0).round() / 1_000.0;
    let place = |point: DrawnPoint| {
        let (x, y) = line::turned(point, middle, look.turn_deg);
        let (x, y) = (rounded(x), rounded(y));
        if side == Side::Left { (rounded(FRAME - x), y) } else { (x, y) }
    };
    let shapes = sketch.shapes.into_iter().map(|shape| shape.map(place)).collect();
    let label = |label: DrawnLabel| {
        // Words stay upright; those of the answer move with what they name.
        let (x, y) = match label.layer {
            DrawnLayer::Answer => line::turned(label.at, middle, look.turn_deg),
            DrawnLayer::Foot => label.at,
        };
        let at = if side == Side::Left { (FRAME - x, y) } else { (x, y) };
        let anchor = if side == Side::Left { label.anchor.mirrored() } else { label.anchor };
        DrawnLabel { at, anchor, ..label }
    };
    let labels = sketch.labels.into_iter().map(label).collect();
    FootDrawing { sign, side, view: FootView::of(sign), shade: look.shade, shapes, labels }
}
