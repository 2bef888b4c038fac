//! From when a length is beyond a limit.

use super::{Growth, Length, published};
use record::{Day, ShoulderWidth, Side};

/// The days by which a limit has been passed with so much chance; `None` where that lies beyond what is
/// looked at (three years ahead, or the seventh birthday).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outgrown {
    /// One in twenty: the first day of the window of nine in ten.
    pub by_5: Day,
    /// 15 of 100: the day by which boots are called for.
    pub by_15: Option<Day>,
    /// One in four: the first day of the window of a half.
    pub by_25: Option<Day>,
    /// As likely as not.
    pub by_50: Option<Day>,
    /// Three in four: the last day of the window of a half.
    pub by_75: Option<Day>,
    /// Nineteen in twenty: the last day of the window of nine in ten.
    pub by_95: Option<Day>,
}

/// How far ahead is looked.
const AHEAD_DAYS: i32 = 1_096;
/// Days between the first looks.
const STEP_DAYS: i32 = 61;
/// The six chances, in standard deviations: 5, 15, 25, 50, 75 and 95 %.
const CHANCES: [f64; 6] = [-1.644_854, -1.036_433, -0.674_490, 0.0, 0.674_490, 1.644_854];

impl Outgrown {
    /// Measured beyond the limit: no forecast is needed.
    const fn already(first: Day) -> Self {
        let on = Some(first);
        Self { by_5: first, by_15: on, by_25: on, by_50: on, by_75: on, by_95: on }
    }
}

impl Growth {
    /// When a foot is longer than a limit, from its last measurement on; `None` where it was never
    /// measured, or the limit is not reached with one chance in twenty.
    #[must_use]
    pub fn foot_beyond(&self, side: Side, limit_mm: f64) -> Option<Outgrown> {
        let last = self.last_foot(side)?;
        if last.mm > limit_mm {
            return Some(Outgrown::already(last.on));
        }
        self.beyond(last.on, limit_mm, |on| self.foot(side, on))
    }

    /// When the shoulders are wider than a limit, from their last measurement on; `None` where they were
    /// never measured, or the limit is not reached with one chance in twenty.
    #[must_use]
    pub fn shoulders_beyond(&self, width: ShoulderWidth, limit_mm: f64) -> Option<Outgrown> {
        let (on, mm, seen) = self.last_shoulders()?;
        if seen == width && mm > limit_mm {
            return Some(Outgrown::already(on));
        }
        self.beyond(on, limit_mm, |on| self.shoulders(on, width))
    }

    fn beyond(&self, from: Day, limit_mm: f64, length: impl Fn(Day) -> Length) -> Option<Outgrown> {
        let oldest = self.child().born + (published::UNTIL_MONTHS * published::DAYS_PER_MONTH) as i32;
        let last = (from + AHEAD_DAYS).min(oldest);
        let sds = |on: Day| {
            let length = length(on);
            (length.mm - limit_mm) / length.sd_mm.max(1e-9)
        };
        let mut found = [None; 6];
        let (mut before, mut at) = ((from, sds(from)), 0);
        while at < CHANCES.len() && before.1 >= CHANCES[at] {
            found[at] = Some(from);
            at += 1;
        }
        while at < CHANCES.len() && before.0 < last {
            let day = (before.0 + STEP_DAYS).min(last);
            let after = (day, sds(day));
            while at < CHANCES.len() && after.1 >= CHANCES[at] {
                found[at] = Some(crossed(before, after, CHANCES[at], &sds));
                at += 1;
            }
            before = after;
        }
        let [by_5, by_15, by_25, by_50, by_75, by_95] = found;
        Some(Outgrown { by_5: by_5?, by_15, by_25, by_50, by_75, by_95 })
    }
}

/// The first day between two at which a chance is reached: by halving, the curve rises between them.
fn crossed(before: (Day, f64), after: (Day, f64), chance: f64, sds: &impl Fn(Day) -> f64) -> Day {
    let ((mut low, mut under), (mut high, mut over)) = (before, after);
    while high - low > 1 {
        // The crossing of the line between the two, away from the ends so that every step narrows the range.
        let share = ((chance - under) / (over - under)).clamp(0.02, 0.98);
        let step = (f64::from(high - low) * share).round() as i32;
        let middle = low + step.clamp(1, high - low - 1);
        let value = sds(middle);
        if value >= chance {
            (high, over) = (middle, value);
            // One day earlier settles it most of the time.
            if high - low > 1 {
                let value = sds(high - 1);
                if value < chance {
                    return high;
                }
                (high, over) = (high - 1, value);
            }
        } else {
            (low, under) = (middle, value);
        }
    }
    high
}

/// The chance that a length is beyond a limit.
#[must_use]
pub fn chance_beyond(length: Length, limit_mm: f64) -> f64 {
    statistics::special::normal_cdf((length.mm - limit_mm) / length.sd_mm.max(1e-9))
}
