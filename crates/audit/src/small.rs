//! The rule for small numbers, in this one place, for whatever leaves the clinic.
//!
//! **The rule.** In a table that leaves the clinic a line is withheld whole (its counts and its figure)
//! where it rests on 1 to 4 children, where 1 to 4 of its children had the event, or where 1 to 4 of them
//! had a foot without it. Nobody (0) and everybody are shown. If, beside a total that is shown, only one line is
//! withheld, or the lines withheld hold fewer than 5 children in all, the next smallest line is withheld
//! too, so that nothing can be got back by subtraction. Curves are given at half years only, as whole per
//! cent, and end where fewer than 5 children are still watched.
//!
//! The threshold of five is common practice in health statistics; no single source was read. The rule
//! looks at one table at a time: two tables that cut the same children differently may still be combined
//! by somebody who has both. Ask whoever answers for data protection before publishing several.

use crate::Counted;

/// Fewer children than this, and not none, are not shown.
pub const FEWEST_SHOWN: usize = 5;

/// The rule in a sentence, to be printed beside what it was applied to.
pub const RULE: &str = "Lines resting on 1 to 4 children, or in which 1 to 4 children had or had not the event, are withheld; where one line alone could be got back by subtraction, the next smallest is withheld as well.";

const fn few(n: usize) -> bool {
    n > 0 && n < FEWEST_SHOWN
}

/// Whether a line by itself is too small to leave.
#[must_use]
pub fn is_small(counted: &Counted) -> bool {
    few(counted.children)
        || few(counted.event_children.unwrap_or(0))
        || few(counted.free_children.unwrap_or(0))
}

/// Which lines of a table may leave, given that its total is shown with it.
#[must_use]
pub fn may_leave(lines: &[Counted]) -> Vec<bool> {
    let mut shown: Vec<bool> = lines.iter().map(|line| !is_small(line)).collect();
    // By what: whoever could be found out by subtracting what is shown from the total.
    while exposes(lines, &shown) {
        let smallest = (0..lines.len())
            .filter(|&line| shown[line] && lines[line].children > 0)
            .min_by_key(|&line| lines[line].children);
        match smallest {
            Some(line) => shown[line] = false,
            None => break,
        }
    }
    shown
}

/// Whether the lines withheld can be got back, or nearly, from the total.
fn exposes(lines: &[Counted], shown: &[bool]) -> bool {
    let hidden: Vec<&Counted> =
        lines.iter().zip(shown).filter(|(_, shown)| !**shown).map(|(line, _)| line).collect();
    let children: usize = hidden.iter().map(|line| line.children).sum();
    hidden.len() == 1 || (!hidden.is_empty() && few(children))
}
