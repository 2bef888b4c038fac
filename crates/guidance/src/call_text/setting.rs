//! What is doubtful about the settings of a brace.

use crate::words::degrees;
use record::{Day, ShoulderWidth, Side};

/// What is doubtful about the settings of a brace: the setting, and the value it is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettingText {
    /// Turned out further than the foot reached.
    OutwardBeyondReached {
        /// Which boot.
        side: Side,
        /// Degrees outward.
        deg: i16,
        /// What the foot reached.
        reached: ReachedAngle,
    },
    /// Bent up further than the foot reached.
    BendBeyondReached {
        /// Which boot.
        side: Side,
        /// Degrees upward.
        deg: i16,
        /// What the foot reached.
        reached: ReachedAngle,
    },
    /// A complex foot is turned out like any other clubfoot.
    WideOnComplex {
        /// Which boot.
        side: Side,
        /// Degrees outward.
        deg: i16,
    },
    /// A foot that is not on record as a clubfoot is turned out like a clubfoot.
    WideOnUnaffected {
        /// Which boot.
        side: Side,
        /// Degrees outward.
        deg: i16,
    },
    /// The same, if it is not recorded whether the bar can be set for each side.
    WideOnUnaffectedBarUnknown {
        /// Which boot.
        side: Side,
        /// Degrees outward.
        deg: i16,
    },
    /// The settings of the clubfoot and of the other foot look exchanged.
    Exchanged {
        /// The clubfoot.
        clubfoot: Side,
        /// Degrees outward of its boot.
        own_deg: i16,
        /// Degrees outward of the other boot.
        other_deg: i16,
    },
    /// A boot is recorded for this foot only.
    OneBoot(Side),
    /// The bar is narrower or wider than the shoulders.
    BarLength {
        /// The length of the bar, mm.
        bar_mm: i32,
        /// The width of the shoulders, mm.
        shoulders_mm: i32,
        /// The day on which they were measured.
        on: Day,
        /// Which width.
        width: ShoulderWidth,
    },
}

/// An angle that a foot reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReachedAngle {
    /// Degrees.
    pub deg: i16,
    /// How it is known.
    pub how: AngleKnownBy,
    /// The day.
    pub on: Day,
}

/// How it is known which angle a foot reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AngleKnownBy {
    /// A cast held it.
    Cast,
    /// It was measured.
    Measured,
    /// It was found directly after the tenotomy.
    Tenotomy,
}

const BAR_UNKNOWN: &str =
    " Record whether the bar can be set for each side: if it cannot, this is the usual setting.";

impl SettingText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::OutwardBeyondReached { side, deg, reached } => {
                format!("{} boot turned out {}: the foot {}.", side.title(), degrees(deg), reached.words())
            }
            Self::BendBeyondReached { side, deg, reached } => {
                format!("{} boot bent up {}: dorsiflexion {}.", side.title(), degrees(deg), reached.words())
            }
            Self::WideOnComplex { side, deg } => {
                format!("{} boot turned out {}: the {side} foot is complex.", side.title(), degrees(deg))
            }
            Self::WideOnUnaffected { side, deg } => wide_on_unaffected(side, deg),
            Self::WideOnUnaffectedBarUnknown { side, deg } => wide_on_unaffected(side, deg) + BAR_UNKNOWN,
            Self::Exchanged { clubfoot, own_deg, other_deg } => format!(
                "The {clubfoot} foot, the clubfoot, is turned out {} and the {} foot {}: the two settings look exchanged.",
                degrees(own_deg),
                clubfoot.other(),
                degrees(other_deg)
            ),
            Self::OneBoot(side) => {
                format!("A boot is recorded for the {side} foot only, none for the {}.", side.other())
            }
            Self::BarLength { bar_mm, shoulders_mm, on, width } => format!(
                "The bar is {bar_mm} mm: the shoulders were {shoulders_mm} mm on {}, {}.",
                on.words(),
                width.words()
            ),
        }
    }
}

fn wide_on_unaffected(side: Side, deg: i16) -> String {
    format!(
        "{} boot turned out {}: the {side} foot is not on record as a clubfoot.",
        side.title(),
        degrees(deg)
    )
}

impl ReachedAngle {
    fn words(self) -> String {
        format!("reached {} {} {}", degrees(self.deg), self.how.words(), self.on.words())
    }
}

impl AngleKnownBy {
    /// In English, for use before the day in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Cast => "in its cast of",
            Self::Measured => "as measured on",
            Self::Tenotomy => "after the tenotomy of",
        }
    }
}
