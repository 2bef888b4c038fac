//! Which cells are headings, and which head a group of columns.

use super::{CellKind, Grid};
use crate::{
    lists::HEADING_LISTS,
    sides::{SideWord, side_word},
    text::tokens,
    words,
};

/// How many columns of a row are looked at while searching.
pub(super) const SEARCHED_COLUMNS: usize = 2000;

/// How many cells of a row are known headings.
pub(super) fn known(grid: &Grid, row: usize) -> usize {
    let columns = grid.width_of(row).min(SEARCHED_COLUMNS);
    (0..columns).filter(|&column| is_heading(grid, row, column)).count()
}

fn is_heading(grid: &Grid, row: usize, column: usize) -> bool {
    let cell = grid.cell(row, column);
    let text = cell.trimmed();
    cell.kind == CellKind::Text && text.len() <= 80 && is_word(text) && !words::readings(text).is_empty()
}

/// Two letters at least: a lone "L" in a row of data is no heading.
fn is_word(text: &str) -> bool {
    text.chars().filter(|c| c.is_alphabetic()).nth(1).is_some()
}

/// Whether a cell heads a group of columns: "Right", "Left foot", "Visit 2".
pub(super) fn is_group(text: &str) -> bool {
    let words = tokens(text);
    if words.is_empty() || words.len() > 4 {
        return false;
    }
    let side = words.iter().any(|word| matches!(side_word(word), Some(SideWord::Full(_))));
    let short = words.len() == 1
        && words.first().is_some_and(|word| matches!(side_word(word), Some(SideWord::Letter('r' | 'l'))));
    let number = words.iter().any(|word| word.bytes().all(|b| b.is_ascii_digit()));
    let visit = words.iter().any(|word| HEADING_LISTS.group.has(word));
    side || short || (number && visit)
}

/// The foot that a cell names and nothing more.
pub(super) fn is_foot(text: &str) -> Option<record::Side> {
    let words = tokens(text);
    let [word] = words.as_slice() else { return None };
    crate::sides::full(word).or_else(|| crate::sides::of_either_letter(word))
}

pub(super) fn is_all_headings(grid: &Grid, row: usize) -> bool {
    let filled: Vec<usize> = (0..grid.width_of(row).min(SEARCHED_COLUMNS))
        .filter(|&column| !grid.cell(row, column).is_blank())
        .collect();
    let headings = filled.iter().filter(|&&column| is_heading(grid, row, column)).count();
    let feet = filled.iter().filter(|&&column| is_foot(grid.cell(row, column).trimmed()).is_some());
    // "R" and "L" below "Visit 1" are no headings by themselves, and no data among others.
    let known = if headings >= 2 { headings + feet.count() } else { headings };
    let text = filled.iter().all(|&column| {
        let cell = grid.cell(row, column);
        cell.kind == CellKind::Text && cell.trimmed().chars().any(char::is_alphabetic)
    });
    text && known >= 2 && known * 3 >= filled.len() * 2
}

/// Whether a row has two groups at least: "Right" and "Left", "Visit 1" and "Visit 2".
pub(super) fn heads_groups(grid: &Grid, row: usize) -> bool {
    let groups = (0..grid.width_of(row).min(SEARCHED_COLUMNS))
        .filter(|&column| is_group(grid.cell(row, column).trimmed()))
        .map(|column| grid.cell(row, column).trimmed().to_lowercase())
        .collect::<std::collections::BTreeSet<_>>();
    groups.len() >= 2
}
