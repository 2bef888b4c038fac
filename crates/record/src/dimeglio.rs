//! The Dimeglio score: four angles worth 0–4 points each, four signs worth one each, 0–20 in all.
//!
//! Bands and grades are from memory (the four parameters of 0–4 and the extra points are from Flynn
//! 1998). The original does not define the edges of the bands. **Here an angle exactly on an edge counts
//! in the more severe band** (45° scores 4, 20° scores 3, 0° scores 2, −20° scores 1), so that an edge
//! never makes a foot look better than it is.

use crate::{
    Finding,
    bounds::{ANGLE_POINTS, DIMEGLIO_ANGLE},
    field::{FieldSpec, FieldType, FieldValue, ShownValues, field, part, within},
};
use serde::{Deserialize, Serialize};

/// One angle, in degrees as measured or, if a sheet gives only that, in points.
///
/// Degrees are of deformity: 40 of equinus is 40° short of neutral, −10 is 10° beyond neutral.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Angle {
    /// Measured, degrees.
    Deg(i16),
    /// Only the points were recorded, 0–4.
    Points(u8),
}

impl Angle {
    /// 0–4 points by the bands; an angle on an edge counts in the more severe band.
    ///
    /// Recorded points are returned as they are, even if they are impossible; the bounds refuse such
    /// points, and [`Dimeglio::total`] never adds them.
    #[must_use]
    pub const fn points(self) -> u8 {
        match self {
            Self::Points(points) => points,
            Self::Deg(deg) if deg >= 45 => 4,
            Self::Deg(deg) if deg >= 20 => 3,
            Self::Deg(deg) if deg >= 0 => 2,
            Self::Deg(deg) if deg >= -20 => 1,
            Self::Deg(_) => 0,
        }
    }
}

/// An angle in a form: degrees, or only its points.
const ANGLE: &[FieldSpec] = &[
    part::<i16>("deg", within("", &DIMEGLIO_ANGLE)),
    part::<u8>("points", within(", points only", &ANGLE_POINTS)),
];

impl FieldValue for Angle {
    const TAKES: FieldType = FieldType::OneOf(ANGLE);

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        findings.extend(match *self {
            Self::Deg(deg) => DIMEGLIO_ANGLE.judge(spec.key, deg.into()),
            Self::Points(points) => ANGLE_POINTS.judge(spec.key, points.into()),
        });
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        match self {
            Self::Deg(deg) => shown.below("deg", |shown| shown.put(deg.to_string())),
            Self::Points(points) => shown.below("points", |shown| shown.put(points.to_string())),
        }
    }
}

/// Which of the four angles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AngleItem {
    /// Equinus, in the sagittal plane.
    Equinus,
    /// Varus of the heel, in the frontal plane.
    Varus,
    /// Derotation of the calcaneopedal block, in the horizontal plane.
    Derotation,
    /// Adduction of the forefoot on the hindfoot, in the horizontal plane.
    Adduction,
}

impl AngleItem {
    /// In the order in which they are entered.
    pub const ALL: [Self; 4] = [Self::Equinus, Self::Varus, Self::Derotation, Self::Adduction];

    /// The usual name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Equinus => "Equinus",
            Self::Varus => "Varus",
            Self::Derotation => "Derotation of the calcaneopedal block",
            Self::Adduction => "Forefoot adduction",
        }
    }

    /// Its key in forms and files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Equinus => "equinus",
            Self::Varus => "varus",
            Self::Derotation => "derotation",
            Self::Adduction => "adduction",
        }
    }

    /// What is measured, in our own words.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::Equinus => {
                "Degrees the heel stays short of neutral when the foot is brought up gently; below zero is past neutral"
            }
            Self::Varus => "Degrees the heel stays turned in, seen from behind, when gently corrected",
            Self::Derotation => "Degrees the foot stays turned in under the leg when gently turned out",
            Self::Adduction => "Degrees the forefoot stays turned in on the heel when gently straightened",
        }
    }
}

/// The four signs worth one point each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DimeglioSign {
    /// Posterior crease.
    PosteriorCrease,
    /// Medial crease.
    MedialCrease,
    /// Cavus.
    Cavus,
    /// Poor muscle condition.
    PoorMuscle,
}

impl DimeglioSign {
    /// In the order in which they are entered.
    pub const ALL: [Self; 4] = [Self::PosteriorCrease, Self::MedialCrease, Self::Cavus, Self::PoorMuscle];

    /// The usual name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PosteriorCrease => "Posterior crease",
            Self::MedialCrease => "Medial crease",
            Self::Cavus => "Cavus",
            Self::PoorMuscle => "Poor muscle condition",
        }
    }

    /// Its key in forms and files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::PosteriorCrease => "posterior_crease",
            Self::MedialCrease => "medial_crease",
            Self::Cavus => "cavus",
            Self::PoorMuscle => "poor_muscle",
        }
    }

    /// When it is present, in our own words.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::PosteriorCrease => "A deep fold above the heel",
            Self::MedialCrease => "A deep fold across the inner sole",
            Self::Cavus => "A high arch that does not flatten",
            Self::PoorMuscle => "Calf and foot muscles stiff, wasted or over-tight",
        }
    }
}

