//! The order of day and month, settled once for the whole file from the evidence in it.

use crate::{
    ColumnMap, DateOrder, Meaning,
    dates::{self, DateCell, Figures},
    table::{CellKind, Table},
};
use record::Day;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, HashSet};

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
    /// Dates that can only be day first, and only month first.
    day_first: Deciding,
    month_first: Deciding,
    open: usize,
    /// Different dates that could be either.
    open_dates: HashSet<(usize, Figures)>,
    figures: usize,
    short: usize,
    short_year_first: usize,
    first_over_31: usize,
    suspect: BTreeSet<usize>,
}

/// Dates that decide for one order. The same date written again in a column, as a birthday is at every
/// visit, counts once: a slip of the pen that was copied is still one slip.
#[derive(Default)]
struct Deciding {
    dates: HashSet<(usize, Figures)>,
    /// The first of them, for the report.
    examples: Vec<(usize, String)>,
}

/// So many deciding rows are shown.
const EXAMPLES: usize = 3;

impl Deciding {
    fn add(&mut self, column: usize, figures: Figures, row: usize, text: &str) {
        if self.dates.insert((column, figures)) && self.examples.len() < EXAMPLES {
            self.examples.push((row, text.to_owned()));
        }
    }

    fn count(&self) -> usize {
        self.dates.len()
    }

    /// " (row 3: “13/2/2024”, row 5: “14/2/2024” and others)".
    fn shown(&self) -> String {
        let shown: Vec<String> =
            self.examples.iter().map(|(row, text)| format!("row {row}: “{text}”")).collect();
        let more = if self.count() > shown.len() { " and others" } else { "" };
        format!(" ({}{more})", shown.join(", "))
    }
}

/// How many different dates of one kind outweigh one of the other, where there are several of the other: two
/// people with two habits may have filled in one sheet.
const OUTWEIGHS: usize = 50;
/// How many outweigh a single contrary date, taken then for a slip of the pen.
const OUTWEIGHS_ONE: usize = 4;
/// A single deciding date with this many different dates that could be either is itself in doubt: a day
/// above 12 is what most dates have.
const OPEN_BESIDE_ONE: usize = 8;

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
        let why = "Dates are read year first: no other order gives days that exist and are in the past.";
        return decide(Some(DateOrder::YearFirst), why.to_owned());
    }
    let by_sense = || by_sense(table, map, today, pivot, &counts);
    let (order, why) = match by_calendar(&counts) {
        Calendar::Silent => by_sense(),
        Calendar::Clear(order, why) => (Some(order), why),
        Calendar::OneDate(order, shown) => one_date(order, &shown, &counts, by_sense()),
        Calendar::Contradicts(why) => (None, why),
    };
    decide(order, why)
}

/// One deciding date among many that could be either: it is followed only where the visits agree with it.
fn one_date(
    order: DateOrder,
    shown: &str,
    counts: &Counts,
    (sense, why): (Option<DateOrder>, String),
) -> (Option<DateOrder>, String) {
    match sense {
        Some(sensible) if sensible == order => (sense, why),
        Some(_) => {
            (sense, format!("{why} A single date can only be meant {}{shown}; it is refused.", order.words()))
        }
        None => (
            None,
            format!(
                "A single date can only be meant {}{shown}, and {} different dates could be either: one date is too little to go by. Dates that could be either are refused; a map file with date_order settles it.",
                order.words(),
                counts.open_dates.len()
            ),
        ),
    }
}

fn year_first(counts: &Counts) -> bool {
    counts.short_year_first == counts.short && counts.first_over_31 > 0
}

