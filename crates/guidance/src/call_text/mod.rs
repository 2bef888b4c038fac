//! What a call for attention says, as data: the English words follow from it, and whoever shows a call in another
//! language translates it.
//!
//! Two texts are in English only. [`CallText::InDoubt`] is a question about the record: `course` asks it in its own
//! sentence. [`CallText::English`] is a call whose words alone are known: one read from a saved list.

mod brace;
mod contradiction;
mod finding;
mod setting;
mod treatment;
mod visit;
mod wear;

pub use brace::{BraceCallText, OutgrownWindow};
pub use contradiction::ContradictionText;
pub use finding::{ComplexHint, FindingCallText, UnchangedScore};
pub use setting::{AngleKnownBy, ReachedAngle, SettingText};
pub use treatment::TreatmentCallText;
pub use visit::{AwaitedVisit, LossSpan, LossText, LossWait, UnbookedSince, VisitCallText};
pub use wear::{RoundedNumber, WearCallText};

pub(crate) use finding::short_after_tenotomy_words;
pub(crate) use treatment::last_scored_words;
pub(crate) use visit::born_words;
pub(crate) use wear::{how_words, known_words};

use crate::words::foot_title;
use record::{ContactWay, Day, ProblemKind, Side};

/// What a call for attention says: one sentence or two, without an interval up to "today".
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CallText {
    /// About casts and tenotomy of a foot.
    Treatment(Side, TreatmentCallText),
    /// About findings in a foot.
    Finding(Side, FindingCallText),
    /// About visits, or a family that does not come.
    Visit(VisitCallText),
    /// About the brace.
    Brace(BraceCallText),
    /// About hours in the brace.
    Wear(WearCallText),
    /// A problem that is not settled.
    Problem {
        /// Which foot, if it is about one.
        side: Option<Side>,
        /// The problem.
        what: ProblemKind,
        /// The day on which it was noted.
        on: Day,
        /// What is known of it since.
        standing: ProblemStanding,
    },
    /// The day of birth is not recorded.
    BirthDateMissing,
    /// A child on the lost list.
    OnLostList {
        /// Why the child counts as lost.
        call: Box<CallText>,
        /// The number of attempts to reach the family since the last visit.
        tried: usize,
        /// The next way to try; `None` if every way was tried.
        next: Option<ContactWay>,
        /// The day from which to try it.
        from: Day,
    },
    /// A question about the side or the sense of an entry, of one foot or of the child. The question is in English only.
    InDoubt(Option<Side>, String),
    /// A call whose English words alone are known.
    English(String),
}

/// What is known of a problem since it was noted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProblemStanding {
    /// Nothing.
    Noted,
    /// The advice given did not help.
    AdviceNotHelped,
    /// The child was seen on a day, and it is not recorded whether the problem is settled.
    Seen(Day),
}

impl CallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Treatment(side, call) => format!("{}: {}", foot_title(*side), call.words()),
            Self::Finding(side, call) => format!("{}: {}", foot_title(*side), call.words()),
            Self::Visit(call) => call.words(),
            Self::Brace(call) => call.words(),
            Self::Wear(call) => call.words(),
            Self::Problem { side, what, on, standing } => {
                let whose = side.map_or("The child", foot_title);
                format!("{whose}: {}, noted on {}{}", what.words(), on.words(), standing.words())
            }
            Self::BirthDateMissing => "The day of birth is not recorded.".to_owned(),
            Self::OnLostList { call, tried, next, from } => {
                format!("{} Tried {}. {}", call.words(), times(*tried), next_words(*next, *from))
            }
            Self::InDoubt(Some(side), question) => format!("{}: {question}", foot_title(*side)),
            Self::InDoubt(None, words) | Self::English(words) => words.clone(),
        }
    }
}

impl ProblemStanding {
    /// What follows the day on which the problem was noted.
    fn words(self) -> String {
        match self {
            Self::Noted => ".".to_owned(),
            Self::AdviceNotHelped => "; the advice given did not help.".to_owned(),
            Self::Seen(on) => {
                format!("; seen on {}, but it is not recorded whether it is settled.", on.words())
            }
        }
    }
}

/// "once", "2 times".
fn times(number: usize) -> String {
    if number == 1 { "once".to_owned() } else { format!("{number} times") }
}

/// "Next: letter, from 3 May 2024."
fn next_words(next: Option<ContactWay>, from: Day) -> String {
    let day = from.words();
    match next {
        Some(way) => format!("Next: {}, from {day}.", way.words()),
        None => {
            format!("Every way was tried: from {day} try once more, or close the record with a discharge.")
        }
    }
}
