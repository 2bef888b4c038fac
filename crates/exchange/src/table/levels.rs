//! Headings in up to three rows: foot over part over sign, sign over foot, or visit over foot over sign.

use super::{
    CellKind, Grid,
    heading_cells::{SEARCHED_COLUMNS, heads_groups, is_all_headings, is_foot, is_group, known},
};
use crate::{
    sides::side_word,
    text::{fold, tokens},
    words,
};

/// Rows that make up one heading at most.
const MOST_LEVELS: usize = 3;

/// The rows of the headings from top to bottom, when the row is one of them.
pub(super) fn of(grid: &Grid, row: usize) -> Vec<usize> {
    if heads_groups(grid, row) && has_parts_and_signs(grid, row) {
        return vec![row, row + 1, row + 2];
    }
    if let Some(above) = row.checked_sub(1).filter(|&above| stands_over_sides(grid, above, row)) {
        return vec![above, row];
    }
    if stands_over_sides(grid, row, row + 1) {
        return vec![row, row + 1];
    }
    let mut rows = vec![row];
    if is_side_row(grid, row + 1, row) {
        rows.push(row + 1);
    }
    let mut top = row;
    while rows.len() < MOST_LEVELS && top > 0 {
        let above = top - 1;
        let part = is_part_row(grid, above)
            && (names_score(grid, above) || above.checked_sub(1).is_some_and(|top| heads_groups(grid, top)));
        if !heads_groups(grid, above) && !part {
            break;
        }
        rows.insert(0, above);
        top = above;
    }
    rows
}

/// Whether a row names signs or scores, and nothing else, each over two words for a side of the row below,
/// where the headings of the other columns are: "PC" over "R" and "L" next to "Date".
fn stands_over_sides(grid: &Grid, row: usize, below: usize) -> bool {
    let side = |column: usize| is_foot(grid.cell(below, column).trimmed());
    let signs: Vec<usize> = (0..grid.width_of(row).min(SEARCHED_COLUMNS))
        .filter(|&column| !grid.cell(row, column).is_blank())
        .collect();
    let over = |&column: &usize| {
        let measured = words::readings(grid.cell(row, column).trimmed());
        let measured = measured.iter().any(|reading| reading.sense.meaning.is_measured());
        let pair = (side(column), side(column + 1));
        measured && pair.0.is_some() && pair.1.is_some() && pair.0 != pair.1
    };
    !signs.is_empty() && signs.iter().all(over) && known(grid, below) >= 2
}

/// Whether a row of groups is over a row of parts and a row of signs: "Right", "Hindfoot", "PC".
fn has_parts_and_signs(grid: &Grid, row: usize) -> bool {
    let signs = row + 2;
    is_part_row(grid, row + 1) && is_all_headings(grid, signs) && known(grid, signs) > known(grid, row + 1)
}

/// Headings of several rows as one text for each column.
pub(super) fn headers(grid: &Grid, rows: &[usize], columns: usize) -> Vec<String> {
    let labels = labels(grid, rows, columns);
    (0..columns)
        .map(|column| {
            let mut parts: Vec<&str> = Vec::new();
            for level in &labels {
                let part = level.get(column).copied().flatten().unwrap_or("");
                if !part.is_empty() && parts.last() != Some(&part) {
                    parts.push(part);
                }
            }
            let own = rows.iter().any(|&row| !grid.cell(row, column).is_blank());
            if own { heading(&parts) } else { String::new() }
        })
        .collect()
}

/// The parts as one heading that can be understood: all of them, or without the part of the foot over the
/// sign ("Right foot", "Hindfoot", "PC"). The name of another score is never left away.
fn heading(parts: &[&str]) -> String {
    let all = parts.join(" ");
    let Some((leaf, above)) = parts.split_last() else { return all };
    if above.is_empty() || !words::readings(&all).is_empty() {
        return all;
    }
    let kept: Vec<&str> = above.iter().copied().filter(|part| is_group(part) || is_score(part)).collect();
    let short = kept.iter().chain([leaf]).copied().collect::<Vec<_>>().join(" ");
    if !words::readings(&short).is_empty() {
        return short;
    }
    // "PC" over "R" under "Signs": the foot comes last.
    let sided: Vec<&str> = parts.iter().rev().take(2).rev().copied().collect();
    let sided = sided.join(" ");
    if is_side(leaf) && !words::readings(&sided).is_empty() { sided } else { all }
}

