//! The summary of the runs: quantiles over runs, week by week.

use super::{
    BARS, ReadyClinic, SIZES, SMALLEST_BAR_MM, SMALLEST_BOOT_MM, Service, Tally, WaitKind, Waits, Week,
};
use record::Day;
use serde::Serialize;

/// The median of the runs and the ranges that contain half and nine tenths of them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RunBand {
    /// 5 % of runs lie below.
    pub low90: f64,
    /// 25 % of runs lie below.
    pub low50: f64,
    /// Half of the runs lie below.
    pub middle: f64,
    /// 75 % of runs lie below.
    pub high50: f64,
    /// 95 % of runs lie below.
    pub high90: f64,
}

impl RunBand {
    /// The band of the values of runs; `None` without values. A quantile is the value at the nearest place in order,
    /// so that a band of counts consists of counts.
    #[must_use]
    pub fn of(values: &mut [f64]) -> Option<Self> {
        values.sort_unstable_by(f64::total_cmp);
        let at = |share: f64| {
            let place = (share * values.len().saturating_sub(1) as f64).round() as usize;
            values.get(place).copied()
        };
        Some(Self {
            low90: at(0.05)?,
            low50: at(0.25)?,
            middle: at(0.5)?,
            high50: at(0.75)?,
            high90: at(0.95)?,
        })
    }
}

/// One week of one service over all runs.
#[derive(Debug, Clone, Serialize)]
pub struct ServiceWeek {
    /// First day.
    pub from: Day,
    /// Planned places, without closures and with all staff.
    pub places: u32,
    /// Places that become due in the week, without those left over from before.
    pub due: RunBand,
    /// Places needed so that no child is left without one: used and left over.
    pub needed: RunBand,
    /// Share of runs in which a child is left without one.
    pub short: f64,
}

/// Waits of one kind over all runs, in days.
#[derive(Debug, Clone, Serialize)]
pub struct WaitSummary {
    /// Which.
    pub kind: &'static str,
    /// In words.
    pub words: &'static str,
    /// Waits that ended, per run.
    pub ended: RunBand,
    /// Their mean in each run; `None` if none ended in any run.
    pub mean_days: Option<RunBand>,
    /// The 90th percentile of the waits in each run.
    pub nine_in_ten_days: Option<RunBand>,
    /// Children still waiting at the end of each run.
    pub still_waiting: RunBand,
    /// The mean wait so far of those still waiting.
    pub still_days: Option<RunBand>,
}

/// A share with its band; `None` if the share has no denominator.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Share {
    /// Over runs.
    pub band: Option<RunBand>,
}

/// Pieces of one size needed in a quarter.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct SizeNeed {
    /// Size: for boots the foot length they are made for, for bars their length, mm.
    pub size_mm: u32,
    /// Pieces, or pairs, over runs.
    pub needed: RunBand,
}

/// The summary of all runs.
#[derive(Debug, Clone, Serialize)]
pub struct CaseloadSummary {
    /// First day.
    pub start: Day,
    /// Weeks.
    pub weeks: usize,
    /// Runs.
    pub runs: usize,
    /// Children at the start.
    pub current: usize,
    /// Of these, children whose age is drawn because no day of birth is recorded.
    pub without_birth: usize,
    /// New children in a year.
    pub arrive_per_year: Option<RunBand>,
    /// Places by week: cast, tenotomy, brace.
    pub services: [Vec<ServiceWeek>; 3],
    /// Waits.
    pub waits: Vec<WaitSummary>,
    /// Share of casts on past their window because no place was found.
    pub past_window: Share,
    /// The same because the child did not come.
    pub past_window_not_come: Share,
    /// Holding casts put on.
    pub holding_casts: Option<RunBand>,
    /// Tenotomies done.
    pub tenotomies: Option<RunBand>,
    /// Relapses noted.
    pub relapses: Option<RunBand>,
    /// Pairs of boots by quarter of 13 weeks; sizes that nine tenths of runs never need are left out.
    pub boots: Vec<Vec<SizeNeed>>,
    /// Bars, the same.
    pub bars: Vec<Vec<SizeNeed>>,
}

