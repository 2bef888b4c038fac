//! The published rules that define when a boot is outgrown.

use super::Protocol;

/// The published rule that defines when a boot is outgrown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OutgrownRule {
    /// Open boots of a brace: "when your child's toes can completely curl over the edge of the shoe", so that
    /// no room is left (a children's hospital's handout for foot abduction braces, read).
    ToesOverEdge,
    /// Closed shoes: when less than `bracing.toe_room_least_mm` is left (fitting page of a shoe maker, read,
    /// low grade).
    ClosedShoeRoom,
}

impl OutgrownRule {
    /// Both.
    pub const ALL: [Self; 2] = [Self::ToesOverEdge, Self::ClosedShoeRoom];

    /// The key in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ToesOverEdge => "toes-over-edge",
            Self::ClosedShoeRoom => "closed-shoe-room",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ToesOverEdge => "open boots: when no room is left and the toes reach over the edge",
            Self::ClosedShoeRoom => "closed shoes: when less than the least room is left before the toes",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rule| rule.key() == key)
    }
}

impl Protocol {
    /// A boot is outgrown if less room than this is left in front of the toes, mm.
    #[must_use]
    pub const fn least_room_mm(&self) -> i16 {
        match self.outgrown_rule {
            OutgrownRule::ToesOverEdge => 0,
            OutgrownRule::ClosedShoeRoom => self.toe_room_least_mm,
        }
    }
}
