//! A clinic prepared for many runs.

use super::{
    BootGrowth, ChildPath, ClinicCalendar, CurrentChild, CurrentPhase, PathPool, Service, Setting,
    SettingError, calendar::CastWindow,
};
use record::Day;

/// Days of the calendar beyond the horizon, for steps planned near its end.
const BEYOND: i32 = 120;
const DAYS_PER_YEAR: f64 = 365.25;

/// A clinic: its setting, the paths of new children and the children it has today.
#[derive(Debug, Clone)]
pub struct ReadyClinic {
    pub(super) setting: Setting,
    pub(super) start: Day,
    pub(super) days: i32,
    pub(super) calendar: ClinicCalendar,
    pub(super) pool: PathPool,
    pub(super) growth: BootGrowth,
    pub(super) starts: Vec<Start>,
    pub(super) tables: Tables,
    pub(super) rates: Rates,
}

/// The planned days of the steps after a cast on a given day.
#[derive(Debug, Clone)]
pub(super) struct Tables {
    /// The next change.
    pub change: Vec<i32>,
    /// The tenotomy, and the holding cast if there is no place.
    pub theatre: Vec<[i32; 2]>,
    /// The brace without a tenotomy, and the holding cast if there is no place.
    pub brace: Vec<[i32; 2]>,
    /// The brace after a tenotomy.
    pub fitting: Vec<i32>,
}

/// Values that are computed once.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rates {
    /// New children a day at the expected incidence.
    pub a_day: f64,
    /// Mean and SD of the logarithm of the factor on it in a run; the SD is 0 if the number is known.
    pub log_sd: f64,
    /// Hazard of being lost in bracing, per day.
    pub lost_a_day: f64,
    /// Age at which follow-up ends, days.
    pub until_days: i32,
}

/// A current child as the runs start it.
#[derive(Debug, Clone)]
pub(super) struct Start {
    pub born: Option<i32>,
    pub complex: bool,
    pub episode: u8,
    pub z: Option<f32>,
    pub at: At,
}

/// The phase in which it starts; days are from the start.
#[derive(Debug, Clone)]
pub(super) enum At {
    First { since: i32, due: i32, remaining: Vec<f64>, tenotomy: f64 },
    Casts { cast_on: i32, due: i32, remaining: Vec<f64>, tenotomy: f64 },
    Theatre { since: i32, cast_on: i32, due: i32 },
    Fitting { cast_on: i32, after_tenotomy: bool, due: i32 },
    Brace { since: i32, due: i32 },
}

impl ReadyClinic {
    /// Prepares a clinic. `start` is the first simulated day.
    ///
    /// # Errors
    /// When the setting has an impossible value or no number of new children.
    pub fn new(
        setting: &Setting,
        pool: PathPool,
        current: &[CurrentChild],
        start: Day,
    ) -> Result<Self, SettingError> {
        setting.check()?;
        let rates = Rates::of(setting)?;
        let days = i32::try_from(setting.horizon_weeks).unwrap_or(0) * 7;
        let calendar = ClinicCalendar::of(setting, start, days + BEYOND);
        let growth = BootGrowth::published();
        let tables = Tables::of(setting, &calendar, days);
        let ready = Readying { setting, calendar: &calendar, growth: &growth, start };
        let starts = current.iter().map(|child| ready.child(child)).collect();
        Ok(Self { setting: setting.clone(), start, days, calendar, pool, growth, starts, tables, rates })
    }

    /// The setting.
    #[must_use]
    pub fn setting(&self) -> &Setting {
        &self.setting
    }

    /// First day simulated.
    #[must_use]
    pub fn start(&self) -> Day {
        self.start
    }

    /// Days simulated.
    #[must_use]
    pub fn days(&self) -> i32 {
        self.days
    }

    /// Children at the start.
    #[must_use]
    pub fn current(&self) -> usize {
        self.starts.len()
    }

    /// Children at the start whose day of birth is not recorded, so that their age is drawn.
    #[must_use]
    pub fn without_birth(&self) -> usize {
        self.starts.iter().filter(|start| start.born.is_none()).count()
    }

    /// The places of a week, without closures and with all staff.
    #[must_use]
    pub fn places_in_week(&self, service: Service, week: usize) -> u32 {
        let from = i32::try_from(week).unwrap_or(0) * 7;
        (from..from + 7).map(|day| self.calendar.places(service, day)).sum()
    }

    pub(super) fn world(&self, even: f64) -> &[ChildPath] {
        let worlds = self.pool.worlds();
        self.pool.world(((even * worlds as f64) as usize).min(worlds - 1))
    }

    pub(super) fn correcting(&self) -> CastWindow {
        correcting(&self.setting)
    }
}

fn days(days: u32) -> i32 {
    i32::try_from(days).unwrap_or(i32::MAX / 4)
}

fn correcting(setting: &Setting) -> CastWindow {
    let casting = &setting.casting;
    CastWindow { target: days(casting.interval_days), ends: casting.window_days.map(days) }
}

fn after_tenotomy(setting: &Setting) -> CastWindow {
    let casting = &setting.casting;
    CastWindow { target: days(casting.tenotomy_cast_days), ends: casting.tenotomy_cast_window_days.map(days) }
}

