//! The kernel combined with a clinic's habits: chances of readiness by state, waits, casts after the
//! decision. Computed once per clinic and day, then shared by all its feet.
//!
//! Readiness is computed backwards: [`Tables::ready_at`] has, for each pace and joint level of the
//! midfoot after a visit with a cast, the chance that the decision falls at each visit to come. The
//! chances of a foot are then a weighted sum, for any distribution of its levels.

use crate::filter::{ClassPrior, Kernel, MIDFOOT_STATES, Midfoot};
use crate::learning::{
    ClinicPosterior, CutExperts, Guard, PaceSummary, Recalibration, TenotomyTable, VISITS,
};
use crate::natural_history::{HELD_DAYS, HOLDING_DAYS, classes::PACE};
use crate::whole_days::{Days, convolve, convolve_brief, later_of};

/// The largest difference, in visits, between the decisions on two feet that is distinguished.
pub(crate) const APART: usize = 16;

/// The time after the decision, without and with a tenotomy.
#[derive(Debug, Clone)]
pub(crate) struct After {
    /// Days from the decision until the foot could be braced.
    pub(crate) days: [Days; 2],
    /// Casts from the decision on, for a foot that does not wait for the other.
    pub(crate) casts: [Days; 2],
    /// Days from the decision on the first foot until both could be braced: by tenotomy of the first and of the
    /// second, and by the number of visits between the decisions.
    pub(crate) both: [[Vec<Days>; 2]; 2],
    /// Casts from its own decision on, for the foot decided first, in the same order.
    pub(crate) casts_first: [[Vec<Days>; 2]; 2],
    /// The same for the foot decided last.
    pub(crate) casts_last: [[Vec<Days>; 2]; 2],
}

/// Everything that a forecast needs except the foot.
#[derive(Debug)]
pub(crate) struct Tables {
    pub(crate) kernel: std::sync::Arc<Kernel>,
    /// Chance of the decision at a visit, by joint level of the midfoot; and at the first one.
    pub(crate) decide: Midfoot,
    pub(crate) decide_first: Midfoot,
    /// By pace and joint level: chances of the decision at each visit to come.
    pub(crate) ready_at: Vec<Vec<[f64; VISITS]>>,
    /// Days between visits.
    pub(crate) interval: Days,
    /// The same without rare ones, for sums of many.
    pub(crate) interval_brief: Vec<(usize, f64)>,
    pub(crate) wait: Days,
    pub(crate) to_brace: Days,
    pub(crate) ready_to_brace: Days,
    pub(crate) full_time: Days,
    pub(crate) after: After,
    pub(crate) tenotomy: TenotomyTable,
    pub(crate) tenotomy_unlike: TenotomyTable,
    pub(crate) pace: PaceSummary,
    pub(crate) guard: Guard,
    pub(crate) experts: CutExperts,
    pub(crate) recalibration: Recalibration,
}

impl Tables {
    pub(crate) fn new(clinic: &ClinicPosterior) -> Self {
        let kernel = std::sync::Arc::clone(&clinic.kernel);
        let go_on = clinic.go_on.chances();
        let mut first = [0.0; 7];
        first[..2].copy_from_slice(&go_on[..2]);
        let decide = decides(&kernel, &go_on);
        let ready_at = (0..PACE.len()).map(|pace| ready_at(&kernel, pace, &decide)).collect();
        let interval = clinic.days.interval.chances();
        let wait = clinic.days.wait.chances();
        let to_brace = clinic.days.to_brace.chances();
        let ready_to_brace = clinic.days.ready_to_brace.chances();
        let interval_brief = brief(&interval);
        let after = After::new(&wait, &to_brace, &ready_to_brace, &interval_brief);
        Self {
            decide_first: decides(&kernel, &first),
            decide,
            ready_at,
            interval,
            interval_brief,
            wait,
            to_brace,
            ready_to_brace,
            full_time: clinic.days.full_time.chances(),
            after,
            tenotomy: clinic.tenotomy.table(),
            tenotomy_unlike: clinic.tenotomy.table_unlike(),
            pace: clinic.pace.summary(),
            guard: clinic.guard.clone(),
            experts: clinic.experts.clone(),
            recalibration: clinic.calibration.recalibration(),
            kernel,
        }
    }

    /// The prior of the classes of a child of this age, wider if it is unlike the published ones.
    pub(crate) fn prior(&self, age_years: f64, widen: f64, severity_sd: f64) -> ClassPrior {
        ClassPrior {
            shift: self.pace.shift,
            shift_variance: self.pace.variance,
            pace_sd: self.kernel.parameters.pace_sd * self.pace.spread * widen,
            severity_sd,
            age_years,
        }
    }
}

/// Chance of the decision by joint level, from the chance by written score.
fn decides(kernel: &Kernel, go_on: &[f64; 7]) -> Midfoot {
    let mut decide = [0.0; MIDFOOT_STATES];
    for (into, written) in decide.iter_mut().zip(&kernel.midfoot_written) {
        *into = written.iter().zip(go_on).map(|(chance, go_on)| chance * go_on).sum();
    }
    decide
}

