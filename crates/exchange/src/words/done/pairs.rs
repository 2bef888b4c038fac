//! "D+G" and "R and L": two words for the two feet with a sign or "and" between them mean both.

use crate::sides::{CellSides, WordSide};
use record::{Side, Sides};

/// Letters and short forms that mean one foot or the other by each other, whatever the language of the file.
const TOGETHER: [[&str; 2]; 6] = [["r", "l"], ["d", "g"], ["d", "e"], ["d", "s"], ["re", "li"], ["п", "л"]];

/// The feet of two words with a sign between them, where they are the two feet.
pub(super) fn are_both_feet(sides: &CellSides, first: &str, second: &str) -> bool {
    let foot = |word: &str| match sides.of_word(word) {
        WordSide::Feet(feet) => single(feet),
        _ => None,
    };
    let listed = TOGETHER.iter().any(|pair| *pair == [first, second] || *pair == [second, first]);
    listed || matches!((foot(first), foot(second)), (Some(first), Some(second)) if first != second)
}

const fn single(feet: Sides) -> Option<Side> {
    match feet {
        Sides::Right => Some(Side::Right),
        Sides::Left => Some(Side::Left),
        Sides::Both => None,
    }
}
