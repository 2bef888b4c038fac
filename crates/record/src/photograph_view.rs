//! The views in which feet are photographed, so that pictures of different days can be laid side by side.

use crate::Sides;

choice! {
    /// A standard view of a foot, of a leg, or of both feet.
    PhotographView {
        /// One foot from in front: the back of the foot and the toes.
        Front = "front", "from the front";
        /// The sole of one foot.
        Sole = "sole", "sole";
        /// The outer side of one foot.
        OuterSide = "outer-side", "outer side";
        /// Heel and calf of one leg.
        Behind = "behind", "from behind";
        /// One leg from its outer side, the knee straight and the foot brought up.
        BroughtUp = "brought-up", "from the outer side, knee straight, foot brought up";
        /// Thigh and sole of one leg, the child on its belly and the knee bent to a right angle.
        ThighAndFoot = "thigh-and-foot", "thigh and sole, knee bent";
        /// Both feet in one picture, the child lying or held.
        BothFeet = "both-feet", "both feet together";
        /// Both feet from in front, standing.
        StandingFront = "standing-front", "standing, from the front";
        /// Both feet from behind, standing.
        StandingBehind = "standing-behind", "standing, from behind";
        /// Squatting, from the side.
        Squatting = "squatting", "squatting";
    }
}

/// Whether a view shows one foot or both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ViewFeet {
    /// One foot; its side has to be named.
    One,
    /// Both feet.
    Both,
}

/// What a child can do from when a view makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ViewStage {
    /// From birth.
    FromBirth,
    /// Once the child stands by itself.
    Stands,
    /// Once the child walks and gets up from squatting.
    Walks,
}

impl ViewStage {
    /// "from birth", "once the child stands".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FromBirth => "from birth",
            Self::Stands => "once the child stands",
            Self::Walks => "once the child walks",
        }
    }

    /// The age from which a view is usually asked for, in months. Children treated for clubfoot stood alone at 12.0
    /// months (SD 2.5) and walked at 15 (SD 4.0) (Hughes 2019, 130 children). What the child does counts, not the age.
    #[must_use]
    pub const fn usual_from_months(self) -> u8 {
        match self {
            Self::FromBirth => 0,
            Self::Stands => 12,
            Self::Walks => 15,
        }
    }
}

impl PhotographView {
    /// What holds for every view. Of rendered feet, 95 of 100 angles were within 2° from at least half a metre and at
    /// most 5° from straight; at 15° they were within 6° (`docs/photographs.md`).
    pub const BEFORE_ALL: &str = "Hold the camera at least half a metre away and magnify. Hold it straight in front of what is shown, with the foot in the middle of the picture. Use the camera on the back of the device: the one on its front may mirror the picture.";

    /// The foot or feet with the view in words, "left foot, sole"; what is said of a photograph everywhere.
    #[must_use]
    pub fn of_feet(self, feet: Sides) -> String {
        match (feet, self) {
            (Sides::Both, Self::BothFeet) => self.words().to_owned(),
            _ => format!("{}, {}", feet.words(), self.words()),
        }
    }

    /// Whether it shows one foot or both.
    #[must_use]
    pub const fn feet(self) -> ViewFeet {
        match self {
            Self::Front
            | Self::Sole
            | Self::OuterSide
            | Self::Behind
            | Self::BroughtUp
            | Self::ThighAndFoot => ViewFeet::One,
            Self::BothFeet | Self::StandingFront | Self::StandingBehind | Self::Squatting => ViewFeet::Both,
        }
    }

    /// From when it makes sense.
    #[must_use]
    pub const fn stage(self) -> ViewStage {
        match self {
            Self::StandingFront | Self::StandingBehind => ViewStage::Stands,
            Self::Squatting => ViewStage::Walks,
            _ => ViewStage::FromBirth,
        }
    }

    /// How to take it, in a sentence or two (common practice, no source: no standard for photographs of infants' feet
    /// was found).
    #[must_use]
    pub const fn how_to_take(self) -> &'static str {
        match self {
            Self::Front => {
                "Leg relaxed, camera level with the foot and straight in front of it; toes, ankle and a hand's width of the leg in the picture."
            }
            Self::Sole => {
                "Camera straight in front of the sole, so that neither edge of the foot is nearer; toes and heel in the picture, toes up."
            }
            Self::OuterSide => {
                "Camera level with the foot, straight at its outer side; toes, heel and a hand's width of the leg in the picture."
            }
            Self::Behind => {
                "Camera level with the heel and straight behind it; heel and calf in the picture, the leg not turned."
            }
            Self::BroughtUp => {
                "Knee straight, foot brought up by a hand that hides neither heel nor outer edge; camera straight at the outer side, knee, ankle and foot in the picture."
            }
            Self::ThighAndFoot => {
                "Child on its belly, knee bent to a right angle; camera straight above the sole, the whole thigh in the picture."
            }
            Self::BothFeet => {
                "Both feet side by side and equally near; camera straight in front, both whole feet in the picture."
            }
            Self::StandingFront => {
                "Child standing on a firm floor, weight on both feet; camera at the height of the knees, straight in front, knees and feet in the picture."
            }
            Self::StandingBehind => {
                "Child standing on a firm floor, weight on both feet; camera at the height of the ankles, straight behind, calves and heels in the picture."
            }
            Self::Squatting => {
                "Child squatting as deep as it can, camera at floor height from the side; feet and knees in the picture, heels not hidden."
            }
        }
    }
}

impl PhotographView {
    /// Whether the whole foot is seen from heel to toe, so that its length can be measured beside a card in its plane.
    #[must_use]
    pub const fn shows_length(self) -> bool {
        matches!(self, Self::Sole | Self::OuterSide)
    }
}

choice! {
    /// An angle that is measured on a photograph.
    PhotographAngle {
        /// Foot against thigh, the child on its belly with the knee bent: outward above zero, inward below.
        ThighFoot = "thigh-foot", "thigh–foot angle";
        /// Front of the foot against the heel on the sole: turned in above zero, turned out below.
        ForefootAdduction = "forefoot-adduction", "adduction of the forefoot";
        /// Heel against the leg from behind: varus above zero, valgus below.
        HeelVarus = "heel-varus", "varus of the heel";
        /// Foot against the leg from the outer side, knee straight: brought up above zero, short of the right angle below.
        Dorsiflexion = "dorsiflexion", "dorsiflexion, knee straight";
    }
}
