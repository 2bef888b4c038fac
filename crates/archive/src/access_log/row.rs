//! One row of the access log.

use record::{ChildId, Timestamp, UserId};

/// What somebody did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AccessAct {
    /// Looked at a page or downloaded a file.
    Look,
    /// Sent a form.
    Send,
    /// Ran a command.
    Command,
}

impl AccessAct {
    const ALL: [Self; 3] = [Self::Look, Self::Send, Self::Command];

    pub(super) const fn code(self) -> i64 {
        self as i64
    }

    pub(super) fn of_code(code: i64) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.code() == code)
    }

    /// The key in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Send => "send",
            Self::Command => "command",
        }
    }
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AccessOutcome {
    /// It was shown or taken.
    Opened,
    /// It was refused for want of a right, which the note names.
    Refused,
    /// It was refused because the record is restricted and the person is not named.
    Restricted,
    /// A restricted record was opened by somebody not named, for the reason in the note.
    OpenedRestricted,
    /// Something about the protection of a record was changed, as the note says: restricted, lifted, erased.
    Changed,
    /// Rows are missing here, as the note says.
    Gap,
}

impl AccessOutcome {
    const ALL: [Self; 6] =
        [Self::Opened, Self::Refused, Self::Restricted, Self::OpenedRestricted, Self::Changed, Self::Gap];

    pub(super) const fn code(self) -> i64 {
        self as i64
    }

    pub(super) fn of_code(code: i64) -> Option<Self> {
        Self::ALL.into_iter().find(|outcome| outcome.code() == code)
    }

    /// The key in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Opened => "opened",
            Self::Refused => "refused",
            Self::Restricted => "restricted",
            Self::OpenedRestricted => "opened_restricted",
            Self::Changed => "changed",
            Self::Gap => "gap",
        }
    }
}

/// What is to be noted.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct AccessEvent {
    /// When.
    pub at: Timestamp,
    /// Who; `None` for a command run without a sign-in.
    pub person: Option<UserId>,
    /// The name of the device: that of an enrolled device, or "this computer".
    pub device: String,
    /// Which child; `None` for a list or for the clinic as a whole.
    pub child: Option<ChildId>,
    /// What was done.
    pub act: AccessAct,
    /// The page in the words of the routes, such as `/child/{id}/visit`, or the command.
    pub what: String,
    /// What came of it.
    pub outcome: AccessOutcome,
    /// The right that was lacking, or the reason; empty for none.
    pub note: String,
}

impl AccessEvent {
    pub(super) fn gap(at: Timestamp, note: String) -> Self {
        Self {
            at,
            person: None,
            device: "this computer".to_owned(),
            child: None,
            act: AccessAct::Command,
            what: "access log".to_owned(),
            outcome: AccessOutcome::Gap,
            note,
        }
    }

    pub(super) fn without_time(&self) -> Self {
        Self { at: Timestamp::from_seconds(0), ..self.clone() }
    }
}

/// A row as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccessRow {
    /// Its number, from 1 without gaps.
    pub number: i64,
    /// What it says.
    pub event: AccessEvent,
}
