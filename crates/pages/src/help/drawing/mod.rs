//! Drawings of a child's right foot, one for each level of each sign and each thing that is measured.
//!
//! Every one is drawn from points in this module: the outline of one foot from four sides, which is bent, turned or
//! drawn in as the level asks. A drawing shows one thing and is no measure of another.

mod above;
mod behind;
mod layer;
mod path;
mod side;
mod sole;

use layer::framed;
use maud::Markup;
use path::Bend;
use record::{
    AngleItem,
    HalfPoint::{self, Half, One, Zero},
    Sign,
};

/// A sign at one of its levels, with what is drawn as its text alternative.
pub(super) fn of_sign(sign: Sign, point: HalfPoint) -> Markup {
    let drawn = match (sign, point) {
        (Sign::LateralBorder, Zero) => sole::lateral_border(Bend::NONE),
        (Sign::LateralBorder, Half) => sole::lateral_border(Bend { from: 54.0, to: 84.0, deg: 30.0 }),
        (Sign::LateralBorder, One) => sole::lateral_border(Bend { from: 26.0, to: 70.0, deg: 58.0 }),
        (Sign::MedialCrease, Zero) => sole::medial_crease(&[40.0, 46.0, 52.0, 57.0], &[], 0.0),
        (Sign::MedialCrease, Half) => sole::medial_crease(&[55.0], &[42.0, 49.0], 0.0),
        (Sign::MedialCrease, One) => sole::medial_crease(&[], &[46.0], 9.0),
        (Sign::TalarHead, Zero) => above::talar_head(0.0, -8.0),
        (Sign::TalarHead, Half) => above::talar_head(48.0, 0.0),
        (Sign::TalarHead, One) => above::talar_head(96.0, -34.0),
        (Sign::PosteriorCrease, Zero) => behind::posterior_crease(&[92.0, 98.0, 104.0], &[], 0.0),
        (Sign::PosteriorCrease, Half) => behind::posterior_crease(&[105.0], &[93.0, 99.0], 0.0),
        (Sign::PosteriorCrease, One) => behind::posterior_crease(&[], &[98.0], 5.0),
        (Sign::RigidEquinus, Zero) => side::brought_up(22.0, "right angle"),
        (Sign::RigidEquinus, Half) => side::brought_up(3.0, "right angle"),
        (Sign::RigidEquinus, One) => side::brought_up(-26.0, "right angle"),
        (Sign::EmptyHeel, Zero) => side::empty_heel(0.0),
        (Sign::EmptyHeel, Half) => side::empty_heel(8.0),
        (Sign::EmptyHeel, One) => side::empty_heel(19.0),
    };
    framed(&sign_alternative(sign, point), &drawn)
}

/// What a drawing of a sign shows, for those who do not see it.
fn sign_alternative(sign: Sign, point: HalfPoint) -> String {
    format!("Drawing, {}, {}: {}", lower(sign.name()), point.text(), super::levels::seen(sign, point))
}

fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Something measured, drawn at one of its values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measured {
    DorsiflexionPast,
    DorsiflexionNeutral,
    DorsiflexionShort,
    AbductionOut,
    AbductionStraight,
    AbductionIn,
    FootLength,
    Deformity(AngleItem),
    AtypicalSide,
    AtypicalSole,
}

impl Measured {
    /// The drawing with its text alternative.
    pub(super) fn drawn(self) -> Markup {
        let drawn = match self {
            Self::DorsiflexionPast => side::brought_up(20.0, "0°"),
            Self::DorsiflexionNeutral => side::brought_up(0.0, "0°"),
            Self::DorsiflexionShort => side::brought_up(-20.0, "0°"),
            Self::AbductionOut => above::turned_out(50.0, "50°"),
            Self::AbductionStraight => above::turned_out(0.0, "0°"),
            Self::AbductionIn => above::turned_out(-30.0, "−30°"),
            Self::FootLength => sole::length(),
            Self::Deformity(AngleItem::Equinus) => side::equinus(40.0),
            Self::Deformity(AngleItem::Varus) => behind::varus(25.0),
            Self::Deformity(AngleItem::Derotation) => above::turned_out(-35.0, "35°"),
            Self::Deformity(AngleItem::Adduction) => sole::adduction(35.0),
            Self::AtypicalSide => side::atypical(),
            Self::AtypicalSole => sole::atypical(),
        };
        framed(&format!("Drawing: {}", self.alternative()), &drawn)
    }

    /// What the drawing shows.
    const fn alternative(self) -> &'static str {
        match self {
            Self::DorsiflexionPast => "from the outer side, the sole comes up 20° past the right angle.",
            Self::DorsiflexionNeutral => "from the outer side, the sole is at a right angle to the leg.",
            Self::DorsiflexionShort => "from the outer side, the sole stays 20° short of the right angle.",
            Self::AbductionOut => "from the front, the foot is turned out 50° from the line of the leg.",
            Self::AbductionStraight => "from the front, the foot is in the line of the leg.",
            Self::AbductionIn => "from the front, the foot is turned in 30° from the line of the leg.",
            Self::FootLength => {
                "the sole, with the distance from the end of the heel to the end of the longest toe."
            }
            Self::Deformity(AngleItem::Equinus) => {
                "from the outer side, the foot stays 40° below the right angle when it is brought up."
            }
            Self::Deformity(AngleItem::Varus) => "from behind, the heel stays turned in 25° under the leg.",
            Self::Deformity(AngleItem::Derotation) => {
                "from the front, the whole foot stays turned in 35° under the leg."
            }
            Self::Deformity(AngleItem::Adduction) => "the sole, with the forefoot turned in 35° on the heel.",
            Self::AtypicalSide => {
                "from the outer side, a short foot in equinus with the front of the foot bent down, the toe bent up and a deep fold above the heel."
            }
            Self::AtypicalSole => {
                "a short, broad sole with one fold from edge to edge and a short great toe."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_level_of_every_sign_has_a_drawing_of_its_own() {
        let mut drawings: Vec<String> = Sign::ALL
            .into_iter()
            .flat_map(|sign| HalfPoint::ALL.map(|point| of_sign(sign, point).into_string()))
            .collect();
        // Without the text alternative, so that only what is drawn counts.
        for drawing in &mut drawings {
            let from = drawing.find("aria-label=\"").unwrap_or(0);
            let to = drawing.find("\" xmlns").unwrap_or(from);
            drawing.replace_range(from..to, "");
        }
        let count = drawings.len();
        assert_eq!(count, 18);
        drawings.sort();
        drawings.dedup();
        assert_eq!(drawings.len(), count, "two levels are drawn alike");
    }
}
