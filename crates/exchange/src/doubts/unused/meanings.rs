//! What a column that is not understood may mean, by its cells and by what the other columns say already.

use crate::{
    ColumnMap, Meaning, Table, coding,
    profile::Profile,
    sides::{SideWord, side_word},
    text::tokens,
    values::{self, Read},
};
use record::{Side, Sign};

/// The foot and visit of a column that is not understood, as far as its heading names them.
type Place = (Option<Side>, Option<u16>);

/// The meanings that columns may have which differ by their foot or visit only, and that no other column has.
pub(super) fn plausible(
    table: &Table,
    map: &ColumnMap,
    columns: &[usize],
    profiles: &[Profile],
) -> Vec<Meaning> {
    let Some(places) = places(map, columns) else { return Vec::new() };
    let taken = |meaning: Meaning| {
        let others = map.columns.iter().filter(|column| !columns.contains(&column.index));
        let mut same = others.filter(|column| column.meaning == Some(meaning));
        same.any(|column| places.contains(&(column.side, column.visit)))
    };
    // A visit that has no date cannot be given anything.
    let dated = |visit: Option<u16>| {
        let date = |meaning| matches!(meaning, Some(Meaning::VisitDate | Meaning::CastDate));
        map.columns.iter().any(|column| date(column.meaning) && column.visit == visit)
    };
    let mut meanings = by_cells(table, map, columns, profiles);
    meanings.retain(|&meaning| {
        let is_placed = !meaning.is_of_visit() || meaning == Meaning::VisitDate;
        !taken(meaning) && (is_placed || places.iter().all(|&(_, visit)| dated(visit)))
    });
    meanings
}

/// Gives the columns a meaning, each with the foot and visit of its heading.
pub(super) fn give(map: &mut ColumnMap, columns: &[usize], meaning: Meaning) {
    let places = places(map, columns).unwrap_or_default();
    for (&at, (side, visit)) in columns.iter().zip(places) {
        let Some(column) = map.columns.get_mut(at) else { continue };
        (column.meaning, column.side, column.visit) = (Some(meaning), side, visit);
        column.confidence = 100;
        "an answer says so".clone_into(&mut column.reason);
        map.settled.insert(at);
    }
}

/// The foot and visit of each column; `None` where two columns would have the same.
fn places(map: &ColumnMap, columns: &[usize]) -> Option<Vec<Place>> {
    let mut out: Vec<Place> = Vec::new();
    for &at in columns {
        let place = place(&map.columns.get(at)?.header)?;
        if out.contains(&place) {
            return None;
        }
        out.push(place);
    }
    Some(out)
}

/// "R" and "L" are a foot in a heading without doubt; another letter is in doubt, and so are two numbers.
fn place(header: &str) -> Option<Place> {
    let (mut sides, mut numbers) = (Vec::new(), Vec::new());
    for word in tokens(header) {
        match side_word(&word) {
            Some(SideWord::Full(side)) => sides.push(side),
            Some(SideWord::Letter('r')) => sides.push(Side::Right),
            Some(SideWord::Letter('l')) => sides.push(Side::Left),
            Some(SideWord::Letter(_)) => return None,
            None => numbers.extend(word.parse::<u16>().ok()),
        }
    }
    match (&sides[..], &numbers[..]) {
        ([] | [_], [] | [_]) => Some((sides.first().copied(), numbers.first().copied())),
        _ => None,
    }
}

/// What the cells of columns may be.
fn by_cells(table: &Table, map: &ColumnMap, columns: &[usize], profiles: &[Profile]) -> Vec<Meaning> {
    let of: Vec<&Profile> = columns.iter().filter_map(|&at| profiles.get(at)).collect();
    if of.iter().all(|profile| profile.all_dates()) {
        return DATES.to_vec();
    }
    if of.iter().all(|profile| profile.mostly_yes_no() && !profile.is_small_numbers()) {
        return YES_NO.to_vec();
    }
    let cells = columns.iter().flat_map(|&at| table.rows().map(move |row| (row, at)));
    let texts = cells.map(|(row, at)| map.rules.cell(table, row, at).trimmed());
    let numbers: Option<Vec<f64>> = texts
        .filter(|text| !values::is_nothing(text))
        .map(|text| {
            let worded = coding::leading_number(text);
            let read = values::number(worded.as_deref().unwrap_or(text));
            if let Read::Value(value) = read { Some(value) } else { None }
        })
        .collect();
    match numbers {
        Some(numbers) => by_numbers(&numbers),
        None => vec![Meaning::Done, Meaning::Remarks],
    }
}

fn by_numbers(numbers: &[f64]) -> Vec<Meaning> {
    let most = numbers.iter().copied().fold(0.0, f64::max);
    let all = |test: &dyn Fn(f64) -> bool| numbers.iter().all(|&number| test(number));
    let halves = all(&|number| number >= 0.0 && (number * 2.0).fract() == 0.0);
    let whole = all(&|number| number >= 0.0 && number.fract() == 0.0);
    let mut out = Vec::new();
    if halves && most <= 1.0 {
        out.extend(Sign::ALL.map(Meaning::Sign));
    }
    if halves && most <= 6.0 {
        out.push(Meaning::Total);
    }
    if halves && most <= 3.0 {
        out.extend([Meaning::Midfoot, Meaning::Hindfoot]);
    }
    if whole && most <= 20.0 {
        out.extend([Meaning::DimeglioTotal, Meaning::CastNumber, Meaning::Done]);
    }
    if most > 6.0 && numbers.iter().all(|number| number.fract() == 0.0) {
        out.extend([Meaning::Abduction, Meaning::Dorsiflexion]);
    }
    out
}

const DATES: [Meaning; 9] = [
    Meaning::VisitDate,
    Meaning::TenotomyDate,
    Meaning::BraceDate,
    Meaning::RelapseDate,
    Meaning::ReferralDate,
    Meaning::NextAppointment,
    Meaning::Born,
    Meaning::DischargeDate,
    Meaning::DeathDate,
];
const YES_NO: [Meaning; 4] = [Meaning::Tenotomy, Meaning::Relapse, Meaning::Brace, Meaning::Attended];
