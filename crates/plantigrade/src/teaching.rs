//! What the clinic's own finished feet teach its forecasts, and how good those were.
//!
//! Reading a whole clinic takes from a moment to a minute, so it is done once a day and kept. A small
//! clinic is read when the first forecast of the day is asked for; a large one is read in the background,
//! and until that is done the forecasts say that the published prior alone speaks.

use archive::{Archive, ArchiveError};
use course::Course;
use forecast::{
    SeenChild,
    backtest::{BacktestReport, Followed, backtest},
    foot::{FootForecast, Forecaster},
    learning::ClinicPosterior,
    natural_history::Parameters,
};
use record::{ChildId, Day, Entry};
use std::{
    collections::HashMap,
    sync::{Arc, Mutex},
    thread,
};

/// Children up to whom a clinic is read while a page waits: some 0.3 ms each.
const SMALL: usize = 1_500;
/// Children up to whom the forecasts are tried out while a page waits: some 3 ms each.
const TESTED_AT_ONCE: usize = 300;
/// Of a large clinic the last finished so many teach: habits change, and memory is not endless.
const TAUGHT: usize = 4_000;
/// A child in casts that was not seen for so many days teaches nothing: it is lost, or its record is.
const UNDER_WAY_DAYS: i32 = 365;
/// Days kept of which forecasts were asked for.
const KEPT_DAYS: usize = 6;

/// A forecaster and what it was taught on.
pub struct Taught {
    /// Makes the forecasts.
    pub forecaster: Forecaster,
    /// What was learned, for the caseload.
    pub clinic: ClinicPosterior,
    /// Rises with each reading, so that pages drawn before it are not shown after it.
    pub reading: u64,
}

/// How the forecasts of a clinic did.
pub struct Tested {
    /// What was found.
    pub report: BacktestReport,
    /// As of which day.
    pub as_of: Day,
    /// What was left out for speed.
    pub left_out: Option<String>,
}

/// What is kept of the readings of a clinic.
#[derive(Default)]
pub struct Teaching {
    kept: Mutex<Kept>,
}

#[derive(Default)]
struct Kept {
    reading: u64,
    taught: HashMap<Day, Arc<Taught>>,
    tested: Option<Arc<Tested>>,
    at_work: Vec<Task>,
}

/// Something worked on in the background.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Task {
    Teach(Day),
    Test(Day),
}

