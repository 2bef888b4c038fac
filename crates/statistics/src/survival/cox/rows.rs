//! Covariates, weights and offsets in one order of the rows.

use super::Cox;
use std::ops::Range;

/// The values that a pass reads, in its order.
#[derive(Debug, Clone)]
pub(crate) struct Rows {
    /// Covariates of a row.
    pub width: usize,
    /// Covariates, row by row.
    pub z: Vec<f64>,
    pub weight: Option<Vec<f64>>,
    pub offset: Option<Vec<f64>>,
}

/// Consecutive rows.
pub(crate) struct Stretch<'a> {
    pub z: &'a [f64],
    pub weight: Option<&'a [f64]>,
    pub offset: Option<&'a [f64]>,
}

impl Rows {
    /// The rows of a model in an order, covariates less their centre in units of their scale.
    pub fn of(cox: &Cox, order: &[u32], centre: &[f64], scale: &[f64]) -> Self {
        let width = cox.columns.len();
        let mut place = vec![0_u32; order.len()];
        order.iter().enumerate().for_each(|(at, row)| place[*row as usize] = at as u32);
        // Reading in the order of the data and writing whole rows costs one jump through memory for each
        // row, instead of one for each value.
        let mut z = vec![0.0; order.len() * width];
        let factor: Vec<f64> = scale.iter().map(|scale| 1.0 / scale).collect();
        for (row, place) in place.iter().enumerate() {
            let slots = &mut z[*place as usize * width..(*place as usize + 1) * width];
            for (column, slot) in slots.iter_mut().enumerate() {
                *slot = (cox.columns[column][row] - centre[column]) * factor[column];
            }
        }
        let pick = |values: &[f64]| order.iter().map(|row| values[*row as usize]).collect::<Vec<_>>();
        Self { width, z, weight: cox.spells.weight.map(pick), offset: cox.offset.map(pick) }
    }

    /// The same rows in another order.
    pub fn reorder(&self, places: &[u32]) -> Self {
        let mut z = Vec::with_capacity(self.z.len());
        for place in places {
            let at = *place as usize * self.width;
            z.extend_from_slice(&self.z[at..at + self.width]);
        }
        let pick = |values: &Vec<f64>| places.iter().map(|place| values[*place as usize]).collect::<Vec<_>>();
        Self {
            width: self.width,
            z,
            weight: self.weight.as_ref().map(pick),
            offset: self.offset.as_ref().map(pick),
        }
    }

    pub fn stretch(&self, places: Range<usize>) -> Stretch<'_> {
        Stretch {
            z: &self.z[places.start * self.width..places.end * self.width],
            weight: self.weight.as_ref().map(|weight| &weight[places.clone()]),
            offset: self.offset.as_ref().map(|offset| &offset[places.clone()]),
        }
    }
}
