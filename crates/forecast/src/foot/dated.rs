//! The days and casts of a forecast, recalibrated by the clinic's past, and their comparison with the outcome.

use super::casting::Casting;
use super::now::{ChildNow, FootNow};
use super::tables::Tables;
use super::{CountForecast, DateForecast, HeldHere, Stage};
use crate::SeenFoot;
use crate::learning::{Band, Mark, Recalibration, Target, shares};
use crate::whole_days::Days;

/// Days and casts to come, recalibrated, each with the forecast before recalibration.
#[derive(Debug, Default)]
pub(crate) struct Dated {
    pub(crate) ready: Option<DateForecast>,
    pub(crate) tenotomy_day: Option<DateForecast>,
    pub(crate) brace: Option<DateForecast>,
    pub(crate) casts: Option<CountForecast>,
    pub(crate) correcting: Option<CountForecast>,
    /// The forecasts before recalibration, by target.
    before: Vec<(Target, Days)>,
}

/// The stage for which windows are recalibrated; `None` if nothing is.
fn band(now: &ChildNow<'_>, foot: &FootNow<'_>) -> Option<Band> {
    match foot.stage {
        Stage::BeforeFirstCast => Some(Band::First),
        Stage::InCasts => {
            let cast_visits = foot.seen.visits.iter().filter(|visit| visit.day <= now.as_of).count();
            Some(Band::in_casts(cast_visits, !foot.unlike.is_empty()))
        }
        Stage::Ready => Some(Band::Ready),
        Stage::TenotomyCast => Some(Band::TenotomyCast),
        _ => None,
    }
}

impl Dated {
    pub(crate) fn of(
        tables: &Tables,
        now: &ChildNow<'_>,
        foot: &FootNow<'_>,
        casting: Option<&Casting>,
    ) -> Self {
        let (Some(casting), Some(band)) = (casting, band(now, foot)) else { return Self::default() };
        let mut dated = Self::default();
        let recalibration = &tables.recalibration;
        let booked = foot.seen.tenotomy_planned_day.is_some_and(|day| day >= now.as_of);
        let mut date = |target: Target, days: Option<&Days>| {
            let mapped = Mapped::of(recalibration, target, band, days?);
            let mut date = DateForecast::at(now.as_of, &mapped.chances, recalibration.levels(target))?;
            date.here = mapped.here;
            dated.before.push((target, mapped.before));
            Some(date)
        };
        dated.ready = date(Target::Ready, casting.ready.as_ref());
        // A booked day is a record, not a forecast.
        dated.tenotomy_day = if booked && foot.stage == Stage::Ready {
            casting.tenotomy_days.as_ref().and_then(|days| DateForecast::of(now.as_of, days))
        } else {
            date(Target::Tenotomy, casting.tenotomy_days.as_ref())
        };
        dated.brace = date(Target::Brace, Some(&casting.brace));
        let mut count = |target: Target, counts: &Days| {
            let mapped = Mapped::of(recalibration, target, band, counts);
            let mut count = CountForecast::at(&mapped.chances, recalibration.levels(target))?;
            count.here = mapped.here;
            dated.before.push((target, mapped.before));
            Some(count)
        };
        dated.casts = count(Target::Casts, &casting.casts);
        dated.correcting = count(Target::Correcting, &casting.correcting);
        dated
    }

    /// The place of each outcome in its forecast.
    pub(crate) fn marks(&self, now: &ChildNow<'_>, foot: &FootNow<'_>, whole: &SeenFoot) -> Vec<Mark> {
        let Some(band) = band(now, foot) else { return Vec::new() };
        let marks = self.before.iter().filter_map(|(target, before)| {
            let (outcome, held) = self.outcome(*target, now, foot, whole)?;
            let (below, upto) = shares(before, outcome);
            Some(Mark { target: *target, band, below, upto, held })
        });
        marks.collect()
    }

    /// The outcome, in days or casts from then, and whether the windows contained it.
    fn outcome(
        &self,
        target: Target,
        now: &ChildNow<'_>,
        foot: &FootNow<'_>,
        whole: &SeenFoot,
    ) -> Option<(usize, [bool; 2])> {
        let date = |forecast: &Option<DateForecast>, day: Option<i32>| {
            date_outcome(forecast.as_ref()?, now.as_of, day.filter(|day| *day > now.as_of)?)
        };
        let count = |forecast: &Option<CountForecast>, casts: Option<usize>| {
            count_outcome(forecast.as_ref()?, casts?)
        };
        match target {
            Target::Ready => date(&self.ready, whole.ready_day),
            Target::Tenotomy => date(&self.tenotomy_day, whole.tenotomy_day),
            Target::Brace => date(&self.brace, whole.brace_day),
            Target::Casts => count(&self.casts, whole.casts.checked_sub(foot.seen.casts).map(usize::from)),
            Target::Correcting => {
                let to_come = |ready: i32| {
                    let later = |day: i32| day > now.as_of && day < ready;
                    whole.visits.iter().filter(|visit| visit.cast && later(visit.day)).count()
                };
                count(&self.correcting, whole.ready_day.filter(|ready| *ready > now.as_of).map(to_come))
            }
        }
    }
}

/// Days to a day after the as-of day, and whether the windows contain it.
fn date_outcome(forecast: &DateForecast, as_of: i32, day: i32) -> Option<(usize, [bool; 2])> {
    let both = [forecast.window50, forecast.window90];
    let days = usize::try_from(day - as_of).ok()?;
    Some((days, both.map(|window| (window.from_day..=window.to_day).contains(&day))))
}

/// A number of casts, and whether the windows contain it.
fn count_outcome(forecast: &CountForecast, casts: usize) -> Option<(usize, [bool; 2])> {
    let both = [forecast.window50, forecast.window90];
    Some((casts, both.map(|window| (window.from..=window.to).contains(&casts))))
}

/// A forecast before and after its map.
struct Mapped {
    before: Days,
    chances: Days,
    here: Option<HeldHere>,
}

impl Mapped {
    fn of(recalibration: &Recalibration, target: Target, band: Band, chances: &Days) -> Self {
        let before = recalibration.widened(chances);
        let mut chances = before.clone();
        recalibration.map(target, band, &mut chances);
        let tally = recalibration.tally(target, band);
        let here = HeldHere { windows: tally.windows, held50: tally.held[0], held90: tally.held[1] };
        Self { before, chances, here: Some(here) }
    }
}
