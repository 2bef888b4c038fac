//! The summary of a child: what is searched and sorted by. The caller computes it from the child's log;
//! the archive stores it and does not understand it.

use record::{ChildId, Day, Entry, EntryId, Side};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Computes a child's summary from the child's whole log, in the order written. Must depend on nothing
/// else, so that a rebuild gives the same.
pub type Summarise = Arc<dyn Fn(&[Entry]) -> Summary + Send + Sync>;

/// One child, as lists and searches show it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// The child.
    pub child: ChildId,
    /// Family name, may be empty.
    pub family_name: String,
    /// Given name, may be empty.
    pub given_name: String,
    /// Hospital numbers, the current one first.
    pub numbers: Vec<String>,
    /// Day of birth, where known.
    pub born: Option<Day>,
    /// "right foot", "both feet" …
    pub sides: String,
    /// The phase in human words.
    pub phase: String,
    /// The key of the phase, for filters.
    pub phase_key: String,
    /// Whether the child is under care.
    pub active: bool,
    /// The last day the child was seen.
    pub last_seen: Option<Day>,
    /// The next appointment.
    pub next_visit: Option<Day>,
    /// What to do or look at, each from a day on.
    pub items: Vec<WorkItem>,
    /// Appointments, past and to come, as far as the caller wants them listed.
    pub appointments: Vec<AppointmentItem>,
}

impl Summary {
    /// A summary with nothing but the child in it.
    #[must_use]
    pub const fn empty(child: ChildId) -> Self {
        Self {
            child,
            family_name: String::new(),
            given_name: String::new(),
            numbers: Vec::new(),
            born: None,
            sides: String::new(),
            phase: String::new(),
            phase_key: String::new(),
            active: false,
            last_seen: None,
            next_visit: None,
            items: Vec::new(),
            appointments: Vec::new(),
        }
    }
}

/// Which list an item is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WorkKind {
    /// A next step.
    Step,
    /// Something that needs attention.
    Attention,
    /// An open question about the record.
    Question,
}

impl WorkKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Step, Self::Attention, Self::Question];

    pub(crate) const fn code(self) -> i64 {
        match self {
            Self::Step => 0,
            Self::Attention => 1,
            Self::Question => 2,
        }
    }
}

/// One thing to do or look at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkItem {
    /// Which list it is for.
    pub kind: WorkKind,
    /// The key of the rule or action.
    pub rule: String,
    /// 0 is the most urgent.
    pub urgency: u8,
    /// The foot, where it is about one foot.
    pub side: Option<Side>,
    /// The day from which it applies.
    pub from: Day,
    /// The last day of its window, where it has one. Past it the item still applies, overdue.
    pub to: Option<Day>,
    /// One line for the list.
    pub text: String,
    /// Reasons for display, as the caller's own JSON.
    pub detail: String,
}

/// One appointment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AppointmentItem {
    /// The entry that made it.
    pub entry: EntryId,
    /// The day.
    pub for_day: Day,
    /// The time of day as written, where there is one.
    pub time: Option<String>,
    /// What for.
    pub purpose: String,
    /// Expected, here, seen, missed, cancelled: the caller's word.
    pub state: String,
}
