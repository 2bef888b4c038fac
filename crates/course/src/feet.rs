//! Which feet are affected, and what is recorded about each foot as a whole.
//!
//! A foot is affected if a diagnosis says so or if it was scored (any sign or total), cast, cut, operated
//! on, booked for a tenotomy or noted as relapsed. Length and movement alone do not make it affected: a
//! healthy foot is measured for its boot.
//!
//! A last diagnosis of "not a clubfoot" excludes the foot, even if it was scored before or after. The foot
//! stays included while a cast is on it, or if it was cast, cut, booked or noted as relapsed on a later
//! day; a question then asks about it.
//!
//! With several diagnoses of one foot, each value (nature, complex or not, earlier treatment) counts until
//! a later diagnosis changes it; a missing value changes nothing.

use crate::FootCourse;
use crate::events::{Event, treats, treats_as_clubfoot};
use crate::foot::FootTrack;
use record::{Assessment, Body, Day, Diagnosis, EntryId, HalfPoint, Nature, Side, Sign};

/// What the entries record about a foot as a whole.
#[derive(Debug, Default)]
pub(crate) struct FootKnown {
    /// The first entry that makes the foot affected.
    pub(crate) first: Option<(Day, EntryId)>,
    /// Whether any diagnosis says that the foot is a clubfoot.
    pub(crate) diagnosed: bool,
    pub(crate) nature: Option<Nature>,
    pub(crate) complex: Option<bool>,
    pub(crate) earlier_treatment: Option<String>,
    /// The last diagnosis, if it is "not a clubfoot".
    pub(crate) not_clubfoot: Option<(Day, EntryId)>,
    /// The last treatment as a clubfoot.
    pub(crate) treated: Option<(Day, EntryId)>,
    /// Numbers of casts and scores, to reserve memory.
    pub(crate) casts: usize,
    pub(crate) scores: usize,
}

/// Whether a score shows any deformity. A score with every sign 0 shows none.
pub(crate) fn shows_deformity(body: &Assessment) -> bool {
    let halves = |pirani: &record::Pirani| {
        Sign::ALL.into_iter().any(|sign| pirani.sign(sign).is_some_and(|point| point != HalfPoint::Zero))
    };
    body.stated_total.is_some_and(|total| total.0 > 0)
        || body.stated_dimeglio_total.is_some_and(|total| total > 0)
        || halves(&body.pirani)
        || !body.dimeglio.is_empty()
}

/// Whether any sign or total was recorded.
pub(crate) fn is_scored(body: &Assessment) -> bool {
    body.stated_total.is_some()
        || body.stated_dimeglio_total.is_some()
        || !body.pirani.is_empty()
        || !body.dimeglio.is_empty()
}

impl FootKnown {
    fn learn(&mut self, event: &Event<'_>) {
        let when = (event.on, event.id());
        let affects = match event.body {
            Body::Diagnosis(body) => return self.diagnose(body, when),
            Body::Assessment(body) => {
                self.scores += 1;
                is_scored(body)
            }
            Body::CastRemoved(_) => true,
            body if treats(body).is_some() => {
                self.casts += usize::from(matches!(body, Body::CastApplied(_)));
                if treats_as_clubfoot(body).is_some() {
                    self.treated = Some(when);
                }
                true
            }
            _ => false,
        };
        if affects {
            self.first.get_or_insert(when);
        }
    }

    fn diagnose(&mut self, body: &Diagnosis, when: (Day, EntryId)) {
        if let Some(nature) = body.nature {
            self.not_clubfoot = (nature == Nature::NotClubfoot).then_some(when);
        }
        self.nature = body.nature.or(self.nature);
        self.complex = body.complex.or(self.complex);
        if body.earlier_treatment.is_some() {
            self.earlier_treatment.clone_from(&body.earlier_treatment);
        }
        if self.not_clubfoot.is_none() {
            self.diagnosed = true;
            self.first.get_or_insert(when);
        }
    }

    /// The diagnosis of "not a clubfoot" and the treatment on that day or later that contradicts it.
    pub(crate) fn contradiction(&self) -> Option<((Day, EntryId), (Day, EntryId))> {
        let (not, treated) = (self.not_clubfoot?, self.treated?);
        (treated.0 >= not.0).then_some((not, treated))
    }

    /// Whether the foot was treated on a later day than the diagnosis of "not a clubfoot".
    fn is_treated_later(&self) -> bool {
        self.contradiction().is_some_and(|(not, treated)| treated.0 > not.0)
    }

    /// Whether the foot is excluded.
    fn is_out(&self, track: &FootTrack) -> bool {
        self.not_clubfoot.is_some() && !self.is_treated_later() && track.casts.cast_on().is_none()
    }
}

/// What the entries record about the right and the left foot.
pub(crate) fn known(events: &[Event<'_>]) -> [FootKnown; 2] {
    let mut known = [FootKnown::default(), FootKnown::default()];
    for event in events {
        match event.body.side() {
            Some(Side::Right) => known[0].learn(event),
            Some(Side::Left) => known[1].learn(event),
            None => {}
        }
    }
    known
}

/// The course of a foot from its track; `None` if it is excluded.
pub(crate) fn finish(known: &FootKnown, track: Option<FootTrack>) -> Option<FootCourse> {
    let track = track.filter(|track| !known.is_out(track))?;
    let last = track.phases.spells.last()?;
    Some(FootCourse {
        side: track.side,
        nature: known.nature,
        complex: known.complex,
        earlier_treatment: known.earlier_treatment.clone(),
        phase: last.phase,
        phase_since: Some(last.from),
        episode: track.casts.episode,
        phases: track.phases.spells,
        episodes: track.casts.episodes,
        casts: track.casts.casts,
        scores: track.scores,
        tenotomies: track.casts.tenotomies,
        tenotomy_plan: track.plan,
        relapses: track.relapses,
        surgery: track.surgery,
    })
}
