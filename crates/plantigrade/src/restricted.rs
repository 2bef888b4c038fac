//! Restricted records: which of them are closed to the person whose request is being answered.
//!
//! A lead restricts a record to people by name. To everybody else it is closed: pages, forms and commands about the
//! child refuse, and lists show "Restricted record" with the number. Somebody who is not named can open it for a
//! stated reason for [`OPEN_MINUTES`]; that is noted, and every lead is told.
//!
//! Who asks is known to the gate. It sets the closed records for the whole answer, also for the work on other
//! threads ([`crate::web::work`]), and [`crate::app::App::is_closed`] asks there: so a page that was forgotten shows too little and
//! never too much. Outside an answer every restricted record is closed.

use clinic::{
    ArchiveError, ClinicRecords, NewRestrictedOpening, RestrictedOpening, RestrictionStep, Restrictions,
};
use record::{ChildId, Timestamp, UserId};
use std::{
    collections::{BTreeSet, HashMap},
    future::Future,
    sync::{
        Arc, Mutex, PoisonError, RwLock,
        atomic::{AtomicU64, Ordering},
    },
};

/// How long a restricted record stays open for somebody who stated a reason.
pub const OPEN_MINUTES: i64 = 60;

/// The records that are closed to a reader.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ClosedRecords(BTreeSet<ChildId>);

impl ClosedRecords {
    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether a record is among them.
    #[must_use]
    pub fn has(&self, child: ChildId) -> bool {
        self.0.contains(&child)
    }

    /// The first of these texts that is the id of a closed record.
    pub fn named<'a>(&self, mut texts: impl Iterator<Item = &'a str>) -> Option<ChildId> {
        if self.is_empty() {
            return None;
        }
        texts.find_map(|text| text.trim().parse().ok().filter(|child| self.has(*child)))
    }

    /// A text that is the same for the same records: part of the key of a drawn page.
    #[must_use]
    pub fn key(&self) -> String {
        self.0.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    }
}

tokio::task_local! {
    static CLOSED: Arc<ClosedRecords>;
}

/// The records that are closed to whoever is being answered; `None` outside an answer.
#[must_use]
pub fn closed_now() -> Option<Arc<ClosedRecords>> {
    CLOSED.try_with(Arc::clone).ok()
}

/// Answers a request of somebody to whom these records are closed.
pub async fn answering<T>(closed: Arc<ClosedRecords>, answer: impl Future<Output = T>) -> T {
    CLOSED.scope(closed, answer).await
}

/// Does work for somebody to whom these records are closed.
pub fn working<T>(closed: Option<Arc<ClosedRecords>>, work: impl FnOnce() -> T) -> T {
    match closed {
        Some(closed) => CLOSED.sync_scope(closed, work),
        None => work(),
    }
}

/// The restrictions in force, and the openings that last.
#[derive(Default)]
struct InForce {
    people: HashMap<ChildId, Vec<UserId>>,
    openings: Vec<RestrictedOpening>,
}

/// The restricted records of the clinic, read once and after each change. No other program changes them while this
/// one has the records open.
pub struct RestrictedRecords {
    stored: Restrictions,
    in_force: RwLock<Arc<InForce>>,
    changes: AtomicU64,
    unseen: Mutex<HashMap<UserId, usize>>,
    none: Arc<ClosedRecords>,
}

