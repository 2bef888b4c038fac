//! The effective entries: corrections and withdrawals applied, nothing discarded.
//!
//! The rules:
//! - Amendments (corrections and withdrawals) dated after the requested day are not visible.
//! - Of several corrections of one entry the one recorded last is effective. If it is withdrawn, the one
//!   before it is effective again, or the original entry.
//! - A withdrawn entry has no effect, even if it was corrected; withdrawing the withdrawal makes it
//!   effective again. If two amendments withdraw each other, only the one recorded later counts.
//! - A correction of a correction or of a withdrawal has no effect, and neither has one that contains
//!   either; it is listed in [`CorrectedLog::ineffective`], as is an amendment of an entry that does not
//!   exist (it may have been erased).
//! - An entry dated by mistake after the requested day is visible if a correction moves it to that day or
//!   before; an entry moved to a later day keeps its line and does not count until then.
//!
//! Ids are unique in a log; the result does not depend on the order of the entries.

use crate::{Body, Correction, Day, Entry, EntryId};

/// The state of an entry after corrections and withdrawals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It is effective as recorded.
    Unchanged,
    /// It is effective with the contents of the named correction, the last one recorded.
    Corrected {
        /// The effective correction.
        by: EntryId,
    },
    /// It has no effect.
    Withdrawn {
        /// The withdrawal.
        by: EntryId,
    },
    /// It is itself a correction or withdrawal of the named entry.
    Amends {
        /// The amended entry.
        entry: EntryId,
    },
}

impl Fate {
    /// Whether what the entry says still counts, as recorded or as corrected. A withdrawn entry does not hold, and
    /// neither does a correction or withdrawal: it says nothing of its own.
    #[must_use]
    pub const fn holds(self) -> bool {
        matches!(self, Self::Unchanged | Self::Corrected { .. })
    }
}

/// One entry with its state.
#[derive(Debug, Clone, Copy)]
pub struct Line<'a> {
    /// The entry as recorded.
    pub entry: &'a Entry,
    /// The effective contents: the entry's own, or those of its correction.
    pub body: &'a Body,
    /// The effective clinical day.
    pub on: Day,
    /// The state of the entry.
    pub fate: Fate,
}

/// An amendment without effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct IneffectiveAmendment {
    /// The amendment.
    pub entry: EntryId,
    /// Its day.
    pub on: Day,
    /// The entry it names.
    pub target: EntryId,
    /// Why it has no effect.
    pub why: IneffectiveWhy,
}

/// Why an amendment has no effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum IneffectiveWhy {
    /// The entry it names does not exist.
    Absent,
    /// It corrects a correction or a withdrawal.
    CorrectsAmendment,
    /// The contents it gives are themselves a correction or withdrawal.
    HoldsAmendment,
    /// It withdraws an amendment that was recorded after it.
    WithdrawsLater,
}

/// The entries of one child as known on a day, in clinical order.
#[derive(Debug, Clone)]
pub struct CorrectedLog<'a> {
    /// Every entry whose own day is not after the requested day, or which a correction moved there, by clinical
    /// day, then by the time of recording, then by id.
    pub lines: Vec<Line<'a>>,
    /// Amendments without effect, in order of day.
    pub ineffective: Vec<IneffectiveAmendment>,
}

impl<'a> CorrectedLog<'a> {
    /// Applies corrections and withdrawals to the entries of one child, as known on a day.
    #[must_use]
    pub fn of(entries: &'a [Entry], as_of: Day) -> Self {
        let mut amendments = Amendments::of(entries, as_of);
        let mut lines = Vec::with_capacity(entries.len());
        lines.extend(entries.iter().filter_map(|entry| amendments.line(entry, as_of)));
        lines.sort_unstable_by_key(|line| (line.on, line.entry.at, line.entry.id));
        Self { lines, ineffective: amendments.ineffective() }
    }

    /// The line of an entry.
    #[must_use]
    pub fn line(&self, id: EntryId) -> Option<&Line<'a>> {
        self.lines.iter().find(|line| line.entry.id == id)
    }
}

/// One visible amendment.
struct Amendment<'a> {
    entry: &'a Entry,
    target: EntryId,
    /// `None` for a withdrawal.
    correction: Option<&'a Correction>,
    withdrawn_by: Option<EntryId>,
    why_ineffective: Option<IneffectiveWhy>,
    found: bool,
}

/// The visible amendments, by time of recording.
struct Amendments<'a> {
    list: Vec<Amendment<'a>>,
    /// The amended entry and the index in the list, sorted.
    by_target: Vec<(EntryId, usize)>,
    /// The id of the amendment and the index in the list, sorted.
    by_id: Vec<(EntryId, usize)>,
}

/// The entry that an amendment amends; `None` for any other entry.
fn target(entry: &Entry) -> Option<(EntryId, Option<&Correction>)> {
    match &entry.body {
        Body::Correction(correction) => Some((correction.entry, Some(correction))),
        Body::Withdrawal(withdrawal) => Some((withdrawal.entry, None)),
        _ => None,
    }
}

