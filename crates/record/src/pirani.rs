//! The Pirani score: six signs of 0, 0.5 or 1, two sub-scores of 0–3, a total of 0–6.
//!
//! The grouping into midfoot and hindfoot and the scale are from Dyer & Davis, J Bone Joint Surg Br
//! 2006;88-B(8), 10.1302/0301-620X.88B8.17482. The meaning of each level is worded here in our own
//! words, from memory: check it against a handbook page before relying on it.

use crate::field::{Answer, FieldSpec, points};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::fmt;

/// The three answers to a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HalfPoint {
    /// 0, as in a normal foot.
    Zero,
    /// 0.5, moderately abnormal.
    Half,
    /// 1, severely abnormal.
    One,
}

impl HalfPoint {
    /// All three, mildest first.
    pub const ALL: [Self; 3] = [Self::Zero, Self::Half, Self::One];

    /// 0, 1 or 2 half points.
    #[must_use]
    pub const fn halves(self) -> Halves {
        Halves(self as u8)
    }

    /// From 0.0, 0.5 or 1.0 exactly; anything else is no answer to a sign.
    #[must_use]
    pub const fn from_value(value: f64) -> Option<Self> {
        match value {
            0.0 => Some(Self::Zero),
            0.5 => Some(Self::Half),
            1.0 => Some(Self::One),
            _ => None,
        }
    }

    /// "0", "0.5" or "1".
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Zero => "0",
            Self::Half => "0.5",
            Self::One => "1",
        }
    }
}

impl Serialize for HalfPoint {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.halves().value())
    }
}

impl<'de> Deserialize<'de> for HalfPoint {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = f64::deserialize(deserializer)?;
        Self::from_value(value).ok_or_else(|| D::Error::custom("a sign is 0, 0.5 or 1"))
    }
}

/// A count of half points, so that sums are exact: nine of them are a score of 4.5.
///
/// On the wire it is the score itself, 4.5, so that nobody reads nine points out of six.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Halves(pub u8);

impl Halves {
    /// The score as a number, 4.5 for nine halves.
    #[must_use]
    pub fn value(self) -> f64 {
        f64::from(self.0) / 2.0
    }
}

impl Halves {
    /// From a score such as 4.5; `None` for what is not a whole number of halves or is negative.
    #[must_use]
    pub fn from_value(value: f64) -> Option<Self> {
        let doubled = value * 2.0;
        let whole = doubled.fract() == 0.0 && (0.0..=255.0).contains(&doubled);
        whole.then_some(Self(doubled as u8))
    }
}

impl Serialize for Halves {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.value())
    }
}

impl<'de> Deserialize<'de> for Halves {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::from_value(f64::deserialize(deserializer)?)
            .ok_or_else(|| D::Error::custom("a score is a whole number of half points"))
    }
}

impl fmt::Display for Halves {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = if self.0 % 2 == 1 { ".5" } else { "" };
        write!(f, "{}{half}", self.0 / 2)
    }
}

/// The two halves of the score.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SubScore {
    /// Midfoot contracture score: lateral border, medial crease, lateral head of talus.
    Midfoot,
    /// Hindfoot contracture score: posterior crease, rigid equinus, empty heel.
    Hindfoot,
}

impl SubScore {
    /// The trade's name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Midfoot => "Midfoot contracture score",
            Self::Hindfoot => "Hindfoot contracture score",
        }
    }
}

/// One of the six signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sign {
    /// Curve of the lateral border.
    LateralBorder,
    /// Crease on the medial side of the sole.
    MedialCrease,
    /// Lateral head of the talus.
    TalarHead,
    /// Crease above the heel.
    PosteriorCrease,
    /// Equinus that does not yield.
    RigidEquinus,
    /// How far below the skin the heel bone is felt.
    EmptyHeel,
}

impl Sign {
    /// In the order in which they are entered: midfoot, then hindfoot.
    pub const ALL: [Self; 6] = [
        Self::LateralBorder,
        Self::MedialCrease,
        Self::TalarHead,
        Self::PosteriorCrease,
        Self::RigidEquinus,
        Self::EmptyHeel,
    ];

