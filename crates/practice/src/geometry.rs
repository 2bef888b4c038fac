//! The table of numbers: what each sign looks like at each level, as it is drawn.
//!
//! No published text that we could read gives the wording or a measurement for the three levels of a sign; see
//! `docs/learning-to-score.md`. Every number here is therefore our own choice for a drawing, made from memory of how
//! the levels are described, until a lead of a clinic confirms a level with a named source
//! ([`crate::ConfirmedLevels`]).

use record::{
    HalfPoint::{self, Half, One, Zero},
    Sign,
};

/// Where the numbers of the table come from.
pub const GEOMETRY_SOURCE: &str = "from memory: a choice for the drawings, not a published measurement";

/// The version of the table and of the drawings. A case drawn by another version is not drawn again, because it could
/// look different from what was scored.
pub const DRAWING_VERSION: u16 = 1;

/// What one number of the table measures in the finished drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GeometryItem {
    /// How far the outer border at the head of the fifth metatarsal lies from the line of the heel's outer border, in
    /// % of the length of the foot.
    BorderDeviation,
    /// Where the outer border begins to curve, in % of the foot's length from the heel.
    CurveBegins,
    /// How far the longest crease reaches across, in % of the width there.
    CreaseReach,
    /// How far the contour is drawn in at the crease, in % of the width there.
    ContourNotch,
    /// How much of the front of the talar head the navicular covers while the foot is abducted, in %.
    HeadCovered,
    /// Dorsiflexion with the knee straight, in degrees; below zero it stays short of the right angle.
    Dorsiflexion,
    /// From the skin at the corner of the heel to the heel bone, in % of the foot's length.
    BoneDepth,
    /// From the pressing fingertip to the bone, in % of the foot's length.
    GapUnderFinger,
}

impl GeometryItem {
    /// What is measured, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::BorderDeviation => "outer border away from the straight line of the heel",
            Self::CurveBegins => "curve begins, measured from the heel",
            Self::CreaseReach => "longest crease reaches across",
            Self::ContourNotch => "contour drawn in at the crease",
            Self::HeadCovered => "front of the talar head covered by the navicular",
            Self::Dorsiflexion => "foot brought up, knee straight",
            Self::BoneDepth => "skin at the corner of the heel to the heel bone",
            Self::GapUnderFinger => "fingertip to the bone",
        }
    }

    /// The unit, with a space before it where it needs one.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Dorsiflexion => "°",
            Self::CreaseReach | Self::ContourNotch => " % of the width",
            Self::HeadCovered => " %",
            _ => " % of the foot’s length",
        }
    }
}

/// How one level of a sign is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelGeometry {
    /// The level.
    pub level: HalfPoint,
    /// The value of the sign's own item in a textbook drawing.
    pub typical: f64,
    /// The range in which exercises of this level lie, mildest end first. The ranges of two levels do not touch:
    /// nothing is asked to which the table has no answer.
    pub range: (f64, f64),
    /// The second item of the sign, if it has one.
    pub also: Option<f64>,
    /// What is drawn, in words that need no picture.
    pub drawn: &'static str,
}

/// How a sign is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SignGeometry {
    /// The sign.
    pub sign: Sign,
    /// What decides the level in the drawing.
    pub item: GeometryItem,
    /// What changes with it.
    pub also: Option<GeometryItem>,
    /// 0, 0.5 and 1.
    pub levels: [LevelGeometry; 3],
    /// Where the numbers come from.
    pub source: &'static str,
}

const fn level(
    level: HalfPoint,
    typical: f64,
    range: (f64, f64),
    also: Option<f64>,
    drawn: &'static str,
) -> LevelGeometry {
    LevelGeometry { level, typical, range, also, drawn }
}

const fn sign(
    sign: Sign,
    item: GeometryItem,
    also: Option<GeometryItem>,
    levels: [LevelGeometry; 3],
) -> SignGeometry {
    SignGeometry { sign, item, also, levels, source: GEOMETRY_SOURCE }
}

