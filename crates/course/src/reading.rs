//! Which entries stand: corrections and withdrawals settled, nothing thrown away.
//!
//! The rules:
//! - Amendments (corrections and withdrawals) dated after the day asked for are not seen.
//! - Several corrections of one entry: the one written last stands. A withdrawn correction falls back
//!   to the one before it, or to the entry as written.
//! - A withdrawn entry does not stand, whatever corrections of it there are; withdrawing the
//!   withdrawal lets it stand again. Of two amendments that withdraw each other only the one written
//!   later counts.
//! - A correction of a correction or of a withdrawal has no effect, nor has one that holds either; it
//!   is listed in [`Reading::loose`], as is an amendment of an entry that is not there (it may have
//!   been erased).
//! - An entry dated by mistake after the day asked for is seen where a correction moves it to that day
//!   or before; an entry moved to a later day keeps its line and does not count until then.
//!
//! Ids are unique in a log; the result does not depend on the order in which the entries come.

use record::{Body, Correction, Day, Entry, EntryId};

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It stands as written.
    Stands,
    /// It stands with the contents of the correction named, the last one written.
    Corrected {
        /// The correction that holds.
        by: EntryId,
    },
    /// It does not stand.
    Withdrawn {
        /// The withdrawal.
        by: EntryId,
    },
    /// It is itself a correction or withdrawal of the entry named.
    Amends {
        /// The entry amended.
        entry: EntryId,
    },
}

/// One entry with what became of it.
#[derive(Debug, Clone, Copy)]
pub struct Line<'a> {
    /// The entry as written.
    pub entry: &'a Entry,
    /// The contents that hold: the entry's own, or those of its correction.
    pub body: &'a Body,
    /// The clinical day that holds.
    pub on: Day,
    /// What became of it.
    pub fate: Fate,
}

/// An amendment without effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Loose {
    /// The amendment.
    pub entry: EntryId,
    /// Its day.
    pub on: Day,
    /// The entry it names.
    pub target: EntryId,
    /// Why it has no effect.
    pub why: LooseWhy,
}

/// Why an amendment has no effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LooseWhy {
    /// The entry it names is not there.
    Absent,
    /// It corrects a correction or a withdrawal.
    CorrectsAmendment,
    /// What it says the entry should have been is itself a correction or withdrawal.
    HoldsAmendment,
    /// It withdraws an amendment that was written after it.
    WithdrawsLater,
}

/// The entries of one child as known on a day, in clinical order.
#[derive(Debug, Clone)]
pub struct Reading<'a> {
    /// Every entry whose own day is not after the day asked for, or which a correction moved there, by
    /// clinical day, then by the instant of writing, then by id.
    pub lines: Vec<Line<'a>>,
    /// Amendments without effect, in order of day.
    pub loose: Vec<Loose>,
}

impl<'a> Reading<'a> {
    /// Settles the entries of one child as known on a day.
    #[must_use]
    pub fn of(entries: &'a [Entry], as_of: Day) -> Self {
        let mut amendments = Amendments::of(entries, as_of);
        let mut lines = Vec::with_capacity(entries.len());
        lines.extend(entries.iter().filter_map(|entry| amendments.line(entry, as_of)));
        lines.sort_unstable_by_key(|line| (line.on, line.entry.at, line.entry.id));
        Self { lines, loose: amendments.loose() }
    }

    /// The line of an entry.
    #[must_use]
    pub fn line(&self, id: EntryId) -> Option<&Line<'a>> {
        self.lines.iter().find(|line| line.entry.id == id)
    }
}

/// One amendment seen.
struct Amendment<'a> {
    entry: &'a Entry,
    target: EntryId,
    /// `None` for a withdrawal.
    correction: Option<&'a Correction>,
    withdrawn_by: Option<EntryId>,
    why_loose: Option<LooseWhy>,
    found: bool,
}

/// The amendments seen, by instant of writing.
struct Amendments<'a> {
    list: Vec<Amendment<'a>>,
    /// Entry amended and place in the list, sorted.
    by_target: Vec<(EntryId, usize)>,
    /// Id of the amendment and place in the list, sorted.
    by_id: Vec<(EntryId, usize)>,
}

/// What an amendment amends; `None` for any other entry.
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
                let (withdrawn_by, why_loose, found) = (None, None, false);
                Some(Amendment { entry, target, correction, withdrawn_by, why_loose, found })
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

    /// Amendments of amendments, the last written first: what is settled is never unsettled.
    fn settle(&mut self) {
        for i in (0..self.list.len()).rev() {
            let amendment = &mut self.list[i];
            if amendment.correction.is_some_and(|correction| is_amendment(&correction.body)) {
                amendment.why_loose = Some(LooseWhy::HoldsAmendment);
            }
            let Some(j) = place(&self.by_id, amendment.target) else { continue };
            amendment.found = true;
            let (id, withdrawn) = (amendment.entry.id, amendment.withdrawn_by.is_some());
            if amendment.correction.is_some() {
                amendment.why_loose = Some(LooseWhy::CorrectsAmendment);
            } else if j >= i {
                amendment.why_loose = Some(LooseWhy::WithdrawsLater);
            } else if !withdrawn {
                self.list[j].withdrawn_by.get_or_insert(id);
            }
        }
    }

    /// The line of an entry; `None` where it is not seen.
    fn line(&mut self, entry: &'a Entry, as_of: Day) -> Option<Line<'a>> {
        let mut line = Line { entry, body: &entry.body, on: entry.on, fate: Fate::Stands };
        if self.list.is_empty() {
            return (entry.on <= as_of).then_some(line);
        }
        if is_amendment(&entry.body) {
            let amendment = &self.list[place(&self.by_id, entry.id)?];
            line.fate = match amendment.withdrawn_by {
                Some(by) => Fate::Withdrawn { by },
                None => Fate::Amends { entry: amendment.target },
            };
            return Some(line);
        }
        self.amend(&mut line);
        (entry.on <= as_of || line.on <= as_of).then_some(line)
    }

    /// Applies to an ordinary entry what amends it, in order of writing.
    fn amend(&mut self, line: &mut Line<'a>) {
        let from = self.by_target.partition_point(|&(target, _)| target < line.entry.id);
        let amending = self.by_target[from..].iter().take_while(|&&(target, _)| target == line.entry.id);
        let mut withdrawn = None;
        for &(_, i) in amending {
            let amendment = &mut self.list[i];
            amendment.found = true;
            if amendment.withdrawn_by.is_some() || amendment.why_loose.is_some() {
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

    /// What had no effect, once every entry was looked at.
    fn loose(self) -> Vec<Loose> {
        let standing = self.list.iter().filter(|amendment| amendment.withdrawn_by.is_none());
        let mut loose: Vec<_> = standing
            .filter_map(|amendment| {
                let absent = (!amendment.found).then_some(LooseWhy::Absent);
                let why = amendment.why_loose.or(absent)?;
                let entry = amendment.entry;
                Some(Loose { entry: entry.id, on: entry.on, target: amendment.target, why })
            })
            .collect();
        loose.sort_unstable_by_key(|loose| (loose.on, loose.entry));
        loose
    }
}

const fn is_amendment(body: &Body) -> bool {
    matches!(body, Body::Correction(_) | Body::Withdrawal(_))
}

fn place(sorted: &[(EntryId, usize)], id: EntryId) -> Option<usize> {
    let at = sorted.binary_search_by_key(&id, |&(id, _)| id).ok()?;
    sorted.get(at).map(|&(_, place)| place)
}