impl<'a> Amendments<'a> {
    fn of(entries: &'a [Entry], as_of: Day) -> Self {
        let seen = entries.iter().filter(|entry| entry.on <= as_of);
        let mut list: Vec<_> = seen
            .filter_map(|entry| {
                let (target, correction) = target(entry)?;
                let (withdrawn_by, why_ineffective, found) = (None, None, false);
                Some(Amendment { entry, target, correction, withdrawn_by, why_ineffective, found })
            })
            .collect();
        list.sort_unstable_by_key(|amendment| (amendment.entry.at, amendment.entry.id));
        let mut by_target: Vec<_> = list.iter().enumerate().map(|(i, a)| (a.target, i)).collect();
        let mut by_id: Vec<_> = list.iter().enumerate().map(|(i, a)| (a.entry.id, i)).collect();
        by_target.sort_unstable();
        by_id.sort_unstable();
        let mut all = Self { list, by_target, by_id };
        all.settle();
        all
    }

    /// Applies amendments of amendments, the last recorded first, so that a decided one never changes again.
    fn settle(&mut self) {
        for i in (0..self.list.len()).rev() {
            let Some(amendment) = self.list.get_mut(i) else { continue };
            if amendment.correction.is_some_and(|correction| is_amendment(&correction.body)) {
                amendment.why_ineffective = Some(IneffectiveWhy::HoldsAmendment);
            }
            let Some(j) = place(&self.by_id, amendment.target) else { continue };
            amendment.found = true;
            let (id, withdrawn) = (amendment.entry.id, amendment.withdrawn_by.is_some());
            if amendment.correction.is_some() {
                amendment.why_ineffective = Some(IneffectiveWhy::CorrectsAmendment);
            } else if j >= i {
                amendment.why_ineffective = Some(IneffectiveWhy::WithdrawsLater);
            } else if !withdrawn && let Some(target) = self.list.get_mut(j) {
                target.withdrawn_by.get_or_insert(id);
            }
        }
    }

    /// The line of an entry; `None` if it is not visible.
    fn line(&mut self, entry: &'a Entry, as_of: Day) -> Option<Line<'a>> {
        let mut line = Line { entry, body: &entry.body, on: entry.on, fate: Fate::Unchanged };
        if self.list.is_empty() {
            return (entry.on <= as_of).then_some(line);
        }
        if is_amendment(&entry.body) {
            let amendment = self.list.get(place(&self.by_id, entry.id)?)?;
            line.fate = match amendment.withdrawn_by {
                Some(by) => Fate::Withdrawn { by },
                None => Fate::Amends { entry: amendment.target },
            };
            return Some(line);
        }
        self.amend(&mut line);
        (entry.on <= as_of || line.on <= as_of).then_some(line)
    }

    /// Applies its amendments to an ordinary entry, in order of recording.
    fn amend(&mut self, line: &mut Line<'a>) {
        let from = self.by_target.partition_point(|&(target, _)| target < line.entry.id);
        let amending = self.by_target.iter().skip(from).take_while(|&&(target, _)| target == line.entry.id);
        let mut withdrawn = None;
        for &(_, i) in amending {
            let Some(amendment) = self.list.get_mut(i) else { continue };
            amendment.found = true;
            if amendment.withdrawn_by.is_some() || amendment.why_ineffective.is_some() {
                continue;
            }
            let by = amendment.entry.id;
            match amendment.correction {
                None => withdrawn = Some(by),
                Some(correction) => {
                    line.body = &correction.body;
                    line.on = correction.on.unwrap_or(line.entry.on);
                    line.fate = Fate::Corrected { by };
                }
            }
        }
        if let Some(by) = withdrawn {
            line.fate = Fate::Withdrawn { by };
        }
    }

    /// The amendments without effect, once every entry was processed.
    fn ineffective(self) -> Vec<IneffectiveAmendment> {
        let in_force = self.list.iter().filter(|amendment| amendment.withdrawn_by.is_none());
        let mut ineffective: Vec<_> = in_force
            .filter_map(|amendment| {
                let absent = (!amendment.found).then_some(IneffectiveWhy::Absent);
                let why = amendment.why_ineffective.or(absent)?;
                let entry = amendment.entry;
                Some(IneffectiveAmendment { entry: entry.id, on: entry.on, target: amendment.target, why })
            })
            .collect();
        ineffective.sort_unstable_by_key(|ineffective| (ineffective.on, ineffective.entry));
        ineffective
    }
}

const fn is_amendment(body: &Body) -> bool {
    matches!(body, Body::Correction(_) | Body::Withdrawal(_))
}

fn place(sorted: &[(EntryId, usize)], id: EntryId) -> Option<usize> {
    let at = sorted.binary_search_by_key(&id, |&(id, _)| id).ok()?;
    sorted.get(at).map(|&(_, place)| place)
}