impl RestrictedRecords {
    /// Reads those that are stored.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn read(stored: Restrictions, now: Timestamp) -> Result<Self, ArchiveError> {
        let records = Self {
            stored,
            in_force: RwLock::default(),
            changes: AtomicU64::default(),
            unseen: Mutex::default(),
            none: Arc::default(),
        };
        records.read_again(now)?;
        Ok(records)
    }

    fn read_again(&self, now: Timestamp) -> Result<(), ArchiveError> {
        let steps = self.stored.in_force()?;
        let people = steps.into_iter().map(|step| (step.child, step.people.unwrap_or_default())).collect();
        let openings = self.stored.open_after(now)?;
        let new = Arc::new(InForce { people, openings });
        *self.in_force.write().unwrap_or_else(PoisonError::into_inner) = new;
        self.unseen.lock().unwrap_or_else(PoisonError::into_inner).clear();
        self.changes.fetch_add(1, Ordering::AcqRel);
        Ok(())
    }

    fn in_force(&self) -> Arc<InForce> {
        Arc::clone(&self.in_force.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// How often anything about them changed since the start.
    #[must_use]
    pub fn changes(&self) -> u64 {
        self.changes.load(Ordering::Acquire)
    }

    /// The records that are closed to a person now; to nobody all that are restricted.
    #[must_use]
    pub fn closed_to(&self, person: Option<UserId>, now: Timestamp) -> Arc<ClosedRecords> {
        let in_force = self.in_force();
        if in_force.people.is_empty() {
            return Arc::clone(&self.none);
        }
        let is_open = |child: ChildId, people: &[UserId]| {
            let opened = |one: &RestrictedOpening| {
                one.opening.child == child && Some(one.opening.by) == person && now < one.opening.until
            };
            person.is_some_and(|person| people.contains(&person)) || in_force.openings.iter().any(opened)
        };
        let closed = in_force.people.iter().filter(|(child, people)| !is_open(**child, people));
        Arc::new(ClosedRecords(closed.map(|(child, _)| *child).collect()))
    }

    /// The people who may open a restricted record; `None` where the record is not restricted.
    #[must_use]
    pub fn people(&self, child: ChildId) -> Option<Vec<UserId>> {
        self.in_force().people.get(&child).cloned()
    }

    /// Every restricted record.
    #[must_use]
    pub fn children(&self) -> Vec<ChildId> {
        let mut children: Vec<ChildId> = self.in_force().people.keys().copied().collect();
        children.sort();
        children
    }

    /// What was done about the restriction of a record, the latest first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn history(&self, child: ChildId) -> Result<Vec<RestrictionStep>, ArchiveError> {
        self.stored.history(child)
    }

    /// Restricts a record, changes who is named, or lifts the restriction.
    ///
    /// # Errors
    /// When the reason is empty or the records cannot be written.
    pub fn set(&self, step: RestrictionStep) -> Result<(), ArchiveError> {
        let at = step.at;
        self.stored.add(step)?;
        self.read_again(at)
    }

    /// Opens a restricted record for somebody who is not named.
    ///
    /// # Errors
    /// When the reason is empty or the records cannot be written.
    pub fn open(&self, new: NewRestrictedOpening) -> Result<(), ArchiveError> {
        let at = new.at;
        self.stored.open(new)?;
        self.read_again(at)
    }

    /// The openings that a lead has not acknowledged.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn unseen(&self, lead: UserId) -> Result<Vec<RestrictedOpening>, ArchiveError> {
        self.stored.unseen_by(lead)
    }

    /// How many a lead has not acknowledged.
    #[must_use]
    pub fn unseen_count(&self, lead: UserId) -> usize {
        let mut counts = self.unseen.lock().unwrap_or_else(PoisonError::into_inner);
        match counts.get(&lead) {
            Some(count) => *count,
            None => {
                let count = self.stored.unseen_by(lead).map_or(0, |unseen| unseen.len());
                counts.insert(lead, count);
                count
            }
        }
    }

    /// Notes that a lead has seen every opening up to a number.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn acknowledge(&self, lead: UserId, up_to: i64, now: Timestamp) -> Result<(), ArchiveError> {
        self.stored.acknowledge(lead, up_to, now)?;
        self.read_again(now)
    }
}

/// The records that are closed to whoever runs a command, read from the records.
///
/// # Errors
/// When the records cannot be read.
pub fn closed_to_command(
    records: &ClinicRecords,
    person: Option<UserId>,
    now: Timestamp,
) -> Result<Arc<ClosedRecords>, ArchiveError> {
    Ok(RestrictedRecords::read(records.restrictions(), now)?.closed_to(person, now))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_closed_record_is_named_in_every_form_of_its_id() {
        let child: ChildId = "01907e2a-0000-7000-8000-0000000000c1".parse().unwrap();
        let closed = ClosedRecords(BTreeSet::from([child]));
        for text in [
            "01907e2a-0000-7000-8000-0000000000c1",
            "01907E2A-0000-7000-8000-0000000000C1",
            "01907e2a0000700080000000000000c1",
            "{01907e2a-0000-7000-8000-0000000000c1}",
            "urn:uuid:01907e2a-0000-7000-8000-0000000000c1",
            " 01907e2a-0000-7000-8000-0000000000c1 ",
        ] {
            assert_eq!(closed.named(["x", text].into_iter()), Some(child), "{text}");
        }
        assert_eq!(closed.named(["01907e2a-0000-7000-8000-0000000000c2"].into_iter()), None);
    }
}
