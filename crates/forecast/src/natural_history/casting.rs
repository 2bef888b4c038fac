//! Casts: from the first visit to the decision, and on to the day on which the foot could be braced.

use super::chance::Chance;
use super::truth::{Cast, CastFor, CastVisit, FootTruth};
use super::{ClinicHabits, Cohort, Parameters, TenotomyBy, classes, signs};
use crate::{SignsSeen, halves};
use record::{HalfPoint, Side, Sign};

/// The visit at which casting ends for any signs, so that no course is endless.
pub const LAST_VISIT: usize = 40;

/// Days from one holding cast to the next while a foot's own tenotomy or brace is awaited.
pub const HOLDING_DAYS: i32 = 7;

/// Days a holding cast stays on while a foot that could be braced waits for the other.
pub const HELD_DAYS: i32 = 21;

/// The rules of one simulation, computed once.
pub(super) struct Rules<'a> {
    pub(super) parameters: &'a Parameters,
    pub(super) habits: &'a ClinicHabits,
    pub(super) cohort: &'a Cohort,
    initial: [[signs::Levels; 6]; classes::SEVERITY.len()],
    falls: [[[f64; 3]; 6]; classes::PACE.len()],
    seen: [[f64; 3]; signs::LEVELS],
}

/// A foot in casts.
pub(super) struct FootInCasts {
    levels: [u8; 6],
    deviation_deg: f64,
    slipped: bool,
    pub(super) truth: FootTruth,
    pub(super) ready: bool,
}

impl<'a> Rules<'a> {
    pub(super) fn of(parameters: &'a Parameters, habits: &'a ClinicHabits, cohort: &'a Cohort) -> Self {
        Self {
            parameters,
            habits,
            cohort,
            initial: classes::SEVERITY.map(|severity| parameters.initial(severity)),
            falls: classes::PACE.map(|pace| parameters.falls(pace).map(signs::fall_chances)),
            seen: signs::seen_given_level(parameters.rating_slip),
        }
    }

    /// The signs as judged by a clinician.
    pub(super) fn judge(&self, levels: &[u8; 6], chance: &mut Chance) -> SignsSeen {
        levels.map(|level| Some(HalfPoint::ALL[chance.pick(&self.seen[usize::from(level)])]))
    }

    /// A foot of a class, before its first cast.
    pub(super) fn begin(&self, side: Side, severity: usize, pace: usize, chance: &mut Chance) -> FootInCasts {
        let levels = std::array::from_fn(|sign| chance.pick(&self.initial[severity][sign]) as u8);
        let truth = FootTruth {
            side,
            severity,
            pace,
            complex: false,
            other_cause: false,
            treated_before: chance.happens(self.cohort.treated_before),
            cast_visits: Vec::with_capacity(8),
            casts: Vec::with_capacity(10),
            ready_day: 0,
            tenotomy_day: None,
            brace_ready_day: 0,
            at_brace: levels,
            at_brace_written: [None; 6],
            dorsiflexion_at_brace_deg: 0.0,
            relapse_day: None,
        };
        let deviation_deg = chance.normal() * self.parameters.dorsiflexion_sd_deg;
        FootInCasts { levels, deviation_deg, slipped: false, truth, ready: false }
    }

    /// One visit: the foot is judged, and is either ready or gets a cast.
    pub(super) fn sit(&self, foot: &mut FootInCasts, day: i32, chance: &mut Chance) {
        let judged = self.judge(&foot.levels, chance);
        let first = foot.truth.cast_visits.is_empty();
        let cast_visit = self.written(foot, day, judged, chance);
        foot.truth.cast_visits.push(cast_visit);
        let last = foot.truth.cast_visits.len() >= LAST_VISIT;
        if self.goes_on(&judged, first, chance) || last {
            foot.ready = true;
            foot.truth.ready_day = day;
        } else {
            foot.truth.casts.push(Cast { day, purpose: CastFor::Correction });
            self.cast(foot, chance);
        }
    }

