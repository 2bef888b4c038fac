//! Undoing an import: what it brought is withdrawn, entry by entry, and what was changed since is kept.

use crate::ClinicRecords;
use archive::{ArchiveError, NewImport, PastImport, Receipt, UndoneImport};
use course::{CorrectedLog, Fate};
use record::{Body, ChildId, Day, Entry, EntryId, ImportId, Kind, SiteId, Timestamp, UserId, Withdrawal};
use std::collections::{BTreeMap, HashSet};
use uuid::Uuid;

/// How often an undo is planned again because its children were written about meanwhile.
const TRIES_OF_UNDO: usize = 20;

/// What undoing an import would do.
#[derive(Debug, Clone)]
pub struct UndoPlan {
    /// The import.
    pub import: PastImport,
    /// Entries that would be withdrawn, by child in the order written.
    pub withdrawn: Vec<Entry>,
    /// Entries that would be kept.
    pub kept: Vec<KeptEntry>,
    /// Entries that were withdrawn before, one by one.
    pub withdrawn_before: usize,
    /// Children of whom nothing would be left.
    pub children_gone: usize,
}

/// An entry that stays although its import is undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptEntry {
    /// The entry.
    pub entry: EntryId,
    /// The child.
    pub child: ChildId,
    /// What it is.
    pub kind: Kind,
    /// Its clinical day.
    pub on: Day,
    /// Why it stays.
    pub why: KeptReason,
}

/// Why an entry stays although its import is undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum KeptReason {
    /// It was corrected since.
    Corrected,
    /// Another entry follows it.
    Followed,
    /// It registers a child about whom something else is on record.
    ChildHasEntries,
}

impl KeptReason {
    /// The key, `corrected`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Corrected => "corrected",
            Self::Followed => "followed",
            Self::ChildHasEntries => "child-has-entries",
        }
    }

    /// In words, after the name of the entry: "was corrected since".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Corrected => "was corrected since",
            Self::Followed => "another entry follows it",
            Self::ChildHasEntries => "other entries about the child are on record",
        }
    }
}

/// Who undoes an import, when, where and why.
#[derive(Debug, Clone)]
pub struct UndoStamp {
    /// The clinic's day at that instant, which is the day of every withdrawal.
    pub on: Day,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub by: UserId,
    /// Where.
    pub site: SiteId,
    /// Why; it stays with every withdrawal.
    pub reason: String,
}

impl ClinicRecords {
    /// Writes the entries of an imported file in one transaction, so that they can be undone together.
    ///
    /// # Errors
    /// As [`archive::Archive::append_import`].
    pub fn import_file(
        &self,
        entries: Vec<Entry>,
        about: NewImport,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Receipt, ArchiveError> {
        let receipt = self.archive().append_import(entries, about, progress)?;
        self.count_import();
        Ok(receipt)
    }

    /// Every import, the last one first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn past_imports(&self) -> Result<Vec<PastImport>, ArchiveError> {
        self.archive().imports()
    }

