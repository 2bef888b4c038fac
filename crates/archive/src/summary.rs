//! The summary of a child, by which children are searched and sorted. The caller computes it from the child's
//! log; the archive stores it and does not interpret it.

use record::{ChildId, Day, Entry, EntryId, Side};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Computes a child's summary from the child's whole log, in the order written. It must depend on nothing
/// else, so that a rebuild gives the same summary.
pub type Summarise = Arc<dyn Fn(&[Entry]) -> Summary + Send + Sync>;

/// Called with the number of children done and the number of all children.
pub type Progress = Arc<dyn Fn(usize, usize) + Send + Sync>;

/// One child, as lists and searches show it. Its JSON is the archive's own compact form with keys of one letter,
/// because every child has one and every visit rewrites it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// The child.
    #[serde(rename = "c")]
    pub child: ChildId,
    /// Family name; may be empty.
    #[serde(rename = "f")]
    pub family_name: String,
    /// Given name; may be empty.
    #[serde(rename = "g")]
    pub given_name: String,
    /// Hospital numbers, the current one first.
    #[serde(rename = "n")]
    pub numbers: Vec<String>,
    /// Names of those who look after the child, by which it is found too.
    #[serde(rename = "h", default, skip_serializing_if = "Vec::is_empty")]
    pub carers: Vec<String>,
    /// Their telephone numbers, as written.
    #[serde(rename = "t", default, skip_serializing_if = "Vec::is_empty")]
    pub phones: Vec<String>,
    /// Day of birth, if known.
    #[serde(rename = "b", default, skip_serializing_if = "Option::is_none")]
    pub born: Option<Day>,
    /// "right foot", "both feet" …
    #[serde(rename = "s")]
    pub sides: String,
    /// The phase in words.
    #[serde(rename = "p")]
    pub phase: String,
    /// The key of the phase, for filters.
    #[serde(rename = "k")]
    pub phase_key: String,
    /// Whether the child is under care.
    #[serde(rename = "a")]
    pub active: bool,
    /// The last day the child was seen.
    #[serde(rename = "l", default, skip_serializing_if = "Option::is_none")]
    pub last_seen: Option<Day>,
    /// The next appointment.
    #[serde(rename = "v", default, skip_serializing_if = "Option::is_none")]
    pub next_visit: Option<Day>,
    /// Items of work, each with the day from which it applies.
    #[serde(rename = "i")]
    pub items: Vec<WorkItem>,
    /// The past and future appointments that are to be listed.
    #[serde(rename = "m")]
    pub appointments: Vec<AppointmentItem>,
    /// Other marks by which the child can be found.
    #[serde(rename = "r", default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// Texts for computations over all children.
    #[serde(rename = "x", default, skip_serializing_if = "Vec::is_empty")]
    pub texts: Vec<SavedText>,
    /// Whether the child is in any list. Where nothing of its log holds any more it is not, and no summary
    /// is stored.
    #[serde(skip, default = "is_listed")]
    pub listed: bool,
}

/// A stored summary is of a child that is in the lists.
const fn is_listed() -> bool {
    true
}

impl Summary {
    /// A summary of a child of whom nothing else is known.
    #[must_use]
    pub const fn empty(child: ChildId) -> Self {
        Self {
            child,
            family_name: String::new(),
            given_name: String::new(),
            numbers: Vec::new(),
            carers: Vec::new(),
            phones: Vec::new(),
            born: None,
            sides: String::new(),
            phase: String::new(),
            phase_key: String::new(),
            active: false,
            last_seen: None,
            next_visit: None,
            items: Vec::new(),
            appointments: Vec::new(),
            marks: Vec::new(),
            texts: Vec::new(),
            listed: true,
        }
    }
}

/// The list of an item of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WorkKind {
    /// A next step.
    Step,
    /// Something that needs attention.
    Attention,
    /// An open question about the record.
    Question,
    /// The row of a child in the list of children who need attention, with the key of the leading call.
    Row,
    /// A call that is put off until a day.
    PutOff,
    /// The row of a child on the lost list.
    Lost,
    /// A further call of a child on the lost list.
    #[serde(rename = "beside_lost")]
    FurtherLost,
    /// A child for whom boots or a bar must be ordered.
    Stock,
}

impl WorkKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Step,
        Self::Attention,
        Self::Question,
        Self::Row,
        Self::PutOff,
        Self::Lost,
        Self::FurtherLost,
        Self::Stock,
    ];

    pub(crate) const fn code(self) -> i64 {
        match self {
            Self::Step => 0,
            Self::Attention => 1,
            Self::Question => 2,
            Self::Row => 3,
            Self::PutOff => 4,
            Self::Lost => 5,
            Self::FurtherLost => 6,
            Self::Stock => 7,
        }
    }
}

/// One item of work: a step, a call for attention or a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkItem {
    /// The list.
    #[serde(rename = "k")]
    pub kind: WorkKind,
    /// The key of the rule or action.
    #[serde(rename = "r")]
    pub rule: String,
    /// 0 is the most urgent.
    #[serde(rename = "u")]
    pub urgency: u8,
    /// The foot, if it is about one foot.
    #[serde(rename = "s", default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// The day from which it applies.
    #[serde(rename = "f")]
    pub from: Day,
    /// The first day on which it no longer applies; `None` if it waits for an answer.
    #[serde(rename = "e", default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Day>,
    /// The last day of its window, if it has one. After it the item still applies and is overdue.
    #[serde(rename = "t", default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Day>,
    /// One line for the list.
    #[serde(rename = "x")]
    pub text: String,
    /// Reasons for display, as the caller's own JSON.
    #[serde(rename = "d")]
    pub detail: String,
}

impl WorkItem {
    /// Whether it applies on a day.
    #[must_use]
    pub fn applies(&self, day: Day) -> bool {
        self.from <= day && self.until.is_none_or(|until| day < until)
    }
}

/// One appointment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AppointmentItem {
    /// The entry of the appointment.
    #[serde(rename = "e")]
    pub entry: EntryId,
    /// The day.
    #[serde(rename = "d")]
    pub for_day: Day,
    /// The time of day, any text, if there is one.
    #[serde(rename = "t", default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// Its purpose.
    #[serde(rename = "p")]
    pub purpose: String,
    /// Its state, as defined by the caller: expected, here, seen, missed, cancelled.
    #[serde(rename = "s")]
    pub state: String,
}

/// A mark by which a child can be found.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Mark {
    /// The kind of mark, as defined by the caller.
    #[serde(rename = "t")]
    pub topic: String,
    /// The mark.
    #[serde(rename = "k")]
    pub key: String,
    /// The first day of the mark.
    #[serde(rename = "f")]
    pub from: Day,
    /// The last day.
    #[serde(rename = "u")]
    pub to: Day,
}

/// A text that the caller saves for computations over all children.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct SavedText {
    /// What it is for, as defined by the caller; a child has at most one text for each topic.
    #[serde(rename = "t")]
    pub topic: String,
    /// The text.
    #[serde(rename = "x")]
    pub text: String,
}
