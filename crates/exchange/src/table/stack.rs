//! Sheets with the same headings (one a month, a year or a child) read as one table.

use super::{Grid, ReadError, Source, Table, finish, header, titles, turned};
use crate::{
    Meaning,
    sides::{self, SideCell},
    text::fold,
    words,
};
use record::{Side, Sides};
use std::collections::{BTreeSet, HashMap};

/// Which sheets of a workbook a person has chosen.
#[derive(Debug, Clone, Default)]
pub(crate) struct SheetChoice<'a> {
    /// This one alone.
    pub(crate) pick: Option<&'a str>,
    /// The row of the headings in each sheet, the first being 1.
    pub(crate) header_row: Option<usize>,
    /// These together and no other; `all` for every one that holds anything.
    pub(crate) wanted: Vec<String>,
    pub(crate) all: bool,
    /// These as well.
    pub(crate) added: Vec<String>,
    /// Every other one that looks like visits as well.
    pub(crate) others: bool,
}

impl SheetChoice<'_> {
    fn is_among(name: &str, names: &[String]) -> bool {
        names.iter().any(|other| is_same_name(other, name))
    }

    /// Whether a sheet is read at all: every one, unless one alone is picked.
    pub(super) fn may_be_read(&self, name: &str) -> bool {
        self.pick.is_none_or(|pick| is_same_name(name, pick))
    }

    /// Whether a person has named this sheet.
    pub(super) fn names(&self, name: &str) -> bool {
        Self::is_among(name, &self.wanted) || Self::is_among(name, &self.added)
    }

    /// The table of a grid, with its headings where a person says they are.
    pub(super) fn finished(&self, grid: Grid, source: Source) -> Result<Table, ReadError> {
        if let Some(table) = turned::table(&grid, &source).filter(|_| self.header_row.is_none()) {
            return Ok(table);
        }
        let table = finish(grid, source)?;
        match self.header_row {
            Some(row) => Ok(titles::with_titles(table.with_header_row(row)?, row.saturating_sub(1))),
            None => {
                let header = table.source.header_row.saturating_sub(1);
                Ok(titles::with_titles(table, header))
            }
        }
    }

    /// Whether a sheet may be taken first, where it looks most like visits.
    pub(super) fn may_be_first(&self, name: &str) -> bool {
        self.wanted.is_empty() || Self::is_among(name, &self.wanted)
    }

    fn takes(&self, name: &str, like: bool) -> bool {
        self.all || self.names(name) || (self.wanted.is_empty() && like)
    }
}

fn is_same_name(name: &str, other: &str) -> bool {
    name.trim().to_lowercase() == other.trim().to_lowercase()
}

/// The sheets that make up a table, and the sheet and row each of its rows comes from.
#[derive(Debug, Clone)]
pub(super) struct Stack {
    pub(super) sheets: Vec<String>,
    pub(super) rows: Vec<(u32, u32)>,
}

/// A sheet that looks like visits and is left alone: its name and how many rows it has.
#[derive(Debug, Clone)]
pub(crate) struct LeftSheet {
    pub(crate) name: String,
    pub(crate) rows: usize,
}

/// The sheet taken with those of the others under it that have the same headings, or that a person has
/// chosen.
pub(super) fn together(mut first: Table, others: Vec<(String, Grid)>, choice: &SheetChoice<'_>) -> Table {
    if choice.pick.is_some() {
        return first;
    }
    let mut like = Vec::new();
    for (name, grid) in others {
        let looks = header::looks_like_visits(&grid);
        let Ok(table) = choice.finished(grid, first.source.clone()) else { continue };
        if choice.takes(&name, have_like_headings(&first, &table) || (choice.others && looks)) {
            first.source.other_sheets.retain(|other| *other != name);
            first.source.hidden_sheets.retain(|other| *other != name);
            like.push((name, table));
        } else if looks && choice.wanted.is_empty() {
            first.left_sheets.push(LeftSheet { name, rows: table.rows().count() });
        }
    }
    if like.is_empty() { first } else { stacked(first, &like) }
}

/// The same headings, in whatever order.
fn have_like_headings(first: &Table, other: &Table) -> bool {
    let named = |table: &Table| -> BTreeSet<String> {
        table.headers.iter().map(|header| fold(header)).filter(|header| !header.is_empty()).collect()
    };
    let (first, other) = (named(first), named(other));
    first.len() >= 3 && first == other
}

