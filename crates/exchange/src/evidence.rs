//! The order of day and month, settled once for the whole file from the evidence in it.

use crate::{
    ColumnMap, DateOrder, Meaning,
    dates::{self, DateCell, Figures},
    table::{CellKind, Table},
};
use record::Day;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// The order settled, or why it is not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DateDecision {
    /// The order in which dates in figures were read; `None` where it is open.
    pub order: Option<DateOrder>,
    /// One sentence.
    pub why: String,
    /// Cells whose day and month could be exchanged.
    pub open_cells: usize,
    /// Columns in which a spreadsheet program seems to have exchanged day and month.
    #[serde(skip)]
    pub(crate) suspect: BTreeSet<usize>,
    #[serde(skip)]
    pub(crate) pivot: i32,
}

#[derive(Default)]
struct Counts {
    day_first: usize,
    month_first: usize,
    open: usize,
    figures: usize,
    short: usize,
    short_year_first: usize,
    first_over_31: usize,
    day_example: Option<(usize, String)>,
    month_example: Option<(usize, String)>,
    suspect: BTreeSet<usize>,
}

/// How many pieces of evidence of one kind outweigh one of the other, taken then for a slip.
const OUTWEIGHS: usize = 50;

/// Settles the order for a table.
pub(crate) fn settle(table: &Table, map: &ColumnMap, today: Day) -> DateDecision {
    let pivot = today.parts().0 + 5;
    let counts = count(table, map, pivot, today);
    let decide = |order: Option<DateOrder>, why: String| DateDecision {
        order,
        why,
        open_cells: counts.open,
        suspect: counts.suspect.clone(),
        pivot,
    };
    if let Some(order) = map.date_order {
        let from = map.date_order_from.as_deref().unwrap_or("the map file says so");
        return decide(Some(order), format!("Dates are read {}: {from}.", order.words()));
    }
    if counts.figures == 0 {
        return decide(None, "No date in this file depends on the order of day and month.".to_owned());
    }
    if counts.short > 0 && counts.short == counts.figures && year_first(&counts) {
        let why = "Dates are read year first: no other order gives days that exist and lie in the past.";
        return decide(Some(DateOrder::YearFirst), why.to_owned());
    }
    by_calendar(&counts).map_or_else(
        || {
            let (order, why) = by_sense(table, map, today, pivot, &counts);
            decide(order, why)
        },
        |(order, why)| decide(order, why),
    )
}

fn year_first(counts: &Counts) -> bool {
    counts.short_year_first == counts.short && counts.first_over_31 > 0
}

fn count(table: &Table, map: &ColumnMap, pivot: i32, today: Day) -> Counts {
    let mut counts = Counts::default();
    for column in map.columns.iter().filter(|column| column.meaning.is_some_and(Meaning::is_date)) {
        let (mut typed_low, mut typed_high, mut text_high, mut text_low) = (0, 0, 0, 0);
        for row in table.rows() {
            let cell = table.cell(row, column.index);
            match dates::read(cell, pivot) {
                DateCell::Figures(figures) => {
                    counts.add(figures, table.row_number(row), cell.trimmed(), pivot, today);
                    text_high += usize::from(figures.only() == Some(DateOrder::DayFirst));
                    text_low += usize::from(figures.only() != Some(DateOrder::DayFirst));
                }
                DateCell::Day(day) if cell.kind == CellKind::Date => {
                    typed_low += usize::from(day.parts().2 <= 12);
                    typed_high += usize::from(day.parts().2 > 12);
                }
                _ => {}
            }
        }
        // A program that expects the month first turns 05/10 into a date and leaves 23/10 as text.
        if typed_low >= 3 && typed_high == 0 && text_high >= 3 && text_low == 0 {
            counts.suspect.insert(column.index);
        }
    }
    counts
}

impl Counts {
    fn add(&mut self, figures: Figures, row: usize, text: &str, pivot: i32, today: Day) {
        self.figures += 1;
        self.open += usize::from(figures.is_open());
        match figures.only() {
            Some(DateOrder::DayFirst) => {
                self.day_first += 1;
                self.day_example.get_or_insert_with(|| (row, text.to_owned()));
            }
            Some(DateOrder::MonthFirst) => {
                self.month_first += 1;
                self.month_example.get_or_insert_with(|| (row, text.to_owned()));
            }
            _ => {}
        }
        if figures.short {
            self.short += 1;
            let sound = figures.under(DateOrder::YearFirst, pivot).is_some_and(|day| day <= today + 400);
            self.short_year_first += usize::from(sound);
            let no_other = [DateOrder::DayFirst, DateOrder::MonthFirst].iter().all(|&order| {
                figures.under(order, pivot).is_none_or(|day| day > today || day < today.plus_years(-30))
            });
            self.first_over_31 += usize::from(no_other);
        }
    }
}

