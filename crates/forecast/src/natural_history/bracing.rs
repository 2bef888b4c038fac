//! Bracing: reviews, wear, relapse, and leaving care.

use super::casting::Rules;
use super::chance::Chance;
use super::truth::{ChildTruth, RELAPSE_CASTS, RELAPSE_INTERVAL_DAYS};
use super::{DAYS_PER_YEAR, Parameters};
use crate::SeenWear;
use course::LossStage;

/// The age to which a child is simulated, days: the last published relapse figure is at six years.
pub const LAST_AGE_DAYS: i32 = 7 * 365 + 1;

/// Age at which bracing ends, days; the usual end, common practice, no source.
pub const BRACING_ENDS_DAYS: i32 = 5 * 365 + 1;

/// Reviews after the fitting of the brace, days, before the change to nights: common practice, no source.
const EARLY_REVIEWS_DAYS: [i32; 2] = [7, 42];

/// Days between reviews at nights: about four months until the third birthday, about six after it
/// (a handbook's schedule, from memory).
const LATER_REVIEWS_DAYS: [i32; 2] = [119, 182];

/// Days in a quarter of a year of bracing.
pub const QUARTER_DAYS: f64 = DAYS_PER_YEAR / 4.0;

/// The largest number of hours that a family reports: those prescribed for full time.
const MOST_REPORTED_HOURS: f64 = 23.0;

impl Parameters {
    /// Relapse hazard per year at an age, of a foot whose family is adherent, in a usual clinic.
    #[must_use]
    pub fn relapse_per_year_at(&self, age_days: f64) -> f64 {
        match age_days / DAYS_PER_YEAR {
            years if years < 2.0 => self.relapse_per_year[0],
            years if years < 4.0 => self.relapse_per_year[1],
            _ => self.relapse_per_year[2],
        }
    }

    /// Mean hours worn at a number of days after the first fitting of the brace.
    #[must_use]
    pub fn wear_mean(&self, days_in_brace: f64, adherent: bool) -> f64 {
        let quarter = (days_in_brace / QUARTER_DAYS).max(0.0) as usize;
        let share = if adherent { 1.0 } else { self.wear_share_not_adherent };
        self.wear_hours[quarter.min(5)] * share
    }
}

