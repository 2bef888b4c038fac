//! Hours in the brace compared with the hours prescribed, as a clinician reads them.
//!
//! - **Days.** A span with a mean gives each of its days that mean; where spans overlap, the shorter
//!   one is more precise and counts. Reported and logged hours are separate throughout.
//! - **Weeks** run from Monday to Sunday; a week counts only its days that are known and prescribed for.
//! - **Change.** The week in which the mean changed last, by binary segmentation (Scott & Knott 1974)
//!   with the Bayesian information criterion for each change of mean (Yao 1988).
//! - **Trend.** The slope of the weeks since that change, by least squares, hours a day in a month.
//!
//! What the hours mean for a relapse is a forecast and belongs to the crate `forecast`.

use course::{BraceSpell, Course, WearKind};
use record::{Day, Regime};
use std::collections::BTreeMap;

/// Reported over logged hours as published: logged hours were 77 % of those reported (Sangiorgio and
/// others, J Bone Joint Surg 2016, n = 44).
pub const PUBLISHED_OVER_REPORT: f64 = 1.30;
/// The smallest number of weeks on either side of a change.
const LEAST_WEEKS: usize = 2;
/// Smallest residual SD of a week's mean, hours: no account is more exact.
const LEAST_SD_HOURS: f64 = 0.25;
/// The smallest number of known days with which a week counts in change and trend.
const LEAST_DAYS: u16 = 3;

/// Hours prescribed if a fitting does not state them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prescribed {
    /// Full time, hours a day.
    pub full_time_hours: f64,
    /// Nights and naps, hours a day.
    pub night_hours: f64,
}

/// One week of one account.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekWorn {
    /// Its Monday.
    pub monday: Day,
    /// Days with known hours.
    pub days: u16,
    /// Of these, days without any wear.
    pub days_without: u16,
    /// Mean hours a day over the days known.
    pub hours: f64,
    /// Mean hours prescribed over the same days.
    pub prescribed: f64,
}

/// A change of the mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Monday of the first week after it.
    pub from: Day,
    /// Mean hours a day before, back to the change before that.
    pub before: f64,
    /// Mean hours a day since.
    pub after: f64,
    /// The support for the change: the drop in BIC.
    pub support: f64,
}

/// Days in a row without any wear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Missed {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Whether the brace was worn on a later known day.
    pub ended: bool,
}

/// One account of wear: the family's or the logger's.
#[derive(Debug, Clone, PartialEq)]
pub struct WearAccount {
    /// Whose account.
    pub kind: WearKind,
    /// Hours of each known day on which a brace was prescribed, in order.
    pub days: BTreeMap<Day, f64>,
    /// Its weeks, in order.
    pub weeks: Vec<WeekWorn>,
    /// The last change of the mean.
    pub change: Option<Change>,
    /// Change of the hours a day per month, since the last change of the mean; from at least four weeks.
    pub trend: Option<f64>,
    /// The last run of two or more days without wear.
    pub missed: Option<Missed>,
}

/// Days for which both accounts are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedDays {
    /// The number of days.
    pub days: usize,
    /// The last of them.
    pub to: Day,
    /// Mean reported hours on them.
    pub reported: f64,
    /// Mean logged hours on them.
    pub logged: f64,
}

/// Recorded hours compared with those prescribed.
#[derive(Debug, Clone, PartialEq)]
pub struct Adherence {
    /// The hours that the family reports.
    pub reported: WearAccount,
    /// The hours that loggers measured.
    pub logged: WearAccount,
    /// The days for which both are known.
    pub both: Option<SharedDays>,
}

impl Prescribed {
    /// Hours prescribed on a day; `None` if no brace was prescribed.
    #[must_use]
    pub fn on(&self, braces: &[BraceSpell], day: Day) -> Option<f64> {
        let includes =
            |spell: &&BraceSpell| spell.from <= day && spell.until.is_none_or(|(until, _)| day < until);
        let spell = braces.iter().rev().find(includes)?;
        Some(spell.hours_prescribed.map_or(
            match spell.regime {
                Regime::FullTime => self.full_time_hours,
                Regime::NightTime => self.night_hours,
            },
            f64::from,
        ))
    }
}