/// What each row says of each column: its own text, or that of the group the column belongs to.
fn labels<'g>(grid: &'g Grid, rows: &[usize], columns: usize) -> Vec<Vec<Option<&'g str>>> {
    let mut out: Vec<Vec<Option<&str>>> = Vec::new();
    for (level, &row) in rows.iter().enumerate() {
        let own: Vec<&str> = (0..columns).map(|column| grid.cell(row, column).trimmed()).collect();
        let last = level + 1 == rows.len();
        let merged: Vec<(usize, usize)> = grid.merged_across(row).collect();
        let mut labels: Vec<Option<&str>> =
            own.iter().map(|text| (!text.is_empty()).then_some(*text)).collect();
        if !last && !merged.is_empty() {
            for (from, to) in merged {
                let label = labels.get(from).copied().flatten();
                labels.iter_mut().take(to + 1).skip(from).for_each(|place| *place = place.or(label));
            }
        } else if !last {
            spread(grid, rows, level, &mut labels, out.last());
        }
        out.push(labels);
    }
    out
}

/// Without merged cells a group runs to the next text of its row, but not past the group above it, and not
/// to columns without a heading below. The last group ends where it has as many columns as the one before.
fn spread<'g>(
    grid: &Grid,
    rows: &[usize],
    level: usize,
    labels: &mut [Option<&'g str>],
    above: Option<&Vec<Option<&'g str>>>,
) {
    let starts: Vec<usize> =
        (0..labels.len()).filter(|&at| labels.get(at).copied().flatten().is_some()).collect();
    let below = |column: usize| rows.iter().skip(level + 1).any(|&row| !grid.cell(row, column).is_blank());
    let parent = |column: usize| above.and_then(|above| above.get(column).copied().flatten());
    let mut widest = 0;
    for (at, &start) in starts.iter().enumerate() {
        let Some(label) = labels.get(start).copied().flatten() else { continue };
        let end = match starts.get(at + 1) {
            Some(&next) => next,
            None if widest > 0 => labels.len().min(start + widest),
            None => labels.len(),
        };
        // A sign over two feet ends with them, whatever comes next.
        let foot =
            |column: usize| rows.get(level + 1).and_then(|&row| is_foot(grid.cell(row, column).trimmed()));
        let filled = (start + 1..end).take_while(|&column| {
            below(column)
                && parent(column) == parent(start)
                && foot(start).is_some() == foot(column).is_some()
        });
        let filled: Vec<usize> = filled.collect();
        // A heading of its own, such as the hospital number, has nothing below it.
        let heads = below(start) && !filled.is_empty();
        widest = widest.max(if heads { filled.len() + 1 } else { 0 });
        for column in filled.into_iter().filter(|_| heads) {
            if let Some(place) = labels.get_mut(column) {
                *place = Some(label);
            }
        }
    }
}

/// A row of short texts, at least two different ones.
fn is_part_row(grid: &Grid, row: usize) -> bool {
    let mut seen = std::collections::BTreeSet::new();
    for column in 0..grid.width_of(row).min(SEARCHED_COLUMNS) {
        let cell = grid.cell(row, column);
        let text = cell.trimmed();
        if text.is_empty() {
            continue;
        }
        if cell.kind != CellKind::Text || text.chars().count() > 40 || !text.chars().any(char::is_alphabetic)
        {
            return false;
        }
        seen.insert(text);
    }
    seen.len() >= 2
}

/// Whether a row names scores over their items: "Pirani", "Dimeglio".
fn names_score(grid: &Grid, row: usize) -> bool {
    (0..grid.width_of(row).min(SEARCHED_COLUMNS)).any(|column| is_score(grid.cell(row, column).trimmed()))
}

fn is_score(text: &str) -> bool {
    fold(text).split(' ').any(|word| matches!(word, "pirani" | "dimeglio" | "goldner" | "walking"))
}

/// Whether a row names the foot under each sign: nothing but words for a side, two different ones at least.
fn is_side_row(grid: &Grid, row: usize, above: usize) -> bool {
    let mut seen = std::collections::BTreeSet::new();
    let mut count = 0;
    for column in 0..grid.width_of(row).min(SEARCHED_COLUMNS) {
        let text = grid.cell(row, column).trimmed();
        // A heading merged down is in both rows.
        if text.is_empty() || text == grid.cell(above, column).trimmed() {
            continue;
        }
        if !is_side(text) {
            return false;
        }
        count += 1;
        seen.insert(fold(text));
    }
    seen.len() == 2 && count >= 2
}

fn is_side(text: &str) -> bool {
    let words = tokens(text);
    let side = |word: &String| {
        side_word(word).is_some() || crate::sides::read(word) != crate::sides::SideCell::Unknown
    };
    let around = |word: &String| matches!(word.as_str(), "foot" | "pie" | "pied" | "fuss" | "pe" | "side");
    words.len() <= 2 && words.iter().any(side) && words.iter().all(|word| side(word) || around(word))
}
