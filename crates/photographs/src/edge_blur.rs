//! How soft the edges of a picture are.
//!
//! An edge that was blurred by a normal curve of variance v has a slope in proportion to 1/√v at its steepest place.
//! Smoothed further by a and by b, its slopes are as √((v + b)/(v + a)), from which v follows.

use crate::grey_plane::{GreyPlane, JUDGED_SIDE};

/// How often the picture is smoothed before its slopes are taken, the first and the second time. Each time adds half a
/// square pixel of variance.
const ROUNDS: (usize, usize) = (2, 12);
/// The variance that the difference of two pixels two apart adds: that of a box of this width.
const OF_DIFFERENCE: f64 = 1.0 / 3.0;
/// The share of pixels that counts as edge.
const EDGES: f64 = 0.01;
/// Of the edges, so many are softer than the answer: those tapped beside their steepest place, and those out of focus.
const SHARPER: f64 = 0.25;
/// The widest blur that is told apart, in pixels.
const WIDEST: f64 = 20.0;

/// The standard deviation of the blur of the sharper edges in the middle of a picture, in pixels of a picture of a
/// thousand pixels on its longer side; at most 20. `None` if there is no edge.
#[must_use]
pub fn edge_blur_px(picture: &GreyPlane) -> Option<f64> {
    let middle = picture.within(JUDGED_SIDE).middle();
    let mut field = Field::of(&middle);
    (0..ROUNDS.0).for_each(|_| field.smooth());
    let sharp = field.slopes();
    (ROUNDS.0..ROUNDS.1).for_each(|_| field.smooth());
    let soft = field.slopes();
    let least = upper(soft.clone(), EDGES)?;
    let edges = sharp.iter().zip(&soft).filter(|(_, soft)| **soft >= least && **soft > 0.0);
    let ratio = upper(edges.map(|(sharp, soft)| sharp / soft).collect(), SHARPER)?;
    Some(width(f64::from(ratio)))
}

/// The blur at which an edge loses this much of its slope.
fn width(ratio: f64) -> f64 {
    let variance = |rounds: usize| 0.5 * rounds as f64 + OF_DIFFERENCE;
    let squared = ratio * ratio;
    if squared <= 1.01 {
        return WIDEST;
    }
    let blur = (variance(ROUNDS.1) - squared * variance(ROUNDS.0)) / (squared - 1.0);
    blur.max(0.0).sqrt().min(WIDEST)
}

/// The value above which this share of values lies.
fn upper(mut values: Vec<f32>, share: f64) -> Option<f32> {
    values.sort_by(f32::total_cmp);
    let at = ((values.len() as f64) * (1.0 - share)) as usize;
    values.get(at.min(values.len().checked_sub(1)?)).copied()
}

/// Shades with fractions.
pub(crate) struct Field {
    pub(crate) width: usize,
    pub(crate) shades: Vec<f32>,
}

impl Field {
    pub(crate) fn of(plane: &GreyPlane) -> Self {
        let shades = plane.rows().flatten().map(|shade| f32::from(*shade)).collect();
        Self { width: plane.width(), shades }
    }

    /// A quarter, a half and a quarter of neighbours, along rows and then along columns.
    pub(crate) fn smooth(&mut self) {
        for step in [1, self.width] {
            let before = self.shades.clone();
            let around = before.iter().zip(before.iter().skip(step)).zip(before.iter().skip(2 * step));
            for (shade, ((one, middle), other)) in self.shades.iter_mut().skip(step).zip(around) {
                *shade = 0.25 * one + 0.5 * middle + 0.25 * other;
            }
        }
    }

    /// The steepness at each pixel that is so far from the margin that smoothing has not mixed in what lies opposite.
    fn slopes(&self) -> Vec<f32> {
        let (width, margin) = (self.width, ROUNDS.1 + 1);
        let height = self.shades.len() / width.max(1);
        let inner = |size: usize| margin..size.saturating_sub(margin);
        let shade = |at: usize| self.shades.get(at).copied().unwrap_or(0.0);
        let slope =
            |at: usize| (shade(at + 1) - shade(at - 1)).hypot(shade(at + width) - shade(at - width)) / 2.0;
        inner(height).flat_map(|y| inner(width).map(move |x| y * width + x)).map(slope).collect()
    }
}
