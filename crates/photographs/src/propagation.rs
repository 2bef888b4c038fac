//! How far an error of the tapped points carries into what is computed from them.

use crate::PixelPoint;

/// The standard deviation of a function of tapped points, each of whose coordinates has the error `sd_px`, to first
/// order: the square root of the sum of squared derivatives, times the error (Taylor 1997, "An introduction to error
/// analysis", chapter 3, from memory). The derivatives are central differences over a hundredth of a pixel. `apart`
/// says how far one value is from another, which for angles is not their difference. `None` where the function has no
/// value near the points.
pub(crate) fn spread<const N: usize>(
    points: &[PixelPoint; N],
    sd_px: f64,
    value: impl Fn(&[PixelPoint; N]) -> Option<f64>,
    apart: impl Fn(f64, f64) -> f64,
) -> Option<f64> {
    spread_of_each(points, &[sd_px; N], value, apart)
}

/// The same where each point has an error of its own.
pub(crate) fn spread_of_each<const N: usize>(
    points: &[PixelPoint; N],
    sds_px: &[f64; N],
    value: impl Fn(&[PixelPoint; N]) -> Option<f64>,
    apart: impl Fn(f64, f64) -> f64,
) -> Option<f64> {
    const STEP: f64 = 0.01;
    let mut squares = 0.0;
    for (at, sd_px) in sds_px.iter().enumerate() {
        for (dx, dy) in [(STEP, 0.0), (0.0, STEP)] {
            let moved = |sign: f64| {
                let mut points = *points;
                let point = points.get_mut(at)?;
                *point = PixelPoint::new(point.x + sign * dx, point.y + sign * dy);
                value(&points)
            };
            squares += (sd_px * apart(moved(1.0)?, moved(-1.0)?) / (2.0 * STEP)).powi(2);
        }
    }
    let spread = squares.sqrt();
    spread.is_finite().then_some(spread)
}
