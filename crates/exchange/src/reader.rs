//! Reads one row: who, when, which feet, what. Nothing is decided about other rows here.

mod acts;
mod declared;
mod entire;
mod events;
mod foot;
mod states;
mod tenotomy;
mod who;

use crate::{
    ColumnMap, DateDecision, DateOrder, ImportReason, Meaning, Remark, Table,
    dates::{self, DateCell},
    layout::{Layout, SittingColumns},
    names,
    sides::{self, SideCell, SideLetters},
    table::{Cell, CellKind},
    text::{clip, column_letter, fold},
    values::{self, Read},
    words::done::{Act, Said},
};
pub(crate) use events::feet_of;
use foot::FootValues;
use record::{Body, Day, Regime, Registration, Side, Sides};
use std::{
    cell::RefCell,
    collections::{HashMap, HashSet},
};

/// Who a row is about, as far as the row says.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Who {
    pub(crate) number: Option<String>,
    pub(crate) family: String,
    pub(crate) given: String,
    pub(crate) born: Option<Day>,
}

impl Who {
    pub(crate) fn is_nobody(&self) -> bool {
        self.number.is_none() && self.family.is_empty() && self.given.is_empty()
    }
}

/// What a brace was said to be; whether it is a fitting depends on what came before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BraceSaid {
    pub(crate) fitted: bool,
    pub(crate) regime: Option<Regime>,
    pub(crate) hours: Option<u8>,
}

/// One thing a row says about a day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Event {
    Body(Body),
    Brace(BraceSaid),
}

/// A row as read.
#[derive(Debug, Clone, Default)]
pub(crate) struct RowRead {
    pub(crate) who: Who,
    pub(crate) events: Vec<(Day, Event)>,
    pub(crate) questions: Vec<Remark>,
    /// The first day the row names, for the registration.
    pub(crate) first_day: Option<Day>,
    /// The day of the first sitting, for what holds for good.
    sat_on: Option<Day>,
    /// The feet the row calls affected.
    pub(crate) feet: Vec<Side>,
    /// The registration, where a row gives it in full, and its day.
    pub(crate) registration: Option<(Day, Box<Registration>)>,
}

/// Why a row is refused.
pub(crate) type Refusal = Box<Remark>;

