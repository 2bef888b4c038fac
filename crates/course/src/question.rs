//! Open questions in the log, for a person to settle.

use record::{Day, EntryId, Side};

/// The kind of an open question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum QuestionKind {
    /// A clinical entry before the day of birth.
    BeforeBirth,
    /// A cast or brace entry after discharge, transfer or death.
    AfterTheEnd,
    /// Two braces at the same time.
    TwoBraces,
    /// The feet look swapped between two visits.
    SidesSwapped,
    /// A cast on for longer than any protocol allows, with no removal recorded.
    CastNeverRemoved,
    /// Two entries about the same thing differ.
    Clash,
    /// The recorded total disagrees with its signs.
    TotalDisagrees,
    /// A score with some signs missing.
    IncompleteScore,
    /// The clinic's own cast number differs from the count.
    CastNumber,
    /// A correction or withdrawal of an entry that does not exist.
    AmendsNothing,
    /// The day of birth is not known.
    NoBirthDay,
    /// A tenotomy before the first cast, or a brace on a foot in a cast.
    OutOfOrder,
    /// A value that is possible but unusual.
    Unusual,
    /// Wear recorded twice for the same days.
    WearOverlaps,
    /// A length that is not plausible after the previous one.
    LengthImplausible,
    /// A weight that is not plausible for the age, or after the one before.
    WeightImplausible,
    /// "None known" after an allergy was named.
    AllergyGone,
    /// A foot is treated that is not on record as a clubfoot, or is marked as not a clubfoot.
    FootNotOnRecord,
    /// A tenotomy booked or done on a foot already cut in the same episode.
    AlreadyCut,
    /// A relapse of one foot, and casts on the other.
    RelapseOtherFoot,
    /// A brace recorded with settings that do not fit the feet or the child. `guidance` asks this question,
    /// because it knows the clinic's protocol.
    BraceSettings,
}

/// One open question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What kind.
    pub kind: QuestionKind,
    /// Which foot, if it is about one.
    pub side: Option<Side>,
    /// The clinical day concerned.
    pub on: Day,
    /// One sentence for the reader; without intervals up to today, so that it stays true tomorrow.
    pub text: String,
    /// The entries concerned.
    pub entries: Vec<EntryId>,
}

impl QuestionKind {
    /// A key for files and filters.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::BeforeBirth => "before-birth",
            Self::AfterTheEnd => "after-the-end",
            Self::TwoBraces => "two-braces",
            Self::SidesSwapped => "sides-swapped",
            Self::CastNeverRemoved => "cast-never-removed",
            Self::Clash => "clash",
            Self::TotalDisagrees => "total-disagrees",
            Self::IncompleteScore => "incomplete-score",
            Self::CastNumber => "cast-number",
            Self::AmendsNothing => "amends-nothing",
            Self::NoBirthDay => "no-birth-day",
            Self::OutOfOrder => "out-of-order",
            Self::Unusual => "unusual",
            Self::WearOverlaps => "wear-overlaps",
            Self::LengthImplausible => "length-implausible",
            Self::WeightImplausible => "weight-implausible",
            Self::AllergyGone => "allergy-gone",
            Self::FootNotOnRecord => "foot-not-on-record",
            Self::AlreadyCut => "already-cut",
            Self::RelapseOtherFoot => "relapse-other-foot",
            Self::BraceSettings => "brace-settings",
        }
    }

    /// Whether the question is about the side or the sense of a treatment, or about what a dose or an operation
    /// rests on. Such a question is asked before an entry is saved from a form, and a note that follows one of the
    /// entries answers it.
    #[must_use]
    pub const fn asks_confirmation(self) -> bool {
        matches!(
            self,
            Self::FootNotOnRecord
                | Self::AlreadyCut
                | Self::RelapseOtherFoot
                | Self::SidesSwapped
                | Self::BraceSettings
                | Self::WeightImplausible
                | Self::AllergyGone
        )
    }
}

impl Question {
    /// Whether it concerns a foot: it names that foot, or no foot.
    #[must_use]
    pub fn is_about(&self, side: Side) -> bool {
        self.side.is_none_or(|about| about == side)
    }
}
