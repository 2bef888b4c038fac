//! The stretched time axis, on which weekly casts and years of bracing are both legible.
//!
//! Each day has its own width. Outside casting a day has the width `1 / (30 + age in days)`, so that the axis
//! is logarithmic in age; during correction a day has at least the width `1 / 100`, so that the casts of a
//! relapse at three years can still be distinguished.

use course::{Course, Phase};
use record::Day;
use std::sync::Arc;

/// Days shown before the first day of the record when the date of birth is unknown.
const WITHOUT_BIRTH_DAYS: i32 = 7;
/// Largest length of the axis, whatever the dates are.
const LONGEST_DAYS: i32 = 366 * 21;

/// A map from days to x-coordinates.
#[derive(Debug, Clone)]
pub struct Axis {
    start: Day,
    /// Cumulative width up to each day after `start`, in units.
    before: Arc<[f64]>,
    left: f64,
    right: f64,
    from_birth: bool,
}

impl Axis {
    /// The axis of a course from birth to `last`, between two x-coordinates.
    #[must_use]
    pub fn of(course: &Course, last: Day, left: f64, right: f64) -> Self {
        let first = course.seen_on.first().copied().or(course.referred_on).unwrap_or(course.as_of);
        let start = course.about.born.filter(|&born| born <= first).unwrap_or(first - WITHOUT_BIRTH_DAYS);
        let days = (last - start).clamp(28, LONGEST_DAYS);
        let in_casts = days_in_casts(course, start, days);
        let mut sum = 0.0;
        let width = |(day, in_casts): (i32, bool)| {
            let before = sum;
            let plain = 1.0 / (30.0 + f64::from(day));
            sum += if in_casts { plain.max(0.01) } else { plain };
            before
        };
        let before = (0..=days).zip(in_casts).map(width).collect();
        Self { start, before, left, right, from_birth: course.about.born == Some(start) }
    }

    /// The same axis between two other x-coordinates.
    #[must_use]
    pub fn between(&self, left: f64, right: f64) -> Self {
        Self { left, right, ..self.clone() }
    }

    /// The x-coordinate of a day; days outside the axis are moved to its ends.
    #[must_use]
    pub fn x(&self, day: Day) -> f64 {
        let last = self.before.len().saturating_sub(1);
        let index = usize::try_from(day - self.start).unwrap_or(0).min(last);
        let whole = self.before.last().copied().unwrap_or(1.0).max(f64::EPSILON);
        let part = self.before.get(index).copied().unwrap_or(0.0) / whole;
        self.left + part * (self.right - self.left)
    }

    /// Ticks with their labels, at least `apart` from each other.
    #[must_use]
    pub fn ticks(&self, apart: f64) -> Vec<(f64, String)> {
        let zero = if self.from_birth { "birth" } else { "start" };
        let mut ticks = vec![(self.left, zero.to_owned())];
        for (day, words) in self.candidates() {
            let x = self.x(day);
            let far = ticks.last().is_none_or(|(last, _)| x - last >= apart);
            if far && x <= self.right {
                ticks.push((x, words));
            }
        }
        ticks
    }

    fn candidates(&self) -> Vec<(Day, String)> {
        let last = self.start + i32::try_from(self.before.len()).unwrap_or(0) - 1;
        let weeks =
            [2, 4, 6, 8, 12, 16, 20, 26, 39].map(|week| (self.start + week * 7, format!("{week} wk")));
        let years = (1..=20).map(|year| (self.start.plus_years(year), format!("{year} y")));
        weeks.into_iter().chain(years).filter(|(day, _)| *day <= last).collect()
    }
}

/// For each day from `start` on, whether a foot was in casts for correction.
fn days_in_casts(course: &Course, start: Day, days: i32) -> Vec<bool> {
    let place = |day: Day| usize::try_from(day - start).unwrap_or(0);
    let mut in_casts = vec![false; usize::try_from(days).unwrap_or(0) + 1];
    for spell in course.feet.iter().flat_map(|foot| &foot.phases) {
        let casting =
            matches!(spell.phase, Phase::InCorrection | Phase::WaitingForTenotomy | Phase::TenotomyCast);
        let after = course.as_of + 1;
        let until = spell.until.map_or(after, |until| until.min(after));
        let (from, until) = (place(spell.from), place(until).min(in_casts.len()));
        if casting && let Some(days) = in_casts.get_mut(from..until.max(from)) {
            days.fill(true);
        }
    }
    in_casts
}