/// Everything needed to read a row.
pub(crate) struct Reader<'a> {
    pub(crate) table: &'a Table,
    pub(crate) map: &'a ColumnMap,
    pub(crate) layout: Layout,
    pub(crate) dates: &'a DateDecision,
    pub(crate) letters: SideLetters,
    pub(crate) today: Day,
    /// Feet that are scored 0 in every row of a child whose other foot is affected.
    pub(crate) untreated: HashSet<(String, Side)>,
    pub(crate) states: states::States,
    /// Columns in doubt, whose cells are not read.
    unread_columns: Vec<bool>,
    points: std::collections::BTreeSet<usize>,
    family_first: bool,
    sexes: Vec<char>,
    width: usize,
    /// What the words of a cell mean, kept since the same words come again and again.
    read_before: RefCell<HashMap<String, Said>>,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(table: &'a Table, map: &'a ColumnMap, dates: &'a DateDecision, today: Day) -> Self {
        let layout = Layout::of(map);
        let letters = cell_letters(table, map, &layout);
        let points = foot::columns_of_points(table, map);
        let name = layout.child.name.map(|at| table.headers[at].as_str()).unwrap_or("");
        let family_first = names::heading_puts_family_first(name);
        let width = table.headers.len();
        let sexes = who::sex_letters(table, map, layout.child.sex);
        let untreated = HashSet::new();
        let mut reader = Self {
            table,
            map,
            letters,
            dates,
            today,
            untreated,
            states: states::States::default(),
            unread_columns: unread(map),
            points,
            family_first,
            sexes,
            layout,
            width,
            read_before: RefCell::default(),
        };
        reader.states = reader.states();
        reader.untreated = reader.always_zero();
        reader
    }

    /// The child of a row by what stands in the cells, without asking whether the cells agree.
    pub(crate) fn key(&self, row: usize) -> String {
        let child = &self.layout.child;
        let columns = match child.number.filter(|&at| !self.text(row, Some(at)).is_empty()) {
            Some(number) => vec![Some(number)],
            None => vec![child.name, child.family, child.given, child.born],
        };
        columns.into_iter().map(|column| fold(self.text(row, column))).collect::<Vec<_>>().join("|")
    }

    /// Where both feet stand side by side and nothing says which is affected, a foot that is 0 in every
    /// row beside one that is not.
    fn always_zero(&self) -> HashSet<(String, Side)> {
        if !self.layout.sided || self.layout.side.is_some() {
            return HashSet::new();
        }
        let mut seen: HashMap<String, [(bool, bool); 2]> = HashMap::new();
        for row in self.table.rows() {
            let of_child = seen.entry(self.key(row)).or_default();
            for &(side, meaning, at) in self.layout.sittings.iter().flat_map(|sitting| &sitting.foot) {
                let Some(side) = side else { continue };
                let text = self.text(row, Some(at));
                let scores = matches!(
                    meaning,
                    Meaning::Sign(_) | Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot
                );
                if text.is_empty()
                    || matches!(meaning, Meaning::Abduction | Meaning::Dorsiflexion | Meaning::FootLength)
                {
                    continue;
                }
                let zero = scores && values::number(text) == Read::Value(0.0);
                let foot = &mut of_child[usize::from(side == Side::Left)];
                *foot = (foot.0 || zero, foot.1 || !zero);
            }
        }
        let mut out = HashSet::new();
        for (key, [right, left]) in seen {
            if right == (true, false) && left.1 {
                out.insert((key, Side::Right));
            } else if left == (true, false) && right.1 {
                out.insert((key, Side::Left));
            }
        }
        out
    }

    /// Reads a row.
    pub(crate) fn row(&self, row: usize) -> Result<RowRead, Refusal> {
        self.sound(row)?;
        let mut out = RowRead { who: self.who(row)?, ..RowRead::default() };
        if out.who.is_nobody() {
            let text = "Neither a hospital number nor a name says which child this is.";
            return Err(refuse(ImportReason::NoChild, None, "", text.to_owned()));
        }
        self.row_feet(row, &mut out)?;
        for sitting in &self.layout.sittings {
            self.sitting(row, sitting, &mut out)?;
        }
        self.events(row, &mut out)?;
        self.in_order(row, &mut out)?;
        self.tenotomies_in_words(row, &mut out);
        self.doubts(row, &mut out);
        Ok(out)
    }

    fn sound(&self, row: usize) -> Result<(), Refusal> {
        if self.table.is_damaged(row) {
            let text = "A quotation mark in this row does not close.";
            return Err(refuse(ImportReason::OpenQuote, None, "", text.to_owned()));
        }
        let width = self.table.width_of(row);
        let spare = (self.width..width).find(|&column| !self.table.cell(row, column).is_blank());
        if let Some(column) = spare {
            let cell = self.table.cell(row, column);
            let text = format!(
                "The row has {width} cells, the header {}: values may have slipped into a wrong column.",
                self.width
            );
            return Err(refuse(
                ImportReason::TooManyCells,
                Some(column_letter(column)),
                cell.trimmed(),
                text,
            ));
        }
        for column in self.map.columns.iter().filter(|column| column.meaning.is_some()) {
            let cell = self.table.cell(row, column.index);
            if cell.text.contains(['\0', '\u{fffd}']) {
                let text = "This cell holds characters that are no text; the file may be damaged.";
                return Err(self.refuse(ImportReason::DamagedText, column.index, cell, text));
            }
        }
        Ok(())
    }

    pub(crate) fn cell(&self, row: usize, column: usize) -> Cell<'a> {
        if self.is_unread(row, column) {
            return Cell::EMPTY;
        }
        self.map.rules.cell(self.table, row, column)
    }

    pub(crate) fn text(&self, row: usize, column: Option<usize>) -> &'a str {
        column.map_or("", |column| {
            let text = self.cell(row, column).trimmed();
            if values::is_nothing(text) { "" } else { unguarded(text) }
        })
    }

    pub(crate) fn column_name(&self, column: usize) -> String {
        match self.table.headers.get(column) {
            Some(header) if !header.is_empty() => header.clone(),
            _ => column_letter(column),
        }
    }

    pub(crate) fn remark(
        &self,
        reason: ImportReason,
        column: usize,
        cell: Cell<'_>,
        text: impl Into<String>,
    ) -> Remark {
        let value = clip(cell.trimmed(), 80);
        Remark { reason, column: Some(self.column_name(column)), value: Some(value), text: text.into() }
    }

    pub(crate) fn refuse(
        &self,
        reason: ImportReason,
        column: usize,
        cell: Cell<'_>,
        text: impl Into<String>,
    ) -> Refusal {
        Box::new(self.remark(reason, column, cell, text))
    }

    fn who(&self, row: usize) -> Result<Who, Refusal> {
        let child = &self.layout.child;
        let number = crate::text::latin_digits(self.text(row, child.number));
        let (mut family, mut given) =
            (self.text(row, child.family).to_owned(), self.text(row, child.given).to_owned());
        if let (true, Some(column)) = (family.is_empty() && given.is_empty(), child.name) {
            (family, given) = names::split(self.text(row, Some(column)), self.family_first);
        }
        let number = (!number.is_empty()).then(|| number.split_whitespace().collect::<Vec<_>>().join(" "));
        let born = match child.born {
            Some(column) => self.date(row, column)?,
            None => None,
        };
        if let (Some(day), Some(column)) = (born.filter(|day| *day > self.today + 1), child.born) {
            let text = format!("The birth would lie in the future, on {}.", day.words());
            return Err(self.refuse(ImportReason::ImpossibleDate, column, self.cell(row, column), text));
        }
        Ok(Who { number, family, given, born })
    }

    /// A date cell, refused where it is none or where its order is open.
    pub(crate) fn date(&self, row: usize, column: usize) -> Result<Option<Day>, Refusal> {
        let cell = self.cell(row, column);
        let refuse = |reason, text: &str| Err(self.refuse(reason, column, cell, text.to_owned()));
        if cell.kind == CellKind::Date && self.dates.suspect.contains(&column) {
            return refuse(
                ImportReason::AmbiguousDate,
                "A spreadsheet program seems to have exchanged day and month in this column: dates it understood all have a day of 12 or less, the others stayed text.",
            );
        }
        match dates::read(cell, self.dates.pivot) {
            DateCell::Blank => Ok(None),
            DateCell::Day(day) => Ok(Some(day)),
            DateCell::Impossible => {
                refuse(ImportReason::ImpossibleDate, "There is no such day, or its year cannot be right.")
            }
            DateCell::Other => refuse(ImportReason::ImpossibleDate, "This cannot be read as a date."),
            DateCell::Figures(figures) => match self.dates.order {
                Some(order) => match figures.under(order, self.dates.pivot) {
                    Some(day) => Ok(Some(day)),
                    None => {
                        let text = format!("There is no such day when dates are read {}.", order.words());
                        Err(self.refuse(ImportReason::ImpossibleDate, column, cell, text))
                    }
                },
                None if figures.is_open() => refuse(
                    ImportReason::AmbiguousDate,
                    "Day and month could be exchanged, and nothing in the file settles which is which; a map file with date_order settles it.",
                ),
                None => {
                    let order = figures.only().unwrap_or(DateOrder::DayFirst);
                    match figures.under(order, self.dates.pivot) {
                        Some(day) => Ok(Some(day)),
                        None => refuse(
                            ImportReason::ImpossibleDate,
                            "There is no such day, or its year cannot be right.",
                        ),
                    }
                }
            },
        }
    }

    /// What a side cell says; `None` where it is blank.
    fn side(&self, row: usize, column: usize) -> Result<Option<Sides>, Refusal> {
        let cell = self.cell(row, column);
        let text = cell.trimmed();
        if values::is_nothing(text) {
            return Ok(None);
        }
        if let Some(&sides) = self.map.side_words.get(&fold(text)) {
            return Ok(Some(sides));
        }
        let side = match sides::read(text) {
            SideCell::Known(sides) => Some(sides),
            SideCell::Letter(letter) => self.letters.side(letter).map(Sides::from),
            SideCell::Unknown => None,
        };
        match side {
            Some(side) => Ok(Some(side)),
            None => {
                let text = "This does not say for certain which foot: write right, left or both, or settle it in a map file.";
                Err(self.refuse(ImportReason::UnknownSide, column, cell, text))
            }
        }
    }

    /// The feet the row as a whole calls affected.
    fn row_feet(&self, row: usize, out: &mut RowRead) -> Result<(), Refusal> {
        if let Some(column) = self.layout.side {
            out.feet = self.side(row, column)?.map_or(Vec::new(), |sides| sides.each().to_vec());
        }
        Ok(())
    }

    fn sitting(&self, row: usize, columns: &SittingColumns, out: &mut RowRead) -> Result<(), Refusal> {
        let own_side = match columns.side {
            Some(column) => self.side(row, column)?,
            None => None,
        };
        let named: Vec<Side> = own_side.map_or_else(|| out.feet.clone(), |sides| sides.each().to_vec());
        let day = self.sitting_day(row, columns)?;
        let filled = self.is_filled(row, columns);
        let Some((day, cast_dated)) = day else {
            let Some(column) = filled else { return Ok(()) };
            let at = columns.date.or(columns.cast_dates.first().map(|&(_, at)| at)).unwrap_or(column);
            let text = "There is no date for what this row says.";
            return Err(self.refuse(ImportReason::NoDate, at, self.cell(row, at), text));
        };
        if let Some((column, cell)) = self.entire(row, columns) {
            return self.take_entire((column, cell), day, &named, out);
        }
        let mut sitting = Sitting {
            day,
            row,
            columns,
            named,
            cast_dated,
            missed: false,
            came: false,
            acts: Vec::new(),
            noted: Vec::new(),
        };
        self.said(&mut sitting, out);
        out.sat_on = out.sat_on.or(Some(day));
        let feet = self.feet(&sitting, out)?;
        self.write(sitting, feet, out)
    }

    /// The day of a sitting, and whether it is known from the date of a cast.
    fn sitting_day(&self, row: usize, columns: &SittingColumns) -> Result<Option<(Day, bool)>, Refusal> {
        let mut day = None;
        if let Some(column) = columns.date {
            day = self.date(row, column)?.map(|day| (day, false));
        }
        for &(_, column) in &columns.cast_dates {
            if day.is_none() {
                day = self.date(row, column)?.map(|day| (day, true));
            }
        }
        Ok(day)
    }

    /// The first column of the sitting that holds something besides dates.
    fn is_filled(&self, row: usize, columns: &SittingColumns) -> Option<usize> {
        let foot = columns.foot.iter().map(|&(_, _, at)| at);
        let done = columns.done.iter().map(|&(_, at)| at);
        let remarks = columns.remarks.iter().map(|&(_, at)| at);
        let more = [columns.attended, columns.hours, columns.brace, columns.next, columns.details]
            .into_iter()
            .flatten();
        let declared = columns.declared.iter().map(|&(_, at)| at);
        let mut all = foot.chain(done).chain(remarks).chain(more).chain(declared);
        all.find(|&at| !self.text(row, Some(at)).is_empty())
    }

    /// The first column of a foot, or of no foot by name, in which the row holds something.
    fn first_of(&self, sitting: &Sitting<'_>, wanted: Option<Side>) -> Option<usize> {
        let mut columns = sitting.columns.foot.iter().filter(|&&(side, ..)| side == wanted);
        columns.find(|&&(_, _, at)| !self.text(sitting.row, Some(at)).is_empty()).map(|&(_, _, at)| at)
    }

    /// The feet of which something is written in columns of their own.
    pub(super) fn written(&self, sitting: &Sitting<'_>) -> Vec<Side> {
        Side::BOTH.into_iter().filter(|&side| self.first_of(sitting, Some(side)).is_some()).collect()
    }

    /// The feet of the sitting with what is written of each.
    fn feet(&self, sitting: &Sitting<'_>, out: &mut RowRead) -> Result<Vec<FootValues>, Refusal> {
        let row = sitting.row;
        let has = |wanted| self.first_of(sitting, wanted);
        let shared = has(None);
        let mut sides = sitting.named.clone();
        let written = self.written(sitting);
        if sides.is_empty() {
            sides.clone_from(&written);
        }
        if sides.is_empty() && sitting.cast_dated {
            sides = sitting
                .columns
                .cast_dates
                .iter()
                .filter_map(|&(side, at)| side.filter(|_| !self.text(row, Some(at)).is_empty()))
                .collect();
        }
        let acts_need =
            sitting.acts.iter().any(|(side, act)| side.is_none() && needs_foot(act)) || sitting.cast_dated;
        if sides.is_empty() && !(sitting.missed && shared.is_none()) && (shared.is_some() || acts_need) {
            let at = self.layout.side.or(sitting.columns.side).or(shared).unwrap_or(0);
            let text = "The row does not say which foot.";
            return Err(self.refuse(ImportReason::UnknownSide, at, self.cell(row, at), text));
        }
        let mut feet = Vec::new();
        for &side in &sides {
            feet.push(self.foot(sitting, side, out)?);
        }
        for side in written.into_iter().filter(|side| !sides.contains(side)) {
            let values = self.foot(sitting, side, out)?;
            if values.is_all_zero() {
                continue;
            }
            let column = has(Some(side)).unwrap_or(0);
            let text = format!("The {side} foot is scored, but the row does not call it affected.");
            out.questions.push(self.remark(
                ImportReason::OtherFootScored,
                column,
                self.cell(row, column),
                text,
            ));
            feet.push(values);
        }
        Ok(feet)
    }

    /// Refuses days before birth and in the future.
    fn in_order(&self, row: usize, out: &mut RowRead) -> Result<(), Refusal> {
        let visit = self
            .layout
            .sittings
            .iter()
            .find_map(|sitting| sitting.date)
            .or_else(|| self.layout.events.first().map(|e| e.2));
        let at = visit.unwrap_or(0);
        for (day, _) in &out.events {
            if let Some(born) = out.who.born.filter(|born| day < born) {
                let text = format!("{} lies before the birth on {}.", day.words(), born.words());
                return Err(self.refuse(ImportReason::BeforeBirth, at, self.cell(row, at), text));
            }
            if *day > self.today + 1 {
                let text = format!("{} lies in the future.", day.words());
                return Err(self.refuse(ImportReason::InTheFuture, at, self.cell(row, at), text));
            }
        }
        let registered = out.registration.iter().map(|(day, _)| *day);
        out.first_day = out.events.iter().map(|(day, _)| *day).chain(registered).min().or(out.sat_on);
        let age = out.who.born.zip(out.first_day).map(|(born, day)| born.months_to(day));
        if let Some(months) = age.filter(|&months| months > 20 * 12) {
            let text = format!("The child would be {} years old.", months / 12);
            out.questions.push(self.remark(ImportReason::UnlikelyAge, at, self.cell(row, at), text));
        }
        Ok(())
    }
}

