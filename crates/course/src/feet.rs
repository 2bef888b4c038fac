//! Which feet are affected, and what was said of them as a whole.
//!
//! A foot is affected when a diagnosis says so or when it was scored (any sign or total), cast, cut,
//! operated on, booked for a tenotomy or noted as relapsed. Length and movement alone do not make it
//! so: a healthy foot is measured for its boot.
//!
//! A last diagnosis of "not a clubfoot" takes the foot out, however it was scored before or after; but
//! not while a cast is on it, nor when it was cast, cut, booked or noted as relapsed on a later day:
//! then a question asks.
//!
//! Of several diagnoses of one foot, each thing said (nature, complex or not, earlier treatment) holds
//! until a later one says otherwise; silence takes nothing back.

use crate::FootCourse;
use crate::events::{Event, treats};
use crate::foot::FootTrack;
use record::{Assessment, Body, Day, Diagnosis, EntryId, HalfPoint, Nature, Side, Sign};

/// What the entries say of a foot as a whole.
#[derive(Debug, Default)]
pub(crate) struct FootKnown {
    /// The first entry that makes the foot affected.
    pub(crate) first: Option<(Day, EntryId)>,
    /// Whether any diagnosis says that the foot is a clubfoot.
    pub(crate) diagnosed: bool,
    pub(crate) nature: Option<Nature>,
    pub(crate) complex: Option<bool>,
    pub(crate) earlier_treatment: Option<String>,
    /// The last diagnosis, where it says that this is no clubfoot.
    pub(crate) not_clubfoot: Option<(Day, EntryId)>,
    /// The last treatment.
    pub(crate) treated: Option<(Day, EntryId)>,
    /// How many casts and scores are written, to reserve room.
    pub(crate) casts: usize,
    pub(crate) scores: usize,
}

/// Whether a score shows any deformity. All signs 0 show none.
pub(crate) fn shows_deformity(body: &Assessment) -> bool {
    let halves = |pirani: &record::Pirani| {
        Sign::ALL.into_iter().any(|sign| pirani.sign(sign).is_some_and(|point| point != HalfPoint::Zero))
    };
    body.stated_total.is_some_and(|total| total.0 > 0)
        || body.stated_dimeglio_total.is_some_and(|total| total > 0)
        || halves(&body.pirani)
        || !body.dimeglio.is_empty()
}

/// Whether any sign or total was written.
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
                // Surgery of a foot that is no clubfoot may have another cause: it contradicts no diagnosis.
                if !matches!(body, Body::OtherSurgery(_)) {
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

    /// Whether the foot was treated on a later day than it was found to be no clubfoot.
    fn is_treated_later(&self) -> bool {
        self.contradiction().is_some_and(|(not, treated)| treated.0 > not.0)
    }

    /// Whether the foot is out.
    fn is_out(&self, track: &FootTrack) -> bool {
        self.not_clubfoot.is_some() && !self.is_treated_later() && track.casts.cast_on().is_none()
    }
}

/// What the entries say of the right and the left foot.
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

/// The course of a foot from its track; `None` where it is out.
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
