//! Attention: one rule per file, each answering from which day it applies if nothing more is recorded.

use crate::Reason;
use record::{Day, Side};
use std::borrow::Cow;

/// How soon somebody must act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Urgency {
    /// The same day, under local policy.
    Today,
    /// Within days.
    ThisWeek,
    /// At the next planning of the clinic.
    Soon,
    /// To be known.
    Watch,
}

impl Urgency {
    /// Most urgent first.
    pub const ALL: [Self; 4] = [Self::Today, Self::ThisWeek, Self::Soon, Self::Watch];

    /// The human words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Today => "the same day",
            Self::ThisWeek => "this week",
            Self::Soon => "soon",
            Self::Watch => "to watch",
        }
    }

    /// 0 most urgent.
    #[must_use]
    pub const fn rank(self) -> u8 {
        self as u8
    }
}

/// A call for attention.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attention {
    /// The rule's key, `cast-on-too-long`.
    pub rule: &'static str,
    /// How soon.
    pub urgency: Urgency,
    /// Which foot, where it is about one.
    pub side: Option<Side>,
    /// The first day on which it applies, if nothing more is recorded.
    pub from: Day,
    /// One sentence; no interval up to "today".
    pub text: String,
    /// Why.
    pub because: Vec<Reason>,
}