    /// Which sub-score it counts towards.
    #[must_use]
    pub const fn part(self) -> SubScore {
        match self {
            Self::LateralBorder | Self::MedialCrease | Self::TalarHead => SubScore::Midfoot,
            _ => SubScore::Hindfoot,
        }
    }

    /// The trade's name for the sign.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::LateralBorder => "Curved lateral border",
            Self::MedialCrease => "Medial crease",
            Self::TalarHead => "Lateral head of talus",
            Self::PosteriorCrease => "Posterior crease",
            Self::RigidEquinus => "Rigid equinus",
            Self::EmptyHeel => "Empty heel",
        }
    }

    /// A key for forms and files, lower case with underscores.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::LateralBorder => "lateral_border",
            Self::MedialCrease => "medial_crease",
            Self::TalarHead => "talar_head",
            Self::PosteriorCrease => "posterior_crease",
            Self::RigidEquinus => "rigid_equinus",
            Self::EmptyHeel => "empty_heel",
        }
    }

    /// How a form asks for it: its points, each with its meaning.
    const fn field(self) -> FieldSpec {
        const fn answers(sign: Sign) -> [Answer; 3] {
            let [zero, half, one] = HalfPoint::ALL;
            [
                (zero.text(), sign.meaning(zero)),
                (half.text(), sign.meaning(half)),
                (one.text(), sign.meaning(one)),
            ]
        }
        let answers: &'static [Answer] = match self {
            Self::LateralBorder => const { &answers(Self::LateralBorder) },
            Self::MedialCrease => const { &answers(Self::MedialCrease) },
            Self::TalarHead => const { &answers(Self::TalarHead) },
            Self::PosteriorCrease => const { &answers(Self::PosteriorCrease) },
            Self::RigidEquinus => const { &answers(Self::RigidEquinus) },
            Self::EmptyHeel => const { &answers(Self::EmptyHeel) },
        };
        points(self.name(), answers)
    }

    /// How to look or feel, in a few words. From memory.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::LateralBorder => {
                "Foot at rest, seen from the sole; lay a straight edge along the outer border"
            }
            Self::MedialCrease => "Hold the foot gently corrected and look at the arch",
            Self::TalarHead => "Thumb on the talar head at the outer side while the foot is abducted",
            Self::PosteriorCrease => "Hold the foot gently corrected and look above the heel",
            Self::RigidEquinus => "Knee straight, bring the foot up as far as it goes",
            Self::EmptyHeel => "One finger at the corner of the heel, press gently",
        }
    }

    /// What an answer means, short enough to stand on a button. From memory.
    #[must_use]
    pub const fn meaning(self, point: HalfPoint) -> &'static str {
        use HalfPoint::{Half, One, Zero};
        match (self, point) {
            (Self::LateralBorder, Zero) => "straight",
            (Self::LateralBorder, Half) => "bends near the toes",
            (Self::LateralBorder, One) => "bends at mid-foot",
            (Self::MedialCrease | Self::PosteriorCrease, Zero) => "fine lines",
            (Self::MedialCrease | Self::PosteriorCrease, Half) => "one or two deep",
            (Self::MedialCrease, One) => "changes the arch",
            (Self::PosteriorCrease, One) => "changes the heel",
            (Self::TalarHead, Zero) => "covered, not felt",
            (Self::TalarHead, Half) => "partly covered",
            (Self::TalarHead, One) => "uncovered, easily felt",
            (Self::RigidEquinus, Zero) => "well past neutral",
            (Self::RigidEquinus, Half) => "to neutral or just past",
            (Self::RigidEquinus, One) => "short of neutral",
            (Self::EmptyHeel, Zero) => "bone felt at once",
            (Self::EmptyHeel, Half) => "bone felt deep",
            (Self::EmptyHeel, One) => "bone not felt",
        }
    }
}

