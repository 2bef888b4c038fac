//! A side of a card, fitted to the picture more finely than its pixels: along the side, the place of the steepest change
//! of shade across it; then a straight line through most of these places by least squares.

use crate::{PixelLine, PixelPoint, grey_plane::GreyPlane};

/// Places along a side.
const PLACES: usize = 60;
/// The share at either end that is left out, because corners are round: 3.18 of 53.98 mm are 6 %.
const ENDS: f64 = 0.11;
/// How far along the side its shades are taken together, in pixels to either side, against noise.
const BESIDE_PX: f64 = 2.0;
/// The step across, in pixels.
const STEP: f64 = 0.5;
/// Weights of the shades across, for their slope smoothed by a normal curve of 1.25 pixels.
const REACH: i32 = 6;
const SMOOTHING_PX: f64 = 1.25;
/// The least slope, in shades for each pixel (judgement).
const LEAST_SLOPE: f64 = 1.5;
/// How far a place may be from the line, in pixels.
const NEAR: f64 = 1.0;
/// Places beyond an end of a side at which is looked whether the edge goes on: up to a sixth of its length.
const BEYOND: i32 = 12;
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
    /// How much the shade changes across it in the middle of these places, in shades for each pixel.
    pub slope: f64,
}

impl FittedSide {
    /// Whether the edge goes on in the same line beyond either end, as that of a tile in a floor does.
    pub(crate) fn goes_on(&self, picture: &GreyPlane) -> bool {
        let PixelLine { from, to } = self.line;
        let length = self.line.length();
        let (dx, dy) = ((to.x - from.x) / length, (to.y - from.y) / length);
        let is_edge = |along: f64| {
            let at =
                |off: f64| PixelPoint::new(from.x + dx * along - dy * off, from.y + dy * along + dx * off);
            let found = steepest(|off| shade_at(picture, at(off)), (-2.5, 2.5));
            found.is_some_and(|(off, slope)| off.abs() <= NEAR && slope >= 0.4 * self.slope)
        };
        let beyond = |way: f64| {
            let end = if way > 0.0 { length } else { 0.0 };
            let on = (0..BEYOND).filter(|n| is_edge(end + way * length * (0.02 + 0.012 * f64::from(*n))));
            2 * on.count() > BEYOND as usize
        };
        beyond(-1.0) || beyond(1.0)
    }
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
        let shade = |off: f64| {
            let along = [along - BESIDE_PX, along, along + BESIDE_PX];
            along.into_iter().map(|along| shade_at(picture, at(along, off))).sum::<f64>() / 3.0
        };
        let (off, slope) = steepest(shade, (-reach, reach))?;
        (slope >= LEAST_SLOPE).then_some(((along, off), slope))
    };
    let (places, mut slopes): (Vec<(f64, f64)>, Vec<f64>) = (0..PLACES).filter_map(place).unzip();
    slopes.sort_by(f64::total_cmp);
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
        slope: slopes.get(slopes.len() / 2).copied().unwrap_or(0.0),
    })
}

/// The shade at a point.
pub(crate) fn shade_at(picture: &GreyPlane, point: PixelPoint) -> f64 {
    picture.between(point.x, point.y)
}

/// Where the shade along a way changes most between two places, both in pixels, and how much for each pixel.
pub(crate) fn steepest(shade: impl Fn(f64) -> f64, (low, high): (f64, f64)) -> Option<(f64, f64)> {
    let count = ((high - low) / STEP).round().max(0.0) as i32;
    let shades: Vec<f64> =
        (-REACH..=count + REACH).map(|number| shade(low + STEP * f64::from(number))).collect();
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
