//! Days from one thing to the next, and the readiness to go on: counts over a published prior.

use crate::natural_history::ClinicHabits;

/// Weight of the published prior in each, in observations; assumed.
const INTERVAL_WEIGHT: f64 = 20.0;
const WAIT_WEIGHT: f64 = 8.0;
const GO_ON_WEIGHT: f64 = 6.0;
/// Weight of what is known for certain, in observations.
const CERTAIN: f64 = 1e9;
/// Share of the prior that lies evenly on days the published clinic does not know; assumed.
const ELSEWHERE: f64 = 0.03;

/// A distribution over whole days: a Dirichlet on published chances.
#[derive(Debug, Clone)]
pub(crate) struct DayHabit {
    counts: Vec<f64>,
}

impl DayHabit {
    /// Published chances with this weight, and a little on every day of the range.
    pub(crate) fn new(published: &[f64], weight: f64, range: std::ops::RangeInclusive<usize>) -> Self {
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
        Self { counts }
    }

    /// Chances known for certain.
    fn known(chances: &[f64]) -> Self {
        Self { counts: chances.iter().map(|chance| CERTAIN * chance).collect() }
    }

    /// One observation; beyond the table it counts as the table's last day.
    pub(crate) fn learn(&mut self, days: i32) {
        if days < 0 {
            return;
        }
        let day = (days as usize).min(self.counts.len() - 1);
        self.counts[day] += 1.0;
    }

    /// Chances of the next observation.
    pub(crate) fn chances(&self) -> Vec<f64> {
        let sum: f64 = self.counts.iter().sum();
        self.counts.iter().map(|count| count / sum).collect()
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
            interval: DayHabit::new(&habits.interval_days, INTERVAL_WEIGHT, 1..=35),
            wait: DayHabit::new(&habits.tenotomy_wait_days, WAIT_WEIGHT, 0..=42),
            to_brace: DayHabit::new(&habits.tenotomy_to_brace_days, WAIT_WEIGHT, 7..=63),
            ready_to_brace: DayHabit::new(&habits.ready_to_brace_days, WAIT_WEIGHT, 0..=42),
            full_time: DayHabit::new(&habits.full_time_days, WAIT_WEIGHT, 56..=183),
        }
    }

    /// Days known for certain.
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

/// Chance that a foot goes on from casting, by the written midfoot score: a Beta for each.
#[derive(Debug, Clone)]
pub(crate) struct GoOn {
    yes: [f64; 7],
    no: [f64; 7],
}

impl GoOn {
    pub(crate) fn new(habits: &ClinicHabits) -> Self {
        Self {
            yes: habits.go_on.map(|chance| GO_ON_WEIGHT * chance),
            no: habits.go_on.map(|chance| GO_ON_WEIGHT * (1.0 - chance)),
        }
    }

    /// Readiness known for certain.
    pub(crate) fn known(habits: &ClinicHabits) -> Self {
        Self {
            yes: habits.go_on.map(|chance| CERTAIN * chance),
            no: habits.go_on.map(|chance| CERTAIN * (1.0 - chance)),
        }
    }

    pub(crate) fn learn(&mut self, midfoot: u8, went_on: bool) {
        let score = usize::from(midfoot.min(6));
        if went_on {
            self.yes[score] += 1.0;
        } else {
            self.no[score] += 1.0;
        }
    }

    pub(crate) fn chances(&self) -> [f64; 7] {
        std::array::from_fn(|score| self.yes[score] / (self.yes[score] + self.no[score]).max(1e-12))
    }
}