/// Computed backwards from the decision. The rest after the last visit is added to it.
fn ready_at(kernel: &Kernel, pace: usize, decide: &Midfoot) -> Vec<[f64; VISITS]> {
    let mut table = vec![[0.0; VISITS]; MIDFOOT_STATES];
    let mut at = kernel.before_cast(pace, decide);
    let mut left: Midfoot = [1.0; MIDFOOT_STATES];
    for cast_visit in 0..VISITS {
        for (row, chance) in table.iter_mut().zip(&at) {
            row[cast_visit] = *chance;
        }
        left = std::array::from_fn(|state| left[state] - at[state]);
        let undecided: Midfoot = std::array::from_fn(|state| (1.0 - decide[state]) * at[state]);
        at = kernel.before_cast(pace, &undecided);
    }
    for (row, rest) in table.iter_mut().zip(&left) {
        row[VISITS - 1] += rest.max(0.0);
    }
    table
}

/// The days with relevant weight, scaled to a sum of 1: sums of many intervals do not need rare ones.
fn brief(chances: &[f64]) -> Vec<(usize, f64)> {
    let relevant: Vec<(usize, f64)> =
        chances.iter().copied().enumerate().filter(|(_, chance)| *chance > 0.003).collect();
    let sum: f64 = relevant.iter().map(|(_, chance)| chance).sum();
    if sum <= 0.0 {
        return vec![(7, 1.0)];
    }
    relevant.into_iter().map(|(day, chance)| (day, chance / sum)).collect()
}

/// Holding casts while a foot waits for its own tenotomy or brace: one for each week begun.
pub(crate) const fn holding(days: usize) -> usize {
    days.div_ceil(HOLDING_DAYS as usize)
}

impl After {
    fn new(wait: &[f64], to_brace: &[f64], ready_to_brace: &[f64], interval: &[(usize, f64)]) -> Self {
        let days = [ready_to_brace.to_vec(), convolve(wait, to_brace)];
        let mut casts = [vec![0.0; holding(ready_to_brace.len()) + 1], vec![0.0; holding(wait.len()) + 2]];
        for (day, chance) in ready_to_brace.iter().enumerate() {
            casts[0][holding(day)] += chance;
        }
        for (day, chance) in wait.iter().enumerate() {
            casts[1][holding(day) + 1] += chance;
        }
        let empty = || [[Vec::new(), Vec::new()], [Vec::new(), Vec::new()]];
        let mut after = Self { days, casts, both: empty(), casts_first: empty(), casts_last: empty() };
        let mut apart = vec![1.0];
        for cast_visits in 0..APART {
            for first in 0..2 {
                for last in 0..2 {
                    after.pair(first, last, cast_visits, &apart);
                }
            }
            apart = convolve_brief(&apart, interval);
        }
        after
    }

    /// Two feet decided some days apart.
    fn pair(&mut self, first: usize, last: usize, cast_visits: usize, apart: &[f64]) {
        let others = convolve(apart, &self.days[last]);
        // Two feet with the same decision share one wait, so the one decided last is braced last.
        let both = if first == last { others.clone() } else { later_of(&self.days[first], &others) };
        let together = cast_visits == 0 && first == last;
        let (own_first, own_last) = (self.casts[first].clone(), self.casts[last].clone());
        let (of_first, of_last) = if together {
            (own_first, own_last)
        } else {
            let late = reach_back(&self.days[first], apart);
            (held(&own_first, &self.days[first], &others), held(&own_last, &self.days[last], &late))
        };
        self.both[first][last].push(both);
        self.casts_first[first][last].push(of_first);
        self.casts_last[first][last].push(of_last);
    }
}

/// Days of the first foot counted from the decision on the last; days already past count as 0.
fn reach_back(days: &[f64], apart: &[f64]) -> Days {
    let mut left = vec![0.0; days.len()];
    for (gone, weight) in apart.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
        for (day, chance) in days.iter().enumerate() {
            left[day.saturating_sub(gone)] += weight * chance;
        }
    }
    left
}

/// Casts of a foot that could be braced after `own` days but waits for the `other`: one more for each
/// three weeks begun ([`HELD_DAYS`]).
pub(crate) fn held(casts: &[f64], own: &[f64], other: &[f64]) -> Days {
    let held = |days: usize| days.div_ceil(HELD_DAYS as usize);
    let mut extra = vec![0.0; held(other.len()) + 1];
    let whole: f64 = other.iter().sum();
    let mut waited = 0.0;
    for (mine, chance) in own.iter().enumerate().filter(|(_, chance)| **chance > 0.0) {
        for (theirs, weight) in other.iter().enumerate().skip(mine + 1) {
            extra[held(theirs - mine)] += chance * weight;
            waited += chance * weight;
        }
    }
    extra[0] += (whole - waited).max(0.0);
    convolve(casts, &extra)
}
