//! The forecast of a child's feet, put together from its parts.

use super::casting::{self, Casting};
use super::child;
use super::dated::Dated;
use super::now::{ChildNow, FootNow};
use super::tables::Tables;
use super::{Basis, Chance, DateForecast, FootForecast, PlacesToCome, Stage, path, words};
use crate::bracing::Family;
use crate::learning::{BracingHabit, ClinicPosterior, Trials, VISITS, midfoot};
use crate::relapse::RelapseByWear;
use crate::whole_days::{Days, convolve, remaining};
use crate::{SeenChild, SeenFoot};

/// The period of the forecast of a relapse, days.
const YEAR_DAYS: i32 = 365;

/// Makes forecasts for the feet of one clinic. Creating it takes about a millisecond; share it between feet.
#[derive(Debug)]
pub struct Forecaster {
    tables: Tables,
    bracing: BracingHabit,
    /// What a forecast before the brace rests on, and one in it.
    bases: [Basis; 2],
}

impl Forecaster {
    /// A forecaster from the published values and the clinic's own finished feet.
    #[must_use]
    pub fn new(clinic: &ClinicPosterior) -> Self {
        let bases = [false, true].map(|in_brace| words::basis(clinic, in_brace));
        Self { tables: Tables::new(clinic), bracing: clinic.bracing.clone(), bases }
    }

    /// The forecast for each affected foot of a child, in the order of [`SeenChild::feet`].
    ///
    /// The child must be as known on the day: later facts with a date are ignored, but later facts without one (the
    /// number of casts, the booked visit) cannot be recognised.
    #[must_use]
    pub fn of(&self, child: &SeenChild, as_of: i32) -> Vec<FootForecast> {
        let now = ChildNow::of(&self.tables, child, as_of);
        let mut feet = self.feet(&now, &child::forecast(&self.tables, &now)).0;
        for (forecast, foot) in feet.iter_mut().zip(&now.feet).filter(|(_, foot)| foot.stage.in_casts()) {
            forecast.path = path::path(&self.tables, &now, foot);
        }
        feet
    }

    /// The chance of a relapse within a year by the hours of wear, with what was learned from the clinic's own feet,
    /// and the number of its finished feet; `None` if the day of birth is unknown or no foot is in the brace.
    #[must_use]
    pub fn relapse_by_wear(&self, child: &SeenChild, as_of: record::Day) -> Option<(RelapseByWear, usize)> {
        let habit = (self.bracing.adherent(), self.bracing.factor());
        let risk = RelapseByWear::by(&self.tables.kernel.parameters, habit, child, as_of)?;
        Some((risk, self.bases[1].finished_feet))
    }

    /// Places that the child still needs before its brace; `None` if no foot is on its way to it.
    #[must_use]
    pub fn places(&self, child: &SeenChild, as_of: i32) -> Option<PlacesToCome> {
        let now = ChildNow::of(&self.tables, child, as_of);
        let (mut cast_visits, tenotomy) = child::places(&self.tables, &now)?;
        super::outcomes::scale(&mut cast_visits);
        Some(PlacesToCome { cast_visits, tenotomy: tenotomy.clamp(0.0, 1.0) })
    }

    /// The forecast of every foot without its path, and the windows that are compared with the outcome later.
    fn feet(&self, now: &ChildNow<'_>, casting: &[Option<Casting>]) -> (Vec<FootForecast>, Vec<Dated>) {
        let feet = now.feet.iter().zip(casting);
        feet.map(|(foot, casting)| {
            let dated = Dated::of(&self.tables, now, foot, casting.as_ref());
            (self.foot(now, foot, casting.as_ref(), &dated), dated)
        })
        .unzip()
    }

    /// Forecasts as known then, without their paths, and the result of [`Self::trials`] for that day.
    pub(crate) fn again(
        &self,
        then: &SeenChild,
        finished: &SeenChild,
        day: i32,
    ) -> (Vec<FootForecast>, Vec<Trials>) {
        let now = ChildNow::of(&self.tables, then, day);
        let casting = child::forecast(&self.tables, &now);
        let (feet, dated) = self.feet(&now, &casting);
        (feet, self.trials_of(&now, &casting, &dated, finished))
    }

