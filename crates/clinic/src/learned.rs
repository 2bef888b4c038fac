//! What the forecasts learn from the clinic's own finished feet, and how good they were.
//!
//! Reading a whole clinic takes up to a minute, so it is done once for a day and saved until the next import. A
//! small clinic is read when the first forecast of the day is requested. A large one is read in the background;
//! until that is done the forecasts rest on the published prior alone, and state so.

use crate::ClinicRecords;
use archive::{Archive, ArchiveError, CacheKey, CacheValue, RecomputeCost};
use course::Course;
use forecast::{
    SeenChild,
    backtest::{BacktestReport, Followed, backtest},
    foot::{FootForecast, Forecaster},
    learning::ClinicPosterior,
    natural_history::Parameters,
};
use record::{ChildId, Day, Entry};
use std::sync::Arc;

/// The largest clinic, in children, that is read while a page waits: about 0.3 ms each.
const SMALL: usize = 1_500;
/// The largest clinic, in children, whose forecasts are made again while a page waits: about 3 ms each.
const REPLAYED_AT_ONCE: usize = 300;
/// The number of children from whom a large clinic learns, the last finished ones: habits change, and memory is
/// limited.
const LEARNED_FROM: usize = 4_000;
/// Nothing is learned from a child in casts who was not seen for longer: the child is lost, or entries are
/// missing.
const UNDER_WAY_DAYS: i32 = 365;
/// The estimated size of a forecaster in the cache, bytes.
const FORECASTER_BYTES: usize = 4 << 20;

/// A forecaster and what it has learned from.
pub struct TrainedForecaster {
    /// Makes the forecasts.
    pub forecaster: Forecaster,
    /// What was learned; used by the caseload too.
    pub clinic: ClinicPosterior,
    /// Rises with each reading of the clinic, so that no page drawn before a reading is shown after it; 0 if the
    /// clinic has not been read.
    pub reading: u64,
}

/// How good the forecasts of a clinic were.
pub struct ForecastReview {
    /// The back-test.
    pub report: BacktestReport,
    /// The as-of day.
    pub as_of: Day,
    /// Which children were left out to save time.
    pub left_out: Option<String>,
}

fn forecaster_key(as_of: Day) -> CacheKey {
    CacheKey::clinic("forecaster").as_of(as_of)
}

impl ClinicRecords {
    /// The forecaster as of a day. If the clinic has not been read yet it rests on the published prior alone, and
    /// its forecasts state so.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecaster(&self, as_of: Day) -> Result<Arc<TrainedForecaster>, ArchiveError> {
        let (key, imports) = (forecaster_key(as_of), self.imports());
        if let Some(found) = self.cache().get(&key, imports) {
            return Ok(found);
        }
        if self.archive().children_count()? <= SMALL {
            return self.cache().once(&key, imports, |_| self.train(as_of));
        }
        self.in_background(&key, imports, move |records| records.train(as_of));
        let clinic = ClinicPosterior::published(&Parameters::published());
        Ok(Arc::new(TrainedForecaster { forecaster: Forecaster::new(&clinic), clinic, reading: 0 }))
    }

    /// The forecast of each affected foot of a child, as known on the day of its course.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecasts(&self, course: &Course) -> Result<Vec<FootForecast>, ArchiveError> {
        let trained = self.forecaster(course.as_of)?;
        Ok(trained.forecaster.of(&SeenChild::of(course).child, course.as_of.number()))
    }

    /// The reading of the clinic from which the forecasts of a day come; 0 if there is none yet.
    #[must_use]
    pub fn forecast_reading(&self, as_of: Day) -> u64 {
        let found = self.cache().get::<TrainedForecaster>(&forecaster_key(as_of), self.imports());
        found.map_or(0, |trained| trained.reading)
    }

    /// How good the forecasts were; `None` while that is computed in the background.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecast_review(&self, as_of: Day) -> Result<Option<Arc<ForecastReview>>, ArchiveError> {
        let (key, imports) = (CacheKey::clinic("forecast review").as_of(as_of), self.imports());
        if let found @ Some(_) = self.cache().get(&key, imports) {
            return Ok(found);
        }
        let review = move |records: &Self| {
            let value = replay(records.archive(), as_of)?;
            Ok(CacheValue { value, bytes: FORECASTER_BYTES, cost: RecomputeCost::Slow })
        };
        if self.archive().children_count()? <= REPLAYED_AT_ONCE {
            return self.cache().once(&key, imports, |_| review(self)).map(Some);
        }
        self.in_background(&key, imports, review);
        Ok(None)
    }

    /// What is learned from the clinic's finished feet as of a day, read while the caller waits: for commands,
    /// which run once.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn learn_at_once(&self, as_of: Day) -> Result<ClinicPosterior, ArchiveError> {
        let children = children_to_learn_from(self.archive(), as_of)?;
        Ok(ClinicPosterior::of(&Parameters::published(), &children, as_of.number()))
    }

    fn train(&self, as_of: Day) -> Result<CacheValue<TrainedForecaster>, ArchiveError> {
        let clinic = self.learn_at_once(as_of)?;
        let forecaster = Forecaster::new(&clinic);
        let value = TrainedForecaster { forecaster, clinic, reading: self.next_reading() };
        Ok(CacheValue { value, bytes: FORECASTER_BYTES, cost: RecomputeCost::Slow })
    }
}