    /// One import; `None` if there is none with this id.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn past_import(&self, id: ImportId) -> Result<Option<PastImport>, ArchiveError> {
        self.archive().past_import(id)
    }

    /// The entries that an import brought, in the order written.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn entries_of_import(&self, id: ImportId) -> Result<Vec<Entry>, ArchiveError> {
        self.archive().entries_of_import(id)
    }

    /// What undoing an import would do. Nothing is written.
    ///
    /// # Errors
    /// [`ArchiveError::NoImport`] or [`ArchiveError::AlreadyUndone`]; otherwise when the records cannot be read.
    pub fn plan_undo(&self, id: ImportId) -> Result<UndoPlan, ArchiveError> {
        let import = self.archive().past_import(id)?.ok_or(ArchiveError::NoImport(id))?;
        if import.undone.is_some() {
            return Err(ArchiveError::AlreadyUndone(id));
        }
        let mut of_child: BTreeMap<ChildId, HashSet<EntryId>> = BTreeMap::new();
        for entry in self.archive().entries_of_import(id)? {
            of_child.entry(entry.child).or_default().insert(entry.id);
        }
        let (withdrawn, kept) = (Vec::new(), Vec::new());
        let mut plan = UndoPlan { import, withdrawn, kept, withdrawn_before: 0, children_gone: 0 };
        for (child, imported) in of_child {
            plan.child(&self.archive().entries(child)?, &imported);
        }
        Ok(plan)
    }

    /// Undoes an import by withdrawals dated today, numbered from `first_id`, and returns what was done. Where
    /// somebody writes about one of its children in that moment, what to keep is decided again.
    ///
    /// # Errors
    /// As [`ClinicRecords::plan_undo`] and [`archive::Archive::undo_import`]; nothing is then written.
    pub fn undo_import(
        &self,
        id: ImportId,
        stamp: &UndoStamp,
        first_id: Uuid,
        progress: &mut dyn FnMut(usize),
    ) -> Result<UndoPlan, ArchiveError> {
        let mut tries_left = TRIES_OF_UNDO;
        loop {
            tries_left -= 1;
            match self.undo_once(id, stamp, first_id, progress) {
                Err(ArchiveError::ChangedMeanwhile) if tries_left > 0 => {}
                done => return done,
            }
        }
    }

    fn undo_once(
        &self,
        id: ImportId,
        stamp: &UndoStamp,
        first_id: Uuid,
        progress: &mut dyn FnMut(usize),
    ) -> Result<UndoPlan, ArchiveError> {
        // Read first, so that a write during the planning counts as later than the plan.
        let planned_at = self.archive().generation()?;
        let plan = self.plan_undo(id)?;
        let UndoStamp { on, at, by, site, reason } = stamp.clone();
        let mut next = first_id.as_u128();
        let withdrawals = plan.withdrawn.iter().map(|entry| {
            next += 1;
            let body = Withdrawal { entry: entry.id, reason: reason.clone() }.into();
            let (id, follows) = (EntryId::new(Uuid::from_u128(next)), Some(entry.id));
            Entry { id, child: entry.child, body, on, at, by, site, follows }
        });
        let withdrawals = withdrawals.collect();
        let how = UndoneImport { by, at, reason, withdrawn: plan.withdrawn.len(), kept: plan.kept.len() };
        self.archive().undo_import(id, withdrawals, how, planned_at, progress)?;
        self.count_import();
        Ok(plan)
    }
}

impl UndoPlan {
    /// Sorts the imported entries of one child.
    fn child(&mut self, entries: &[Entry], imported: &HashSet<EntryId>) {
        let log = CorrectedLog::of(entries, Day::LAST);
        let holds =
            |id: EntryId| log.line(id).is_some_and(|line| !matches!(line.fate, Fate::Withdrawn { .. }));
        let others: Vec<&Entry> =
            entries.iter().filter(|entry| !imported.contains(&entry.id) && holds(entry.id)).collect();
        let followed: HashSet<EntryId> = others.iter().filter_map(|entry| entry.follows).collect();
        let registered_otherwise = others.iter().any(|entry| matches!(entry.body, Body::Registration(_)));
        // Withdrawals and corrections by others say nothing about the child beyond what they amend.
        let says = |entry: &&Entry| !entry.kind().spec().amends;
        let mut kept_any = others.iter().any(says);
        let (mut registrations, mut left) = (Vec::new(), false);
        for line in log.lines.iter().filter(|line| imported.contains(&line.entry.id)) {
            let corrected = matches!(line.fate, Fate::Corrected { by } if !imported.contains(&by));
            let why = match line.fate {
                Fate::Withdrawn { .. } => {
                    self.withdrawn_before += 1;
                    continue;
                }
                _ if corrected => Some(KeptReason::Corrected),
                _ if followed.contains(&line.entry.id) => Some(KeptReason::Followed),
                _ => None,
            };
            match why {
                Some(why) => self.keep(line.entry, why),
                None if matches!(line.entry.body, Body::Registration(_)) => registrations.push(line.entry),
                None => self.withdrawn.push(line.entry.clone()),
            }
            left |= why.is_some();
        }
        kept_any |= left;
        for registration in registrations {
            if kept_any && !registered_otherwise {
                self.keep(registration, KeptReason::ChildHasEntries);
            } else {
                self.withdrawn.push(registration.clone());
            }
        }
        self.children_gone += usize::from(!kept_any);
    }

    fn keep(&mut self, entry: &Entry, why: KeptReason) {
        let (kind, on) = (entry.kind(), entry.on);
        self.kept.push(KeptEntry { entry: entry.id, child: entry.child, kind, on, why });
    }
}