const LATERAL_BORDER: SignGeometry = sign(
    Sign::LateralBorder,
    GeometryItem::BorderDeviation,
    Some(GeometryItem::CurveBegins),
    [
        level(
            Zero,
            0.0,
            (0.0, 1.2),
            Some(54.0),
            "The outer border is straight from the heel to the base of the little toe.",
        ),
        level(
            Half,
            6.5,
            (4.5, 8.0),
            Some(54.0),
            "The outer border is straight along the hindfoot and curves mildly inwards from the metatarsals on.",
        ),
        level(
            One,
            22.0,
            (15.0, 27.0),
            Some(34.0),
            "The outer border curves strongly inwards from the calcaneocuboid joint on.",
        ),
    ],
);
const MEDIAL_CREASE: SignGeometry = sign(
    Sign::MedialCrease,
    GeometryItem::CreaseReach,
    Some(GeometryItem::ContourNotch),
    [
        level(
            Zero,
            24.0,
            (18.0, 30.0),
            Some(0.0),
            "Several fine lines at the inner arch; the contour of the arch is smooth.",
        ),
        level(
            Half,
            50.0,
            (44.0, 56.0),
            Some(2.0),
            "One or two deep creases at the inner arch; the contour keeps its shape.",
        ),
        level(
            One,
            76.0,
            (68.0, 84.0),
            Some(20.0),
            "One deep crease that draws the contour of the inner arch in.",
        ),
    ],
);
const TALAR_HEAD: SignGeometry = sign(
    Sign::TalarHead,
    GeometryItem::HeadCovered,
    None,
    [
        level(
            Zero,
            96.0,
            (100.0, 88.0),
            None,
            "Turned out, the foot brings the navicular over the whole front of the talar head: the thumb feels no edge.",
        ),
        level(
            Half,
            50.0,
            (62.0, 38.0),
            None,
            "The navicular covers about half of the talar head: the thumb feels its outer part.",
        ),
        level(
            One,
            6.0,
            (14.0, 0.0),
            None,
            "The navicular stays at the inner side: the thumb feels the whole round head.",
        ),
    ],
);
const POSTERIOR_CREASE: SignGeometry = sign(
    Sign::PosteriorCrease,
    GeometryItem::CreaseReach,
    Some(GeometryItem::ContourNotch),
    [
        level(
            Zero,
            34.0,
            (26.0, 42.0),
            Some(0.0),
            "Several fine lines above the heel; both contours are smooth.",
        ),
        level(
            Half,
            62.0,
            (55.0, 69.0),
            Some(0.8),
            "One or two deep creases above the heel; the contours keep their shape.",
        ),
        level(
            One,
            92.0,
            (84.0, 96.0),
            Some(9.0),
            "One deep crease from side to side that draws both contours in.",
        ),
    ],
);
const RIGID_EQUINUS: SignGeometry = sign(
    Sign::RigidEquinus,
    GeometryItem::Dorsiflexion,
    None,
    [
        level(
            Zero,
            25.0,
            (33.0, 18.0),
            None,
            "With the knee straight the foot comes up well past the right angle.",
        ),
        level(
            Half,
            3.0,
            (7.0, 0.0),
            None,
            "With the knee straight the foot comes up to the right angle or just past it.",
        ),
        level(
            One,
            -22.0,
            (-10.0, -34.0),
            None,
            "With the knee straight the foot stays short of the right angle.",
        ),
    ],
);
const EMPTY_HEEL: SignGeometry = sign(
    Sign::EmptyHeel,
    GeometryItem::BoneDepth,
    Some(GeometryItem::GapUnderFinger),
    [
        level(
            Zero,
            3.0,
            (2.5, 4.0),
            Some(1.5),
            "The heel bone lies just under the skin: the finger meets it at once.",
        ),
        level(Half, 8.5, (7.0, 10.0), Some(1.5), "The finger sinks in before it meets the heel bone."),
        level(
            One,
            18.0,
            (15.0, 21.0),
            Some(9.5),
            "The finger sinks in and meets no bone; the bone lies far up.",
        ),
    ],
);

impl SignGeometry {
    /// The numbers of a sign.
    #[must_use]
    pub const fn of(which: Sign) -> Self {
        match which {
            Sign::LateralBorder => LATERAL_BORDER,
            Sign::MedialCrease => MEDIAL_CREASE,
            Sign::TalarHead => TALAR_HEAD,
            Sign::PosteriorCrease => POSTERIOR_CREASE,
            Sign::RigidEquinus => RIGID_EQUINUS,
            Sign::EmptyHeel => EMPTY_HEEL,
        }
    }

    /// One level.
    #[must_use]
    pub fn level(&self, level: HalfPoint) -> &LevelGeometry {
        let [zero, half, one] = &self.levels;
        match level {
            HalfPoint::Zero => zero,
            HalfPoint::Half => half,
            HalfPoint::One => one,
        }
    }

