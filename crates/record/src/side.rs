//! Which foot. The wrong side is one of the two worst errors, so it is never a bool.

use serde::{Deserialize, Serialize};
use std::fmt;

/// The child's own right or left foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The child's right foot, shown on the viewer's left because the child faces the viewer.
    Right,
    /// The child's left foot, shown on the viewer's right.
    Left,
}

impl Side {
    /// Both feet, in the order in which they are always shown.
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// The word, lower case.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// The word with a capital.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Right => "Right",
            Self::Left => "Left",
        }
    }

    /// The other foot.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// One foot or both, as a sheet or a form gives it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sides {
    /// The right foot only.
    Right,
    /// The left foot only.
    Left,
    /// Both feet.
    Both,
}

impl Sides {
    /// Each foot, right before left.
    #[must_use]
    pub const fn each(self) -> &'static [Side] {
        match self {
            Self::Right => &[Side::Right],
            Self::Left => &[Side::Left],
            Self::Both => &Side::BOTH,
        }
    }

    /// From whether each foot is included; `None` for no foot.
    #[must_use]
    pub fn of(right: Option<()>, left: Option<()>) -> Option<Self> {
        match (right, left) {
            (Some(()), Some(())) => Some(Self::Both),
            (Some(()), None) => Some(Self::Right),
            (None, Some(())) => Some(Self::Left),
            (None, None) => None,
        }
    }

    /// The key in forms and files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
            Self::Both => "both",
        }
    }

    /// The feet of a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        [Self::Right, Self::Left, Self::Both].into_iter().find(|feet| feet.key() == key)
    }

    /// "right foot", "left foot", "both feet".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right foot",
            Self::Left => "left foot",
            Self::Both => "both feet",
        }
    }
}

impl From<Side> for Sides {
    fn from(side: Side) -> Self {
        match side {
            Side::Right => Self::Right,
            Side::Left => Self::Left,
        }
    }
}
