//! Why a warm spell is undecided.

use super::steps::HOTTEST_C;
use std::fmt;

/// Why hours of a day could not be judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// The room is about as warm as the worn boot, or one of the two levels is unknown.
    WarmRoom,
    /// No warm spell of the file looks like a foot.
    NoFoot,
    /// Warmer than a foot makes a boot, °C.
    TooHot(f64),
    /// Not the usual level while worn, °C.
    Level {
        /// The level of this spell.
        spell_c: f64,
        /// The usual level of the worn boot.
        usual_c: f64,
    },
    /// The boot warmed too slowly for a foot inside it.
    WarmsSlowly,
    /// The temperature rises, falls or jumps more than in a boot on a foot.
    Unsteady,
    /// The temperature is more even than in a boot on a foot.
    TooEven,
    /// Warm spells repeatedly reach the same level.
    SetLevel,
    /// Only one of the two boots was warm.
    OneBoot,
    /// Too little of a warm spell was recorded to know.
    TooLittle,
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WarmRoom => {
                write!(f, "the room was about as warm as the worn boot, or how warm one is cannot be seen")
            }
            Self::NoFoot => write!(f, "no warm spell of the file looks like a foot"),
            Self::TooHot(celsius) => {
                // Hotter samples are lowered to this limit.
                let more = if *celsius >= HOTTEST_C { " or more" } else { "" };
                write!(f, "at {celsius:.0} °C{more} the boot was warmer than a foot makes it")
            }
            Self::Level { spell_c, usual_c } => {
                let than = if spell_c < usual_c { "cooler" } else { "warmer" };
                write!(f, "at {spell_c:.1} °C the boot was {than} than usual when worn ({usual_c:.1} °C)")
            }
            Self::WarmsSlowly => write!(f, "the boot warmed more slowly than with a foot in it"),
            Self::Unsteady => write!(f, "the temperature was less steady than with a foot in the boot"),
            Self::TooEven => write!(f, "the temperature was more even than with a foot in the boot"),
            Self::SetLevel => {
                write!(f, "warm spells reached the same temperature each time, as with a set temperature")
            }
            Self::OneBoot => write!(f, "only one of the two boots was warm"),
            Self::TooLittle => {
                write!(f, "too little was seen of a warm spell to tell a foot from something else")
            }
        }
    }
}
