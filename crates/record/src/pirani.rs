//! The Pirani score: six signs of 0, 0.5 or 1, two sub-scores of 0–3, a total of 0–6.
//!
//! The grouping into midfoot and hindfoot and the scale are from Dyer & Davis, J Bone Joint Surg Br
//! 2006;88-B(8), 10.1302/0301-620X.88B8.17482. The meaning of each level is in our own words, from
//! memory: check it against a handbook before relying on it.

use crate::{
    field::{Answer, FieldSpec, points},
    half_points::{HalfPoint, Halves},
};

/// The two sub-scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SubScore {
    /// Midfoot contracture score: lateral border, medial crease, lateral head of talus.
    Midfoot,
    /// Hindfoot contracture score: posterior crease, rigid equinus, empty heel.
    Hindfoot,
}

impl SubScore {
    /// The usual name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Midfoot => "Midfoot contracture score",
            Self::Hindfoot => "Hindfoot contracture score",
        }
    }
}

/// One of the six signs, ordered as they are entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sign {
    /// Curve of the lateral border.
    LateralBorder,
    /// Crease on the medial side of the sole.
    MedialCrease,
    /// Lateral head of the talus.
    TalarHead,
    /// Crease above the heel.
    PosteriorCrease,
    /// Equinus that cannot be corrected by hand.
    RigidEquinus,
    /// How deep below the skin the heel bone is felt.
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

    /// The sub-score that it counts towards.
    #[must_use]
    pub const fn part(self) -> SubScore {
        match self {
            Self::LateralBorder | Self::MedialCrease | Self::TalarHead => SubScore::Midfoot,
            _ => SubScore::Hindfoot,
        }
    }

    /// The usual name of the sign.
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

    /// Its key in forms and files, lower case with underscores.
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

    /// The sign of a key; `None` for any other text.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sign| sign.key() == key)
    }

    /// Its field in a form: the points, each with its meaning.
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

    /// How to examine it, in a few words. From memory.
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

    /// What a score means, short enough for a button. From memory.
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
    /// The six signs of one foot at one visit. A sign that was not assessed is `None`.
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

    /// Whether no sign was assessed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        Sign::ALL.iter().all(|&sign| self.sign(sign).is_none())
    }
}