impl Tables {
    fn of(setting: &Setting, calendar: &ClinicCalendar, days: i32) -> Self {
        let (window, late) = (correcting(setting), after_tenotomy(setting));
        let planned = |service, day| calendar.planned(service, day, window);
        let waiting = |service, day| {
            let planned = planned(service, day);
            [planned, calendar.holding(day, planned, window)]
        };
        Self {
            change: (0..days).map(|day| planned(Service::Cast, day)).collect(),
            theatre: (0..days).map(|day| waiting(Service::Theatre, day)).collect(),
            brace: (0..days).map(|day| waiting(Service::Brace, day)).collect(),
            fitting: (0..days).map(|day| calendar.planned(Service::Brace, day, late)).collect(),
        }
    }
}

impl Rates {
    fn of(setting: &Setting) -> Result<Self, SettingError> {
        let referrals = &setting.referrals;
        let per_year = referrals.expected_per_year().ok_or(SettingError::NoReferrals)?;
        let [low, high] = referrals.incidence_range_per_1000;
        // The ends of a 95 % interval are 3.92 standard deviations apart.
        let known = referrals.per_year.is_some() || low <= 0.0;
        let log_sd = if known { 0.0 } else { (high / low).ln() / 3.92 };
        let until = setting.bracing.until_years;
        // The brace is fitted at about three months, the first age of the hazards of relapse.
        let braced_years =
            (until - setting.bracing.relapse_from_years.first().copied().unwrap_or(0.25)).max(0.5);
        Ok(Self {
            a_day: per_year / DAYS_PER_YEAR,
            log_sd,
            lost_a_day: -(1.0 - setting.bracing.lost_in_bracing).ln() / (braced_years * DAYS_PER_YEAR),
            until_days: (until * DAYS_PER_YEAR).round() as i32,
        })
    }
}

/// Converts current children into starts.
struct Readying<'a> {
    setting: &'a Setting,
    calendar: &'a ClinicCalendar,
    growth: &'a BootGrowth,
    start: Day,
}

impl Readying<'_> {
    fn child(&self, child: &CurrentChild) -> Start {
        let z = child.born.zip(child.foot_length_mm).map(|(born, (mm, on))| self.growth.z(on - born, mm));
        Start {
            born: child.born.map(|born| born - self.start),
            complex: child.complex,
            episode: child.episode.clamp(1, 100),
            z,
            at: self.at(&child.phase),
        }
    }

    /// Days from the start; a later day counts as the start.
    fn past(&self, day: Day) -> i32 {
        (day - self.start).clamp(-20_000, 0)
    }

    /// The booked day, otherwise the day that would have been planned; never before the start.
    fn due(&self, booked: Option<Day>, planned: i32) -> i32 {
        booked.map_or(planned, |booked| booked - self.start).max(0)
    }

    fn at(&self, phase: &CurrentPhase) -> At {
        let window = correcting(self.setting);
        match phase {
            CurrentPhase::WaitingForFirstCast { since, booked, remaining, tenotomy } => At::First {
                since: self.past(*since),
                due: self.due(*booked, 0),
                remaining: chances(remaining),
                tenotomy: *tenotomy,
            },
            CurrentPhase::InCasts { cast_on, booked, remaining, tenotomy } => {
                let cast_on = self.past(*cast_on);
                let due = self.due(*booked, self.calendar.planned(Service::Cast, cast_on, window));
                At::Casts { cast_on, due, remaining: chances(remaining), tenotomy: *tenotomy }
            }
            CurrentPhase::WaitingForTenotomy { since, cast_on, booked } => {
                let cast_on = self.past(*cast_on);
                let due = self.due(*booked, self.calendar.planned(Service::Theatre, cast_on, window));
                At::Theatre { since: self.past(*since), cast_on, due }
            }
            CurrentPhase::WaitingForBrace { cast_on, after_tenotomy: after, booked } => {
                let cast_on = self.past(*cast_on);
                let window = if *after { after_tenotomy(self.setting) } else { window };
                let due = self.due(*booked, self.calendar.planned(Service::Brace, cast_on, window));
                At::Fitting { cast_on, after_tenotomy: *after, due }
            }
            CurrentPhase::InBrace { since, booked, last_seen } => {
                let (since, last) = (self.past(*since), last_seen.map(|day| self.past(day)));
                At::Brace { since, due: self.due(*booked, self.next_review(since, last)) }
            }
        }
    }

    /// The first early review after the child was last seen, otherwise the later interval from then.
    fn next_review(&self, since: i32, last: Option<i32>) -> i32 {
        let bracing = &self.setting.bracing;
        let last = last.unwrap_or(since);
        let early = bracing.review_days.iter().map(|&after| since + days(after)).find(|&day| day > last);
        early.unwrap_or(last + days(bracing.later_review_days))
    }
}

/// Cumulative sums of chances, the last of them 1; empty if all are 0.
fn chances(weights: &[f64]) -> Vec<f64> {
    let usable = |weight: f64| if weight.is_finite() && weight > 0.0 { weight } else { 0.0 };
    let sum: f64 = weights.iter().map(|&weight| usable(weight)).sum();
    if sum <= 0.0 {
        return Vec::new();
    }
    let mut so_far = 0.0;
    let mut running = |weight: &f64| {
        so_far += usable(*weight) / sum;
        so_far
    };
    weights.iter().map(&mut running).collect()
}