impl CaseloadSummary {
    /// Summarises the runs; `None` if there are none.
    #[must_use]
    pub fn of(clinic: &ReadyClinic, runs: &[Tally]) -> Option<Self> {
        let mut values = Gather { runs, values: Vec::with_capacity(runs.len()) };
        values.band(|_| 0.0)?;
        let weeks = clinic.setting().horizon_weeks as usize;
        let boots = &clinic.setting().boots;
        let services = Service::ALL
            .map(|service| (0..weeks).filter_map(|week| values.week(clinic, service, week)).collect());
        let years = f64::from(clinic.days()) / 365.25;
        let quarters = runs.first().map_or(0, |run| run.boots.len());
        Some(Self {
            start: clinic.start(),
            weeks,
            runs: runs.len(),
            current: clinic.current(),
            without_birth: clinic.without_birth(),
            arrive_per_year: values.band(|run| f64::from(run.children.arrived) / years),
            services,
            waits: WaitKind::ALL.into_iter().filter_map(|kind| values.wait(kind)).collect(),
            past_window: Share { band: values.some(Tally::share_past_window) },
            past_window_not_come: Share { band: values.some(share_not_come) },
            holding_casts: values.band(|run| run.casts.holding.into()),
            tenotomies: values.band(|run| run.children.tenotomies.into()),
            relapses: values.band(|run| run.children.relapses.into()),
            boots: (0..quarters)
                .map(|quarter| {
                    let size = |n: usize| SMALLEST_BOOT_MM + n as u32 * boots.size_step_mm;
                    values.sizes(SIZES, size, |run, n| run.boots[quarter][n])
                })
                .collect(),
            bars: (0..quarters)
                .map(|quarter| {
                    let size = |n: usize| SMALLEST_BAR_MM + n as u32 * boots.bar_step_mm;
                    values.sizes(BARS, size, |run, n| run.bars[quarter][n])
                })
                .collect(),
        })
    }

    /// The weeks of one service.
    #[must_use]
    pub fn service(&self, service: Service) -> &[ServiceWeek] {
        &self.services[service.index()]
    }

    /// The waits of one kind.
    #[must_use]
    pub fn wait(&self, kind: WaitKind) -> Option<&WaitSummary> {
        self.waits.iter().find(|wait| wait.kind == kind.key())
    }
}

fn share_not_come(run: &Tally) -> Option<f64> {
    let casts = &run.casts;
    let all = casts.ended + casts.late_open;
    (all > 0).then(|| f64::from(casts.late_not_come) / f64::from(all))
}

/// One value per run, collected repeatedly into the same memory.
struct Gather<'a> {
    runs: &'a [Tally],
    values: Vec<f64>,
}

impl Gather<'_> {
    fn some(&mut self, value: impl Fn(&Tally) -> Option<f64>) -> Option<RunBand> {
        self.values.clear();
        self.values.extend(self.runs.iter().filter_map(value));
        RunBand::of(&mut self.values)
    }

    fn band(&mut self, value: impl Fn(&Tally) -> f64) -> Option<RunBand> {
        self.some(|run| Some(value(run)))
    }

    fn week(&mut self, clinic: &ReadyClinic, service: Service, week: usize) -> Option<ServiceWeek> {
        let of = |run: &Tally| -> Week { run.weeks[week][service.index()] };
        let short = self.runs.iter().filter(|run| of(run).left > 0).count();
        Some(ServiceWeek {
            from: clinic.start() + week as i32 * 7,
            places: clinic.places_in_week(service, week),
            due: self.band(|run| of(run).due.into())?,
            needed: self.band(|run| of(run).needed().into())?,
            short: short as f64 / self.runs.len().max(1) as f64,
        })
    }

    fn wait(&mut self, kind: WaitKind) -> Option<WaitSummary> {
        let of = |run: &Tally| run.waits[kind as usize].clone();
        let so_far = |waits: Waits| (waits.open > 0).then(|| waits.open_days as f64 / f64::from(waits.open));
        Some(WaitSummary {
            kind: kind.key(),
            words: kind.words(),
            ended: self.band(|run| of(run).ended.into())?,
            mean_days: self.some(|run| of(run).mean_days()),
            nine_in_ten_days: self.some(|run| of(run).quantile_days(0.9).map(|days| days as f64)),
            still_waiting: self.band(|run| of(run).open.into())?,
            still_days: self.some(|run| so_far(of(run))),
        })
    }

    fn sizes(
        &mut self,
        steps: usize,
        size_mm: impl Fn(usize) -> u32,
        count: impl Fn(&Tally, usize) -> u16,
    ) -> Vec<SizeNeed> {
        let needs = (0..steps).filter_map(|n| {
            let needed = self.band(|run| count(run, n).into())?;
            (needed.high90 > 0.0).then(|| SizeNeed { size_mm: size_mm(n), needed })
        });
        needs.collect()
    }
}
