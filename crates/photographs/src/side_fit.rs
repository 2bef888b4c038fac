//! A side of a card, fitted to the picture more finely than its pixels: along the side, the place of the steepest change
//! of shade across it; then a straight line through most of these places by least squares.

use crate::{PixelLine, PixelPoint, grey_plane::GreyPlane};

/// Places along a side.
const PLACES: usize = 60;
/// The share at either end that is left out, because corners are round: 3.18 of 53.98 mm are 6 %.
const ENDS: f64 = 0.11;
/// The step across, in pixels.
const STEP: f64 = 0.5;
/// Weights of the shades across, for their slope smoothed by a normal curve of 1.25 pixels.
const REACH: i32 = 6;
const SMOOTHING_PX: f64 = 1.25;
/// The least slope, in shades for each pixel (judgement).
const LEAST_SLOPE: f64 = 1.5;
/// How far a place may be from the line, in pixels.
const NEAR: f64 = 1.0;
/// The least share of places that lie on the line.
const LEAST_SHARE: f64 = 0.55;

/// A line that was fitted to an edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FittedSide {
    /// From where to where, without the rounding of the corners.
    pub line: PixelLine,
    /// Root mean square distance of the places from it, in pixels.
    pub misfit_px: f64,
    /// The share of all places that lie on it.
    pub share: f64,
}

/// Fits the edge that runs near a line, at most `reach` pixels from it; `None` where there is no straight one.
pub(crate) fn fitted_side(picture: &GreyPlane, near: PixelLine, reach: f64) -> Option<FittedSide> {
    let length = near.length();
    let (dx, dy) = ((near.to.x - near.from.x) / length, (near.to.y - near.from.y) / length);
    let at = |along: f64, off: f64| {
        PixelPoint::new(near.from.x + dx * along - dy * off, near.from.y + dy * along + dx * off)
    };
    let place = |number: usize| {
        let along = length * (ENDS + (1.0 - 2.0 * ENDS) * number as f64 / (PLACES - 1) as f64);
        let (off, slope) = steepest(picture, |off| at(along, off), (-reach, reach))?;
        (slope >= LEAST_SLOPE).then_some((along, off))
    };
    let places: Vec<(f64, f64)> = (0..PLACES).filter_map(place).collect();
    let (begin, rise) = common_line(&places)?;
    let on_line: Vec<(f64, f64)> =
        places.into_iter().filter(|(along, off)| (off - begin - rise * along).abs() <= NEAR).collect();
    let share = on_line.len() as f64 / PLACES as f64;
    let (begin, rise) = least_squares(&on_line)?;
    let squares: f64 = on_line.iter().map(|(along, off)| (off - begin - rise * along).powi(2)).sum();
    let end = |along: f64| at(along, begin + rise * along);
    (share >= LEAST_SHARE).then(|| FittedSide {
        line: PixelLine::new(end(0.0), end(length)),
        misfit_px: (squares / on_line.len() as f64).sqrt(),
        share,
    })
}

/// Where the shade changes most between two distances along a way, both in pixels, and how much for each pixel.
pub(crate) fn steepest(
    picture: &GreyPlane,
    at: impl Fn(f64) -> PixelPoint,
    (low, high): (f64, f64),
) -> Option<(f64, f64)> {
    let count = ((high - low) / STEP).round().max(0.0) as i32;
    let shade = |number: i32| {
        let point = at(low + STEP * f64::from(number));
        picture.between(point.x, point.y)
    };
    let shades: Vec<f64> = (-REACH..=count + REACH).map(shade).collect();
    let weights: Vec<f64> = (-REACH..=REACH)
        .map(|off| {
            let off = f64::from(off) * STEP / SMOOTHING_PX;
            off * (-0.5 * off * off).exp()
        })
        .collect();
    let size: f64 = (-REACH..=REACH).zip(&weights).map(|(off, weight)| f64::from(off) * STEP * weight).sum();
    let slope = |shades: &[f64]| {
        let sum: f64 = shades.iter().zip(&weights).map(|(shade, weight)| shade * weight).sum();
        (sum / size).abs()
    };
    let slopes: Vec<f64> = shades.windows(weights.len()).map(slope).collect();
    let best = (0..slopes.len()).max_by(|one, other| {
        let value = |at: &usize| slopes.get(*at).copied().unwrap_or(0.0);
        value(one).total_cmp(&value(other))
    })?;
    // The top of a parabola through the steepest and its neighbours. At the rim there is none: the edge is elsewhere.
    let [before, top, after] = *slopes.get(best.checked_sub(1)?..best + 2)? else { return None };
    let bend = before - 2.0 * top + after;
    let shift = if bend < 0.0 { 0.5 * (before - after) / bend } else { 0.0 };
    Some((low + STEP * (best as f64 + shift), top))
}

/// The line, as offset and rise, on which most places lie: through every pair that is a third of all apart.
fn common_line(places: &[(f64, f64)]) -> Option<(f64, f64)> {
    let apart = (places.len() / 3).max(1);
    let pairs = places
        .iter()
        .enumerate()
        .flat_map(|(at, one)| places.iter().skip(at + apart).step_by(3).map(move |other| (*one, *other)));
    let line = |((x, y), (to_x, to_y)): ((f64, f64), (f64, f64))| {
        let rise = (to_y - y) / (to_x - x);
        (y - rise * x, rise)
    };
    let on = |(begin, rise): &(f64, f64)| {
        places.iter().filter(|(along, off)| (off - begin - rise * along).abs() <= NEAR).count()
    };
    pairs.map(line).filter(|(begin, rise)| begin.is_finite() && rise.abs() < 0.2).max_by_key(on)
}

fn least_squares(places: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = places.len() as f64;
    let mean = |value: fn(&(f64, f64)) -> f64| places.iter().map(value).sum::<f64>() / count;
    let (x, y) = (mean(|place| place.0), mean(|place| place.1));
    let squares: f64 = places.iter().map(|place| (place.0 - x).powi(2)).sum();
    let products: f64 = places.iter().map(|place| (place.0 - x) * (place.1 - y)).sum();
    let rise = products / squares;
    rise.is_finite().then_some((y - rise * x, rise))
}