impl Adherence {
    /// The adherence of a child, as of the day of its course.
    #[must_use]
    pub fn of(course: &Course, prescribed: Prescribed) -> Self {
        let account = |kind| WearAccount::of(course, kind, prescribed);
        let (reported, logged) = (account(WearKind::Reported), account(WearKind::Logged));
        let both = SharedDays::of(&reported, &logged);
        Self { reported, logged, both }
    }

    /// The account that a clinician reads first: the logged one if there is one.
    #[must_use]
    pub fn leading(&self) -> Option<&WearAccount> {
        [&self.logged, &self.reported].into_iter().find(|account| !account.weeks.is_empty())
    }
}

impl SharedDays {
    fn of(reported: &WearAccount, logged: &WearAccount) -> Option<Self> {
        let shared: Vec<(Day, f64, f64)> = reported
            .days
            .iter()
            .filter_map(|(day, hours)| Some((*day, *hours, *logged.days.get(day)?)))
            .collect();
        let (to, _, _) = *shared.last()?;
        let mean =
            |value: fn(&(Day, f64, f64)) -> f64| shared.iter().map(value).sum::<f64>() / shared.len() as f64;
        Some(Self { days: shared.len(), to, reported: mean(|day| day.1), logged: mean(|day| day.2) })
    }

    /// Reported divided by logged hours; `None` if no hours were logged.
    #[must_use]
    pub fn ratio(&self) -> Option<f64> {
        (self.logged > 0.0).then(|| self.reported / self.logged)
    }
}

impl WearAccount {
    fn of(course: &Course, kind: WearKind, prescribed: Prescribed) -> Self {
        let days = days(course, kind, prescribed);
        let weeks = weeks(&days, |day| prescribed.on(&course.braces, day).unwrap_or(0.0));
        let counted: Vec<WeekWorn> = weeks.iter().copied().filter(|week| week.days >= LEAST_DAYS).collect();
        let hours: Vec<f64> = counted.iter().map(|week| week.hours).collect();
        let change = last_change(&hours).and_then(|(before, at, support)| {
            let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
            let from = counted.get(at)?.monday;
            Some(Change { from, before: mean(&hours[before..at]), after: mean(&hours[at..]), support })
        });
        let since = counted.iter().filter(|week| change.is_none_or(|change| week.monday >= change.from));
        let trend = trend(&since.copied().collect::<Vec<_>>());
        let missed = missed(&days);
        Self { kind, days, weeks, change, trend, missed }
    }

    /// Mean hours and mean prescribed hours of the last known weeks.
    #[must_use]
    pub fn lately(&self, weeks: usize) -> Option<(f64, f64)> {
        let last = &self.weeks[self.weeks.len().saturating_sub(weeks)..];
        let days: f64 = last.iter().map(|week| f64::from(week.days)).sum();
        let sum = |value: fn(&WeekWorn) -> f64| {
            last.iter().map(|week| f64::from(week.days) * value(week)).sum::<f64>()
        };
        (days > 0.0).then(|| (sum(|week| week.hours) / days, sum(|week| week.prescribed) / days))
    }

    /// Known days without any wear.
    #[must_use]
    pub fn days_without(&self) -> usize {
        self.days.values().filter(|hours| **hours <= 0.0).count()
    }
}

fn days(course: &Course, kind: WearKind, prescribed: Prescribed) -> BTreeMap<Day, f64> {
    let mut spans: Vec<_> =
        course.wear.iter().filter(|span| span.kind == kind && span.from <= span.to).collect();
    // Longest first, so that shorter spans overwrite them.
    spans.sort_by_key(|span| (span.from - span.to, span.from));
    let mut days = BTreeMap::new();
    for span in spans {
        let last = span.to.min(course.as_of);
        for number in span.from.number()..=last.number() {
            let day = Day::from_number(number);
            if prescribed.on(&course.braces, day).is_some() {
                days.insert(day, span.hours_per_day);
            }
        }
    }
    days
}

/// The Monday of a day's week.
#[must_use]
pub fn monday(day: Day) -> Day {
    day - i32::from(day.weekday_from_monday())
}

