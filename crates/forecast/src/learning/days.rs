//! Days between events, and the decision to end casting: counts over a published prior.
//!
//! Each habit has two counts: one of the whole past, and one of the last observations, in which older ones
//! fade. The two are weighed by the chances that they gave to each new observation, and a small share of the
//! weight returns to the prior (fixed share, Herbster & Warmuth 1998, cited from memory). The forecast of a
//! stable clinic thus uses its whole past, and that of a clinic that changes soon uses the new habit.

use crate::natural_history::ClinicHabits;

/// Weight of the published prior in each, in observations; assumed.
const INTERVAL_WEIGHT: f64 = 20.0;
const WAIT_WEIGHT: f64 = 8.0;
const GO_ON_WEIGHT: f64 = 6.0;
/// Weight of certain habits, in observations.
const CERTAIN: f64 = 1e9;
/// The number of observations after which an older one has lost two thirds of its weight among the last ones: of
/// intervals, of waits, of visits with a score; assumed.
const INTERVAL_MEMORY: f64 = 80.0;
const WAIT_MEMORY: f64 = 15.0;
const GO_ON_MEMORY: f64 = 60.0;
/// Prior weight of the last observations, and the share that returns to it; assumed.
const LATELY: f64 = 0.1;
const SHARE: f64 = 0.002;
/// Share of the prior that is spread evenly over the days of the range; assumed.
const ELSEWHERE: f64 = 0.03;

/// The weight of the last observations, relative to all.
#[derive(Debug, Clone, Copy)]
struct Lately(f64);

impl Lately {
    /// Updates the weight by the chances that the whole past and the last observations gave to a new one.
    fn weigh(&mut self, all: f64, last: f64) {
        let (all, last) = ((1.0 - self.0) * all.max(1e-9), self.0 * last.max(1e-9));
        self.0 = (1.0 - SHARE) * last / (all + last) + SHARE * LATELY;
    }

    fn mix(self, all: f64, last: f64) -> f64 {
        (1.0 - self.0) * all + self.0 * last
    }
}

/// A distribution over whole days: Dirichlets on published chances.
#[derive(Debug, Clone)]
pub(crate) struct DayHabit {
    prior: Vec<f64>,
    /// Observations, all and the last.
    all: Vec<f64>,
    last: Vec<f64>,
    lately: Lately,
    memory: f64,
}

impl DayHabit {
    /// Published chances with this weight, and a small weight on every day of the range.
    pub(crate) fn new(
        published: &[f64],
        weight: f64,
        range: std::ops::RangeInclusive<usize>,
        memory: f64,
    ) -> Self {
        let length = published.len().max(range.end() + 1);
        let spare = ELSEWHERE / (range.end() - range.start() + 1) as f64;
        let sum: f64 = published.iter().sum::<f64>().max(1e-12);
        let counts = (0..length)
            .map(|day| {
                let known = published.get(day).copied().unwrap_or(0.0) / sum;
                let even = if range.contains(&day) { spare } else { 0.0 };
                weight * ((1.0 - ELSEWHERE) * known + even)
            })
            .collect();
        Self::over(counts, memory)
    }

    fn over(prior: Vec<f64>, memory: f64) -> Self {
        let none = vec![0.0; prior.len()];
        Self { all: none.clone(), last: none, prior, lately: Lately(LATELY), memory }
    }

    /// Certain chances.
    fn known(chances: &[f64]) -> Self {
        Self::over(chances.iter().map(|chance| CERTAIN * chance).collect(), INTERVAL_MEMORY)
    }

    /// Learns one observation; a day beyond the table counts as its last day.
    pub(crate) fn learn(&mut self, days: i32) {
        if days < 0 {
            return;
        }
        let day = (days as usize).min(self.prior.len() - 1);
        let given = |counts: &[f64]| {
            let sum: f64 = self.prior.iter().zip(counts).map(|(prior, count)| prior + count).sum();
            (self.prior[day] + counts[day]) / sum
        };
        let (all, last) = (given(&self.all), given(&self.last));
        self.lately.weigh(all, last);
        self.all[day] += 1.0;
        self.last.iter_mut().for_each(|count| *count *= 1.0 - 1.0 / self.memory);
        self.last[day] += 1.0;
    }

