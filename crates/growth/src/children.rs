//! What the forecast of growth reads of a course.

use course::Course;
use record::{Day, EntryId, Sex, ShoulderWidth, Side};

/// A foot measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowingFoot {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Which foot.
    pub side: Side,
    /// Its length.
    pub mm: f64,
}

/// A child who grows.
#[derive(Debug, Clone, PartialEq)]
pub struct Growing {
    /// Day of birth.
    pub born: Day,
    /// Days born before term, if born before 37 weeks; otherwise 0.
    pub early_days: i32,
    /// Sex, if known.
    pub sex: Option<Sex>,
    /// Which feet are clubfeet.
    pub affected: Vec<Side>,
    /// Lengths of feet in order of day.
    pub feet: Vec<GrowingFoot>,
    /// Widths of the shoulders in order of day: entry, day, mm, which width.
    pub shoulders: Vec<(EntryId, Day, f64, ShoulderWidth)>,
}

/// The largest number of measurements of one foot or of the shoulders that is used; more add nothing, so the last ones
/// count.
const MOST: usize = 16;

impl Growing {
    /// From a course; `None` if the day of birth is unknown, because growth depends on age.
    #[must_use]
    pub fn of(course: &Course) -> Option<Self> {
        let born = course.about.born?;
        let age = course::Age::on(born, born, course.about.gestation_weeks);
        let mut feet: Vec<GrowingFoot> = Vec::with_capacity(course.foot_lengths.len());
        for side in Side::BOTH {
            let of_side =
                course.foot_lengths.iter().filter(|length| length.side == side && length.on >= born);
            let last = of_side.rev().take(MOST);
            feet.extend(last.map(|length| GrowingFoot {
                entry: length.entry,
                on: length.on,
                side,
                mm: length.mm.into(),
            }));
        }
        feet.sort_by_key(|foot| (foot.on, foot.side));
        let shoulders = course.shoulders.iter().rev().filter(|seen| seen.on >= born).take(MOST);
        let mut shoulders: Vec<_> = shoulders
            .filter_map(|seen| Some((seen.entry, seen.on, f64::from(seen.mm), seen.width?)))
            .collect();
        shoulders.reverse();
        Some(Self {
            born,
            early_days: age.corrected_days.map_or(0, |days| -days),
            sex: course.about.sex,
            affected: course.feet.iter().map(|foot| foot.side).collect(),
            feet,
            shoulders,
        })
    }

    /// Age in months on a day, corrected to term up to two years, the correction fading by three.
    #[must_use]
    pub fn months(&self, on: Day) -> f64 {
        let months = f64::from(on - self.born) / super::published::DAYS_PER_MONTH;
        let early = f64::from(self.early_days) / super::published::DAYS_PER_MONTH;
        months - early * ((36.0 - months) / 12.0).clamp(0.0, 1.0)
    }
}
