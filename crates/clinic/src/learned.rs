//! What the clinic's own finished feet teach its forecasts, and how good those were.
//!
//! Reading a whole clinic takes from a moment to a minute, so it is done once for a day and saved, until an
//! import. A small clinic is read when the first forecast of the day is requested; a large one is read in the
//! background, and until that is done the forecasts say that they rest on the published prior alone.

use crate::ClinicRecords;
use archive::{Archive, ArchiveError, CacheKey, Weighed, Worth};
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

/// Children up to whom a clinic is read while a page waits: some 0.3 ms each.
const SMALL: usize = 1_500;
/// Children up to whom the forecasts are replayed while a page waits: some 3 ms each.
const REPLAYED_AT_ONCE: usize = 300;
/// Of a large clinic only the last finished ones teach: habits change, and memory is not endless.
const TAUGHT: usize = 4_000;
/// A child in casts that was not seen for longer teaches nothing: it is lost, or its record is.
const UNDER_WAY_DAYS: i32 = 365;
/// What a forecaster weighs in the cache, by estimate.
const FORECASTER_BYTES: usize = 4 << 20;

/// A forecaster and what it was taught by.
pub struct TaughtForecaster {
    /// Makes the forecasts.
    pub forecaster: Forecaster,
    /// What was learned, for the caseload.
    pub clinic: ClinicPosterior,
    /// Rises with each reading of the clinic, so that pages drawn before it are not shown after it; 0 where
    /// the clinic has not been read.
    pub reading: u64,
}

/// How the forecasts of a clinic did.
pub struct ForecastReview {
    /// What was found.
    pub report: BacktestReport,
    /// As of which day.
    pub as_of: Day,
    /// What was left out for speed.
    pub left_out: Option<String>,
}

fn forecaster_key(as_of: Day) -> CacheKey {
    CacheKey::clinic("forecaster").as_of(as_of)
}

impl ClinicRecords {
    /// The forecaster as of a day. Where the clinic has not been read yet it knows the published feet
    /// only, and says so.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecaster(&self, as_of: Day) -> Result<Arc<TaughtForecaster>, ArchiveError> {
        let (key, imports) = (forecaster_key(as_of), self.imports());
        if let Some(found) = self.cache().get(&key, imports) {
            return Ok(found);
        }
        if self.archive().children_count()? <= SMALL {
            return self.cache().once(&key, imports, |_| self.taught(as_of));
        }
        self.in_background(&key, imports, move |records| records.taught(as_of));
        let clinic = ClinicPosterior::published(&Parameters::published());
        Ok(Arc::new(TaughtForecaster { forecaster: Forecaster::new(&clinic), clinic, reading: 0 }))
    }

    /// The forecast of each affected foot of a child, as known on the day of its course.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecasts(&self, course: &Course) -> Result<Vec<FootForecast>, ArchiveError> {
        let taught = self.forecaster(course.as_of)?;
        Ok(taught.forecaster.of(&SeenChild::of(course).child, course.as_of.number()))
    }

    /// Which reading of the clinic the forecasts of a day come from; 0 before there is one.
    #[must_use]
    pub fn forecast_reading(&self, as_of: Day) -> u64 {
        let found = self.cache().get::<TaughtForecaster>(&forecaster_key(as_of), self.imports());
        found.map_or(0, |taught| taught.reading)
    }

    /// How the forecasts did, or `None` while that is computed in the background.
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
            Ok(Weighed { value, bytes: FORECASTER_BYTES, worth: Worth::Slow })
        };
        if self.archive().children_count()? <= REPLAYED_AT_ONCE {
            return self.cache().once(&key, imports, |_| review(self)).map(Some);
        }
        self.in_background(&key, imports, review);
        Ok(None)
    }

    /// What the clinic's finished feet have taught as of a day, read while the caller waits: for commands,
    /// which run once.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn learn_at_once(&self, as_of: Day) -> Result<ClinicPosterior, ArchiveError> {
        let children = teachers(self.archive(), as_of)?;
        Ok(ClinicPosterior::of(&Parameters::published(), &children, as_of.number()))
    }

    fn taught(&self, as_of: Day) -> Result<Weighed<TaughtForecaster>, ArchiveError> {
        let clinic = self.learn_at_once(as_of)?;
        let forecaster = Forecaster::new(&clinic);
        let value = TaughtForecaster { forecaster, clinic, reading: self.next_reading() };
        Ok(Weighed { value, bytes: FORECASTER_BYTES, worth: Worth::Slow })
    }
}

/// The day on which a child's first casting was over, for keeping the latest.
fn over(child: &SeenChild) -> Option<i32> {
    child.feet.iter().filter_map(|foot| foot.brace_day.or(foot.tenotomy_day)).max()
}

/// The children who teach: those whose first casting is over, the last of them where there are many, and
/// those in casts now, of whom the days between sittings teach already.
fn teachers(archive: &Archive, as_of: Day) -> Result<Vec<SeenChild>, ArchiveError> {
    let (mut latest, mut in_casts) = (Latest::default(), Latest::default());
    archive.for_each_child(&mut |child, entries| {
        let seen = SeenChild::of(&Course::of(child, &entries, as_of)).child;
        match (over(&seen), last_sitting(&seen)) {
            (Some(day), _) => latest.take(day, seen),
            (None, Some(day)) if as_of.number() - day <= UNDER_WAY_DAYS => in_casts.take(day, seen),
            _ => {}
        }
    })?;
    let mut children = latest.all().0;
    children.extend(in_casts.all().0);
    Ok(children)
}

/// The last sitting of a child's first casting.
fn last_sitting(child: &SeenChild) -> Option<i32> {
    child.feet.iter().filter_map(|foot| foot.visits.last()).map(|visit| visit.day).max()
}

/// How the forecasts of the children in the archive did.
fn replay(archive: &Archive, as_of: Day) -> Result<ForecastReview, ArchiveError> {
    let mut latest: Latest<(ChildId, Vec<Entry>)> = Latest::default();
    let mut unfinished = Vec::new();
    archive.for_each_child(&mut |child, entries| {
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
        format!("Of a large clinic only the {TAUGHT} children finished last are replayed here; {dropped} earlier ones are left out.")
    });
    Ok(ForecastReview { report, as_of, left_out })
}

/// The latest of many, holding at most twice as many as are wanted.
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
        if self.held.len() >= 2 * TAUGHT {
            self.cut();
        }
    }

    fn cut(&mut self) {
        self.held.sort_by_key(|(day, _)| std::cmp::Reverse(*day));
        self.dropped += self.held.len().saturating_sub(TAUGHT);
        self.held.truncate(TAUGHT);
    }

    fn all(mut self) -> (Vec<T>, usize) {
        self.cut();
        (self.held.into_iter().map(|(_, one)| one).collect(), self.dropped)
    }
}
