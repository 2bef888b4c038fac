//! One compact row for each child and its feet: everything the measures read.

use crate::{Gap, KnownBy, LossDefinition, OptionalDay, ResultsBasis};
use course::PlannedIntervals;
use record::{ChildId, Day, Halves, Nature, Side, SiteId, UserId};
use std::{collections::HashMap, sync::Arc};

/// What a measure reads about a foot. Days are clinical days; a day that is not recorded is [`OptionalDay::NEVER`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootHistory {
    /// Which foot.
    pub side: Side,
    /// Index in [`ClinicHistory::sites`]: the site of the first cast, otherwise of the foot's first entry.
    pub site: u16,
    /// Index in [`ClinicHistory::clinicians`]: the person named as having applied the first cast, otherwise
    /// the author of that entry, otherwise the author of the foot's first entry.
    pub clinician: u16,
    /// The aetiology, if recorded.
    pub nature: Option<Nature>,
    /// Whether a clinician recorded it as complex.
    pub complex: Option<bool>,
    /// Treated before this clinic: recorded as such, or braced or tenotomised before its first cast here.
    pub treated_before: bool,
    /// The last complete Pirani total up to the first cast; a total from signs before a stated total.
    pub first_total: Option<Halves>,
    /// First cast.
    pub first_cast: OptionalDay,
    /// Casts for correction in the first episode.
    pub correcting_casts: u16,
    /// Casts of every episode and purpose.
    pub casts: u16,
    /// Cast problems recorded for this foot, or without a side while the foot was in a cast.
    pub cast_problems: u16,
    /// First booking of the first tenotomy.
    pub booked: OptionalDay,
    /// First tenotomy.
    pub tenotomy: OptionalDay,
    /// Second tenotomy of this foot, at any time.
    pub second_tenotomy: OptionalDay,
    /// The day on which bracing began, here or elsewhere. For a foot that arrived in a brace without a record
    /// of that day, the first day on which it was braced here.
    pub brace: OptionalDay,
    /// Where bracing began, and whether that day is known.
    pub brace_began: BraceBegan,
    /// The first brace on or after the first cast here, for a foot that was braced before that cast.
    pub braced_again: OptionalDay,
    /// First return of the deformity after that brace: a recorded relapse, new casts, or surgery.
    pub relapse: OptionalDay,
    /// Tibialis anterior tendon transfer.
    pub tendon_transfer: OptionalDay,
    /// Posterior or posteromedial release.
    pub release: OptionalDay,
    /// Fields expected to be recorded by now: bits of [`crate::ExpectedField`].
    pub expected: u16,
    /// The expected fields that are recorded.
    pub recorded: u16,
}

/// Where bracing of a foot began.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BraceBegan {
    /// Here.
    #[default]
    Here,
    /// Elsewhere, on a recorded day before the child was known here.
    Elsewhere,
    /// On a day that is not recorded: the foot arrived in a brace, or was braced at its first visit with no
    /// cast recorded before it.
    Unknown,
}

/// Why a child is no longer followed here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndOfCare {
    /// Discharged at the end of treatment.
    Discharged,
    /// Transferred to another clinic.
    Transferred,
    /// Died.
    Died,
    /// Declared lost by the clinic.
    DeclaredLost,
}

/// Mean hours of wear in one quarter of bracing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeanWear {
    /// Days the spans cover.
    pub days: u16,
    /// Mean hours a day over them.
    pub hours: f32,
}

/// Number of quarters of bracing for which wear is averaged, as in the published series: months 0–3 to 16–18.
pub const WEAR_QUARTERS: usize = 6;

/// Wear in the first eighteen months of bracing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wear {
    /// Logged wear.
    pub logged: [MeanWear; WEAR_QUARTERS],
    /// Reported wear.
    pub reported: [MeanWear; WEAR_QUARTERS],
}

/// The score given by one rater. Signs and totals are counted in half points; a sign not scored is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RaterScore {
    /// The six signs in the order of [`record::Sign::ALL`].
    pub signs: [Option<u8>; 6],
    /// Total, in halves.
    pub total: Option<u8>,
    /// Dimeglio total, 0 to 20.
    pub dimeglio: Option<u8>,
}

/// A foot scored by two people at one visit. A rater is an `R`: the person as read from the log
/// ([`Clinician`]), or an index in [`ClinicHistory::raters`], as the rows hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoredTwice<R> {
    /// Which foot.
    pub side: Side,
    /// The day.
    pub on: Day,
    /// The raters of the first and of the second score.
    pub raters: [R; 2],
    /// The two scores, each made without seeing the other.
    pub scores: [RaterScore; 2],
    /// Whether either was corrected after both were written.
    pub amended: bool,
}

