//! The curves of one child.

use super::condition::Factor;
use super::effects::{self, Part, Point, covariance};
use super::{Growing, Posture, published};
use record::{Day, EntryId, ShoulderWidth, Side};

/// A length on a day as a normal distribution: what it is, not what would be measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    /// Mean.
    pub mm: f64,
    /// Standard deviation.
    pub sd_mm: f64,
}

impl Length {
    /// The ends of the interval within which it lies in nine cases of ten.
    #[must_use]
    pub fn ninety(self) -> (f64, f64) {
        (self.mm - 1.644_854 * self.sd_mm, self.mm + 1.644_854 * self.sd_mm)
    }

    /// The ends of the interval within which it lies in half of the cases.
    #[must_use]
    pub fn fifty(self) -> (f64, f64) {
        (self.mm - 0.674_490 * self.sd_mm, self.mm + 0.674_490 * self.sd_mm)
    }
}

/// A measurement further than this from what all others say, in SDs, is set aside: by chance one in 16,000.
const SET_ASIDE_BEYOND_SD: f64 = 4.0;

/// The curves of one child given its measurements.
#[derive(Debug, Clone)]
pub struct Growth {
    child: Growing,
    posture: Posture,
    points: Vec<Point>,
    factor: Factor,
    set_aside: Vec<EntryId>,
}

/// A measurement: where, how far from the published mean as a share of it, and the variance of its error.
type Measured = (EntryId, Point, f64, f64);

impl Growth {
    /// The curves of a child.
    #[must_use]
    pub fn of(child: Growing) -> Self {
        let mut measured = measured(&child);
        let mut set_aside = Vec::new();
        let mut factor = factor_of(&measured);
        while let Some(worst) = beyond_belief(&factor) {
            set_aside.push(measured.remove(worst).0);
            factor = factor_of(&measured);
        }
        let last = child.feet.iter().rev().find(|foot| !set_aside.contains(&foot.entry));
        let posture = last.map_or(Posture::Lying, |foot| posture_on(&child, foot.on));
        Self { posture, points: measured.iter().map(|one| one.1).collect(), factor, set_aside, child }
    }

    /// The child as read.
    #[must_use]
    pub const fn child(&self) -> &Growing {
        &self.child
    }

    /// The posture of the forecast: that of the last length believed.
    #[must_use]
    pub const fn posture(&self) -> Posture {
        self.posture
    }

    /// Measurements that do not go with the others and were left out.
    #[must_use]
    pub fn set_aside(&self) -> &[EntryId] {
        &self.set_aside
    }

    /// The last length of a foot that is believed.
    #[must_use]
    pub fn last_foot(&self, side: Side) -> Option<&super::GrowingFoot> {
        let of_side = |foot: &&super::GrowingFoot| foot.side == side && !self.set_aside.contains(&foot.entry);
        self.child.feet.iter().rev().find(of_side)
    }

    /// The last shoulder width that is believed: its day, mm, and which width.
    #[must_use]
    pub fn last_shoulders(&self) -> Option<(Day, f64, ShoulderWidth)> {
        let seen = self.child.shoulders.iter().rev().find(|one| !self.set_aside.contains(&one.0));
        seen.map(|&(_, on, mm, width)| (on, mm, width))
    }

    /// Length of a foot on a day, in the posture in which the child was last measured.
    #[must_use]
    pub fn foot(&self, side: Side, on: Day) -> Length {
        self.foot_in(side, on, self.posture)
    }

    /// Length of a foot on a day, in a posture.
    #[must_use]
    pub fn foot_in(&self, side: Side, on: Day, posture: Posture) -> Length {
        let months = self.child.months(on);
        let affected = self.child.affected.contains(&side);
        let part = Part::Foot { which: which(side), affected, posture };
        self.length(
            Point { clock: effects::clock(months), part },
            mean_foot(&self.child, months, affected, posture),
        )
    }

    /// Width of the shoulders on a day.
    #[must_use]
    pub fn shoulders(&self, on: Day, width: ShoulderWidth) -> Length {
        let months = self.child.months(on);
        let mean = published::shoulder_mm(months, self.child.sex, width);
        self.length(Point { clock: effects::clock(months), part: Part::Shoulders }, mean)
    }

    fn length(&self, at: Point, mean_mm: f64) -> Length {
        let shared = self.points.iter().map(|point| covariance(&at, point));
        let (share, variance) = self.factor.given(covariance(&at, &at), shared);
        Length { mm: mean_mm * (1.0 + share), sd_mm: mean_mm * variance.sqrt() }
    }
}

const fn which(side: Side) -> usize {
    match side {
        Side::Right => 0,
        Side::Left => 1,
    }
}

/// By the day and not by the corrected age: whether a child can be stood up goes by neither alone, and a
/// clinic's habit by the birthday.
fn posture_on(child: &Growing, on: Day) -> Posture {
    Posture::at(f64::from(on - child.born) / published::DAYS_PER_MONTH)
}

fn mean_foot(child: &Growing, months: f64, affected: bool, posture: Posture) -> f64 {
    let smaller = if affected { 1.0 - effects::CLUBFOOT_SMALLER } else { 1.0 };
    published::foot_mm(months, child.sex, posture) * smaller
}

fn measured(child: &Growing) -> Vec<Measured> {
    let mut all: Vec<Measured> = Vec::with_capacity(child.feet.len() + child.shoulders.len());
    for foot in &child.feet {
        let (months, posture) = (child.months(foot.on), posture_on(child, foot.on));
        let affected = child.affected.contains(&foot.side);
        let mean = mean_foot(child, months, affected, posture);
        let part = Part::Foot { which: which(foot.side), affected, posture };
        let error = effects::error_mm(posture) / mean;
        all.push((
            foot.entry,
            Point { clock: effects::clock(months), part },
            foot.mm / mean - 1.0,
            error * error,
        ));
    }
    for &(entry, on, mm, width) in &child.shoulders {
        let months = child.months(on);
        let mean = published::shoulder_mm(months, child.sex, width);
        let error = effects::ERROR_SHOULDER_MM / mean;
        let point = Point { clock: effects::clock(months), part: Part::Shoulders };
        all.push((entry, point, mm / mean - 1.0, error * error));
    }
    all
}

fn factor_of(measured: &[Measured]) -> Factor {
    let deviations: Vec<f64> = measured.iter().map(|one| one.2).collect();
    Factor::of(&deviations, |row, column| {
        let error = if row == column { measured[row].3 } else { 0.0 };
        covariance(&measured[row].1, &measured[column].1) + error
    })
}

/// The measurement that goes least with the others, where it is beyond belief. Looked for only where one
/// is far from what those before it said, for that costs nothing to know.
fn beyond_belief(factor: &Factor) -> Option<usize> {
    let far = |value: &f64| value.abs() > SET_ASIDE_BEYOND_SD;
    if !factor.whitened.iter().any(far) || factor.whitened.len() < 2 {
        return None;
    }
    let left_out = factor.left_out();
    let worst = (0..left_out.len()).max_by(|&a, &b| left_out[a].abs().total_cmp(&left_out[b].abs()))?;
    far(&left_out[worst]).then_some(worst)
}