/// A part above 12 can only be the day.
fn by_calendar(counts: &Counts) -> Option<(Option<DateOrder>, String)> {
    let (day, month) = (counts.day_first, counts.month_first);
    let example = |example: &Option<(usize, String)>| {
        example.as_ref().map_or_else(String::new, |(row, text)| format!(" (row {row}: “{text}”)"))
    };
    let (day_said, month_said) = (example(&counts.day_example), example(&counts.month_example));
    match (day, month) {
        (0, 0) => None,
        (_, 0) => Some((
            Some(DateOrder::DayFirst),
            format!(
                "Dates are read day first: {day} of them can only be meant so{day_said}, none the other way."
            ),
        )),
        (0, _) => Some((
            Some(DateOrder::MonthFirst),
            format!(
                "Dates are read month first: {month} of them can only be meant so{month_said}, none the other way."
            ),
        )),
        _ if day >= month * OUTWEIGHS => Some((
            Some(DateOrder::DayFirst),
            format!(
                "Dates are read day first: {day} of them can only be meant so{day_said}; {month} would need the other order{month_said} and are refused."
            ),
        )),
        _ if month >= day * OUTWEIGHS => Some((
            Some(DateOrder::MonthFirst),
            format!(
                "Dates are read month first: {month} of them can only be meant so{month_said}; {day} would need the other order{day_said} and are refused."
            ),
        )),
        _ => Some((
            None,
            format!(
                "The order of day and month contradicts itself: {day} dates can only be day first{day_said}, {month} only month first{month_said}. Dates that could be either are refused; a map file with date_order settles it."
            ),
        )),
    }
}

/// What each order would make of the file: visits before birth or in the future, weekly visits.
#[derive(Default)]
struct Sense {
    nonsense: BTreeSet<(usize, Day)>,
    weekly: usize,
    gaps: usize,
}

fn by_sense(
    table: &Table,
    map: &ColumnMap,
    today: Day,
    pivot: i32,
    counts: &Counts,
) -> (Option<DateOrder>, String) {
    if counts.open == 0 {
        return (None, "No date in this file depends on the order of day and month.".to_owned());
    }
    let day = sense(table, map, today, pivot, DateOrder::DayFirst);
    let month = sense(table, map, today, pivot, DateOrder::MonthFirst);
    let clear = |good: &Sense, bad: &Sense| good.nonsense.is_empty() && bad.nonsense.len() >= 2;
    let said = |order: DateOrder, count: usize| {
        let words = order.words();
        let text = format!(
            "Dates are read {words}: the other order would put {count} visits before birth or in the future."
        );
        (Some(order), text)
    };
    if clear(&day, &month) {
        return said(DateOrder::DayFirst, month.nonsense.len());
    }
    if clear(&month, &day) {
        return said(DateOrder::MonthFirst, day.nonsense.len());
    }
    let weekly = |good: &Sense, bad: &Sense| {
        good.nonsense.is_empty()
            && good.gaps >= 4
            && good.weekly * 2 >= good.gaps
            && bad.weekly * 5 <= bad.gaps
    };
    for (order, good, bad) in [(DateOrder::DayFirst, &day, &month), (DateOrder::MonthFirst, &month, &day)] {
        if weekly(good, bad) {
            let text = format!(
                "Dates are read {}: {} of {} intervals are then about a week, and {} of {} the other way.",
                order.words(),
                good.weekly,
                good.gaps,
                bad.weekly,
                bad.gaps
            );
            return (Some(order), text);
        }
    }
    let text = format!(
        "Nothing in this file settles the order of day and month; {} dates that could be either are refused. A map file with date_order settles it.",
        counts.open
    );
    (None, text)
}

fn sense(table: &Table, map: &ColumnMap, today: Day, pivot: i32, order: DateOrder) -> Sense {
    let born_column = map.find(Meaning::Born).map(|column| column.index);
    let who = [Meaning::Number, Meaning::Name, Meaning::FamilyName]
        .into_iter()
        .find_map(|meaning| map.find(meaning));
    let visits: Vec<usize> = map
        .columns
        .iter()
        .filter(|column| {
            column
                .meaning
                .is_some_and(|m| m.is_date() && !matches!(m, Meaning::Born | Meaning::NextAppointment))
        })
        .map(|column| column.index)
        .collect();
    let day_of = |row: usize, column: usize| match dates::read(table.cell(row, column), pivot) {
        DateCell::Day(day) => Some((day, false)),
        DateCell::Figures(figures) => figures.under(order, pivot).map(|day| (day, figures.is_open())),
        _ => None,
    };
    let mut out = Sense::default();
    let mut per_child: BTreeMap<String, BTreeSet<Day>> = BTreeMap::new();
    for row in table.rows() {
        let born = born_column.and_then(|column| day_of(row, column));
        if born.is_some_and(|(day, open)| open && day > today) {
            out.nonsense.extend(born.map(|(day, _)| (0, day)));
        }
        for &column in &visits {
            let Some((day, open)) = day_of(row, column) else { continue };
            let before_birth = born.is_some_and(|(born, born_open)| (open || born_open) && day < born);
            if before_birth || (open && day > today + 1) {
                out.nonsense.insert((row, day));
            }
            if let Some(who) = who {
                per_child.entry(table.cell(row, who.index).trimmed().to_owned()).or_default().insert(day);
            }
        }
    }
    for days in per_child.values() {
        for (a, b) in days.iter().zip(days.iter().skip(1)) {
            out.gaps += 1;
            out.weekly += usize::from((5..=9).contains(&(*b - *a)));
        }
    }
    out
}