    /// The words and numbers of a level in one line, as somebody compares them with a source: what is drawn, the range
    /// in which it is drawn and the typical value of its item, and the second item.
    #[must_use]
    pub fn statement(&self, level: HalfPoint) -> String {
        let LevelGeometry { typical, range: (a, b), also, drawn, .. } = self.level(level);
        let (item, unit) = (self.item.words(), self.item.unit());
        let also =
            self.also.zip(*also).map(|(item, value)| format!("; {}: {value}{}", item.words(), item.unit()));
        format!(
            "{drawn} In the drawing, {item}: {} to {}{unit}, mostly {typical}{unit}{}.",
            a.min(*b),
            a.max(*b),
            also.unwrap_or_default()
        )
    }

    /// The value of the sign's item at a severity: 0, ½ and 1 are the typical values of the levels, straight between
    /// them.
    #[must_use]
    pub fn value(&self, severity: f64) -> f64 {
        through(self.levels.map(|level| level.typical), severity)
    }

    /// The value of the second item at a severity.
    #[must_use]
    pub fn also_value(&self, severity: f64) -> f64 {
        through(self.levels.map(|level| level.also.unwrap_or_default()), severity)
    }

    /// The severity at which the sign's item has a value; the reverse of [`SignGeometry::value`]. Beyond the typical
    /// values of 0 and 1 it goes on with the same slope.
    #[must_use]
    pub fn severity(&self, value: f64) -> f64 {
        let [zero, half, one] = self.levels.map(|level| level.typical);
        let falls = one < zero;
        let beyond_half = if falls { value < half } else { value > half };
        if beyond_half {
            0.5 + 0.5 * (value - half) / (one - half)
        } else {
            0.5 * (value - zero) / (half - zero)
        }
    }

    /// The level to which a value belongs; `None` between the ranges of two levels, where the table has no answer.
    #[must_use]
    pub fn level_of(&self, value: f64) -> Option<HalfPoint> {
        let within = |level: &&LevelGeometry| {
            let (a, b) = level.range;
            (a.min(b)..=a.max(b)).contains(&value)
        };
        self.levels.iter().find(within).map(|level| level.level)
    }
}

/// A line through three values at 0, ½ and 1.
fn through([zero, half, one]: [f64; 3], severity: f64) -> f64 {
    if severity <= 0.5 {
        zero + (half - zero) * severity / 0.5
    } else {
        half + (one - half) * (severity - 0.5) / 0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_of_levels_do_not_touch_and_hold_what_is_typical() {
        for which in Sign::ALL {
            let table = SignGeometry::of(which);
            for point in HalfPoint::ALL {
                let level = table.level(point);
                assert_eq!(level.level, point);
                assert_eq!(table.level_of(level.typical), Some(point), "{which:?} {point:?}");
            }
            let ends: Vec<f64> =
                table.levels.iter().flat_map(|level| [level.range.0, level.range.1]).collect();
            let falls = ends[0] > ends[5];
            let ordered = ends.windows(2).all(|two| if falls { two[0] > two[1] } else { two[0] < two[1] });
            assert!(ordered, "{which:?}: {ends:?}");
            let gap = f64::midpoint(ends[1], ends[2]);
            assert_eq!(table.level_of(gap), None, "{which:?}: {gap} is between two levels");
        }
    }

    #[test]
    fn severity_and_value_are_the_reverse_of_each_other() {
        for which in Sign::ALL {
            let table = SignGeometry::of(which);
            for (point, severity) in HalfPoint::ALL.into_iter().zip([0.0, 0.5, 1.0]) {
                assert!((table.value(severity) - table.level(point).typical).abs() < 1e-12);
            }
            for tenth in 0..=10 {
                let severity = f64::from(tenth) / 10.0;
                let back = table.severity(table.value(severity));
                assert!((back - severity).abs() < 1e-12, "{which:?}: {severity} became {back}");
            }
        }
    }

    #[test]
    fn every_statement_has_the_words_the_numbers_and_is_another() {
        let mut all = std::collections::BTreeSet::new();
        for which in Sign::ALL {
            let table = SignGeometry::of(which);
            assert!(table.source.starts_with("from memory"));
            all.extend(HalfPoint::ALL.map(|level| table.statement(level)));
        }
        assert_eq!(all.len(), 18, "{all:#?}");
        assert_eq!(
            SignGeometry::of(Sign::RigidEquinus).statement(One),
            "With the knee straight the foot stays short of the right angle. In the drawing, foot brought up, knee straight: -34 to -10°, mostly -22°."
        );
        assert!(
            SignGeometry::of(Sign::EmptyHeel)
                .statement(Half)
                .ends_with("; fingertip to the bone: 1.5 % of the foot’s length.")
        );
    }
}