fn count(table: &Table, map: &ColumnMap, pivot: i32, today: Day) -> Counts {
    let mut counts = Counts::default();
    for column in map.columns.iter().filter(|column| column.meaning.is_some_and(Meaning::is_date)) {
        let (mut typed_low, mut typed_high, mut text_high, mut text_low) = (0, 0, 0, 0);
        for row in table.rows() {
            let cell = map.rules.cell(table, row, column.index);
            match dates::read(cell, pivot) {
                DateCell::Figures(figures) => {
                    let at = (column.index, table.row_number(row));
                    counts.add(figures, at, cell.trimmed(), pivot, today);
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
    fn add(&mut self, figures: Figures, (column, row): (usize, usize), text: &str, pivot: i32, today: Day) {
        self.figures += 1;
        if figures.is_open() {
            self.open += 1;
            self.open_dates.insert((column, figures));
        }
        match figures.only() {
            Some(DateOrder::DayFirst) => self.day_first.add(column, figures, row, text),
            Some(DateOrder::MonthFirst) => self.month_first.add(column, figures, row, text),
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

/// What the calendar alone says: a part above 12 can only be the day.
enum Calendar {
    /// No date can be read in one way only.
    Silent,
    Clear(DateOrder, String),
    /// A single date, with the words that show it, among many that could be either.
    OneDate(DateOrder, String),
    Contradicts(String),
}

fn by_calendar(counts: &Counts) -> Calendar {
    let (day, month) = (&counts.day_first, &counts.month_first);
    match (day.count(), month.count()) {
        (0, 0) => Calendar::Silent,
        (_, 0) => all_agree(DateOrder::DayFirst, day, counts),
        (0, _) => all_agree(DateOrder::MonthFirst, month, counts),
        (d, m) if outweighs(d, m) => most_agree(DateOrder::DayFirst, day, month),
        (d, m) if outweighs(m, d) => most_agree(DateOrder::MonthFirst, month, day),
        (d, m) => Calendar::Contradicts(format!(
            "The order of day and month contradicts itself: {d} dates can only be day first{}, {m} only month first{}. Dates that could be either are refused; a map file with date_order settles it.",
            day.shown(),
            month.shown()
        )),
    }
}

fn outweighs(many: usize, few: usize) -> bool {
    many >= few * OUTWEIGHS || (few == 1 && many >= OUTWEIGHS_ONE)
}

fn all_agree(order: DateOrder, deciding: &Deciding, counts: &Counts) -> Calendar {
    let count = deciding.count();
    if count == 1 && counts.open_dates.len() >= OPEN_BESIDE_ONE {
        return Calendar::OneDate(order, deciding.shown());
    }
    let text = format!(
        "Dates are read {}: {count} of them can only be meant so{}, none the other way.",
        order.words(),
        deciding.shown()
    );
    Calendar::Clear(order, text)
}

fn most_agree(order: DateOrder, deciding: &Deciding, contrary: &Deciding) -> Calendar {
    let few = contrary.count();
    let (need, are) = if few == 1 { ("needs", "is") } else { ("need", "are") };
    let text = format!(
        "Dates are read {}: {} of them can only be meant so{}; {few} {need} the other order{} and {are} refused.",
        order.words(),
        deciding.count(),
        deciding.shown(),
        contrary.shown()
    );
    Calendar::Clear(order, text)
}

/// What each order would make of the file: visits before birth or in the future, weekly visits.
#[derive(Default)]
struct Sense {
    nonsense: BTreeSet<(usize, Day)>,
    weekly: usize,
    gaps: usize,
    /// Rows that follow the row above in time, and rows that fall behind it.
    forward: usize,
    back: usize,
}

impl Sense {
    /// Whether the little nonsense this order makes is outweighed by that of the other.
    fn is_clearer_than(&self, other: &Self) -> bool {
        other.nonsense.len() >= 2 && other.nonsense.len() >= self.nonsense.len() * NONSENSE_OUTWEIGHS
    }

    /// Whether the intervals between visits are about a week, and not so the other way.
    fn is_weekly_beside(&self, other: &Self) -> bool {
        self.nonsense.is_empty()
            && self.gaps >= 4
            && self.weekly * 2 >= self.gaps
            && other.weekly * 5 <= other.gaps
    }

    /// Whether the rows follow each other in time, and do not the other way.
    fn is_in_sequence_beside(&self, other: &Self) -> bool {
        self.nonsense.is_empty()
            && self.forward >= 10
            && self.back * 20 <= self.forward
            && other.back * 4 >= other.forward
    }
}

/// How much nonsense of the other order outweighs one nonsensical visit.
const NONSENSE_OUTWEIGHS: usize = 10;

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
    for (order, good, bad) in [(DateOrder::DayFirst, &day, &month), (DateOrder::MonthFirst, &month, &day)] {
        if let Some(text) = sensible(order, good, bad) {
            return (Some(order), text);
        }
    }
    let text = format!(
        "Nothing in this file settles the order of day and month; {} dates that could be either are refused. A map file with date_order settles it.",
        counts.open
    );
    (None, text)
}

/// Why an order makes sense of the visits and the other does not.
fn sensible(order: DateOrder, good: &Sense, bad: &Sense) -> Option<String> {
    let words = order.words();
    if good.is_clearer_than(bad) {
        let few = match good.nonsense.len() {
            0 => String::new(),
            few => format!(", this order {few}, which are refused"),
        };
        return Some(format!(
            "Dates are read {words}: the other order would put {} visits before birth or in the future{few}.",
            bad.nonsense.len()
        ));
    }
    if good.is_weekly_beside(bad) {
        return Some(format!(
            "Dates are read {words}: {} of {} intervals are then about a week, and {} of {} the other way.",
            good.weekly, good.gaps, bad.weekly, bad.gaps
        ));
    }
    good.is_in_sequence_beside(bad).then(|| {
        format!(
            "Dates are read {words}: {} of {} rows then follow the row above in time, and {} of {} the other way.",
            good.forward,
            good.forward + good.back,
            bad.forward,
            bad.forward + bad.back
        )
    })
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
    let day_of = |row: usize, column: usize| match dates::read(map.rules.cell(table, row, column), pivot) {
        DateCell::Day(day) => Some((day, false)),
        DateCell::Figures(figures) => figures.under(order, pivot).map(|day| (day, figures.is_open())),
        _ => None,
    };
    let mut out = Sense::default();
    let mut per_child: BTreeMap<String, BTreeSet<Day>> = BTreeMap::new();
    let mut above: Option<(Day, bool)> = None;
    for row in table.rows() {
        let born = born_column.and_then(|column| day_of(row, column));
        if born.is_some_and(|(day, open)| open && day > today) {
            out.nonsense.extend(born.map(|(day, _)| (0, day)));
        }
        let first = visits.first().and_then(|&column| day_of(row, column));
        if let (Some((before, open_before)), Some((day, open))) = (above, first)
            && (open || open_before)
        {
            out.forward += usize::from(day > before);
            out.back += usize::from(day < before);
        }
        above = first.or(above);
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