    fn goes_on(&self, judged: &SignsSeen, first: bool, chance: &mut Chance) -> bool {
        let midfoot = halves(judged, &Sign::ALL[..3]).map_or(6, usize::from);
        let allowed = !first || midfoot <= 1;
        allowed && chance.happens(self.habits.go_on[midfoot.min(6)])
    }

    /// The effect of one cast.
    fn cast(&self, foot: &mut FootInCasts, chance: &mut Chance) {
        foot.slipped = chance.happens(self.parameters.cast_slip);
        if foot.slipped {
            return;
        }
        let falls = &self.falls[foot.truth.pace];
        for (level, fall) in foot.levels.iter_mut().zip(falls) {
            *level = level.saturating_sub(chance.pick(fall) as u8);
        }
    }

    fn cast_midfoot(&self, foot: &mut FootInCasts, chance: &mut Chance) {
        let falls = &self.falls[foot.truth.pace];
        for (level, fall) in foot.levels.iter_mut().zip(falls).take(3) {
            *level = level.saturating_sub(chance.pick(fall) as u8);
        }
    }

    fn written(&self, foot: &FootInCasts, day: i32, judged: SignsSeen, chance: &mut Chance) -> CastVisit {
        let (cohort, slipped) = (self.cohort, foot.slipped);
        let whole = !chance.happens(cohort.visits_unwritten);
        let written = judged.map(|sign| sign.filter(|_| whole && !chance.happens(cohort.signs_left_out)));
        let measured = chance.happens(cohort.movement_measured);
        let (up, out) = (self.dorsiflexion(foot, chance), self.abduction(foot, chance));
        CastVisit {
            day,
            levels: foot.levels,
            judged,
            written,
            dorsiflexion_deg: measured.then_some(up),
            abduction_deg: measured.then_some(out),
            slipped,
            slip_written: slipped && chance.happens(cohort.slips_written),
        }
    }

    fn dorsiflexion(&self, foot: &FootInCasts, chance: &mut Chance) -> f64 {
        let parameters = self.parameters;
        let equinus = f64::from(foot.levels[Sign::RigidEquinus as usize]) / 4.0;
        let reading = chance.normal() * parameters.dorsiflexion_reading_sd_deg;
        let free = parameters.dorsiflexion_free_deg - parameters.dorsiflexion_by_equinus_deg * equinus;
        (free + foot.deviation_deg + reading).clamp(-79.0, 39.0)
    }

    /// Used only by the pages and the demonstration, by no inference: some 55° once the midfoot is
    /// free (before tenotomy 54, SD 16, 22 feet, "Foot abduction increases after Achilles tenotomy in
    /// clubfoot patients"), some 60° less with every midfoot sign at 1 (assumed).
    fn abduction(&self, foot: &FootInCasts, chance: &mut Chance) -> f64 {
        let midfoot: f64 = foot.levels[..3].iter().map(|level| f64::from(*level) / 12.0).sum();
        let own = foot.deviation_deg / self.parameters.dorsiflexion_sd_deg.max(1.0);
        (60.0 - 60.0 * midfoot + 4.0 * own + 3.0 * chance.normal()).clamp(-40.0, 72.0)
    }

    /// Whether the foot has a tenotomy.
    pub(super) fn cuts(&self, foot: &FootInCasts, chance: &mut Chance) -> bool {
        let Some(judged) = decided_by(&foot.truth, self.habits) else { return false };
        chance.happens(tenotomy_chance(self.parameters, self.habits, &judged))
    }

