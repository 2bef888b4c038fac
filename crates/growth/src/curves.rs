//! Curves to draw: the published mean with two standard deviations, and for each foot its measurements and
//! its forecast.

use super::{Growth, Length, Posture, effects, published};
use record::{Day, Side};

/// A point of the published curve, of feet without clubfoot, with the error of measuring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PublishedCurve {
    /// Age.
    pub months: f64,
    /// How it is measured at that age.
    pub posture: Posture,
    /// Two standard deviations below the mean.
    pub low_mm: f64,
    /// Mean.
    pub mean_mm: f64,
    /// Two standard deviations above the mean.
    pub high_mm: f64,
}

/// One foot.
#[derive(Debug, Clone, PartialEq)]
pub struct FootCurve {
    /// Which foot.
    pub side: Side,
    /// Whether it is a clubfoot.
    pub affected: bool,
    /// The measurements: age in months, length, day, and whether it was used.
    pub measured: Vec<(f64, f64, Day, bool)>,
    /// The forecast for the year after the last measurement: age in months, day, length.
    pub ahead: Vec<(f64, Day, Length)>,
}

/// The curves of a child.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// Up to 60 months, or 84 if the child is older; with a step at 24 months, where the posture changes.
    pub published: Vec<PublishedCurve>,
    /// The feet that were measured, right before left.
    pub feet: Vec<FootCurve>,
}

/// The length of the forecast, months.
const AHEAD_MONTHS: i32 = 12;

impl Growth {
    /// The curves to draw.
    #[must_use]
    pub fn curves(&self) -> Curves {
        let feet: Vec<FootCurve> = Side::BOTH.into_iter().filter_map(|side| self.foot_curve(side)).collect();
        let oldest = feet.iter().flat_map(|foot| &foot.ahead).map(|point| point.0).fold(0.0, f64::max);
        let until: i32 = if oldest > 60.0 { 84 } else { 60 };
        let sex = self.child().sex;
        let lying = (0..=24).map(|months| band(f64::from(months), Posture::Lying, sex));
        let standing = (24..=until).map(|months| band(f64::from(months), Posture::Standing, sex));
        Curves { published: lying.chain(standing).collect(), feet }
    }

    fn foot_curve(&self, side: Side) -> Option<FootCurve> {
        let child = self.child();
        let of_side = child.feet.iter().filter(|foot| foot.side == side);
        let measured: Vec<_> = of_side
            .map(|foot| (child.months(foot.on), foot.mm, foot.on, !self.set_aside().contains(&foot.entry)))
            .collect();
        let last = self.last_foot(side)?.on;
        let ahead = (0..=AHEAD_MONTHS).map(|month| {
            let on = last.plus_months(month);
            (child.months(on), on, self.foot(side, on))
        });
        let affected = child.affected.contains(&side);
        Some(FootCurve { side, affected, measured, ahead: ahead.collect() })
    }
}

fn band(months: f64, posture: Posture, sex: Option<record::Sex>) -> PublishedCurve {
    let mean_mm =
        published::foot_mm(if posture == Posture::Lying { months.min(23.99) } else { months }, sex, posture);
    let stood = if posture == Posture::Standing { effects::STANDING_SD } else { effects::LYING_SD };
    let child = effects::CHILD_SD.hypot(effects::FOOT_SD).hypot(stood) * mean_mm;
    let two = 2.0 * child.hypot(effects::error_mm(posture));
    PublishedCurve { months, posture, low_mm: mean_mm - two, mean_mm, high_mm: mean_mm + two }
}