impl<R> ScoredTwice<R> {
    /// The same pair with its raters named in another way.
    pub(crate) fn with_raters<S>(self, name: impl FnMut(R) -> S) -> ScoredTwice<S> {
        let Self { side, on, raters, scores, amended } = self;
        ScoredTwice { side, on, raters: raters.map(name), scores, amended }
    }
}

/// A child and its affected feet.
#[derive(Debug, Clone, PartialEq)]
pub struct ChildHistory {
    /// The child.
    pub child: ChildId,
    /// Day of birth.
    pub born: OptionalDay,
    /// First referral, on or before the first cast if there is one. A registration does not count.
    pub referred: OptionalDay,
    /// First referral or registration: the day from which the child is known here.
    pub known_from: OptionalDay,
    /// Last visit.
    pub last_seen: OptionalDay,
    /// The day care ended here, and the reason.
    pub left: Option<(Day, EndOfCare)>,
    /// The end of treatment: the first discharge, or the last visit after bracing that ended as planned.
    pub over: OptionalDay,
    /// The drop-out by the planned interval, of a child not seen since.
    pub lost: Option<Gap>,
    /// The first visit after which it is not yet known whether the next visit will take place in time.
    pub settled_until: OptionalDay,
    /// The first drop-out after the first cast by the published definition.
    pub gap: Option<Gap>,
    /// First brace of any foot.
    pub brace: OptionalDay,
    /// First day on which the brace was recorded as not tolerated, or was stopped before age four.
    pub not_tolerated: OptionalDay,
    /// Whether it is recorded how the brace was tolerated: hours of wear, that it was not tolerated, or that it
    /// was stopped.
    pub tolerance_written: bool,
    /// Wear, if any is recorded.
    pub wear: Option<Box<Wear>>,
    /// Feet scored by two people at the same visit.
    pub pairs: Box<[ScoredTwice<u16>]>,
    /// Second scores without a matching first score.
    pub unpaired: u16,
    /// The first day after the as-of day on which the row changes although nothing new is written.
    pub changes_on: OptionalDay,
    /// Right, then left; `None` if not affected.
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
    pub fn corrected(&self) -> OptionalDay {
        let before =
            self.brace.number().zip(self.first_cast.number()).is_some_and(|(brace, cast)| brace < cast);
        if before { self.braced_again } else { self.brace }
    }
}

/// A person who applied a foot's first cast, or scored a foot.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Clinician {
    /// An account.
    User(UserId),
    /// A name as recorded, such as one from a spreadsheet.
    Named(String),
}

/// Every child of a clinic as known on a day.
#[derive(Debug, Clone)]
pub struct ClinicHistory {
    /// The as-of day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// When the clinic plans to see a child again.
    pub plan: Arc<PlannedIntervals>,
    /// One row for each child with an affected foot.
    pub children: Vec<ChildHistory>,
    /// Sites, by index.
    pub sites: Vec<SiteId>,
    /// Clinicians, by index.
    pub clinicians: Vec<Clinician>,
    /// The people who scored feet that were scored twice, by index.
    pub raters: Vec<Clinician>,
    rater_numbers: HashMap<Clinician, u16>,
    site_numbers: HashMap<SiteId, u16>,
    clinician_numbers: HashMap<Clinician, u16>,
}

impl ClinicHistory {
    /// A clinic without children.
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

    /// What its rows are based on.
    #[must_use]
    pub fn basis(&self) -> ResultsBasis {
        ResultsBasis { as_of: self.as_of, known_by: self.known_by, plan: Arc::clone(&self.plan) }
    }

    /// The index of a site.
    pub fn site(&mut self, id: SiteId) -> u16 {
        let next = u16::try_from(self.sites.len()).unwrap_or(u16::MAX);
        *self.site_numbers.entry(id).or_insert_with(|| {
            self.sites.push(id);
            next
        })
    }

    /// The index of a clinician. Beyond 65,535 clinicians the rest share the last index.
    pub fn clinician(&mut self, who: Clinician) -> u16 {
        number(&mut self.clinicians, &mut self.clinician_numbers, who)
    }

    /// The index of a rater of feet that were scored twice; see [`ClinicHistory::clinician`].
    pub fn rater(&mut self, who: Clinician) -> u16 {
        number(&mut self.raters, &mut self.rater_numbers, who)
    }

    /// The number of affected feet.
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