    /// Chances of the next observation.
    pub(crate) fn chances(&self) -> Vec<f64> {
        let sum = |counts: &[f64]| self.prior.iter().chain(counts).sum::<f64>();
        let (all, last) = (sum(&self.all), sum(&self.last));
        let each = self.prior.iter().zip(self.all.iter().zip(&self.last));
        each.map(|(prior, (a, b))| self.lately.mix((prior + a) / all, (prior + b) / last)).collect()
    }
}

/// All habits that are days.
#[derive(Debug, Clone)]
pub(crate) struct DayHabits {
    pub(crate) interval: DayHabit,
    pub(crate) wait: DayHabit,
    pub(crate) to_brace: DayHabit,
    pub(crate) ready_to_brace: DayHabit,
    pub(crate) full_time: DayHabit,
}

impl DayHabits {
    pub(crate) fn new(habits: &ClinicHabits) -> Self {
        Self {
            interval: DayHabit::new(&habits.interval_days, INTERVAL_WEIGHT, 1..=35, INTERVAL_MEMORY),
            wait: DayHabit::new(&habits.tenotomy_wait_days, WAIT_WEIGHT, 0..=42, WAIT_MEMORY),
            to_brace: DayHabit::new(&habits.tenotomy_to_brace_days, WAIT_WEIGHT, 7..=63, WAIT_MEMORY),
            ready_to_brace: DayHabit::new(&habits.ready_to_brace_days, WAIT_WEIGHT, 0..=42, WAIT_MEMORY),
            full_time: DayHabit::new(&habits.full_time_days, WAIT_WEIGHT, 56..=183, WAIT_MEMORY),
        }
    }

    /// Certain days.
    pub(crate) fn known(habits: &ClinicHabits) -> Self {
        Self {
            interval: DayHabit::known(&habits.interval_days),
            wait: DayHabit::known(&habits.tenotomy_wait_days),
            to_brace: DayHabit::known(&habits.tenotomy_to_brace_days),
            ready_to_brace: DayHabit::known(&habits.ready_to_brace_days),
            full_time: DayHabit::known(&habits.full_time_days),
        }
    }
}

/// Chance that casting for correction ends, by the written midfoot score: a Beta for each.
#[derive(Debug, Clone)]
pub(crate) struct GoOn {
    prior: [f64; 7],
    weight: f64,
    /// Visits at which casting ended, and all visits: of the whole past and of the last observations.
    all: [[f64; 2]; 7],
    last: [[f64; 2]; 7],
    lately: Lately,
}

impl GoOn {
    pub(crate) fn new(habits: &ClinicHabits) -> Self {
        let none = [[0.0; 2]; 7];
        Self { prior: habits.go_on, weight: GO_ON_WEIGHT, all: none, last: none, lately: Lately(LATELY) }
    }

    /// Certain readiness.
    pub(crate) fn known(habits: &ClinicHabits) -> Self {
        Self { weight: CERTAIN, ..Self::new(habits) }
    }

    fn by(&self, counts: &[[f64; 2]; 7], score: usize) -> f64 {
        let [went, cast_visits] = counts[score];
        (self.weight * self.prior[score] + went) / (self.weight + cast_visits)
    }

    pub(crate) fn learn(&mut self, midfoot: u8, went_on: bool) {
        let score = usize::from(midfoot.min(6));
        let given = |chance: f64| if went_on { chance } else { 1.0 - chance };
        self.lately.weigh(given(self.by(&self.all, score)), given(self.by(&self.last, score)));
        self.last[score].iter_mut().for_each(|count| *count *= 1.0 - 1.0 / GO_ON_MEMORY);
        for counts in [&mut self.all, &mut self.last] {
            counts[score][0] += f64::from(u8::from(went_on));
            counts[score][1] += 1.0;
        }
    }

    pub(crate) fn chances(&self) -> [f64; 7] {
        std::array::from_fn(|score| self.lately.mix(self.by(&self.all, score), self.by(&self.last, score)))
    }
}
