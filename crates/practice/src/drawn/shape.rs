//! What a drawing is made of: points and lines with what they show. No markup and no colour.

/// A position: x to the right and y down, both from 0 to [`FRAME`].
pub type DrawnPoint = (f64, f64);

/// Width and height of every drawing.
pub const FRAME: f64 = 240.0;

/// What a shape shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DrawnPart {
    /// The outline of the skin. Seen from the sole it begins at the end of the heel and runs along the outer border
    /// first; from behind it begins at the top of the inner side; from the side at the back of the calf.
    Skin,
    /// A toe; the great toe first.
    Toe,
    /// A nail or the line of a toe.
    ToeLine,
    /// A line that every foot has there and that is not what is scored: the ball, the ankle bone, the heel cord.
    SkinLine,
    /// A crease that is scored.
    Crease,
    /// The shade of a deep crease.
    CreaseShade,
    /// The skin of the heel as it lies while nothing presses on it.
    SkinAtRest,
    /// The lower leg bone.
    Tibia,
    /// Body and neck of the talus.
    Talus,
    /// Head of the talus.
    TalarHead,
    /// The navicular.
    Navicular,
    /// The heel bone.
    HeelBone,
    /// An examining finger, from its base to its tip.
    Finger,
    /// The nail of that finger.
    FingerNail,
    /// The flat hand that brings the foot up.
    Hand,
    /// The straight line with which the outer border is compared.
    StraightEdge,
    /// What is to be seen, pointed out or measured.
    Mark,
    /// The middle line of the leg.
    LegLine,
    /// The right angle to the leg.
    RightAngle,
    /// The line of the sole.
    SoleLine,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StrokeWeight {
    /// No line.
    None,
    /// A fine line.
    Fine,
    /// An outline.
    Outline,
    /// A deep crease.
    Deep,
    /// A wide, soft shade beside a deep crease.
    Shade,
    /// A dashed line for comparison.
    Dashed,
    /// A line that points something out.
    Mark,
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FillClass {
    /// Not filled.
    None,
    /// Skin.
    Skin,
    /// Bone.
    Bone,
    /// The head of the talus, which differs from other bone.
    TalarHead,
    /// An examining hand.
    Hand,
}

/// When a shape is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DrawnLayer {
    /// Always.
    Foot,
    /// Only once the answer is given.
    Answer,
}

/// A line or an area.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnShape {
    /// What it shows.
    pub part: DrawnPart,
    /// Its points, joined by straight lines so short that a curve looks round.
    pub points: Vec<DrawnPoint>,
    /// Whether the last point is joined to the first.
    pub closed: bool,
    /// How the line is drawn.
    pub stroke: StrokeWeight,
    /// How the area is filled.
    pub fill: FillClass,
    /// When it is shown.
    pub layer: DrawnLayer,
}

impl DrawnShape {
    pub(super) const fn line(part: DrawnPart, stroke: StrokeWeight, points: Vec<DrawnPoint>) -> Self {
        Self { part, points, closed: false, stroke, fill: FillClass::None, layer: DrawnLayer::Foot }
    }

    pub(super) const fn area(part: DrawnPart, fill: FillClass, points: Vec<DrawnPoint>) -> Self {
        Self { part, points, closed: true, stroke: StrokeWeight::Outline, fill, layer: DrawnLayer::Foot }
    }

    /// The same, shown with the answer only.
    pub(super) fn with_answer(self) -> Self {
        Self { layer: DrawnLayer::Answer, ..self }
    }

    /// The same, open, so that no line crosses where the drawing cuts the limb.
    pub(super) fn open(self) -> Self {
        Self { closed: false, ..self }
    }

    pub(super) fn map(self, place: impl Fn(DrawnPoint) -> DrawnPoint) -> Self {
        Self { points: self.points.into_iter().map(place).collect(), ..self }
    }
}

/// The side of a point on which words stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LabelAnchor {
    /// The words begin at the point.
    Start,
    /// The words are centred on it.
    Middle,
    /// The words end at it.
    End,
}

impl LabelAnchor {
    /// The anchor in a mirror.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        match self {
            Self::Start => Self::End,
            Self::Middle => Self::Middle,
            Self::End => Self::Start,
        }
    }
}

/// Words in a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLabel {
    /// Where.
    pub at: DrawnPoint,
    /// On which side of it.
    pub anchor: LabelAnchor,
    /// The words.
    pub text: String,
    /// When they are shown.
    pub layer: DrawnLayer,
}

impl DrawnLabel {
    pub(super) fn new(at: DrawnPoint, anchor: LabelAnchor, text: impl Into<String>) -> Self {
        Self { at, anchor, text: text.into(), layer: DrawnLayer::Foot }
    }

    pub(super) fn with_answer(self) -> Self {
        Self { layer: DrawnLayer::Answer, ..self }
    }
}

/// What a sign draws before it is turned and mirrored: a right foot.
#[derive(Debug, Clone, Default)]
pub(super) struct Sketch {
    pub(super) shapes: Vec<DrawnShape>,
    pub(super) labels: Vec<DrawnLabel>,
}
