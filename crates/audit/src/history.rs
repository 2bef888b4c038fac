//! One compact row for each child and its feet: all that the measures read.

use crate::{KnownBy, LossDefinition, PlannedIntervals, ResultsBasis, ScoredTwice, When};
use course::LossStage;
use record::{ChildId, Day, Halves, Nature, Side, SiteId, UserId};
use std::{collections::HashMap, sync::Arc};

/// What a measure reads of a foot. Days are clinical days; what is not written is [`When::NEVER`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootHistory {
    /// Which foot.
    pub side: Side,
    /// Place in [`Clinic::sites`]: where the first cast was written, else the foot's first entry.
    pub site: u16,
    /// Place in [`Clinic::clinicians`]: who put on the first cast, by name where the entry names
    /// somebody, else who wrote it; else who wrote the foot's first entry.
    pub clinician: u16,
    /// Where the clubfoot comes from, where somebody said.
    pub nature: Option<Nature>,
    /// Whether a clinician called it complex.
    pub complex: Option<bool>,
    /// Treated before this clinic: as written, or braced or cut before its first cast here.
    pub treated_before: bool,
    /// The last full Pirani total up to the first cast, signs before a total on a sheet.
    pub first_total: Option<Halves>,
    /// First cast.
    pub first_cast: When,
    /// Casts for correction in the first episode.
    pub correcting_casts: u16,
    /// Casts of every episode and purpose.
    pub casts: u16,
    /// Problems of the cast noted of this foot, or of no foot in particular while it was cast.
    pub cast_problems: u16,
    /// First booking of the first tenotomy.
    pub booked: When,
    /// First tenotomy.
    pub tenotomy: When,
    /// Second tenotomy of this foot, whenever it was.
    pub second_tenotomy: When,
    /// The day on which bracing began: with the first brace, here or elsewhere. Of a foot that came in a
    /// brace without word of that day, the first day on which it was braced here.
    pub brace: When,
    /// Where bracing began, and whether that day is known.
    pub brace_began: BraceBegan,
    /// The first brace on or after the first cast here, of a foot that was braced before it.
    pub braced_again: When,
    /// First return of the deformity after that brace: a relapse noted, casts begun again, or surgery.
    pub relapse: When,
    /// Tibialis anterior tendon transfer.
    pub tendon_transfer: When,
    /// Posterior or posteromedial release.
    pub release: When,
    /// Fields that should have been written by now: bits of [`crate::Field`].
    pub asked: u16,
    /// Those of them that were.
    pub written: u16,
}

/// Where bracing of a foot began.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BraceBegan {
    /// Here.
    #[default]
    Here,
    /// Elsewhere, on a day that is written and lies before the child was known here.
    Elsewhere,
    /// On a day that nobody wrote: the foot came in a brace, or was braced at its first visit with no cast
    /// written before it.
    Unknown,
}

/// Why a child is no longer followed here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaving {
    /// Discharged at the end of treatment.
    Discharged,
    /// Passed to another clinic.
    Transferred,
    /// Died.
    Died,
    /// Declared lost by the clinic.
    DeclaredLost,
}

/// Where a child stood when it stopped coming.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// In casts.
    Casting,
    /// Waiting for a tenotomy, or in its cast.
    Tenotomy,
    /// In the brace.
    Bracing,
    /// After bracing that stopped early, or after other surgery.
    After,
}

impl From<LossStage> for Stage {
    fn from(stage: LossStage) -> Self {
        match stage {
            LossStage::Casting => Self::Casting,
            LossStage::Tenotomy => Self::Tenotomy,
            LossStage::Bracing => Self::Bracing,
        }
    }
}

/// A gap that a definition calls a drop-out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// By the planned interval, the middle between the last visit and the day the next was due; by the
    /// published definition, the first day on which it was met.
    pub on: Day,
    /// In which stage.
    pub stage: Stage,
    /// Whether the child was seen again.
    pub came_back: bool,
}

/// Mean hours of wear in one quarter of bracing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Worn {
    /// Days the spans cover.
    pub days: u16,
    /// Mean hours a day over them.
    pub hours: f32,
}

/// Quarters of bracing in which wear is averaged, as in the published series: months 0–3 to 16–18.
pub const WEAR_QUARTERS: usize = 6;

/// Wear in the first eighteen months of bracing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wear {
    /// As a logger found it.
    pub logged: [Worn; WEAR_QUARTERS],
    /// As the family says.
    pub reported: [Worn; WEAR_QUARTERS],
}