/// The grade by total.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Grade {
    /// Below 5: benign.
    I,
    /// 5 to 9: moderate.
    II,
    /// 10 to 14: severe.
    III,
    /// 15 to 20: very severe.
    IV,
}

impl Grade {
    /// The grade of a total of 0–20.
    #[must_use]
    pub const fn of(total: u8) -> Self {
        match total {
            0..5 => Self::I,
            5..10 => Self::II,
            10..15 => Self::III,
            _ => Self::IV,
        }
    }

    /// "grade III, severe".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::I => "grade I, benign",
            Self::II => "grade II, moderate",
            Self::III => "grade III, severe",
            Self::IV => "grade IV, very severe",
        }
    }
}

group! {
    /// The eight items of one foot at one visit. An item that was not assessed is `None`.
    ///
    /// ```
    /// use record::{Angle, Dimeglio, Grade};
    ///
    /// let mut foot = Dimeglio {
    ///     equinus: Some(Angle::Deg(45)),   // on the edge: the more severe band, 4
    ///     varus: Some(Angle::Deg(30)),     // 3
    ///     derotation: Some(Angle::Points(3)),
    ///     adduction: Some(Angle::Deg(10)), // 2
    ///     posterior_crease: Some(true),
    ///     medial_crease: Some(true),
    ///     cavus: Some(false),
    ///     poor_muscle: None,
    /// };
    /// assert_eq!(foot.total(), None); // one sign was not assessed
    /// assert_eq!(foot.grade(), None);
    ///
    /// foot.poor_muscle = Some(false);
    /// assert_eq!(foot.total(), Some(14)); // 4 + 3 + 3 + 2 + 1 + 1
    /// assert_eq!(foot.grade(), Some(Grade::III));
    /// ```
    #[derive(Copy, Default, Eq)]
    Dimeglio;

    /// Equinus.
    optional equinus: Option<Angle> => field(AngleItem::Equinus.name());
    /// Varus of the heel.
    optional varus: Option<Angle> => field(AngleItem::Varus.name());
    /// Derotation of the calcaneopedal block.
    optional derotation: Option<Angle> => field(AngleItem::Derotation.name());
    /// Forefoot adduction.
    optional adduction: Option<Angle> => field(AngleItem::Adduction.name());
    /// Posterior crease present.
    optional posterior_crease: Option<bool> => field(DimeglioSign::PosteriorCrease.name());
    /// Medial crease present.
    optional medial_crease: Option<bool> => field(DimeglioSign::MedialCrease.name());
    /// Cavus present.
    optional cavus: Option<bool> => field(DimeglioSign::Cavus.name());
    /// Poor muscle condition present.
    optional poor_muscle: Option<bool> => field(DimeglioSign::PoorMuscle.name());
}

impl Dimeglio {
    /// One angle.
    #[must_use]
    pub const fn angle(&self, item: AngleItem) -> Option<Angle> {
        match item {
            AngleItem::Equinus => self.equinus,
            AngleItem::Varus => self.varus,
            AngleItem::Derotation => self.derotation,
            AngleItem::Adduction => self.adduction,
        }
    }

    /// Sets one angle.
    pub const fn set_angle(&mut self, item: AngleItem, angle: Option<Angle>) {
        match item {
            AngleItem::Equinus => self.equinus = angle,
            AngleItem::Varus => self.varus = angle,
            AngleItem::Derotation => self.derotation = angle,
            AngleItem::Adduction => self.adduction = angle,
        }
    }

    /// One sign.
    #[must_use]
    pub const fn sign(&self, sign: DimeglioSign) -> Option<bool> {
        match sign {
            DimeglioSign::PosteriorCrease => self.posterior_crease,
            DimeglioSign::MedialCrease => self.medial_crease,
            DimeglioSign::Cavus => self.cavus,
            DimeglioSign::PoorMuscle => self.poor_muscle,
        }
    }

    /// Sets one sign.
    pub const fn set_sign(&mut self, sign: DimeglioSign, present: Option<bool>) {
        match sign {
            DimeglioSign::PosteriorCrease => self.posterior_crease = present,
            DimeglioSign::MedialCrease => self.medial_crease = present,
            DimeglioSign::Cavus => self.cavus = present,
            DimeglioSign::PoorMuscle => self.poor_muscle = present,
        }
    }

    /// 0–20, or `None` if one of the eight items is missing or an angle has more than 4 points.
    #[must_use]
    pub fn total(&self) -> Option<u8> {
        let angles = AngleItem::ALL.into_iter().try_fold(0, |sum, item| {
            let points = self.angle(item)?.points();
            (points <= 4).then(|| sum + points)
        })?;
        DimeglioSign::ALL.into_iter().try_fold(angles, |sum, sign| Some(sum + u8::from(self.sign(sign)?)))
    }

    /// The grade, if there is a total.
    #[must_use]
    pub fn grade(&self) -> Option<Grade> {
        self.total().map(Grade::of)
    }

    /// Whether nothing was assessed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