impl Teaching {
    /// The forecaster as of a day. Where the clinic has not been read yet it knows the published feet
    /// only, and says so.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecaster(self: &Arc<Self>, archive: &Archive, as_of: Day) -> Result<Arc<Taught>, ArchiveError> {
        if let Some(taught) = self.look(|kept| kept.taught.get(&as_of).cloned()) {
            return Ok(taught);
        }
        if archive.children_count()? <= SMALL {
            return Ok(self.keep(as_of, clinic_at_once(archive, as_of)?));
        }
        self.begin(archive, Task::Teach(as_of));
        Ok(Arc::new(Taught::by(ClinicPosterior::published(&Parameters::published()), 0)))
    }

    /// The forecast of each affected foot of a child, as known on the day of its course.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn forecasts(
        self: &Arc<Self>,
        archive: &Archive,
        course: &Course,
    ) -> Result<Vec<FootForecast>, ArchiveError> {
        let taught = self.forecaster(archive, course.as_of)?;
        Ok(taught.forecaster.of(&SeenChild::of(course).child, course.as_of.number()))
    }

    /// Which reading of the clinic the forecasts of a day come from; 0 before there is one.
    #[must_use]
    pub fn reading(&self, as_of: Day) -> u64 {
        self.look(|kept| kept.taught.get(&as_of).map(|taught| taught.reading)).unwrap_or(0)
    }

    /// How the forecasts did, or `None` while that is worked out.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn tested(
        self: &Arc<Self>,
        archive: &Archive,
        as_of: Day,
    ) -> Result<Option<Arc<Tested>>, ArchiveError> {
        let found = || self.look(|kept| kept.tested.clone().filter(|tested| tested.as_of == as_of));
        if let found @ Some(_) = found() {
            return Ok(found);
        }
        if archive.children_count()? <= TESTED_AT_ONCE {
            self.work(archive, Task::Test(as_of))?;
            return Ok(found());
        }
        self.begin(archive, Task::Test(as_of));
        Ok(None)
    }

    /// Forgets everything learned, since much was written at once.
    pub fn forget(&self) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.taught.clear();
            kept.tested = None;
            kept.reading += 1;
        }
    }

    fn look<T>(&self, find: impl FnOnce(&Kept) -> Option<T>) -> Option<T> {
        self.kept.lock().ok().and_then(|kept| find(&kept))
    }

    fn keep(&self, as_of: Day, clinic: ClinicPosterior) -> Arc<Taught> {
        let mut taught = Taught::by(clinic, 0);
        let Ok(mut kept) = self.kept.lock() else {
            return Arc::new(taught);
        };
        kept.reading += 1;
        taught.reading = kept.reading;
        let taught = Arc::new(taught);
        if kept.taught.len() >= KEPT_DAYS {
            kept.taught.clear();
        }
        kept.taught.insert(as_of, Arc::clone(&taught));
        taught
    }

    /// Starts a task in the background, unless it is under way.
    fn begin(self: &Arc<Self>, archive: &Archive, task: Task) {
        {
            // Looked at and entered under one lock, so that two requests never start it twice.
            let Ok(mut kept) = self.kept.lock() else { return };
            if kept.at_work.contains(&task) {
                return;
            }
            kept.at_work.push(task);
        }
        let (teaching, archive) = (Arc::clone(self), archive.clone());
        let started = thread::Builder::new().name("reading the clinic".to_owned()).spawn(move || {
            if let Err(error) = teaching.work(&archive, task) {
                tracing::warn!("the clinic could not be read for its forecasts: {error}");
            }
            teaching.end(task);
        });
        if let Err(error) = started {
            tracing::warn!("the clinic is not read for its forecasts: {error}");
            self.end(task);
        }
    }

    fn end(&self, task: Task) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.at_work.retain(|other| *other != task);
        }
    }

    fn work(&self, archive: &Archive, task: Task) -> Result<(), ArchiveError> {
        match task {
            Task::Teach(as_of) => {
                self.keep(as_of, clinic_at_once(archive, as_of)?);
            }
            Task::Test(as_of) => {
                let tested = Arc::new(test(archive, as_of)?);
                if let Ok(mut kept) = self.kept.lock() {
                    kept.tested = Some(tested);
                }
            }
        }
        Ok(())
    }
}

impl Taught {
    fn by(clinic: ClinicPosterior, reading: u64) -> Self {
        Self { forecaster: Forecaster::new(&clinic), clinic, reading }
    }
}

/// What the clinic's finished feet have taught as of a day, read while the caller waits: for commands,
/// which run once.
///
/// # Errors
/// When the records cannot be read.
pub fn clinic_at_once(archive: &Archive, as_of: Day) -> Result<ClinicPosterior, ArchiveError> {
    let children = teachers(archive, as_of)?;
    Ok(ClinicPosterior::of(&Parameters::published(), &children, as_of.number()))
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
fn test(archive: &Archive, as_of: Day) -> Result<Tested, ArchiveError> {
    let mut latest: Latest<(ChildId, Vec<Entry>)> = Latest::default();
    let mut unfinished = Vec::new();
    archive.for_each_child(&mut |child, entries| {
        let seen = SeenChild::of(&Course::of(child, &entries, as_of)).child;
        match over(&seen) {
            Some(day) => latest.take(day, (child, entries)),
            None => unfinished.push(Followed::of_seen(seen)),
        }
    })?;
    let (kept, dropped) = latest.all();
    let mut children = Followed::of_clinic(&kept, as_of);
    drop(kept);
    children.extend(unfinished);
    let report = backtest(&Parameters::published(), &children, as_of.number());
    let left_out = (dropped > 0).then(|| {
        format!("Of a large clinic only the {TAUGHT} children finished last are replayed here; {dropped} earlier ones are left out.")
    });
    Ok(Tested { report, as_of, left_out })
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
