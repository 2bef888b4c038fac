//! One foot while the log is replayed.
//!
//! - A foot is **referred** from the first registration or referral, or from its own first entry if that is
//!   earlier.
//! - A cast puts it **in correction**; while a tenotomy is booked and not done it is **waiting for
//!   tenotomy** instead. A booking lasts until the tenotomy is done, a new booking is recorded, or the
//!   entry is withdrawn; in the brace it does not change the phase.
//! - A tenotomy, or a cast recorded as after tenotomy, puts it in the **tenotomy cast**. It stays there
//!   through further casts until the brace, unless one is recorded as a correcting or holding cast.
//! - A brace puts every affected foot known by that day in **bracing**, full time or at night as the brace
//!   is worn. A foot first known while a brace is worn is in bracing from that day, unless it is cast that
//!   day. When one foot is cast again the brace ends for the child, but the other foot keeps its phase: its
//!   own treatment has not changed, and it waits for the brace to be worn again.
//! - When bracing stops the foot is **after bracing**.
//! - Surgery other than a tenotomy puts it **after surgery** until the next cast or brace of a later day:
//!   the cast of that day belongs to the operation.
//! - A relapse puts it back in correction at once, in the next episode, before its first cast.

use crate::casts::CastTrack;
use crate::events::Event;
use crate::phases::{PhaseTrack, Step};
use crate::{AssessmentSeen, Phase, RelapseSeen, Surgery, TenotomyPlan};
use record::{
    Assessment, CastApplied, CastPurpose, Day, EntryId, OtherSurgery, Regime, RelapseNoted, Side,
    TenotomyBooked, TenotomyDone,
};

#[derive(Debug)]
pub(crate) struct FootTrack {
    pub(crate) side: Side,
    /// The day of the first entry about this foot.
    pub(crate) known: Day,
    pub(crate) casts: CastTrack,
    pub(crate) phases: PhaseTrack,
    pub(crate) scores: Vec<AssessmentSeen>,
    pub(crate) plan: Option<TenotomyPlan>,
    pub(crate) relapses: Vec<RelapseSeen>,
    pub(crate) surgery: Vec<Surgery>,
}

/// The phase of a foot in the brace.
const fn bracing(regime: Regime) -> Phase {
    match regime {
        Regime::FullTime => Phase::FullTimeBracing,
        Regime::NightTime => Phase::NightTimeBracing,
    }
}

impl FootTrack {
    pub(crate) fn new(side: Side, known: Day, phases: PhaseTrack, casts: usize, scores: usize) -> Self {
        Self {
            side,
            known,
            casts: CastTrack::new(casts),
            phases,
            scores: Vec::with_capacity(scores),
            plan: None,
            relapses: Vec::new(),
            surgery: Vec::new(),
        }
    }

    pub(crate) const fn step(&self, on: Day, entry: EntryId) -> Step {
        Step { on, episode: self.casts.episode, entry }
    }

    fn treat(&mut self, phase: Phase, event: &Event<'_>) {
        self.phases.treat(phase, self.step(event.on, event.id()));
    }

    /// In correction, or waiting if a tenotomy is booked.
    const fn correcting(&self) -> Phase {
        if self.plan.is_some() { Phase::WaitingForTenotomy } else { Phase::InCorrection }
    }

    /// A cast; `false` if it was already recorded.
    pub(crate) fn cast(&mut self, event: &Event<'_>, body: &CastApplied, cut_today: bool) -> bool {
        if !self.casts.apply(event, body, cut_today) {
            return false;
        }
        let purpose = self.casts.casts.last().map(|cast| cast.purpose);
        let after_tenotomy = purpose == Some(CastPurpose::AfterTenotomy);
        let stays = self.phases.treatment == Phase::TenotomyCast && body.purpose.is_none();
        let phase = if after_tenotomy || stays { Phase::TenotomyCast } else { self.correcting() };
        self.treat(phase, event);
        true
    }

    pub(crate) fn book(&mut self, event: &Event<'_>, body: &TenotomyBooked) {
        let (entry, booked_on) = (event.id(), event.on);
        self.plan = Some(TenotomyPlan { entry, booked_on, planned_on: body.planned_on });
        let braced = [Phase::FullTimeBracing, Phase::NightTimeBracing, Phase::AfterBracing];
        if !braced.contains(&self.phases.treatment) {
            self.treat(Phase::WaitingForTenotomy, event);
        }
    }

    pub(crate) fn cut(&mut self, event: &Event<'_>, body: &TenotomyDone) {
        self.plan = None;
        if self.casts.cut(event, body) {
            self.treat(Phase::TenotomyCast, event);
        }
    }

    pub(crate) fn operate(&mut self, event: &Event<'_>, body: &OtherSurgery) {
        self.surgery.push(Surgery { entry: event.id(), on: event.on, procedure: body.procedure });
        self.casts.done.surgery = true;
        self.treat(Phase::AfterSurgery, event);
    }

    pub(crate) fn relapse(&mut self, event: &Event<'_>, body: &RelapseNoted) {
        self.casts.relapse(event.on);
        let (entry, on, episode) = (event.id(), event.on, self.casts.episode);
        self.relapses.push(RelapseSeen { entry, on, grade: body.grade, episode });
        self.treat(self.correcting(), event);
    }

    /// The foot is braced under a regime.
    pub(crate) fn brace(&mut self, regime: Regime, on: Day, entry: EntryId) {
        self.casts.brace(on);
        self.phases.treat(bracing(regime), self.step(on, entry));
    }

    /// Bracing stopped.
    pub(crate) fn unbrace(&mut self, event: &Event<'_>) {
        if matches!(self.phases.treatment, Phase::FullTimeBracing | Phase::NightTimeBracing) {
            self.treat(Phase::AfterBracing, event);
        }
    }

    /// Whether the foot has had no treatment yet.
    pub(crate) fn is_untreated(&self) -> bool {
        self.phases.treatment == Phase::Referred && self.casts.casts.is_empty()
    }

    pub(crate) fn score(&mut self, event: &Event<'_>, body: &Assessment) {
        self.scores.push(AssessmentSeen {
            entry: event.id(),
            on: event.on,
            days_since_cast: self.casts.casts.last().map(|cast| event.on - cast.on),
            pirani: body.pirani,
            stated_total: body.stated_total,
            dimeglio: body.dimeglio,
            stated_dimeglio_total: body.stated_dimeglio_total,
            walking: body.walking,
            signs: body.signs,
            abduction_deg: body.abduction_deg,
            dorsiflexion_deg: body.dorsiflexion_deg,
            foot_length_mm: body.foot_length_mm,
        });
    }
}