/// The day on which a child's first casting was finished.
fn over(child: &SeenChild) -> Option<i32> {
    child.feet.iter().filter_map(|foot| foot.brace_day.or(foot.tenotomy_day)).max()
}

/// The children to learn from: those whose first casting is finished, the last of them if there are many, and
/// those in casts now, because the days between their visits are known.
fn children_to_learn_from(archive: &Archive, as_of: Day) -> Result<Vec<SeenChild>, ArchiveError> {
    let (mut latest, mut in_casts) = (Latest::default(), Latest::default());
    archive.for_each_readable_child(&mut |child, entries| {
        let seen = SeenChild::of(&Course::of(child, &entries, as_of)).child;
        match (over(&seen), last_visit(&seen)) {
            (Some(day), _) => latest.take(day, seen),
            (None, Some(day)) if as_of.number() - day <= UNDER_WAY_DAYS => in_casts.take(day, seen),
            _ => {}
        }
    })?;
    let mut children = latest.all().0;
    children.extend(in_casts.all().0);
    Ok(children)
}

/// The last visit of a child's first casting.
fn last_visit(child: &SeenChild) -> Option<i32> {
    child.feet.iter().filter_map(|foot| foot.visits.last()).map(|visit| visit.day).max()
}

/// Makes the past forecasts of the children in the archive again.
fn replay(archive: &Archive, as_of: Day) -> Result<ForecastReview, ArchiveError> {
    let mut latest: Latest<(ChildId, Vec<Entry>)> = Latest::default();
    let mut unfinished = Vec::new();
    archive.for_each_readable_child(&mut |child, entries| {
        let seen = SeenChild::of(&Course::of(child, &entries, as_of)).child;
        match over(&seen) {
            Some(day) => latest.take(day, (child, entries)),
            None => unfinished.push(Followed::of_seen(seen)),
        }
    })?;
    let (finished, dropped) = latest.all();
    let mut children = Followed::of_clinic(&finished, as_of);
    drop(finished);
    children.extend(unfinished);
    let report = backtest(&Parameters::published(), &children, as_of.number());
    let left_out = (dropped > 0).then(|| {
        format!("Of a large clinic only the {LEARNED_FROM} children finished last are used here; {dropped} earlier ones are left out.")
    });
    Ok(ForecastReview { report, as_of, left_out })
}

/// The latest of many items. It has at most twice as many as are needed.
struct Latest<T> {
    held: Vec<(i32, T)>,
    dropped: usize,
}

impl<T> Default for Latest<T> {
    fn default() -> Self {
        Self { held: Vec::new(), dropped: 0 }
    }
}

impl<T> Latest<T> {
    fn take(&mut self, day: i32, one: T) {
        self.held.push((day, one));
        if self.held.len() >= 2 * LEARNED_FROM {
            self.cut();
        }
    }

    fn cut(&mut self) {
        self.held.sort_by_key(|(day, _)| std::cmp::Reverse(*day));
        self.dropped += self.held.len().saturating_sub(LEARNED_FROM);
        self.held.truncate(LEARNED_FROM);
    }

    fn all(mut self) -> (Vec<T>, usize) {
        self.cut();
        (self.held.into_iter().map(|(_, one)| one).collect(), self.dropped)
    }
}
