//! The written answers to the hindfoot signs, given the observations of a foot.

use super::chains::Chains;
use crate::natural_history::signs::{LEVELS, Levels};
use record::HalfPoint;

/// Chances of the answers written at the decision: rows are the hindfoot score in half points, columns the
/// half points of rigid equinus within it.
pub(crate) type Cells = [[f64; 3]; 7];

/// Levels of posterior crease, rigid equinus and empty heel of a class.
pub(crate) fn hindfoot(chains: &Chains, class: usize) -> [Levels; 3] {
    let levels = &chains.levels[class];
    [levels[3], levels[4], levels[5]]
}

/// Chances of the written answers of the hindfoot; `known` are the answers written already.
pub(crate) fn cells(hind: &[Levels; 3], given: &[[f64; 3]; LEVELS], known: [Option<HalfPoint>; 3]) -> Cells {
    let answers: [[f64; 3]; 3] = std::array::from_fn(|sign| match known[sign] {
        Some(point) => {
            let mut certain = [0.0; 3];
            certain[usize::from(point.halves().0)] = 1.0;
            certain
        }
        None => written(&hind[sign], given),
    });
    let [crease, equinus, heel] = answers;
    let mut cells = [[0.0; 3]; 7];
    for (i, first) in crease.iter().enumerate() {
        for (j, second) in heel.iter().enumerate() {
            let both = first * second;
            for (k, third) in equinus.iter().enumerate() {
                cells[i + j + k][k] += both * third;
            }
        }
    }
    cells
}

/// Chances of each answer to a sign.
fn written(levels: &Levels, given: &[[f64; 3]; LEVELS]) -> [f64; 3] {
    let mut answers = [0.0; 3];
    for (level, row) in levels.iter().zip(given) {
        for (into, chance) in answers.iter_mut().zip(row) {
            *into += level * chance;
        }
    }
    answers
}
