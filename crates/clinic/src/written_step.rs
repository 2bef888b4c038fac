//! Entries written in one step, in one log or in two, and taking such a step back.

use course::{CorrectedLog, Fate, Line};
use record::{Body, ChildId, Day, Entry, EntryId, SiteId, Timestamp, UserId, Withdrawal};
use std::collections::BTreeSet;
use uuid::Uuid;

/// Who writes a step, when, where and why.
#[derive(Debug, Clone)]
pub struct StepStamp {
    /// Its clinical day: today, so that the record as of an earlier day does not change.
    pub on: Day,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub by: UserId,
    /// Where.
    pub site: SiteId,
    /// Why; it stays with every amendment.
    pub reason: String,
    /// The id of its first entry; the others are counted up from it.
    pub first_id: Uuid,
}

/// Numbers and stamps the entries of one step.
pub(crate) struct StepWriter<'s> {
    stamp: &'s StepStamp,
    next: u128,
}

impl<'s> StepWriter<'s> {
    pub(crate) const fn new(stamp: &'s StepStamp) -> Self {
        Self { stamp, next: stamp.first_id.as_u128() }
    }

    /// The next id.
    pub(crate) const fn reserve(&mut self) -> EntryId {
        let id = EntryId::new(Uuid::from_u128(self.next));
        self.next = self.next.wrapping_add(1);
        id
    }

    /// An entry of today with an id.
    pub(crate) fn numbered(&self, id: EntryId, child: ChildId, body: impl Into<Body>) -> Entry {
        let StepStamp { on, at, by, site, .. } = *self.stamp;
        Entry { id, child, body: body.into(), on, at, by, site, follows: None }
    }

    /// An amendment of an entry.
    pub(crate) fn amend(&mut self, child: ChildId, entry: EntryId, body: Body) -> Entry {
        let id = self.reserve();
        Entry { follows: Some(entry), ..self.numbered(id, child, body) }
    }

    /// The withdrawal of an entry.
    pub(crate) fn withdraw(&mut self, child: ChildId, entry: EntryId) -> Entry {
        let reason = self.stamp.reason.clone();
        self.amend(child, entry, Withdrawal { entry, reason }.into())
    }
}

/// What taking a step back would do in one of its logs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakeBack {
    /// The child.
    pub child: ChildId,
    /// The entry that lists the step.
    pub step: EntryId,
    /// The entries of the step that hold and are withdrawn: what they withdrew or corrected holds again.
    pub withdrawn: Vec<EntryId>,
    /// What was written since about what the step wrote, one sentence each. It stays.
    pub since: Vec<String>,
}

impl TakeBack {
    /// What taking a step back would do; `None` if the entry lists no step of this log, or if the step was
    /// taken back.
    #[must_use]
    pub fn of(child: ChildId, entries: &[Entry], step: EntryId) -> Option<Self> {
        let log = CorrectedLog::of(entries, Day::LAST);
        let line = log.line(step).filter(|line| line.fate == Fate::Unchanged)?;
        let list = line.body.written_together()?;
        let own: BTreeSet<EntryId> = list.entries.iter().copied().collect();
        let holds =
            |id: &EntryId| log.line(*id).is_some_and(|line| !matches!(line.fate, Fate::Withdrawn { .. }));
        let withdrawn = list.entries.iter().copied().filter(holds).collect();
        let since = log.lines.iter().filter_map(|line| written_since(&log, line, step, &own));
        Some(Self { child, step, withdrawn, since: since.collect() })
    }

    /// The entries that take a step back in every log concerned.
    #[must_use]
    pub fn entries(logs: &[Self], stamp: &StepStamp) -> Vec<Entry> {
        let mut writer = StepWriter::new(stamp);
        let mut all = Vec::new();
        for log in logs {
            // The list last: what it lists is then withdrawn already.
            let targets = log.withdrawn.iter().chain([&log.step]);
            all.extend(targets.map(|entry| writer.withdraw(log.child, *entry)));
        }
        all
    }
}

/// What an entry that holds and is not of the step says about one that is.
fn written_since(
    log: &CorrectedLog<'_>,
    line: &Line<'_>,
    step: EntryId,
    own: &BTreeSet<EntryId>,
) -> Option<String> {
    let entry = line.entry;
    if own.contains(&entry.id) || entry.id == step || matches!(line.fate, Fate::Withdrawn { .. }) {
        return None;
    }
    // What a correction of the step corrected may have been corrected again.
    let corrected = |target: EntryId| {
        let fate = log.line(target).map(|line| line.fate);
        own.contains(&target)
            || (fate == Some(Fate::Corrected { by: entry.id })
                && own.iter().any(|id| amends(log, *id, target)))
    };
    let words = |target: EntryId| log.line(target).map_or_else(String::new, |line| line.body.sentence());
    match &entry.body {
        Body::Correction(body) if corrected(body.entry) => {
            Some(format!("“{}” was corrected on {}", words(body.entry), entry.on.words()))
        }
        Body::Correction(_) | Body::Withdrawal(_) => None,
        _ => {
            let followed = entry.follows.filter(|follows| own.contains(follows))?;
            Some(format!("“{}” of {} follows “{}”", line.body.sentence(), line.on.words(), words(followed)))
        }
    }
}

/// Whether an entry of the step amends another.
fn amends(log: &CorrectedLog<'_>, id: EntryId, target: EntryId) -> bool {
    log.line(id).is_some_and(|line| matches!(line.fate, Fate::Amends { entry } if entry == target))
}
