//! The rule for small numbers in everything that leaves the clinic.
//!
//! **The rule.** In a table that leaves the clinic a whole line (its counts and its figure) is withheld
//! if it covers 1 to 4 children, if 1 to 4 of its children had the event, or if 1 to 4 of them had a foot
//! without it. Lines with none (0) or all of them are shown. If the total is shown and only one line is
//! withheld, or the withheld lines cover fewer than 5 children in all, the next smallest line is withheld
//! too, so that nothing can be recovered by subtraction. Curves are given at half years only, as whole
//! percentages, and end where fewer than 5 children are still under observation.
//!
//! The threshold of five is common practice in health statistics; no single source was read. The rule
//! applies to one table at a time: a person who has two tables that divide the same children differently
//! may still combine them. Ask the person responsible for data protection before publishing several.

use crate::CaseCounts;

/// A number of children below this, other than 0, is not shown.
pub const FEWEST_SHOWN: usize = 5;

/// The rule in a sentence, to be printed with the table it was applied to.
pub const RULE: &str = "Lines with 1 to 4 children, or in which 1 to 4 children had the event or did not have it, are withheld; if a single line could be recovered by subtraction, the next smallest is withheld too.";

const fn few(n: usize) -> bool {
    n > 0 && n < FEWEST_SHOWN
}

/// Whether a line by itself is too small to leave the clinic.
#[must_use]
pub fn is_small(counted: &CaseCounts) -> bool {
    few(counted.children)
        || few(counted.event_children.unwrap_or(0))
        || few(counted.free_children.unwrap_or(0))
}

/// Which lines of a table may leave the clinic, given that its total is shown with it.
#[must_use]
pub fn may_leave(lines: &[CaseCounts]) -> Vec<bool> {
    let mut shown: Vec<bool> = lines.iter().map(|line| !is_small(line)).collect();
    // Withhold more until nobody can be identified by subtracting the shown lines from the total.
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

/// Whether the withheld lines can be recovered, or nearly, from the total.
fn exposes(lines: &[CaseCounts], shown: &[bool]) -> bool {
    let hidden: Vec<&CaseCounts> =
        lines.iter().zip(shown).filter(|(_, shown)| !**shown).map(|(line, _)| line).collect();
    let children: usize = hidden.iter().map(|line| line.children).sum();
    hidden.len() == 1 || (!hidden.is_empty() && few(children))
}