group! {
    /// The six signs of one foot at one sitting. A sign not assessed is `None` and stays so.
    ///
    /// ```
    /// use record::{HalfPoint::{Half, One, Zero}, Halves, Pirani, Sign};
    ///
    /// let mut foot = Pirani {
    ///     lateral_border: Some(Half),
    ///     medial_crease: Some(Half),
    ///     talar_head: Some(Zero),
    ///     posterior_crease: Some(One),
    ///     rigid_equinus: Some(One),
    ///     empty_heel: None,
    /// };
    /// assert_eq!(foot.midfoot(), Some(Halves(2))); // 0.5 + 0.5 + 0 = 1
    /// assert_eq!(foot.hindfoot(), None); // the empty heel was not assessed
    /// assert_eq!(foot.total(), None);
    ///
    /// foot.set(Sign::EmptyHeel, Some(Half));
    /// assert_eq!(foot.hindfoot().map(Halves::value), Some(2.5));
    /// assert_eq!(foot.total().map(|total| total.to_string()).as_deref(), Some("3.5"));
    /// ```
    #[derive(Copy, Default, Eq)]
    Pirani;

    /// Curved lateral border.
    optional lateral_border: Option<HalfPoint> => Sign::LateralBorder.field();
    /// Medial crease.
    optional medial_crease: Option<HalfPoint> => Sign::MedialCrease.field();
    /// Lateral head of talus.
    optional talar_head: Option<HalfPoint> => Sign::TalarHead.field();
    /// Posterior crease.
    optional posterior_crease: Option<HalfPoint> => Sign::PosteriorCrease.field();
    /// Rigid equinus.
    optional rigid_equinus: Option<HalfPoint> => Sign::RigidEquinus.field();
    /// Empty heel.
    optional empty_heel: Option<HalfPoint> => Sign::EmptyHeel.field();
}

impl Pirani {
    /// One sign.
    #[must_use]
    pub const fn sign(&self, sign: Sign) -> Option<HalfPoint> {
        match sign {
            Sign::LateralBorder => self.lateral_border,
            Sign::MedialCrease => self.medial_crease,
            Sign::TalarHead => self.talar_head,
            Sign::PosteriorCrease => self.posterior_crease,
            Sign::RigidEquinus => self.rigid_equinus,
            Sign::EmptyHeel => self.empty_heel,
        }
    }

    /// Sets one sign.
    pub const fn set(&mut self, sign: Sign, point: Option<HalfPoint>) {
        match sign {
            Sign::LateralBorder => self.lateral_border = point,
            Sign::MedialCrease => self.medial_crease = point,
            Sign::TalarHead => self.talar_head = point,
            Sign::PosteriorCrease => self.posterior_crease = point,
            Sign::RigidEquinus => self.rigid_equinus = point,
            Sign::EmptyHeel => self.empty_heel = point,
        }
    }

    fn sum(&self, signs: &[Sign]) -> Option<Halves> {
        signs.iter().try_fold(0, |sum, &sign| Some(sum + self.sign(sign)?.halves().0)).map(Halves)
    }

    /// Midfoot contracture score, 0–3; `None` when one of its three signs is missing.
    #[must_use]
    pub fn midfoot(&self) -> Option<Halves> {
        self.sum(&Sign::ALL[..3])
    }

    /// Hindfoot contracture score, 0–3; `None` when one of its three signs is missing.
    #[must_use]
    pub fn hindfoot(&self) -> Option<Halves> {
        self.sum(&Sign::ALL[3..])
    }

    /// Total, 0–6; `None` when any of the six signs is missing.
    #[must_use]
    pub fn total(&self) -> Option<Halves> {
        self.sum(&Sign::ALL)
    }

    /// The signs not assessed.
    pub fn missing(&self) -> impl Iterator<Item = Sign> + '_ {
        Sign::ALL.into_iter().filter(|&sign| self.sign(sign).is_none())
    }

    /// Whether no sign at all was assessed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        Sign::ALL.iter().all(|&sign| self.sign(sign).is_none())
    }
}