fn weeks(days: &BTreeMap<Day, f64>, prescribed: impl Fn(Day) -> f64) -> Vec<WeekWorn> {
    let mut weeks: Vec<WeekWorn> = Vec::new();
    for (day, hours) in days {
        let monday = monday(*day);
        if weeks.last().is_none_or(|week| week.monday != monday) {
            weeks.push(WeekWorn { monday, days: 0, days_without: 0, hours: 0.0, prescribed: 0.0 });
        }
        if let Some(week) = weeks.last_mut() {
            week.days += 1;
            week.days_without += u16::from(*hours <= 0.0);
            week.hours += hours;
            week.prescribed += prescribed(*day);
        }
    }
    for week in &mut weeks {
        week.hours /= f64::from(week.days);
        week.prescribed /= f64::from(week.days);
    }
    weeks
}

/// n times ln of the mean residual square, which is at least that of the smallest SD.
fn cost(values: &[f64], squares: f64) -> f64 {
    let n = values.len() as f64;
    n * (squares / n).max(LEAST_SD_HOURS * LEAST_SD_HOURS).ln()
}

fn squares(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    values.iter().map(|value| (value - mean).powi(2)).sum()
}

/// The best single change of a stretch: its place, and by how much the BIC falls. If several places are equally good
/// within the resolution of an account, the one with the smallest squares.
fn best_change(values: &[f64]) -> Option<(usize, f64)> {
    let whole = cost(values, squares(values));
    let penalty = 2.0 * (values.len() as f64).ln();
    let places = LEAST_WEEKS..(values.len() + 1).saturating_sub(LEAST_WEEKS);
    let gains = places.map(|at| {
        let both = squares(&values[..at]) + squares(&values[at..]);
        (at, whole - cost(values, both) - penalty, both)
    });
    let better = |one: &(usize, f64, f64), other: &(usize, f64, f64)| {
        one.1.total_cmp(&other.1).then(other.2.total_cmp(&one.2))
    };
    gains.filter(|gain| gain.1 > 0.0).max_by(better).map(|(at, gain, _)| (at, gain))
}

/// The last change: the begin of the stretch before it, its place, and its support.
fn last_change(values: &[f64]) -> Option<(usize, usize, f64)> {
    let (mut begin, mut found): (usize, Option<(usize, usize, f64)>) = (0, None);
    while let Some((at, support)) = best_change(&values[begin..]) {
        found = Some((begin, begin + at, support));
        begin += at;
    }
    let (begin, at, support) = found?;
    // The stretch before it may itself contain a change: its mean counts from its own last change.
    let before = best_change(&values[begin..at]).map_or(begin, |(inner, _)| begin + inner);
    Some((before, at, support))
}

/// Slope of weekly means, hours a day in 30 days.
fn trend(weeks: &[WeekWorn]) -> Option<f64> {
    if weeks.len() < 4 {
        return None;
    }
    let n = weeks.len() as f64;
    let x = |week: &WeekWorn| f64::from(week.monday.number()) / 30.0;
    let (mx, my) =
        (weeks.iter().map(x).sum::<f64>() / n, weeks.iter().map(|week| week.hours).sum::<f64>() / n);
    let sxx: f64 = weeks.iter().map(|week| (x(week) - mx).powi(2)).sum();
    let sxy: f64 = weeks.iter().map(|week| (x(week) - mx) * (week.hours - my)).sum();
    (sxx > 0.0).then(|| sxy / sxx)
}

fn missed(days: &BTreeMap<Day, f64>) -> Option<Missed> {
    let mut last: Option<Missed> = None;
    let mut run: Option<(Day, Day)> = None;
    for (day, hours) in days {
        if *hours > 0.0 {
            run = None;
            if let Some(missed) = &mut last {
                missed.ended = true;
            }
            continue;
        }
        let from = run.filter(|(_, to)| *day - *to == 1).map_or(*day, |(from, _)| from);
        run = Some((from, *day));
        if *day > from {
            last = Some(Missed { from, to: *day, ended: false });
        }
    }
    last
}
