//! The named angles: on which view they are measured, which points are tapped, and what the taps add up to.
//!
//! The horizontal of the picture is never used: every angle is between two lines on the child. Signs are those of the
//! clinic, not of the screen, so that the mirror image of one foot gives the same value as the other foot.

use crate::{
    AngleBetween, PhotographAngle, PhotographView, PixelPoint, TapError,
    angle::{measured, turn, wrapped},
};
use record::Side;

/// A point that is tapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AngleTap {
    /// Its name, for the mark on the picture.
    pub name: &'static str,
    /// Where it is, as a sentence.
    pub sentence: &'static str,
}

/// How one named angle is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleGuide {
    /// The angle.
    pub angle: PhotographAngle,
    /// The view on which it is measured.
    pub view: PhotographView,
    /// The points, in the order in which they are tapped.
    pub taps: &'static [AngleTap],
    /// What the sign means, as a sentence.
    pub sign: &'static str,
    /// The smallest and largest value that can be an answer, in degrees (judgement); beyond, taps are in the wrong
    /// order or on another point.
    pub plausible_deg: (f64, f64),
    /// What is published on how exactly such an angle is read.
    pub published: &'static str,
}

/// The error beyond which an angle is not given, in degrees: half of the 95 % interval from the taps alone. Goniometry
/// of the ankle is exact to some 6° (standard error 2.86°, 10.3233/BMR-170862), and a reading should not be worse.
pub const MOST_ERROR_DEG: f64 = 6.0;

/// An angle that was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleReading {
    /// Which angle.
    pub angle: PhotographAngle,
    /// Of which foot.
    pub side: Side,
    /// Its value, in degrees, with the sign that [`AngleGuide::sign`] explains.
    pub value_deg: f64,
    /// Half the width of the 95 % interval from the error of the taps alone, in degrees. How the foot was held and from
    /// where it was photographed adds to it; see `docs/photographs.md`.
    pub error_deg: f64,
}

/// Why no angle is given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AngleFault {
    /// Another number of points.
    #[error("{wanted} points are needed, and {found} were tapped.")]
    Taps {
        /// Points needed.
        wanted: usize,
        /// Points found.
        found: usize,
    },
    /// A point outside the picture, or not a number.
    #[error("Point {} is not within the picture.", index + 1)]
    Outside {
        /// Which, from 0.
        index: usize,
    },
    /// Two points that make a line are too close together.
    #[error(
        "The points are too close together: the angle could be wrong by {error_deg:.0}°. Take a picture in which the foot fills more of the frame."
    )]
    TooClose {
        /// The error that it would have, in degrees.
        error_deg: f64,
    },
    /// Two points of one line coincide.
    #[error("Two of the points are the same. Tap them again.")]
    SamePoint,
    /// A value that cannot be.
    #[error(
        "These points give {value_deg:.0}°, which cannot be. Look at the order of the points, and at the side of the foot, and tap them again."
    )]
    Implausible {
        /// The value that it would have, in degrees.
        value_deg: f64,
    },
}

const fn tap(name: &'static str, sentence: &'static str) -> AngleTap {
    AngleTap { name, sentence }
}

const THIGH_FOOT: AngleGuide = AngleGuide {
    angle: PhotographAngle::ThighFoot,
    view: PhotographView::ThighAndFoot,
    taps: &[
        tap("thigh, at the buttock", "Tap the middle of the thigh just below the buttock."),
        tap("thigh, at the knee", "Tap the middle of the thigh just above the knee."),
        tap("heel", "Tap the middle of the back edge of the heel."),
        tap("forefoot", "Tap the middle of the forefoot, between the second and the third toe."),
    ],
    sign: "Above zero the foot points outward, below zero inward.",
    plausible_deg: (-90.0, 100.0),
    published: "No figures for infants were found. Between raters, the outward turn of the foot of children treated for clubfoot, read from drawings, differed by −12 to 10.6° (95 % limits; Manousaki 2022).",
};

const FOREFOOT_ADDUCTION: AngleGuide = AngleGuide {
    angle: PhotographAngle::ForefootAdduction,
    view: PhotographView::Sole,
    taps: &[
        tap("heel, back", "Tap the middle of the back edge of the heel."),
        tap(
            "heel, front",
            "Tap the middle of the front edge of the heel pad, where it is as wide as the heel.",
        ),
        tap("forefoot", "Tap the middle of the forefoot, between the roots of the second and the third toe."),
    ],
    sign: "Above zero the forefoot is turned in, below zero outward.",
    plausible_deg: (-45.0, 110.0),
    published: "No figures for this angle on photographs of infants were found. The curve of the outer border was scored alike by two trained surgeons (kappa above 0.60, Lampasi 2019).",
};

const HEEL_VARUS: AngleGuide = AngleGuide {
    angle: PhotographAngle::HeelVarus,
    view: PhotographView::Behind,
    taps: &[
        tap("calf", "Tap the middle of the calf, where it is widest."),
        tap("ankle", "Tap the middle of the heel cord at the height of the ankle."),
        tap("heel, top", "Tap the middle of the heel where the heel cord ends."),
        tap("heel, bottom", "Tap the middle of the lower edge of the heel."),
    ],
    sign: "Above zero the heel is in varus, below zero in valgus.",
    plausible_deg: (-45.0, 80.0),
    published: "No figures for infants were found.",
};

