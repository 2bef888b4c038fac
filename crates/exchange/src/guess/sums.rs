//! Which sum a column of sums holds, checked against the six signs of the row.

use crate::{
    ColumnMap, Meaning, Table,
    values::{self, Read},
};
use record::{Side, Sign, SubScore};

/// Rows compared.
const COMPARED: usize = 400;

/// In how many rows a column agrees with a sum of the signs, of how many compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Agreement {
    same: usize,
    compared: usize,
}

/// Corrects a column whose heading names one sum and whose cells are another: "Total" under the heading
/// of the midfoot may be the total of all six signs.
pub(super) fn settle(table: &Table, map: &mut ColumnMap) {
    let sums = [Meaning::Total, Meaning::Midfoot, Meaning::Hindfoot];
    for at in 0..map.columns.len() {
        let Some(column) = map.columns.get(at) else { continue };
        let Some(meaning) = column.meaning.filter(|meaning| sums.contains(meaning)) else { continue };
        let place = (column.side, column.visit);
        let mine = agreement(table, map, at, place, meaning);
        let others = sums.into_iter().filter(|sum| *sum != meaning);
        let best = others
            .map(|sum| (agreement(table, map, at, place, sum), sum))
            .max_by_key(|(agreement, _)| agreement.same);
        let Some((theirs, other)) = best else { continue };
        let wrong =
            theirs.compared >= 3 && theirs.same * 10 >= theirs.compared * 9 && mine.same * 2 < theirs.same;
        let taken = map.columns.iter().any(|c| c.meaning == Some(other) && (c.side, c.visit) == place);
        if let Some(column) = map.columns.get_mut(at).filter(|_| wrong && !taken) {
            column.meaning = Some(other);
            column.reason = format!("{}; its cells are the {} of the signs", column.reason, other.words());
        }
    }
}

/// The columns of the signs that make up a sum, where all are there.
fn signs_of(map: &ColumnMap, place: (Option<Side>, Option<u16>), sum: Meaning) -> Option<Vec<usize>> {
    let part = |sign: &&Sign| match sum {
        Meaning::Midfoot => sign.part() == SubScore::Midfoot,
        Meaning::Hindfoot => sign.part() == SubScore::Hindfoot,
        _ => true,
    };
    let column = |sign: &Sign| {
        let mut of_sign = map.columns.iter().filter(|column| {
            column.meaning == Some(Meaning::Sign(*sign)) && (column.side, column.visit) == place
        });
        of_sign.next().map(|column| column.index)
    };
    Sign::ALL.iter().filter(part).map(column).collect()
}

fn number(table: &Table, row: usize, column: usize) -> Option<f64> {
    match values::number(table.cell(row, column).trimmed()) {
        Read::Value(value) => Some(value),
        _ => None,
    }
}

fn agreement(
    table: &Table,
    map: &ColumnMap,
    at: usize,
    place: (Option<Side>, Option<u16>),
    sum: Meaning,
) -> Agreement {
    let mut out = Agreement { same: 0, compared: 0 };
    let Some(signs) = signs_of(map, place, sum) else { return out };
    for row in table.rows().take(COMPARED) {
        let Some(written) = number(table, row, at) else { continue };
        let points: Option<f64> = signs.iter().map(|&column| number(table, row, column)).sum();
        let Some(points) = points else { continue };
        out.compared += 1;
        out.same += usize::from((points - written).abs() < 1e-9);
    }
    out
}

/// Whether a column holds sums of the numbers written in coded signs, rather than of what they stand
/// for: `decoded` says what a number of a sign stands for.
pub(crate) fn are_of_codes(table: &Table, map: &ColumnMap, at: usize, decoded: impl Fn(f64) -> f64) -> bool {
    let Some(column) = map.columns.get(at) else { return false };
    let (place, sum) = ((column.side, column.visit), column.meaning.unwrap_or(Meaning::Total));
    let signs = signs_of(map, place, sum).unwrap_or_default();
    let (mut raw, mut meant, mut most) = (0, 0, 0.0_f64);
    for row in table.rows().take(COMPARED) {
        let Some(written) = number(table, row, at) else { continue };
        most = most.max(written);
        let points: Option<Vec<f64>> = signs.iter().map(|&column| number(table, row, column)).collect();
        let Some(points) = points.filter(|points| !points.is_empty()) else { continue };
        raw += usize::from((points.iter().sum::<f64>() - written).abs() < 1e-9);
        meant +=
            usize::from((points.iter().map(|&point| decoded(point)).sum::<f64>() - written).abs() < 1e-9);
    }
    if raw == meant { most > if sum == Meaning::Total { 6.0 } else { 3.0 } } else { raw > meant }
}