/// A child and its affected feet.
#[derive(Debug, Clone, PartialEq)]
pub struct ChildHistory {
    /// The child.
    pub child: ChildId,
    /// Day of birth.
    pub born: When,
    /// First referral, on or before the first cast where there is one. A registration is none.
    pub referred: When,
    /// First referral or registration: since when the child is known here.
    pub known_from: When,
    /// Last visit.
    pub last_seen: When,
    /// The day care ended here, and why.
    pub left: Option<(Day, Leaving)>,
    /// The end of treatment: the first discharge, or the last visit after bracing that ended as planned.
    pub over: When,
    /// The drop-out by the planned interval: the child has not been seen since.
    pub lost: Option<Gap>,
    /// The first visit of which it cannot be told yet whether the next will be kept.
    pub settled_until: When,
    /// The first drop-out after the first cast by the published definition.
    pub gap: Option<Gap>,
    /// First brace of any foot.
    pub brace: When,
    /// First day on which it was noted that the brace is not tolerated, or was stopped before age four.
    pub not_tolerated: When,
    /// Whether anybody wrote how the brace was tolerated: hours of wear, that it was not tolerated, or that it
    /// was stopped.
    pub tolerance_written: bool,
    /// Wear, where any was written.
    pub wear: Option<Box<Wear>>,
    /// Feet scored by two people at one visit.
    pub pairs: Box<[ScoredTwice<u16>]>,
    /// Second scores that belong to no first one.
    pub unpaired: u16,
    /// The first day after the day of the row on which an entry changes it.
    pub changes_on: When,
    /// Right, then left; `None` where not affected.
    pub feet: [Option<FootHistory>; 2],
}

impl ChildHistory {
    /// The affected feet.
    pub fn feet(&self) -> impl Iterator<Item = &FootHistory> {
        self.feet.iter().flatten()
    }

    /// Whether both feet are affected.
    #[must_use]
    pub fn both(&self) -> bool {
        self.feet.iter().all(Option::is_some)
    }

    /// The drop-out by a definition.
    #[must_use]
    pub const fn loss(&self, definition: LossDefinition) -> Option<Gap> {
        match definition {
            LossDefinition::ByPlannedInterval => self.lost,
            LossDefinition::AsPublished => self.gap,
        }
    }

    /// The first cast of any foot.
    #[must_use]
    pub fn first_cast(&self) -> Option<i32> {
        self.feet().filter_map(|foot| foot.first_cast.number()).min()
    }
}

impl FootHistory {
    /// The first brace on or after the first cast here.
    #[must_use]
    pub fn corrected(&self) -> When {
        let before =
            self.brace.number().zip(self.first_cast.number()).is_some_and(|(brace, cast)| brace < cast);
        if before { self.braced_again } else { self.brace }
    }
}

/// Who put on a foot's first cast, or scored a foot.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Clinician {
    /// An account.
    User(UserId),
    /// A name on a sheet.
    Named(String),
}

/// Every child of a clinic as known on a day.
#[derive(Debug, Clone)]
pub struct Clinic {
    /// The day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// When the clinic planned to see a child again.
    pub plan: Arc<PlannedIntervals>,
    /// One row for each child with an affected foot.
    pub children: Vec<ChildHistory>,
    /// Sites by number.
    pub sites: Vec<SiteId>,
    /// Clinicians by number.
    pub clinicians: Vec<Clinician>,
    /// Who scored feet that were scored twice, by number.
    pub raters: Vec<Clinician>,
    rater_numbers: HashMap<Clinician, u16>,
    site_numbers: HashMap<SiteId, u16>,
    clinician_numbers: HashMap<Clinician, u16>,
}

impl Clinic {
    /// Nobody yet.
    #[must_use]
    pub fn new(basis: ResultsBasis) -> Self {
        let ResultsBasis { as_of, known_by, plan } = basis;
        Self {
            as_of,
            known_by,
            plan,
            children: Vec::new(),
            sites: Vec::new(),
            clinicians: Vec::new(),
            raters: Vec::new(),
            rater_numbers: HashMap::new(),
            site_numbers: HashMap::new(),
            clinician_numbers: HashMap::new(),
        }
    }

    /// On what its rows rest.
    #[must_use]
    pub fn basis(&self) -> ResultsBasis {
        ResultsBasis { as_of: self.as_of, known_by: self.known_by, plan: Arc::clone(&self.plan) }
    }

    /// The number of a site.
    pub fn site(&mut self, id: SiteId) -> u16 {
        let next = u16::try_from(self.sites.len()).unwrap_or(u16::MAX);
        *self.site_numbers.entry(id).or_insert_with(|| {
            self.sites.push(id);
            next
        })
    }

    /// The number of a clinician. Beyond 65,535 of them the rest share the last number.
    pub fn clinician(&mut self, who: Clinician) -> u16 {
        number(&mut self.clinicians, &mut self.clinician_numbers, who)
    }

    /// The number of somebody who scored a foot twice scored; as [`Clinic::clinician`].
    pub fn rater(&mut self, who: Clinician) -> u16 {
        number(&mut self.raters, &mut self.rater_numbers, who)
    }

    /// Affected feet.
    #[must_use]
    pub fn feet(&self) -> usize {
        self.children.iter().map(|child| child.feet().count()).sum()
    }
}

fn number(list: &mut Vec<Clinician>, numbers: &mut HashMap<Clinician, u16>, who: Clinician) -> u16 {
    let next = u16::try_from(list.len()).unwrap_or(u16::MAX);
    *numbers.entry(who).or_insert_with_key(|who| {
        list.push(who.clone());
        next
    })
}
