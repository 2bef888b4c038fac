//! Where the header row is: under title rows, in one row or in two.

use super::{
    Grid,
    heading_cells::{heads_groups, is_all_headings, is_foot, is_group, known},
    levels, turned,
};

/// How far down a header row is looked for.
const SEARCHED_ROWS: usize = 40;

pub(super) struct Found {
    pub(super) row: usize,
    pub(super) two: bool,
    pub(super) headers: Vec<String>,
    pub(super) first: usize,
}

/// The header row that is most likely meant.
pub(super) fn find(grid: &Grid) -> Found {
    let top = grid.height().min(SEARCHED_ROWS);
    let best =
        (0..top).map(|row| (known(grid, row), row)).max_by_key(|&(score, row)| (score, usize::MAX - row));
    match best {
        Some((score, row)) if score >= 2 => at(grid, row),
        // No known word: the first row with two cells is taken, and a map file can say better.
        _ => {
            let wide = |&row: &usize| {
                (0..grid.width_of(row)).filter(|&c| !grid.cell(row, c).is_blank()).count() >= 2
            };
            at(grid, (0..top).find(wide).or_else(|| (0..top).find(|&row| !grid.is_blank(row))).unwrap_or(0))
        }
    }
}

/// Whether a sheet may hold visits: three headings that are known, and a row under them.
pub(super) fn looks_like_visits(grid: &Grid) -> bool {
    likeness(grid) >= 3_000_000 && grid.height() > 1
}

/// How much a sheet looks like visits: its best header row or column of labels, then its length.
pub(super) fn likeness(grid: &Grid) -> usize {
    let words = (0..grid.height().min(SEARCHED_ROWS)).map(|row| known(grid, row)).max().unwrap_or(0);
    words.max(turned::count_labels(grid)) * 1_000_000 + grid.height().min(999_999)
}

/// Headers from the row, together with the row above or below where the two make one header.
pub(super) fn at(grid: &Grid, row: usize) -> Found {
    let rows = levels::of(grid, row);
    let simple = rows.len() == 2 && rows.first().is_some_and(|&top| top < row && heads_groups(grid, top));
    if rows.len() > 1 && !simple {
        let last = rows.last().copied().unwrap_or(row);
        let columns = rows.iter().map(|&row| width(grid, row)).max().unwrap_or(0);
        return Found { row, two: true, headers: levels::headers(grid, &rows, columns), first: last + 1 };
    }
    if row > 0 && heads_groups(grid, row - 1) {
        return Found { row, two: true, headers: joined(grid, row - 1, row), first: row + 1 };
    }
    if heads_groups(grid, row) && is_all_headings(grid, row + 1) {
        return Found { row, two: true, headers: joined(grid, row, row + 1), first: row + 2 };
    }
    let columns = width(grid, row);
    let headers = (0..columns).map(|column| grid.cell(row, column).trimmed().to_owned()).collect();
    Found { row, two: false, headers, first: row + 1 }
}

fn width(grid: &Grid, row: usize) -> usize {
    let columns = grid.width_of(row);
    (0..columns).rev().find(|&column| !grid.cell(row, column).is_blank()).map_or(0, |last| last + 1)
}

/// "Right" over "PC" becomes "Right PC".
fn joined(grid: &Grid, top: usize, bottom: usize) -> Vec<String> {
    let columns = width(grid, top).max(width(grid, bottom));
    let groups = group_of_each(grid, top, bottom, columns);
    (0..columns)
        .map(|column| {
            let (above, below) = (grid.cell(top, column).trimmed(), grid.cell(bottom, column).trimmed());
            match (groups.get(column).and_then(Option::as_ref), above, below) {
                (Some(group), _, below) if !below.is_empty() && below != group => format!("{group} {below}"),
                (_, above, "") => above.to_owned(),
                (_, "", below) => below.to_owned(),
                (_, above, below) if above == below => above.to_owned(),
                (_, above, below) if is_group(above) => format!("{above} {below}"),
                (_, _, below) => below.to_owned(),
            }
        })
        .collect()
}

/// The group heading over each column. A group ends at the next heading; the last one ends where its
/// columns stop repeating those of the first, so that "Remarks" after "Left" is not the left foot's.
fn group_of_each(grid: &Grid, top: usize, bottom: usize, columns: usize) -> Vec<Option<String>> {
    let starts: Vec<usize> = (0..columns).filter(|&column| !grid.cell(top, column).is_blank()).collect();
    let is_start = |column: usize| is_group(grid.cell(top, column).trimmed());
    let mut pattern: Vec<String> = Vec::new();
    let mut out = vec![None; columns];
    // "Tenotomy date" merged over "R" and "L".
    for (from, to) in grid.merged_across(top).filter(|&(from, _)| !is_start(from)) {
        if (from..=to).all(|column| is_foot(grid.cell(bottom, column).trimmed()).is_some()) {
            let label = grid.cell(top, from).trimmed();
            out.iter_mut().take(to + 1).skip(from).for_each(|place| *place = Some(label.to_owned()));
        }
    }
    for (index, &start) in starts.iter().enumerate() {
        if !is_start(start) {
            continue;
        }
        let end = starts.get(index + 1).copied().unwrap_or(columns);
        let last = index + 1 == starts.len();
        let label = grid.cell(top, start).trimmed().to_owned();
        for (column, place) in out.iter_mut().enumerate().take(end).skip(start) {
            let below = crate::text::fold(grid.cell(bottom, column).trimmed());
            if below.is_empty() || (last && !pattern.is_empty() && !pattern.contains(&below)) {
                break;
            }
            *place = Some(label.clone());
            if !last {
                pattern.push(below);
            }
        }
    }
    out
}
