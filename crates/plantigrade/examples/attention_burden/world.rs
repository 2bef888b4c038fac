//! The clinics measured: the invented one as it is, one in which half of the families do not keep to the
//! brace, and one that was closed for a month.

use course::{Course, Standing};
use forecast::natural_history::ChildTruth;
use guidance::{Attention, Outlook, Protocol, attention::CallPlace};
use plantigrade::demo;
use rayon::prelude::*;
use record::{ChildId, Day, Entry};
use std::collections::BTreeMap;

/// Children of the invented clinic as the demo has it by default; about 170 of them are in care.
const CHILDREN: usize = 240;
/// Days for which the closed clinic was closed.
pub const CLOSED_DAYS: i32 = 30;

/// Which clinic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum World {
    /// As the demo shows it.
    AsItIs,
    /// Half of the simulated families do not keep to the brace.
    HalfDoNotKeep,
    /// Nothing was written in the thirty days before the day measured.
    ClosedForAMonth,
}

impl World {
    pub const ALL: [Self; 3] = [Self::AsItIs, Self::HalfDoNotKeep, Self::ClosedForAMonth];

    pub const fn words(self) -> &'static str {
        match self {
            Self::AsItIs => "the invented clinic as it is",
            Self::HalfDoNotKeep => "half of the families do not keep to the brace",
            Self::ClosedForAMonth => "closed for a month",
        }
    }

    const fn adherent(self) -> Option<f64> {
        match self {
            Self::HalfDoNotKeep => Some(0.5),
            Self::AsItIs | Self::ClosedForAMonth => None,
        }
    }
}

/// One clinic: the log of every child, and what is true of the simulated ones.
pub struct Clinic {
    pub today: Day,
    pub logs: BTreeMap<ChildId, Vec<Entry>>,
    pub truths: BTreeMap<ChildId, ChildTruth>,
}

impl Clinic {
    pub fn of(world: World, seed: u64, today: Day) -> Self {
        let mut logs: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
        let closed = |entry: &Entry| world == World::ClosedForAMonth && entry.on >= today - CLOSED_DAYS;
        for entry in demo::clinic_of(CHILDREN, seed, today, world.adherent()) {
            if !closed(&entry) {
                logs.entry(entry.child).or_default().push(entry);
            }
        }
        Self { today, logs, truths: demo::truths(CHILDREN, seed, today, world.adherent()) }
    }

    /// One child as known on a day; `None` where nothing was known of it.
    pub fn child_on(&self, id: ChildId, day: Day, protocol: &Protocol) -> Option<Child> {
        let known: Vec<Entry> = self.logs.get(&id)?.iter().filter(|entry| entry.on <= day).cloned().collect();
        if known.is_empty() {
            return None;
        }
        let outlook = Outlook::of(Course::of(id, &known, day), protocol);
        Some(Child { id, day, outlook })
    }

    /// Every child as known on a day.
    pub fn on(&self, day: Day, protocol: &Protocol) -> Vec<Child> {
        self.logs.par_iter().filter_map(|(id, _)| self.child_on(*id, day, protocol)).collect()
    }
}

/// One child as known on a day.
pub struct Child {
    pub id: ChildId,
    day: Day,
    pub outlook: Outlook,
}

impl Child {
    pub fn in_care(&self) -> bool {
        matches!(self.outlook.course.standing, Standing::Active)
    }

    /// Whether the child is on the lost list on the day.
    pub fn is_lost(&self) -> bool {
        let calls = &self.outlook.attention;
        calls.iter().any(|call| call.place == CallPlace::Lost && call.applies(self.day))
    }

    /// The calls open on the day, the worst first.
    pub fn open(&self) -> Vec<&Attention> {
        let mut open: Vec<_> =
            self.outlook.attention.iter().filter(|call| call.is_listed(self.day)).collect();
        open.sort_by_key(|call| (call.urgency, call.from));
        open
    }
}