/// The rows of every sheet, each cell under the heading it has there. A heading that comes twice in a
/// sheet is told apart by its order.
fn stacked(first: Table, others: &[(String, Table)]) -> Table {
    let mut headers = first.headers.clone();
    let mut grid = Grid::typed();
    let mut rows = Vec::new();
    let mut sheets = vec![first.source.sheet.clone().unwrap_or_default()];
    let all: Vec<(Option<String>, &Table)> = std::iter::once((None, &first))
        .chain(others.iter().map(|(name, table)| (Some(name.clone()), table)))
        .collect();
    let places: Vec<Vec<usize>> = all.iter().map(|(_, table)| places(table, &mut headers)).collect();
    let names = all.iter().map(|(name, _)| name.as_deref().or(first.source.sheet.as_deref()).unwrap_or(""));
    let feet = feet_of_sheets(&headers, names);
    for (at, ((name, table), places)) in all.iter().zip(&places).enumerate() {
        sheets.extend(name.clone());
        let sheet = u32::try_from(sheets.len() - 1).unwrap_or(0);
        let before = rows.len();
        for row in table.rows() {
            for column in 0..headers.len() {
                let from = places.iter().position(|&place| place == column);
                let cell = from.map_or(super::Cell::EMPTY, |from| table.cell(row, from));
                grid.push(cell.text, cell.kind);
            }
            if let Some(foot) = feet.as_ref().and_then(|feet| feet.get(at)) {
                grid.push(&foot.to_string(), super::CellKind::Text);
            }
            grid.end_row();
            rows.push((sheet, u32::try_from(row).unwrap_or(u32::MAX)));
        }
        mark_merged(&mut grid, table, places, before);
    }
    if feet.is_some() {
        headers.push("Side".to_owned());
    }
    let stack = Some(Stack { sheets, rows });
    let (source, left_sheets, turned) = (first.source.clone(), first.left_sheets.clone(), first.turned);
    Table { source, headers, grid, first: 0, turned, origin: None, stack, left_sheets }
}

/// Notes in the grid of all sheets which cells of one run over several rows or columns. Its rows begin at
/// `before`.
fn mark_merged(grid: &mut Grid, table: &Table, places: &[usize], before: usize) {
    let at: HashMap<usize, usize> =
        table.rows().enumerate().map(|(place, row)| (row, before + place)).collect();
    let merged = if table.has_merged_cells() { table.rows().collect() } else { Vec::new() };
    for row in merged {
        for (from, to) in table.merged_across(row) {
            let columns = places.iter().skip(from).take(to + 1 - from).copied();
            let (first, last) = (columns.clone().min(), columns.max());
            if let (Some(&row), Some(first), Some(last)) = (at.get(&row), first, last) {
                grid.mark_across(row, first, last);
            }
        }
        for (from, &column) in places.iter().enumerate() {
            let area = table.merged_down(row, from).filter(|area| area.0 == row);
            let place = area.and_then(|(first, last)| Some((*at.get(&first)?, *at.get(&last)?)));
            if let Some((first, last)) = place {
                grid.mark_down(column, first, last);
            }
        }
    }
}

/// The foot of each sheet, where each is named after one, both feet have a sheet, and no heading names a foot.
fn feet_of_sheets<'n>(headers: &[String], names: impl Iterator<Item = &'n str>) -> Option<Vec<Side>> {
    let foot = |name: &str| match sides::read(name) {
        SideCell::Known(Sides::Right) => Some(Side::Right),
        SideCell::Known(Sides::Left) => Some(Side::Left),
        _ => None,
    };
    let feet: Vec<Side> = names.map(foot).collect::<Option<_>>()?;
    let both = Side::BOTH.iter().all(|side| feet.contains(side));
    let of_foot = |header: &String| {
        let readings = words::readings(header);
        readings.iter().any(|reading| reading.side.is_some() || reading.sense.meaning == Meaning::Side)
    };
    (both && !headers.iter().any(of_foot)).then_some(feet)
}

/// Where each column of a sheet goes; headings that are new are added.
fn places(table: &Table, headers: &mut Vec<String>) -> Vec<usize> {
    let mut taken = BTreeSet::new();
    let mut out = Vec::new();
    for header in &table.headers {
        let same = |at: &usize| {
            !taken.contains(at) && headers.get(*at).is_some_and(|other| fold(other) == fold(header))
        };
        let found = (0..headers.len()).find(same);
        let place = found.unwrap_or_else(|| {
            headers.push(header.clone());
            headers.len() - 1
        });
        taken.insert(place);
        out.push(place);
    }
    out
}
