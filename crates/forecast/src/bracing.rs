//! Relapse in the brace: the hazard by age, and whether the family keeps to the brace.
//!
//! The hazard is the published one of [`Parameters`], by age, times a ratio for families that do not
//! keep to the brace, times the clinic's factor. Whether a family keeps to it is inferred from the hours
//! reported or logged: each quarter of a year of bracing is one observation, however many spans it has,
//! because a family's hours within a quarter share their deviation. The time without a relapse so far is
//! evidence too.

use crate::SeenChild;
use crate::natural_history::{DAYS_PER_YEAR, Parameters, QUARTER_DAYS};

/// The largest number of hours that a family is assumed to report: those prescribed for full time.
const MOST_REPORTED_HOURS: f64 = 23.0;

/// What is known of the family.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Family {
    /// Chance that it keeps to the brace.
    pub(crate) adherent: f64,
    /// Number of quarters of a year with known hours.
    pub(crate) quarters: usize,
}

/// Cumulative hazard of an adherent foot of the usual clinic between two ages in days.
pub(crate) fn cumulative_hazard(foot: &Parameters, from_days: i32, to_days: i32) -> f64 {
    let edges = [0.0, 2.0 * DAYS_PER_YEAR, 4.0 * DAYS_PER_YEAR, f64::INFINITY];
    let (from, to) = (f64::from(from_days.max(0)), f64::from(to_days.max(0)));
    let spans = edges.windows(2).map(|edge| (to.min(edge[1]) - from.max(edge[0])).max(0.0));
    spans.zip(foot.relapse_per_year).map(|(days, rate)| rate * days / DAYS_PER_YEAR).sum()
}

/// Mean hours of each quarter, reported and logged separately: quarter, logged, hours.
fn by_quarter(child: &SeenChild, brace_day: i32, as_of: i32) -> Vec<(usize, bool, f64)> {
    let mut sums: Vec<(usize, bool, f64, f64)> = Vec::new();
    let seen = child.wear.iter().filter(|span| span.to_day <= as_of && span.hours_per_day.is_finite());
    for span in seen.filter(|span| span.from_day >= brace_day) {
        let middle = f64::from(span.from_day + span.to_day) / 2.0 - f64::from(brace_day);
        let quarter = (middle / QUARTER_DAYS) as usize;
        let days = f64::from((span.to_day - span.from_day).max(1));
        match sums.iter_mut().find(|sum| sum.0 == quarter && sum.1 == span.logged) {
            Some(sum) => {
                sum.2 += days * span.hours_per_day;
                sum.3 += days;
            }
            None => sums.push((quarter, span.logged, days * span.hours_per_day, days)),
        }
    }
    sums.into_iter().map(|(quarter, logged, hours, days)| (quarter, logged, hours / days)).collect()
}

/// Log likelihood ratio of the mean hours of a quarter, for a family that keeps to the brace against one that does not.
fn evidence_of_hours(foot: &Parameters, (quarter, logged, hours): (usize, bool, f64)) -> f64 {
    let days = (quarter as f64 + 0.5) * QUARTER_DAYS;
    let (over, most) = if logged { (1.0, 24.0) } else { (foot.wear_over_report, MOST_REPORTED_HOURS) };
    let off = |adherent| {
        let mean = (foot.wear_mean(days, adherent) * over).min(most);
        (hours - mean) / (foot.wear_sd_hours * over).max(0.1)
    };
    0.5 * (off(false).powi(2) - off(true).powi(2)).clamp(-12.0, 12.0)
}

impl Family {
    /// What is known of a family on a day.
    pub(crate) fn of(foot: &Parameters, child: &SeenChild, prior: f64, factor: f64, as_of: i32) -> Self {
        let braced = child.feet.iter().filter_map(|foot| foot.brace_day).min();
        let Some(brace) = braced.filter(|day| *day <= as_of) else {
            return Self { adherent: prior, quarters: 0 };
        };
        let mut log_odds = (prior / (1.0 - prior)).ln();
        let mut quarters: Vec<(usize, bool, f64)> = by_quarter(child, brace, as_of);
        // In a logged quarter the reported hours add nothing.
        let logged: Vec<usize> = quarters.iter().filter(|known| known.1).map(|known| known.0).collect();
        quarters.retain(|known| known.1 || !logged.contains(&known.0));
        for quarter in &quarters {
            log_odds += evidence_of_hours(foot, *quarter);
        }
        if let Some(born) = child.born_day {
            for seen in &child.feet {
                let Some(from) = seen.brace_day else { continue };
                let until = seen.relapse_day.unwrap_or(as_of).min(as_of);
                let hazard = factor * cumulative_hazard(foot, from - born, until - born);
                log_odds += (foot.relapse_ratio - 1.0) * hazard;
                if seen.relapse_day.is_some_and(|day| day <= as_of) {
                    log_odds -= foot.relapse_ratio.max(1e-6).ln();
                }
            }
        }
        let adherent = 1.0 / (1.0 + (-log_odds.clamp(-30.0, 30.0)).exp());
        Self { adherent, quarters: quarters.len() }
    }

    /// Chance of a relapse of a foot between two ages in days, at a factor on the hazard.
    pub(crate) fn relapse(&self, foot: &Parameters, from_days: i32, to_days: i32, factor: f64) -> f64 {
        let plain = factor * cumulative_hazard(foot, from_days, to_days);
        let keeps = -(-plain).exp_m1();
        let not = -(-plain * foot.relapse_ratio).exp_m1();
        self.adherent * keeps + (1.0 - self.adherent) * not
    }
}