    fn foot(
        &self,
        now: &ChildNow<'_>,
        foot: &FootNow<'_>,
        casting: Option<&Casting>,
        dated: &Dated,
    ) -> FootForecast {
        FootForecast {
            side: foot.seen.side,
            as_of: now.as_of,
            stage: foot.stage,
            casts_to_come: dated.casts.clone(),
            correcting_casts_to_come: dated.correcting.clone(),
            tenotomy: casting.and_then(|casting| self.tenotomy(foot, casting)),
            ready: dated.ready.clone(),
            tenotomy_day: dated.tenotomy_day.clone(),
            brace: dated.brace.clone(),
            full_time_end: self.full_time_end(now, foot, casting.map(|casting| &casting.brace)),
            relapse_within_year: self.relapse(now, foot),
            path: Vec::new(),
            basis: self.bases[usize::from(!foot.stage.before_brace())].clone(),
            unlike: foot.unlike.clone(),
            inputs: words::inputs(now, foot),
            cautions: words::cautions(now, foot, casting),
        }
    }

    fn tenotomy(&self, foot: &FootNow<'_>, casting: &Casting) -> Option<Chance> {
        let value = casting.tenotomy?;
        let by_signs = casting::table(&self.tables, foot).interval(&casting.written?);
        let (low, high) = self.tables.experts.interval(&casting.opinions?, by_signs);
        Some(Chance { value, low: low.min(value), high: high.max(value) })
    }

    fn full_time_end(
        &self,
        now: &ChildNow<'_>,
        foot: &FootNow<'_>,
        brace: Option<&Days>,
    ) -> Option<DateForecast> {
        let days = match (foot.stage, brace) {
            (Stage::FullTimeBracing, _) => {
                let gone = now.as_of - foot.seen.brace_day?;
                remaining(&self.tables.full_time, gone, 1).0
            }
            (_, Some(brace)) => convolve(brace, &self.tables.full_time),
            _ => return None,
        };
        DateForecast::of(now.as_of, &days)
    }

    fn relapse(&self, now: &ChildNow<'_>, foot: &FootNow<'_>) -> Option<Chance> {
        if !matches!(foot.stage, Stage::FullTimeBracing | Stage::NightTimeBracing) {
            return None;
        }
        let age = now.as_of - now.child.born_day?;
        let (prior, factor) = (self.bracing.adherent(), self.bracing.factor());
        let parameters = &self.tables.kernel.parameters;
        let family = Family::of(parameters, now.child, prior, factor, now.as_of);
        let at = |factor: f64| family.relapse(parameters, age, age + YEAR_DAYS, factor);
        let (low, high) = self.bracing.interval(!foot.unlike.is_empty());
        Some(Chance { value: at(factor), low: at(low), high: at(high) })
    }

    /// For each foot of a finished child: the trial of a forecast as of a day, made from what was known `then`.
    pub(crate) fn trials(&self, then: &SeenChild, finished: &SeenChild, day: i32) -> Vec<Trials> {
        let now = ChildNow::of(&self.tables, then, day);
        let casting = child::forecast(&self.tables, &now);
        let dated: Vec<Dated> = now
            .feet
            .iter()
            .zip(&casting)
            .map(|(foot, casting)| Dated::of(&self.tables, &now, foot, casting.as_ref()))
            .collect();
        self.trials_of(&now, &casting, &dated, finished)
    }

    /// The same, in the order of the finished child's feet.
    fn trials_of(
        &self,
        now: &ChildNow<'_>,
        casting: &[Option<Casting>],
        dated: &[Dated],
        finished: &SeenChild,
    ) -> Vec<Trials> {
        let trial = |whole: &SeenFoot| {
            let place = now.feet.iter().position(|foot| foot.seen.side == whole.side)?;
            let mut trials = self.trial(&now.feet[place], casting[place].as_ref(), whole, now.as_of);
            trials.marks = dated[place].marks(now, &now.feet[place], whole);
            Some(trials)
        };
        finished.feet.iter().map(|whole| trial(whole).unwrap_or_default()).collect()
    }

    /// Visits and tenotomy, of a foot in casts.
    fn trial(&self, foot: &FootNow<'_>, casting: Option<&Casting>, whole: &SeenFoot, day: i32) -> Trials {
        let mut trials = Trials::default();
        let Some(ready) = whole.ready_day.filter(|ready| *ready > day && foot.stage.in_casts()) else {
            return trials;
        };
        trials.opinions.extend(casting.and_then(|casting| casting.opinions));
        let visit = whole.visits.iter().find(|visit| visit.day == day && visit.cast);
        let Some(visit) = visit.filter(|_| foot.stage == Stage::InCasts) else { return trials };
        let cast_visits = whole.visits.iter().filter(|visit| visit.day > day && visit.day <= ready).count();
        let at = cast_visits.clamp(1, VISITS) - 1;
        let signs = super::outcomes::readiness(&self.tables, &foot.chains, foot.next, &foot.weights)[at];
        trials.cast_visits.push((signs, self.tables.guard.plain(midfoot(&visit.signs))[at]));
        trials
    }
}
