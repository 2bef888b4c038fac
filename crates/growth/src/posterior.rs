//! The curves of one child.
//!
//! **The prior** is published: [`super::published`] has the mean length of a foot by age and sex, lying to two
//! years and standing from then on (Snyder 1977), and the estimated width of the shoulders.
//!
//! **The model** is one of random effects that move slowly with age, a Gaussian process, on the deviation
//! from the published mean as a share of it. A mixed model with a line for each child was the other
//! candidate; it makes every child cross the others' centiles for ever, so that its intervals run apart
//! beyond the last measurement, while a slow process returns. With the child's own few measurements
//! either is one small linear system. The parts, all in [`super::effects`]: one effect of the child, shared by
//! both feet and the shoulders; one of each foot, an affected foot smaller and less certain; one of
//! the posture, for what a foot lengthens under load; one of how fast the child's feet grow; and error of
//! measuring.
//!
//! **How fast.** Published rates of growth differ by half at some ages ([`super::published::RATES`]). From the
//! first measurement on a foot is taken to grow by the middle of both ends, and a child to lie anywhere
//! between them, for good. Two measurements a quarter of a year apart say little about it, for the error of
//! measuring is as large as what children differ by in that time; they say more the further apart they are.
//!
//! **The step at 24 months** between the two published sets, 9.6 mm, is part posture and part which
//! children were measured. The sets are never joined: a forecast stays on the [`super::Posture`] in which the
//! child was last measured, so that nothing is outgrown by a birthday, and once a child was measured
//! standing what it measured lying is no longer read.
//!
//! **Prematurity.** Age is corrected to term up to two years and the correction fades by three.
//!
//! A length beyond belief ([`Growth::set_aside`]) is left out and named.

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

/// A measurement further than this from its expectation given all others, in SDs, is set aside: by chance one in 16,000.
const SET_ASIDE_BEYOND_SD: f64 = 4.0;

/// The curves of one child given its measurements.
#[derive(Debug, Clone)]
pub struct Growth {
    child: Growing,
    posture: Posture,
    /// Age in months at the first length in the posture of the forecast, from which growth is counted.
    first: Option<f64>,
    points: Vec<Point>,
    factor: Factor,
    set_aside: Vec<EntryId>,
}

/// A measurement: its point, its deviation as a share of the published mean, and the variance of its error.
type Measured = (EntryId, Point, f64, f64);

impl Growth {
    /// The curves of a child.
    #[must_use]
    pub fn of(child: Growing) -> Self {
        let mut set_aside = Vec::new();
        let mut read = Read::of(&child, &set_aside);
        while let Some(worst) = implausible(&read.factor) {
            set_aside.push(read.measured[worst].0);
            read = Read::of(&child, &set_aside);
        }
        let Read { posture, first, measured, factor } = read;
        Self { posture, first, points: measured.iter().map(|one| one.1).collect(), factor, set_aside, child }
    }

    /// The child.
    #[must_use]
    pub const fn child(&self) -> &Growing {
        &self.child
    }

    /// The posture of the forecast: that of the last length used.
    #[must_use]
    pub const fn posture(&self) -> Posture {
        self.posture
    }

    /// Measurements that contradict the others and are not used.
    #[must_use]
    pub fn set_aside(&self) -> &[EntryId] {
        &self.set_aside
    }

    /// The last length of a foot that is used.
    #[must_use]
    pub fn last_foot(&self, side: Side) -> Option<&super::GrowingFoot> {
        let of_side = |foot: &&super::GrowingFoot| foot.side == side && !self.set_aside.contains(&foot.entry);
        self.child.feet.iter().rev().find(of_side)
    }