/// A sitting while it is read.
pub(crate) struct Sitting<'s> {
    pub(crate) day: Day,
    pub(crate) row: usize,
    pub(crate) columns: &'s SittingColumns,
    pub(crate) named: Vec<Side>,
    pub(crate) cast_dated: bool,
    pub(crate) missed: bool,
    pub(crate) came: bool,
    pub(crate) acts: Vec<(Option<Side>, Act)>,
    /// Columns whose words are kept as a note.
    pub(crate) noted: Vec<usize>,
}

pub(crate) fn needs_foot(act: &Act) -> bool {
    matches!(
        act,
        Act::Cast(..)
            | Act::CastOff(_)
            | Act::Tenotomy
            | Act::TenotomyOnly
            | Act::TenotomyBooked
            | Act::Relapse
            | Act::Surgery(_)
    )
}

/// By column, whether its meaning is in doubt. A column without a meaning is not read anyway.
fn unread(map: &ColumnMap) -> Vec<bool> {
    map.columns.iter().map(|c| c.meaning.is_some() && map.in_doubt.contains_key(&c.index)).collect()
}

/// Without the apostrophe that guards a text which begins like a formula.
fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.trim_start().starts_with(['=', '+', '-', '@', '\'']) => rest,
        _ => text,
    }
}

fn refuse(reason: ImportReason, column: Option<String>, value: &str, text: String) -> Refusal {
    let value = (!value.is_empty()).then(|| clip(value, 80));
    Box::new(Remark { reason, column, value, text })
}

/// Settles the letters of the side columns from the whole file.
fn cell_letters(table: &Table, map: &ColumnMap, layout: &Layout) -> SideLetters {
    let columns: Vec<usize> =
        layout.side.into_iter().chain(layout.sittings.iter().filter_map(|s| s.side)).collect();
    let mut seen = std::collections::BTreeSet::new();
    let mut spoken: Vec<&str> = map.languages.clone();
    for row in table.rows() {
        for &column in &columns {
            let text = map.rules.cell(table, row, column).trimmed();
            if text.is_empty() {
                continue;
            }
            if let SideCell::Letter(letter) = sides::read(text) {
                if !map.side_words.contains_key(&fold(text)) {
                    seen.insert(letter);
                }
            } else if text.len() > 1 {
                for language in sides::languages_of(text) {
                    if !spoken.contains(&language) {
                        spoken.push(language);
                    }
                }
            }
        }
    }
    SideLetters::settle(&seen.into_iter().collect::<Vec<_>>(), &spoken)
}
