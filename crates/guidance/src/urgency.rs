//! How soon the clinic must act on a call.

/// How soon the clinic must act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Urgency {
    /// The same day, under local policy.
    Today,
    /// Within days.
    ThisWeek,
    /// When the clinic next plans its appointments.
    Soon,
    /// For information.
    Watch,
}

impl Urgency {
    /// Most urgent first.
    pub const ALL: [Self; 4] = [Self::Today, Self::ThisWeek, Self::Soon, Self::Watch];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Today => "today",
            Self::ThisWeek => "this week",
            Self::Soon => "soon",
            Self::Watch => "to watch",
        }
    }

    /// Days from the call within which the clinic must act; `None` if it can wait for the next planning.
    #[must_use]
    pub const fn within_days(self) -> Option<i32> {
        match self {
            Self::Today => Some(0),
            Self::ThisWeek => Some(7),
            Self::Soon | Self::Watch => None,
        }
    }

    /// The rank; 0 is the most urgent.
    #[must_use]
    pub const fn rank(self) -> u8 {
        self as u8
    }

    /// The urgency of a rank; `None` where there is none.
    #[must_use]
    pub fn of_rank(rank: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|urgency| urgency.rank() == rank)
    }
}
