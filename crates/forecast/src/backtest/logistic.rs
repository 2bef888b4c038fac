//! Logistic recalibration: outcome on the logit of the forecast, by Newton's method.

use serde::Serialize;

/// Intercept and slope: 0 and 1 for calibrated forecasts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Recalibrated {
    /// Above 0: it happens more often than forecast.
    pub intercept: f64,
    /// Below 1: the forecasts are too extreme.
    pub slope: f64,
}

/// The number of steps after which a fit that has not converged is given up.
const STEPS: usize = 50;
/// The smallest number of forecasts, and of each outcome, to which a line is fitted.
const LEAST: usize = 20;
const LEAST_OF_EACH: usize = 3;
/// A steeper slope counts as infinite: the forecasts separate the outcomes perfectly.
const STEEPEST: f64 = 50.0;

/// Fits outcomes to forecasts, pairs of chance and outcome.
///
/// # Errors
/// A message, if there is too little to fit or no finite line fits.
pub fn recalibrate(pairs: &[(f64, bool)]) -> Result<Recalibrated, String> {
    let happened = pairs.iter().filter(|(_, happened)| *happened).count();
    if pairs.len() < LEAST || happened < LEAST_OF_EACH || pairs.len() - happened < LEAST_OF_EACH {
        return Err(format!(
            "Too few to fit: {} forecasts with {happened} tenotomies; at least {LEAST} with {LEAST_OF_EACH} of each outcome are needed.",
            pairs.len()
        ));
    }
    let points: Vec<(f64, f64)> =
        pairs.iter().map(|(chance, happened)| (logit(*chance), f64::from(u8::from(*happened)))).collect();
    let (mut intercept, mut slope) = (0.0, 1.0);
    for _ in 0..STEPS {
        let Some((by, turn)) = newton(&points, intercept, slope) else { break };
        (intercept, slope) = (intercept + by.clamp(-2.0, 2.0), slope + turn.clamp(-2.0, 2.0));
        if by.abs() < 1e-9 && turn.abs() < 1e-9 {
            let finite = intercept.is_finite() && slope.is_finite() && slope.abs() < STEEPEST;
            return if finite { Ok(Recalibrated { intercept, slope }) } else { Err(none()) };
        }
    }
    Err(none())
}

fn none() -> String {
    "No line fits: the forecasts are all alike, or they separate the outcomes perfectly.".to_owned()
}

fn logit(chance: f64) -> f64 {
    let chance = chance.clamp(1e-6, 1.0 - 1e-6);
    (chance / (1.0 - chance)).ln()
}

/// One step; `None` if slope and intercept cannot be distinguished.
fn newton(points: &[(f64, f64)], intercept: f64, slope: f64) -> Option<(f64, f64)> {
    let (mut g0, mut g1, mut h00, mut h01, mut h11) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (x, y) in points {
        let chance = 1.0 / (1.0 + (-(intercept + slope * x)).exp());
        let (off, weight) = (y - chance, chance * (1.0 - chance));
        g0 += off;
        g1 += off * x;
        h00 += weight;
        h01 += weight * x;
        h11 += weight * x * x;
    }
    let det = h00 * h11 - h01 * h01;
    if !det.is_finite() || det <= 1e-9 * h00 * h11.max(1e-12) {
        return None;
    }
    Some(((h11 * g0 - h01 * g1) / det, (h00 * g1 - h01 * g0) / det))
}