    /// The effect of the tenotomy and its cast, and the state of the foot when the brace is fitted.
    pub(super) fn reach_brace(&self, foot: &mut FootInCasts, chance: &mut Chance) {
        let parameters = self.parameters;
        let truth = &foot.truth;
        if truth.brace_ready_day > truth.ready_day {
            // The holding cast, or the one after the tenotomy, still corrects the midfoot.
            self.cast_midfoot(foot, chance);
        }
        if foot.truth.tenotomy_day.is_some() {
            for (level, mean) in foot.levels[3..].iter_mut().zip(parameters.left_after_tenotomy) {
                *level = (*level).min(even_level(mean, chance));
            }
            // 27 (SD 7) after tenotomy, 22 feet, same paper as for abduction.
            foot.truth.dorsiflexion_at_brace_deg = (27.0 + 7.0 * chance.normal()).clamp(5.0, 39.0);
        } else {
            // A foot spared the tenotomy has some 15–20° by then (assumed).
            foot.truth.dorsiflexion_at_brace_deg = (18.0 + 5.0 * chance.normal()).clamp(5.0, 39.0);
        }
        foot.truth.at_brace = foot.levels;
        foot.truth.at_brace_written = self.judge(&foot.levels, chance);
    }
}

/// The signs as judged that the clinic decides on a tenotomy by.
pub(super) fn decided_by(foot: &FootTruth, habits: &ClinicHabits) -> Option<SignsSeen> {
    let cast_visit = match habits.tenotomy_by {
        TenotomyBy::Decision => foot.cast_visits.last(),
        TenotomyBy::FirstScore => foot.cast_visits.first(),
    };
    cast_visit.map(|cast_visit| cast_visit.judged)
}

/// Chance of a tenotomy for a foot judged so at the decision; a sign not judged counts as in the middle.
#[must_use]
pub fn tenotomy_chance(parameters: &Parameters, habits: &ClinicHabits, judged: &SignsSeen) -> f64 {
    let point = |sign: Sign| judged[sign as usize].map_or(0.5, |point| point.halves().value());
    let hindfoot: f64 = Sign::ALL[3..].iter().map(|sign| point(*sign)).sum();
    let equinus = 2.0 * point(Sign::RigidEquinus) - 1.0;
    let signs = parameters.tenotomy_by_hindfoot * (hindfoot - 2.0) + parameters.tenotomy_by_equinus * equinus;
    let logit = habits.tenotomy_intercept + habits.tenotomy_slope * signs;
    1.0 / (1.0 + (-logit).exp())
}

/// The level below a mean in points or the one above it, with the chances that give the mean.
fn even_level(mean: f64, chance: &mut Chance) -> u8 {
    let quarters = 4.0 * mean;
    quarters as u8 + u8::from(chance.happens(quarters.fract()))
}

/// The casts of a foot after its decision.
///
/// While it waits for its own tenotomy, or without one for the brace: a holding cast at the decision and every
/// seven days. From the day on which it could be braced, while the other foot is not ready: a holding cast
/// that stays on for three weeks, like the one after a tenotomy, applied at the other foot's visit if there is
/// one within the week.
pub(super) fn hold(truth: &mut FootTruth, cast_visit_days: &[i32], brace_day: i32) {
    let (ready, cut) = (truth.ready_day, truth.tenotomy_day);
    let awaited = cut.unwrap_or(truth.brace_ready_day);
    let weekly = (0..).map(|week| ready + HOLDING_DAYS * week).take_while(|day| *day < awaited);
    let visit_from = |day: i32| {
        let near =
            cast_visit_days.iter().copied().find(|cast_visit| (day..day + HOLDING_DAYS).contains(cast_visit));
        near.unwrap_or(day)
    };
    let own = truth.brace_ready_day;
    let held = (0..).map(|cast| own + HELD_DAYS * cast).take_while(|day| *day < brace_day);
    let held = held.map(visit_from).filter(|day| *day < brace_day);
    let mut casts: Vec<Cast> =
        weekly.chain(held).map(|day| Cast { day, purpose: CastFor::Holding }).collect();
    casts.extend(cut.map(|day| Cast { day, purpose: CastFor::Tenotomy }));
    casts.sort_by_key(|cast| cast.day);
    truth.casts.extend(casts);
}
