//! Straight pieces of edge in a picture.
//!
//! Neighbouring pixels whose shade changes in the same direction are collected into regions, the steepest first, and a
//! straight piece is fitted to each region (after Burns, Hanson and Riseman 1986, "Extracting straight lines", IEEE PAMI
//! 8:425, from memory).

use crate::{PixelPoint, edge_blur::Field, grey_plane::GreyPlane};

/// The least change of shade over two pixels that counts as edge (judgement): above the noise of a smoothed picture.
const LEAST_SLOPE: f32 = 5.0;
/// The cosine of the most that the direction of a pixel may differ from that of its region, 22.5°.
const SAME_DIRECTION: f32 = 0.924;
/// The shortest piece, in pixels.
const LEAST_LENGTH: f64 = 14.0;
/// The widest piece: the root mean square distance of its pixels from it, in pixels.
const MOST_SPREAD: f64 = 5.0;
/// The most pieces that are kept, the longest first.
const MOST_STROKES: usize = 900;

/// A straight piece of edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EdgeStroke {
    pub from: PixelPoint,
    pub to: PixelPoint,
}

impl EdgeStroke {
    pub(crate) fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// The straight pieces of a picture, the longest first.
pub(crate) fn edge_strokes(picture: &GreyPlane) -> Vec<EdgeStroke> {
    let mut field = Field::of(picture);
    (0..2).for_each(|_| field.smooth());
    let mut slopes = SlopeField::of(&field);
    let mut strokes: Vec<EdgeStroke> =
        slopes.steepest_first().into_iter().filter_map(|seed| slopes.region(seed)?.stroke()).collect();
    strokes.sort_by(|one, other| other.length().total_cmp(&one.length()));
    strokes.truncate(MOST_STROKES);
    strokes
}

/// How steep the shade is at a pixel, and in which direction it rises; 0 where it counts as level or was taken.
#[derive(Debug, Clone, Copy, Default)]
struct Slope {
    strength: f32,
    across: f32,
    down: f32,
}

struct SlopeField {
    width: usize,
    slopes: Vec<Slope>,
}

impl SlopeField {
    fn of(field: &Field) -> Self {
        let width = field.width.max(1);
        let rows: Vec<&[f32]> = field.shades.chunks_exact(width).collect();
        let mut slopes = vec![Slope::default(); field.shades.len()];
        // Smoothing has mixed the opposite margins.
        let around = rows.iter().zip(rows.iter().skip(1)).zip(rows.iter().skip(2));
        let inner = slopes.chunks_exact_mut(width).skip(1).zip(around).skip(2);
        for (to, ((above, row), below)) in inner.take(rows.len().saturating_sub(6)) {
            let vertical = above.iter().zip(*below).skip(1).map(|(above, below)| below - above);
            let steps = row.windows(3).zip(vertical).zip(to.iter_mut().skip(1)).skip(2);
            for ((level, down), slope) in steps.take(width.saturating_sub(6)) {
                let [left, _, right] = *level else { continue };
                let across = right - left;
                let strength = across.hypot(down);
                if strength >= LEAST_SLOPE {
                    *slope = Slope { strength, across: across / strength, down: down / strength };
                }
            }
        }
        Self { width, slopes }
    }

    /// Every pixel of an edge, by whole shades of steepness.
    fn steepest_first(&self) -> Vec<usize> {
        let mut by_strength: Vec<Vec<usize>> = vec![Vec::new(); 512];
        for (at, slope) in self.slopes.iter().enumerate().filter(|(_, slope)| slope.strength > 0.0) {
            let bucket = (slope.strength as usize).min(511);
            if let Some(bucket) = by_strength.get_mut(bucket) {
                bucket.push(at);
            }
        }
        by_strength.into_iter().rev().flatten().collect()
    }

    /// The pixels around one that change in its direction; they are taken. `None` where the pixel was taken before.
    fn region(&mut self, seed: usize) -> Option<EdgeRegion> {
        let first = self.take(seed)?;
        let mut region = EdgeRegion::default();
        let mut mean = (first.across, first.down);
        let mut open = vec![(seed, first)];
        while let Some((at, slope)) = open.pop() {
            region.add((at % self.width) as f64, (at / self.width) as f64, f64::from(slope.strength));
            for next in self.neighbours(at) {
                let Some(near) = self.slopes.get(next).filter(|near| near.strength > 0.0) else { continue };
                let size = mean.0.hypot(mean.1);
                if near.across * mean.0 + near.down * mean.1 >= SAME_DIRECTION * size {
                    mean = (mean.0 + near.across, mean.1 + near.down);
                    open.extend(self.take(next).map(|slope| (next, slope)));
                }
            }
        }
        Some(region)
    }

    fn take(&mut self, at: usize) -> Option<Slope> {
        let slope = self.slopes.get_mut(at).filter(|slope| slope.strength > 0.0)?;
        Some(std::mem::take(slope))
    }

    /// The eight around a pixel. No edge reaches the margin, so that none lies on the opposite side.
    fn neighbours(&self, at: usize) -> [usize; 8] {
        let (above, below) = (at.wrapping_sub(self.width), at + self.width);
        [above.wrapping_sub(1), above, above + 1, at.wrapping_sub(1), at + 1, below - 1, below, below + 1]
    }
}

/// Sums over the pixels of a region, weighted by their steepness.
#[derive(Debug, Clone, Default)]
struct EdgeRegion {
    weight: f64,
    sum: (f64, f64),
    squares: (f64, f64, f64),
    pixels: Vec<(f32, f32)>,
}

impl EdgeRegion {
    fn add(&mut self, x: f64, y: f64, weight: f64) {
        self.weight += weight;
        self.sum.0 += weight * x;
        self.sum.1 += weight * y;
        self.squares.0 += weight * x * x;
        self.squares.1 += weight * x * y;
        self.squares.2 += weight * y * y;
        self.pixels.push((x as f32, y as f32));
    }

    /// The axis of the region through its middle; `None` where it is short or wide.
    fn stroke(&self) -> Option<EdgeStroke> {
        if (self.pixels.len() as f64) < LEAST_LENGTH {
            return None;
        }
        let (x, y) = (self.sum.0 / self.weight, self.sum.1 / self.weight);
        let xx = self.squares.0 / self.weight - x * x;
        let xy = self.squares.1 / self.weight - x * y;
        let yy = self.squares.2 / self.weight - y * y;
        let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
        let (down, across) = angle.sin_cos();
        let spread = (across * across * yy - 2.0 * across * down * xy + down * down * xx).max(0.0).sqrt();
        let along = |pixel: &(f32, f32)| (f64::from(pixel.0) - x) * across + (f64::from(pixel.1) - y) * down;
        let ends = self.pixels.iter().map(along);
        let (low, high) =
            ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
        let length = high - low;
        let straight = length >= LEAST_LENGTH && spread <= MOST_SPREAD && spread <= 0.12 * length;
        // The centre of a pixel is half a pixel from its corner.
        let at = |along: f64| PixelPoint::new(x + 0.5 + across * along, y + 0.5 + down * along);
        straight.then(|| EdgeStroke { from: at(low), to: at(high) })
    }
}
