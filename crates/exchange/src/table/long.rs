//! Rows that hold one measurement each (child, day, foot, item, value) put together into one row a visit.

use super::{CellKind, Grid, Table};
use crate::{
    Meaning,
    text::{fold, tokens},
    values::{self, Read},
    words,
};
use std::collections::{BTreeMap, HashMap, HashSet};

/// Rows looked at to tell whether a sheet is of this form.
const LOOKED_AT: usize = 2000;
/// Different items at most.
const MOST_ITEMS: usize = 120;

/// Where each row of a put-together table comes from.
#[derive(Debug, Clone)]
pub(super) struct Origin {
    /// The sheet as it came.
    pub(super) table: Box<Table>,
    /// By row, the rows of that sheet.
    pub(super) rows: Vec<Vec<u32>>,
    /// The headings that became items and values.
    pub(super) absorbed: Vec<String>,
}

/// What a person says of the form of the rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct RowForm {
    /// Whether each row is one measurement; `None` where nobody stated it.
    pub(crate) long: Option<bool>,
    /// The columns of the names and of the values of measurements.
    pub(crate) item: Option<usize>,
    pub(crate) value: Option<usize>,
}

impl Table {
    /// The table with one row for each visit and foot, where its rows hold one measurement each: as a person
    /// says, else where the names of the measurements leave no doubt. Any other table is left as it is.
    pub(crate) fn shaped(self, form: &RowForm) -> Self {
        if form.long == Some(false) || self.origin.is_some() {
            return self;
        }
        let item = form.item.or_else(|| self.item_column(form.long == Some(true)));
        let Some(item) = item else { return self };
        let Some(value) = form.value.or_else(|| self.value_column(item)) else { return self };
        put_together(self, item, value)
    }

    /// Whether its rows were put together from rows of one measurement each.
    #[must_use]
    pub fn is_put_together(&self) -> bool {
        self.origin.is_some()
    }

    /// The column whose cells are the names of measurements.
    fn item_column(&self, told: bool) -> Option<usize> {
        (0..self.headers.len()).find(|&column| {
            let header = self.headers.get(column).map_or("", String::as_str);
            let known =
                words::readings(header).iter().any(|reading| reading.sense.meaning != Meaning::Ignore);
            let named = names(header, &ITEMS);
            (named || !known || told) && self.holds_items(column, named || told)
        })
    }

    /// Whether most cells of a column name something of a visit: two different measurements, or one and
    /// another item where the heading or a person says that the column names items.
    fn holds_items(&self, column: usize, named: bool) -> bool {
        let mut items: HashMap<&str, bool> = HashMap::new();
        let (mut filled, mut known) = (0usize, 0usize);
        let (mut measured, mut different) = (HashSet::new(), HashSet::new());
        for row in self.rows().take(LOOKED_AT) {
            let text = self.cell(row, column).trimmed();
            if text.is_empty() {
                continue;
            }
            filled += 1;
            if items.len() > MOST_ITEMS {
                return false;
            }
            let is_item = *items.entry(text).or_insert_with(|| {
                let readings = words::readings(text);
                let of_visit = || readings.iter().filter(|reading| reading.sense.meaning.is_of_visit());
                let meanings = of_visit().map(|reading| reading.sense.meaning);
                measured.extend(meanings.filter(|meaning| meaning.is_measured()));
                different.extend(of_visit().map(|reading| (reading.sense.meaning, reading.side)));
                of_visit().next().is_some()
            });
            known += usize::from(is_item);
        }
        let enough = measured.len() >= 2 || (named && measured.len() == 1 && different.len() >= 2);
        filled >= 4 && enough && known * 10 >= filled * 6
    }

    fn value_column(&self, item: usize) -> Option<usize> {
        let others: Vec<usize> = (0..self.headers.len()).filter(|&column| column != item).collect();
        let header = |column: usize| self.headers.get(column).map_or("", String::as_str);
        let named: Vec<usize> =
            others.iter().copied().filter(|&column| names(header(column), &VALUES)).collect();
        if let [column] = named[..] {
            return Some(column);
        }
        let numbers = |&column: &usize| {
            let cells = self.rows().take(LOOKED_AT).map(|row| self.cell(row, column).trimmed());
            let filled: Vec<&str> = cells.filter(|text| !values::is_nothing(text)).collect();
            let read = filled.iter().filter(|text| matches!(values::number(text), Read::Value(_))).count();
            words::readings(header(column)).is_empty() && read * 10 >= filled.len() * 6 && read > 0
        };
        let found: Vec<usize> = others.into_iter().filter(numbers).collect();
        if let [column] = found[..] { Some(column) } else { None }
    }
}

