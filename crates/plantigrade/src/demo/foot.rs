//! One invented foot: six signs and two movements that change from cast to cast.
//!
//! The shape follows the literature (Lampasi 2017, 10.1177/2309499017713916): the medial crease goes
//! early, the midfoot falls steadily, the hindfoot hardly moves until the tenotomy. The numbers are
//! assumed, for a demonstration only.

use rand::{RngExt, rngs::StdRng};
use record::{Assessment, HalfPoint, Pirani, Side, Sign};

/// The true state of a foot, from which scores are made.
#[derive(Debug, Clone)]
pub struct Foot {
    /// Side of the foot.
    pub side: Side,
    /// Severity of the six signs, 0–1, in the order of `Sign::ALL`.
    pub signs: [f64; 6],
    /// Abduction.
    pub abduction_deg: f64,
    /// Dorsiflexion.
    pub dorsiflexion_deg: f64,
    /// Foot length.
    pub length_mm: f64,
}

impl Foot {
    /// An untreated foot; `severity` 0–1.
    pub fn untreated(side: Side, severity: f64, rng: &mut StdRng) -> Self {
        let mut signs = [0.0; 6];
        for sign in &mut signs {
            *sign = (severity + rng.random_range(-0.15..0.25)).clamp(0.3, 1.0);
        }
        Self {
            side,
            signs,
            abduction_deg: rng.random_range(-10.0..12.0),
            dorsiflexion_deg: -20.0 - 25.0 * severity + rng.random_range(-8.0..8.0),
            length_mm: rng.random_range(74.0..82.0),
        }
    }

    /// The effect of one cast; `pace` is 1 for the usual effect and 0 for none.
    pub fn after_cast(&mut self, pace: f64, rng: &mut StdRng) {
        const STEP: [f64; 6] = [0.17, 0.26, 0.19, 0.03, 0.02, 0.05];
        for (sign, step) in self.signs.iter_mut().zip(STEP) {
            *sign = (*sign - step * pace * rng.random_range(0.7..1.3)).max(0.0);
        }
        self.abduction_deg = (self.abduction_deg + 12.0 * pace * rng.random_range(0.7..1.3)).min(72.0);
        self.dorsiflexion_deg = (self.dorsiflexion_deg + 5.5 * pace * rng.random_range(0.6..1.4)).min(4.0);
    }

    /// A foot that has been cast until the midfoot is corrected.
    pub fn make_ready(&mut self, rng: &mut StdRng) {
        for sign in 0..3 {
            self.signs[sign] = 0.0;
        }
        for sign in 3..6 {
            self.signs[sign] = self.signs[sign].clamp(0.3, 0.9);
        }
        self.abduction_deg = rng.random_range(58.0..70.0);
        self.dorsiflexion_deg = rng.random_range(-12.0..4.0);
    }

    /// A foot that casts alone have corrected.
    pub fn corrected_by_casts(&mut self, rng: &mut StdRng) {
        self.signs = [0.0, 0.0, 0.0, 0.3, 0.0, rng.random_range(0.0..0.4)];
        self.abduction_deg = rng.random_range(64.0..72.0);
        self.dorsiflexion_deg = rng.random_range(16.0..22.0);
    }

    /// The effect of the tenotomy and its cast.
    pub fn after_tenotomy(&mut self, rng: &mut StdRng) {
        self.signs = [0.0, 0.0, 0.0, 0.5, 0.0, rng.random_range(0.0..0.6)];
        self.abduction_deg = rng.random_range(64.0..72.0);
        self.dorsiflexion_deg = rng.random_range(15.0..24.0);
    }

    /// Growth over `days`, about 3 mm a month in the first nine months, slower after.
    pub fn grow(&mut self, days: i32) {
        let rate = if self.length_mm < 105.0 { 3.0 } else { 1.2 };
        self.length_mm += rate * f64::from(days) / 30.4;
    }

    /// The assessment that a clinician records.
    pub fn assessed(&self, rng: &mut StdRng) -> Assessment {
        let mut pirani = Pirani::default();
        for (sign, severity) in Sign::ALL.into_iter().zip(self.signs) {
            let point = match severity {
                s if s < 0.25 => HalfPoint::Zero,
                s if s < 0.75 => HalfPoint::Half,
                _ => HalfPoint::One,
            };
            pirani.set(sign, Some(point));
        }
        let to_two = |deg: f64, noise: f64| ((deg + noise).round() as i16 / 2) * 2;
        Assessment {
            pirani,
            abduction_deg: Some(to_two(self.abduction_deg, rng.random_range(-2.0..2.0)).clamp(-30, 75)),
            dorsiflexion_deg: Some(to_two(self.dorsiflexion_deg, rng.random_range(-2.0..2.0)).clamp(-70, 35)),
            ..Assessment::of(self.side)
        }
    }
}
