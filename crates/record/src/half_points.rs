//! Scores that move by half points, counted in halves so that sums are exact.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::fmt;

/// The three possible scores of a sign.
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

    /// From exactly 0.0, 0.5 or 1.0; `None` for any other number.
    #[must_use]
    pub const fn from_value(value: f64) -> Option<Self> {
        match value {
            0.0 => Some(Self::Zero),
            0.5 => Some(Self::Half),
            1.0 => Some(Self::One),
            _ => None,
        }
    }

    /// From 0, 1 or 2 half points; `None` for more.
    #[must_use]
    pub fn from_halves(halves: Halves) -> Option<Self> {
        Self::ALL.into_iter().find(|point| point.halves() == halves)
    }

    /// From "0", "0.5" or "1"; `None` for any other text.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|point| point.text() == text)
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

/// A score as a number of half points, so that sums are exact: nine halves are a score of 4.5.
///
/// The wire form is the score itself, 4.5.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Halves(pub u8);

impl Halves {
    /// The score as a number, 4.5 for nine halves.
    #[must_use]
    pub fn value(self) -> f64 {
        f64::from(self.0) / 2.0
    }

    /// From a score such as 4.5; `None` if it is negative or not a whole number of halves.
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