const ITEMS: [&str; 14] = [
    "item",
    "items",
    "measure",
    "measurement",
    "parameter",
    "variable",
    "sign",
    "test",
    "field",
    "observation",
    "concept",
    "merkmal",
    "parametro",
    "variavel",
];
const VALUES: [&str; 9] =
    ["value", "values", "result", "answer", "wert", "valor", "valeur", "valore", "resultado"];

fn names(header: &str, words: &[&str]) -> bool {
    tokens(header).iter().any(|word| words.contains(&word.as_str()))
}

/// Columns that say which visit a row belongs to.
fn is_key(header: &str) -> bool {
    words::readings(header).first().is_some_and(|reading| {
        matches!(
            reading.sense.meaning,
            Meaning::Number
                | Meaning::Name
                | Meaning::FamilyName
                | Meaning::GivenName
                | Meaning::Born
                | Meaning::VisitDate
                | Meaning::VisitNumber
                | Meaning::Side
        )
    })
}

/// A visit while its rows are put together: by column the different texts, and what kind the first was.
#[derive(Default)]
struct Visit {
    cells: BTreeMap<usize, (Vec<String>, Option<CellKind>)>,
    rows: Vec<u32>,
}

fn put_together(table: Table, item: usize, value: usize) -> Table {
    let kept: Vec<usize> = (0..table.headers.len()).filter(|&at| at != item && at != value).collect();
    let keys: Vec<usize> = kept
        .iter()
        .copied()
        .filter(|&at| table.headers.get(at).is_some_and(|header| is_key(header)))
        .collect();
    let mut headers: Vec<String> = kept.iter().filter_map(|&at| table.headers.get(at).cloned()).collect();
    let mut items: HashMap<String, usize> = HashMap::new();
    let mut by_key: HashMap<String, usize> = HashMap::new();
    let mut visits: Vec<Visit> = Vec::new();
    for row in table.rows() {
        let name = table.cell(row, item).trimmed();
        let at = *items.entry(fold(name)).or_insert_with(|| {
            headers.push(name.to_owned());
            headers.len() - 1
        });
        let key =
            keys.iter().map(|&at| fold(table.cell(row, at).trimmed())).collect::<Vec<_>>().join("\u{1f}");
        let visit = *by_key.entry(key).or_insert_with(|| {
            visits.push(Visit::default());
            visits.len() - 1
        });
        let Some(visit) = visits.get_mut(visit) else { continue };
        visit.rows.push(u32::try_from(row).unwrap_or(u32::MAX));
        let own = kept.iter().enumerate().map(|(to, &from)| (to, from));
        for (to, from) in own.chain([(at, value)]) {
            let cell = table.cell(row, from);
            // One value for several measurements: nothing says of which it is.
            let of_several = from == value && table.merged_down(row, from).is_some();
            let (texts, kind) = visit.cells.entry(to).or_default();
            if !cell.is_blank() && !texts.iter().any(|text| text == cell.trimmed()) {
                let merged = if of_several { " | merged" } else { "" };
                texts.push(format!("{}{merged}", cell.trimmed()));
                kind.get_or_insert(cell.kind);
            }
        }
    }
    assembled(table, headers, visits, (item, value))
}

fn assembled(table: Table, headers: Vec<String>, visits: Vec<Visit>, taken: (usize, usize)) -> Table {
    let mut grid = Grid::typed();
    let mut rows = Vec::new();
    for visit in visits {
        for column in 0..headers.len() {
            match visit.cells.get(&column) {
                // Two values for one thing cannot both hold: the cell says both and is refused.
                Some((texts, kind)) => grid.push(&texts.join(" | "), kind.unwrap_or(CellKind::Text)),
                None => grid.push("", CellKind::Text),
            }
        }
        grid.end_row();
        rows.push(visit.rows);
    }
    let absorbed = [taken.0, taken.1].iter().filter_map(|&at| table.headers.get(at).cloned()).collect();
    let source = table.source.clone();
    let left_sheets = table.left_sheets.clone();
    let turned = table.turned;
    let origin = Some(Origin { table: Box::new(table), rows, absorbed });
    Table { source, headers, grid, first: 0, turned, origin, stack: None, left_sheets }
}
