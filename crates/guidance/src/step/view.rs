//! One foot with its course and protocol, and what follows from its measurements.

use super::{
    contradiction::{self, FoundContradiction},
    end_point::{EndPoint, not_idiopathic},
    measured::Measured,
    readiness::{RuleAnswer, by_score, midfoot_one_or_more},
};
use crate::{FootStatus, Protocol, Scope};
use course::{CastWorn, Course, FootCourse, Phase};
use record::{CastPurpose, Day, DayRange, EntryId};

/// One foot.
pub(crate) struct View<'a> {
    pub(crate) course: &'a Course,
    pub(crate) protocol: &'a Protocol,
    pub(crate) foot: &'a FootCourse,
    pub(crate) measured: Measured<'a>,
    pub(crate) end_point: EndPoint,
    /// The answer of the clinic's own rule for readiness.
    pub(crate) score_answer: Option<RuleAnswer>,
    pub(crate) status: FootStatus,
    /// Findings that contradict each other; while any do, neither readiness nor correction is known.
    pub(crate) disagree: Vec<FoundContradiction>,
}

impl<'a> View<'a> {
    pub(crate) fn of(course: &'a Course, protocol: &'a Protocol, foot: &'a FootCourse) -> Self {
        let measured = Measured::of(foot, measured_since(foot));
        let end_point = EndPoint::of(foot, protocol);
        let score_answer = measured.pirani().and_then(|pirani| by_score(protocol.readiness_rule, pirani));
        let disagree = contradiction::of(&measured, end_point, protocol);
        let known = disagree.is_empty() && course.in_doubt(foot.side).is_none();
        let corrected = known.then(|| corrected(&measured, end_point)).flatten();
        let ready_for_tenotomy =
            known.then(|| ready(&measured, end_point, score_answer, corrected)).flatten();
        let status = FootStatus { side: foot.side, ready_for_tenotomy, corrected };
        Self { course, protocol, foot, measured, end_point, score_answer, status, disagree }
    }

    pub(crate) fn scope(&self) -> Scope {
        Scope::Foot(self.foot.side)
    }

    pub(crate) fn born(&self) -> Option<Day> {
        self.course.about.born
    }

    pub(crate) fn complex(&self) -> bool {
        self.foot.complex == Some(true)
    }

    pub(crate) fn not_idiopathic(&self) -> bool {
        not_idiopathic(self.foot)
    }

    /// The last cast of the current episode.
    pub(crate) fn last_cast(&self) -> Option<&'a CastWorn> {
        self.foot.casts.last().filter(|cast| cast.episode == self.foot.episode)
    }

    /// The number of the next cast in the episode.
    pub(crate) fn next_number(&self) -> u16 {
        self.last_cast().map_or(1, |cast| cast.number.saturating_add(1))
    }

    /// The range of days after a cast in which the next is due.
    pub(crate) fn interval(&self) -> (i32, i32) {
        let span = if self.complex() {
            self.protocol.complex_interval_range_days
        } else {
            self.protocol.cast_interval_range_days
        };
        (span.low.into(), span.high.into())
    }

    /// The source of the interval.
    pub(crate) fn interval_source(&self) -> &'static str {
        self.protocol.source(if self.complex() {
            "complex_foot.interval_range_days"
        } else {
            "casting.interval_range_days"
        })
    }

    /// The cast that is on after a tenotomy of this episode: its own, or one that holds the foot after it.
    pub(crate) fn cast_after_tenotomy(&self) -> Option<&'a CastWorn> {
        let done = self.foot.tenotomies_now().last()?;
        let holds =
            |cast: &&CastWorn| self.foot.phase == Phase::TenotomyCast || cast.purpose == CastPurpose::Holding;
        self.foot.cast_on().filter(|cast| cast.on >= done.on).filter(holds)
    }

    /// The entry that began the phase.
    pub(crate) fn phase_entry(&self) -> Option<EntryId> {
        self.foot.phases.last().and_then(|spell| spell.entry)
    }

    /// The window around the next change of a cast.
    pub(crate) fn change_window(&self, cast: &CastWorn) -> DayRange {
        let (low, high) = self.interval();
        DayRange::new(cast.on + low, cast.on + high)
    }
}

/// The first day of the current episode, if it is not the first one.
fn episode_since(foot: &FootCourse) -> Option<Day> {
    foot.episode_now().filter(|episode| episode.number > 1).map(|episode| episode.from)
}

/// The first day whose measurements count: measurements before the tenotomy no longer describe the foot.
fn measured_since(foot: &FootCourse) -> Option<Day> {
    let tenotomy = foot.tenotomies_now().last().map(|tenotomy| tenotomy.on + 1);
    tenotomy.max(episode_since(foot))
}

/// Whether both angles are reached, and the midfoot does not contradict it: dorsiflexion from a midfoot that
/// gives way is no correction.
fn corrected(measured: &Measured<'_>, end: EndPoint) -> Option<bool> {
    let enough = |deg: Option<i16>, limit: i16| deg.map(|deg| deg >= limit);
    let up = enough(measured.dorsiflexion_deg(), end.dorsiflexion_deg);
    let out = enough(measured.abduction_deg(), end.abduction_deg);
    match (up, out) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(measured.pirani().and_then(midfoot_one_or_more) != Some(true)),
        _ => None,
    }
}

/// The clinic's rule on the six signs decides; if by it the hindfoot needs no tenotomy, short dorsiflexion in a
/// foot with full abduction means that it does, and sufficient dorsiflexion always means no.
fn ready(
    measured: &Measured<'_>,
    end: EndPoint,
    score: Option<RuleAnswer>,
    corrected: Option<bool>,
) -> Option<bool> {
    let short = measured.dorsiflexion_deg().map(|deg| deg < end.dorsiflexion_deg);
    let out = measured.abduction_deg().map(|deg| deg >= end.abduction_deg);
    if corrected == Some(true) || short == Some(false) {
        return Some(false);
    }
    match score? {
        RuleAnswer::Tenotomy => Some(true),
        RuleAnswer::Cast => Some(false),
        RuleAnswer::NoTenotomy if out == Some(false) => Some(false),
        RuleAnswer::NoTenotomy => short.and(out),
    }
}