    /// The last shoulder width that is used: its day, mm, and which width.
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
        let (point, mean_mm) = foot_point(&self.child, self.first, side, on, posture);
        self.length(point, mean_mm)
    }

    /// Width of the shoulders on a day.
    #[must_use]
    pub fn shoulders(&self, on: Day, width: ShoulderWidth) -> Length {
        let months = self.child.months(on);
        let mean = published::shoulder_mm(months, self.child.sex, width);
        self.length(Point { clock: effects::clock(months), part: Part::Shoulders, grown: 0.0 }, mean)
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

/// By the day and not by the corrected age: whether a child can stand depends on neither alone, and a clinic usually
/// goes by the birthday.
fn posture_on(child: &Growing, on: Day) -> Posture {
    Posture::at(f64::from(on - child.born) / published::DAYS_PER_MONTH)
}

/// A foot on a day as a point of its curve, and the mean there. From the first measurement on the mean grows
/// by the middle of both published ends of growth; before it, and without one, it is the published mean.
fn foot_point(child: &Growing, first: Option<f64>, side: Side, on: Day, posture: Posture) -> (Point, f64) {
    let (months, affected) = (child.months(on), child.affected.contains(&side));
    let smaller = if affected { 1.0 - effects::CLUBFOOT_SMALLER } else { 1.0 };
    let from = first.map_or(months, |first| first.min(months));
    let (middle, half) = published::grown_mm(from, months);
    let mean = published::foot_mm(from, child.sex, posture) * smaller + middle;
    let part = Part::Foot { which: which(side), affected, posture };
    (Point { clock: effects::clock(months), part, grown: half / mean }, mean)
}

/// The measurements that a forecast reads.
struct Read {
    posture: Posture,
    first: Option<f64>,
    measured: Vec<Measured>,
    factor: Factor,
}

impl Read {
    /// All measurements except those set aside. Lengths lying and standing are never combined, because it is unknown
    /// how much longer one foot is standing, from 0 to the 9.6 mm between the two published sets. Once a child was
    /// measured standing, its lengths lying are therefore not used.
    fn of(child: &Growing, set_aside: &[EntryId]) -> Self {
        let used = || child.feet.iter().filter(|foot| !set_aside.contains(&foot.entry));
        let posture = used().next_back().map_or(Posture::Lying, |foot| posture_on(child, foot.on));
        let feet: Vec<_> = used().filter(|foot| posture_on(child, foot.on) == posture).collect();
        let first = feet.iter().map(|foot| child.months(foot.on)).reduce(f64::min);
        let mut measured: Vec<Measured> = Vec::with_capacity(feet.len() + child.shoulders.len());
        for foot in feet {
            let (point, mean) = foot_point(child, first, foot.side, foot.on, posture);
            let error = effects::error_mm(posture) / mean;
            measured.push((foot.entry, point, foot.mm / mean - 1.0, error * error));
        }
        for &(entry, on, mm, width) in child.shoulders.iter().filter(|one| !set_aside.contains(&one.0)) {
            let months = child.months(on);
            let mean = published::shoulder_mm(months, child.sex, width);
            let error = effects::ERROR_SHOULDER_MM / mean;
            let point = Point { clock: effects::clock(months), part: Part::Shoulders, grown: 0.0 };
            measured.push((entry, point, mm / mean - 1.0, error * error));
        }
        let factor = factor_of(&measured);
        Self { posture, first, measured, factor }
    }
}

fn factor_of(measured: &[Measured]) -> Factor {
    let deviations: Vec<f64> = measured.iter().map(|one| one.2).collect();
    Factor::of(&deviations, |row, column| {
        let error = if row == column { measured[row].3 } else { 0.0 };
        covariance(&measured[row].1, &measured[column].1) + error
    })
}

/// The measurement furthest from the others, if it is implausible. It is searched for only if one is far from its
/// expectation given those before it, which needs no further computation.
fn implausible(factor: &Factor) -> Option<usize> {
    let far = |value: &f64| value.abs() > SET_ASIDE_BEYOND_SD;
    if !factor.whitened.iter().any(far) || factor.whitened.len() < 2 {
        return None;
    }
    let left_out = factor.left_out();
    let worst = (0..left_out.len()).max_by(|&a, &b| left_out[a].abs().total_cmp(&left_out[b].abs()))?;
    far(&left_out[worst]).then_some(worst)
}