const DORSIFLEXION: AngleGuide = AngleGuide {
    angle: PhotographAngle::Dorsiflexion,
    view: PhotographView::BroughtUp,
    taps: &[
        tap("knee", "Tap the middle of the knee on its outer side, at the head of the fibula."),
        tap("ankle", "Tap the tip of the outer ankle bone."),
        tap("heel", "Tap the lower edge of the heel."),
        tap(
            "outer edge",
            "Tap the lower edge of the foot at the base of the fifth metatarsal, not at the toes: the midfoot may bend.",
        ),
    ],
    sign: "Above zero the foot comes above the right angle, below zero it stays short of it.",
    plausible_deg: (-90.0, 60.0),
    published: "With a goniometer in children with cerebral palsy: standard error 2.86°, detectable change 7.94° (10.3233/BMR-170862). From photographs of such children changes of 10 to 23° were needed to be certain (Johansen 2020). No figures for infants were found.",
};

impl AngleGuide {
    /// Every guide.
    pub const ALL: [Self; 4] = [THIGH_FOOT, FOREFOOT_ADDUCTION, HEEL_VARUS, DORSIFLEXION];

    /// The guide of an angle.
    #[must_use]
    pub const fn of(angle: PhotographAngle) -> Self {
        match angle {
            PhotographAngle::ThighFoot => THIGH_FOOT,
            PhotographAngle::ForefootAdduction => FOREFOOT_ADDUCTION,
            PhotographAngle::HeelVarus => HEEL_VARUS,
            PhotographAngle::Dorsiflexion => DORSIFLEXION,
        }
    }

    /// The angles that are measured on a view.
    #[must_use]
    pub fn on_view(view: PhotographView) -> Vec<Self> {
        Self::ALL.into_iter().filter(|guide| guide.view == view).collect()
    }

    /// The angle of tapped points of a picture that is `picture` pixels wide and high and shows the foot of `side` as
    /// the camera saw it, not mirrored.
    ///
    /// # Errors
    /// Another number of points, a point outside the picture, points too close together for their error, or a value
    /// that cannot be.
    pub fn read(
        &self,
        side: Side,
        taps: &[PixelPoint],
        picture: (u32, u32),
        tap: TapError,
    ) -> Result<AngleReading, AngleFault> {
        if taps.len() != self.taps.len() {
            return Err(AngleFault::Taps { wanted: self.taps.len(), found: taps.len() });
        }
        let within = |point: &PixelPoint| {
            let inside = |at: f64, size: u32| (0.0..=f64::from(size)).contains(&at);
            inside(point.x, picture.0) && inside(point.y, picture.1)
        };
        if let Some(index) = taps.iter().position(|point| !within(point)) {
            return Err(AngleFault::Outside { index });
        }
        let found = self.between(taps, tap).ok_or(AngleFault::SamePoint)?;
        self.judged(side, found)
    }

    /// The angle on the screen, before the sign of the clinic.
    fn between(&self, taps: &[PixelPoint], tap: TapError) -> Option<AngleBetween> {
        match *taps {
            [back, front, toes] => measured(&[back, front, toes], tap, |[back, front, toes]| {
                turn((*back, *front), (*front, *toes))
            }),
            [a, b, c, d] if self.angle == PhotographAngle::Dorsiflexion => {
                // The angle between leg and sole has no sense of rotation: seen from the other side it is the same.
                measured(&[a, b, c, d], tap, |[knee, ankle, heel, edge]| {
                    Some(90.0 - turn((*ankle, *knee), (*heel, *edge))?.abs())
                })
            }
            [a, b, c, d] => measured(&[a, b, c, d], tap, |[a, b, c, d]| turn((*a, *b), (*c, *d))),
            _ => None,
        }
    }

    fn judged(&self, side: Side, found: AngleBetween) -> Result<AngleReading, AngleFault> {
        let error_deg = found.error_deg();
        if error_deg > MOST_ERROR_DEG {
            return Err(AngleFault::TooClose { error_deg });
        }
        let value_deg = wrapped(found.signed_deg * self.sense(side));
        if value_deg < self.plausible_deg.0 || value_deg > self.plausible_deg.1 {
            return Err(AngleFault::Implausible { value_deg });
        }
        Ok(AngleReading { angle: self.angle, side, value_deg, error_deg })
    }

    /// Whether clockwise on the screen counts above zero. With the toes up, the inner edge of a right sole lies to the
    /// right of the picture, so that turning in is clockwise; seen from behind, the lower edge of a right heel in varus
    /// lies to the left, which is clockwise from the leg too. A left foot is the mirror image.
    const fn sense(&self, side: Side) -> f64 {
        let right = match self.angle {
            PhotographAngle::ThighFoot => -1.0,
            PhotographAngle::ForefootAdduction | PhotographAngle::HeelVarus => 1.0,
            PhotographAngle::Dorsiflexion => return 1.0,
        };
        match side {
            Side::Right => right,
            Side::Left => -right,
        }
    }
}