impl Rules<'_> {
    /// Everything from the brace on.
    pub(super) fn brace(&self, child: &mut ChildTruth, chance: &mut Chance) {
        child.full_time_end_day = child.brace_day + chance.days(&self.habits.full_time_days).max(1);
        child.reviews = reviews(child);
        // A relapse is treated and braced again before the last review; otherwise it is not simulated.
        let last = child.reviews.last().copied().unwrap_or(child.brace_day);
        for index in 0..child.feet.len() {
            let relapse = self.relapse(child, chance);
            child.feet[index].relapse_day = relapse.filter(|day| treated_again(*day).1 < last);
        }
        make_way(child);
        self.wear(child, chance);
        child.leaves_day = self.leaves(child, chance);
        child.declared_lost_day = child.leaves_day.map(|day| {
            let (seen, braced) = last_seen_before(child, day);
            // The clinic declares a child lost by the published definition.
            let stage = if braced { LossStage::Bracing } else { LossStage::Casting };
            seen + stage.published_days()
        });
    }

    /// Day of the first relapse of a foot: the day on which the cumulative hazard reaches a standard exponential draw.
    fn relapse(&self, child: &ChildTruth, chance: &mut Chance) -> Option<i32> {
        let ratio = if child.adherent { 1.0 } else { self.parameters.relapse_ratio };
        let mut left = chance.exponential();
        let mut age = f64::from(child.brace_day - child.born_day);
        let ends = [2.0, 4.0, f64::from(LAST_AGE_DAYS) / DAYS_PER_YEAR].map(|years| years * DAYS_PER_YEAR);
        for end in ends {
            if end <= age {
                continue;
            }
            let per_day =
                self.parameters.relapse_per_year_at(age) * ratio * self.habits.relapse_factor / DAYS_PER_YEAR;
            let spent = per_day * (end - age);
            if spent > left {
                let age = age + left / per_day;
                return Some((child.born_day + age.ceil() as i32).max(child.brace_day + 1));
            }
            left -= spent;
            age = end;
        }
        None
    }

    /// Day of leaving care: one hazard in casts, another in the brace.
    fn leaves(&self, child: &ChildTruth, chance: &mut Chance) -> Option<i32> {
        let patience = chance.exponential();
        let [casting, bracing] = self.parameters.leave_per_year.map(|rate| rate / DAYS_PER_YEAR);
        let in_casts = casting * f64::from(child.brace_day - child.first_cast_day);
        let day = if patience < in_casts {
            f64::from(child.first_cast_day) + 1.0 + patience / casting
        } else {
            f64::from(child.brace_day) + 1.0 + (patience - in_casts) / bracing
        };
        (day < f64::from(child.born_day + LAST_AGE_DAYS)).then_some(day as i32)
    }

    /// Hours between reviews, while in the brace.
    fn wear(&self, child: &mut ChildTruth, chance: &mut Chance) {
        let parameters = self.parameters;
        let logger = chance.happens(self.cohort.wear_logged);
        let (mut from, mut of_quarter, mut deviation) = (child.brace_day, usize::MAX, 0.0);
        for &to in &child.reviews {
            if to - child.born_day > BRACING_ENDS_DAYS {
                break;
            }
            let middle = f64::from(from - child.brace_day + to - child.brace_day) / 2.0;
            let quarter = (middle / QUARTER_DAYS) as usize;
            if quarter != of_quarter {
                deviation = chance.normal() * parameters.wear_sd_hours;
                of_quarter = quarter;
            }
            let hours = (parameters.wear_mean(middle, child.adherent) + deviation).clamp(0.0, 24.0);
            let span = |hours: f64, logged: bool| SeenWear {
                from_day: from,
                to_day: to,
                hours_per_day: hours,
                logged,
            };
            if chance.happens(self.cohort.wear_reported) {
                let reported = (hours * parameters.wear_over_report).min(MOST_REPORTED_HOURS.max(hours));
                child.wear.push(span(reported, false));
            }
            if logger {
                child.wear.push(span(hours, true));
            }
            from = to;
        }
    }
}

/// Removes reviews during the casts of a relapse; full time that would end during them ends with them.
fn make_way(child: &mut ChildTruth) {
    let mut casts: Vec<(i32, i32)> =
        child.feet.iter().filter_map(|foot| foot.relapse_day).map(treated_again).collect();
    casts.sort_unstable();
    for (from, to) in &casts {
        if (*from..=*to).contains(&child.full_time_end_day) {
            child.full_time_end_day = *to;
        }
    }
    child.reviews.retain(|day| casts.iter().all(|(from, to)| !(*from..=*to).contains(day)));
}

/// The day of a relapse, and the day on which its casts end and the brace is fitted again.
pub(super) const fn treated_again(relapse_day: i32) -> (i32, i32) {
    (relapse_day, relapse_day + RELAPSE_INTERVAL_DAYS * RELAPSE_CASTS)
}

/// Days of the reviews, to the age of seven.
fn reviews(child: &ChildTruth) -> Vec<i32> {
    let nights = child.full_time_end_day;
    let early = EARLY_REVIEWS_DAYS.map(|days| child.brace_day + days);
    let mut days: Vec<i32> = early.into_iter().filter(|day| *day < nights).chain([nights]).collect();
    let mut day = nights;
    loop {
        day += LATER_REVIEWS_DAYS[usize::from(day - child.born_day >= 3 * 365)];
        if day - child.born_day > LAST_AGE_DAYS {
            return days;
        }
        days.push(day);
    }
}

/// The last day seen before a day, and whether the brace was on by then.
fn last_seen_before(child: &ChildTruth, day: i32) -> (i32, bool) {
    let seen = child.visit_days().filter(|visit| *visit < day).max();
    (seen.unwrap_or(child.first_cast_day), day > child.brace_day)
}
