//! Reads one row: who, when, which feet, what. Nothing is decided about other rows here.

mod acts;
mod answers;
mod days;
mod declared;
mod earlier;
mod entire;
mod events;
mod foot;
mod mentions;
mod row_visit;
mod states;
mod untreated;
mod who;

use crate::{
    ColumnMap, DateDecision, ImportReason, Meaning, Remark, Table,
    layout::{Layout, VisitColumns},
    names,
    questions::NO_FOOT,
    sides::{self, CellSides, SideCell, SideLetters},
    table::{Cell, CellKind},
    text::{clip, column_letter, fold},
    values,
    words::done::{Act, explained::ExplainedWords},
};
pub(crate) use events::feet_of;
use record::{Body, Day, Regime, Registration, Side, Sides};
use std::{
    cell::RefCell,
    collections::{BTreeMap, BTreeSet, HashMap, HashSet},
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
    /// The day of the first visit, for what holds for good.
    sat_on: Option<Day>,
    /// The feet the row calls affected.
    pub(crate) feet: Vec<Side>,
    /// The registration, where a row gives it in full, and its day.
    pub(crate) registration: Option<(Day, Box<Registration>)>,
    /// What of the row is left out, "right foot on 13 March 2024", where the rest is taken.
    pub(crate) left_out: Vec<String>,
}

/// Why a cell is refused.
pub(crate) type Refusal = Box<Remark>;

/// Every reason why a visit, or a whole row, is refused.
pub(crate) type Refusals = Vec<Remark>;

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
    points: BTreeSet<usize>,
    /// Columns of totals whose cells may hold two scores, and what they are.
    pairs: BTreeMap<usize, answers::ScorePair>,
    /// Columns of remarks in which treatments are written down.
    treated_in_remarks: BTreeSet<usize>,
    /// Rows on whose day a remark of another row names a treatment, with the rows and columns of the remarks.
    mentioned_elsewhere: BTreeMap<usize, BTreeSet<(usize, usize)>>,
    family_first: bool,
    sexes: Vec<char>,
    width: usize,
    /// Whether the dates may be those of the Ethiopian calendar.
    may_be_ethiopian: bool,
    /// What the words of a cell mean, kept since the same words come again and again.
    read_before: RefCell<HashMap<String, acts::CellRead>>,
    /// What words within a cell mean as sides.
    cell_sides: CellSides,
    /// What the user stated about words for what was done.
    explained_words: ExplainedWords,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(table: &'a Table, map: &'a ColumnMap, dates: &'a DateDecision, today: Day) -> Self {
        let layout = Layout::of(map);
        let (letters, cell_sides) = settled_sides(table, map, &layout);
        let explained_words = ExplainedWords::of(&map.done_words, &cell_sides);
        let points = foot::columns_of_points(table, map);
        let name = layout.child.name.and_then(|at| table.headers.get(at)).map_or("", String::as_str);
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
            pairs: BTreeMap::new(),
            treated_in_remarks: BTreeSet::new(),
            mentioned_elsewhere: BTreeMap::new(),
            family_first,
            sexes,
            layout,
            width,
            may_be_ethiopian: false,
            read_before: RefCell::default(),
            cell_sides,
            explained_words,
        };
        reader.may_be_ethiopian = reader.dates_may_be_ethiopian();
        let totals = map.columns.iter().filter(|column| column.meaning == Some(Meaning::Total));
        reader.pairs =
            totals.filter_map(|column| Some((column.index, reader.score_pair(column.index)?))).collect();
        reader.treated_in_remarks = reader.remarks_with_acts();
        reader.mentioned_elsewhere = reader.mentioned_in_other_rows();
        reader.states = reader.states();
        reader.untreated = reader.always_zero();
        reader
    }

    /// The child of a row by its cells, without asking whether the cells agree.
    pub(crate) fn key(&self, row: usize) -> String {
        let child = &self.layout.child;
        let columns = match child.number.filter(|&at| !self.text(row, Some(at)).is_empty()) {
            Some(number) => vec![Some(number)],
            None => vec![child.name, child.family, child.given, child.born],
        };
        columns.into_iter().map(|column| fold(self.text(row, column))).collect::<Vec<_>>().join("|")
    }

    /// Reads a row. What cannot be read costs the foot or the visit it belongs to, and the whole row only
    /// where nothing else is left of it.
    pub(crate) fn row(&self, row: usize) -> Result<RowRead, Refusals> {
        self.not_marked(row).map_err(|refusal| vec![*refusal])?;
        self.sound(row).map_err(|refusal| vec![*refusal])?;
        let questions = self.valueless(row).map_err(|refusal| vec![*refusal])?;
        let mut out = RowRead { questions, ..RowRead::default() };
        let mut refused = Refusals::new();
        match self.who(row, &mut out) {
            Ok(who) => out.who = who,
            Err(refusal) => refused.push(*refusal),
        }
        if refused.is_empty() && out.who.is_nobody() {
            let text = "Neither a hospital number nor a name says which child this is.";
            refused.push(*refuse(ImportReason::NoChild, None, "", text.to_owned()));
        }
        refused.extend(self.row_feet(row, &mut out).err().map(|refusal| *refusal));
        if !refused.is_empty() {
            // The other reasons too, so that the row is mended once.
            let days = self.layout.visits.iter().filter_map(|visit| self.visit_day(row, visit).err());
            refused.extend(days.map(|refusal| *refusal));
            return Err(refused);
        }
        let mut costs = Refusals::new();
        for visit in &self.layout.visits {
            if let Err(reasons) = self.visit(row, visit, &mut out) {
                out.left_out.push(self.visit_words(row, visit));
                costs.extend(reasons);
            }
        }
        self.tenotomies_by_answer(row, &mut out);
        self.events(row, &mut out, &mut costs);
        self.in_order(row, &mut out, &mut costs);
        if !costs.is_empty() && out.events.is_empty() && out.registration.is_none() {
            costs.append(&mut out.questions);
            return Err(costs);
        }
        costs.append(&mut out.questions);
        out.questions = costs;
        self.tenotomies_in_words(row, &mut out);
        self.dates_in_words(row, &mut out);
        self.acts_in_words(row, &mut out);
        self.acts_named_in_other_rows(row, &mut out);
        self.doubts(row, &mut out);
        Ok(out)
    }

    /// "the visit of 13/3/2024", by the cell that dates it.
    fn visit_words(&self, row: usize, columns: &VisitColumns) -> String {
        let at = columns.date.or(columns.cast_dates.first().map(|&(_, at)| at));
        match at.map(|at| self.text(row, Some(at))).filter(|text| !text.is_empty()) {
            Some(date) => format!("the visit of {}", clip(date, 40)),
            None => "a visit without a date".to_owned(),
        }
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

    /// A mark for "the same as above" is no name, no side and no score.
    fn not_marked(&self, row: usize) -> Result<(), Refusal> {
        if !self.map.marked_as_above.contains(&row) {
            return Ok(());
        }
        let cells = self.map.columns.iter().map(|column| (column.index, self.table.cell(row, column.index)));
        let marked = cells.into_iter().find(|(_, cell)| values::is_as_above(cell.trimmed()));
        let (at, cell) = marked.unwrap_or((0, Cell::EMPTY));
        let text = "This mark may mean the same as in the row above, which is not settled.";
        Err(self.refuse(ImportReason::MeaningInDoubt, at, cell, text))
    }

    /// Asks about cells that hold an error or a formula without a value, which must not be taken for blank.
    /// Where one says which child it is, the row is refused.
    fn valueless(&self, row: usize) -> Result<Vec<Remark>, Refusal> {
        let mut asked = Vec::new();
        if !self.table.is_typed() {
            return Ok(asked);
        }
        let child = &self.layout.child;
        for column in self.map.columns.iter().filter(|column| column.meaning.is_some()) {
            let (at, cell) = (column.index, self.table.cell(row, column.index));
            let (reason, text) = match cell.kind {
                CellKind::Error => (ImportReason::ErrorValue, "The cell holds an error instead of a value."),
                CellKind::Formula => (
                    ImportReason::FormulaWithoutValue,
                    "The cell holds a formula whose value is not in the file: open it in a spreadsheet program and save it again.",
                ),
                _ => continue,
            };
            if [child.number, child.name, child.family, child.given, child.born].contains(&Some(at)) {
                return Err(self.refuse(reason, at, cell, text));
            }
            asked.push(self.remark(reason, at, cell, text));
        }
        Ok(asked)
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
            if values::is_nothing(text) { "" } else { text }
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
        let column = Some(self.column_name(column));
        Remark { column, value: Some(value), ..Remark::on_row(reason, text) }
    }

    /// A remark on a cell, or on the row where no column of the file is meant.
    pub(crate) fn remark_at(
        &self,
        reason: ImportReason,
        column: Option<usize>,
        row: usize,
        text: impl Into<String>,
    ) -> Remark {
        match column {
            Some(column) => self.remark(reason, column, self.cell(row, column), text),
            None => Remark::on_row(reason, text),
        }
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

    fn who(&self, row: usize, out: &mut RowRead) -> Result<Who, Refusal> {
        let child = &self.layout.child;
        let number = crate::text::latin_digits(self.text(row, child.number));
        let (mut family, mut given) =
            (self.text(row, child.family).to_owned(), self.text(row, child.given).to_owned());
        if let (true, Some(column)) = (family.is_empty() && given.is_empty(), child.name) {
            (family, given) = names::split(self.text(row, Some(column)), self.family_first);
        }
        let number = (!number.is_empty()).then(|| number.split_whitespace().collect::<Vec<_>>().join(" "));
        let born = match self.born(row) {
            Ok(born) => born,
            // The number says which child it is, with or without its birthday.
            Err(refusal) if number.is_some() => {
                out.left_out.push("the date of birth".to_owned());
                out.questions.push(*refusal);
                None
            }
            Err(refusal) => return Err(refusal),
        };
        Ok(Who { number, family, given, born })
    }

    fn born(&self, row: usize) -> Result<Option<Day>, Refusal> {
        let Some(column) = self.layout.child.born else { return Ok(None) };
        let born = self.date(row, column)?;
        if let Some(day) = born.filter(|day| *day > self.today + 1) {
            let text = format!("The date of birth would be in the future: {}.", day.words());
            return Err(self.refuse(ImportReason::ImpossibleDate, column, self.cell(row, column), text));
        }
        Ok(born)
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

    /// Leaves out what lies before birth or in the future.
    fn in_order(&self, row: usize, out: &mut RowRead, costs: &mut Refusals) {
        let visit = self
            .layout
            .visits
            .iter()
            .find_map(|visit| visit.date)
            .or_else(|| self.layout.events.first().map(|e| e.2));
        let born = out.who.born;
        let mut told: Vec<Day> = Vec::new();
        let mut left_out: Vec<String> = Vec::new();
        out.events.retain(|(day, _)| {
            let (reason, text) = match born.filter(|born| day < born) {
                Some(born) => {
                    let text = format!("{} is before the date of birth, {}.", day.words(), born.words());
                    (ImportReason::BeforeBirth, text)
                }
                None if *day > self.today + 1 => {
                    (ImportReason::InTheFuture, format!("{} is in the future.", day.words()))
                }
                None => return true,
            };
            if !told.contains(day) {
                told.push(*day);
                left_out.push(format!("what is dated {}", day.words()));
                costs.push(self.remark_at(reason, visit, row, text));
            }
            false
        });
        out.left_out.append(&mut left_out);
        if out.sat_on.is_some_and(|day| told.contains(&day)) {
            out.sat_on = None;
        }
        let registered = out.registration.iter().map(|(day, _)| *day);
        out.first_day = out.events.iter().map(|(day, _)| *day).chain(registered).min().or(out.sat_on);
        let age = out.who.born.zip(out.first_day).map(|(born, day)| born.months_to(day));
        if let Some(months) = age.filter(|&months| months > 20 * 12) {
            let text = format!("The child would be {} years old.", months / 12);
            out.questions.push(self.remark_at(ImportReason::UnlikelyAge, visit, row, text));
        }
    }
}

/// One visit of a row while it is read.
pub(crate) struct RowVisit<'s> {
    pub(crate) day: Day,
    pub(crate) row: usize,
    pub(crate) columns: &'s VisitColumns,
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

fn refuse(reason: ImportReason, column: Option<String>, value: &str, text: String) -> Refusal {
    let value = (!value.is_empty()).then(|| clip(value, 80));
    Box::new(Remark { column, value, ..Remark::on_row(reason, text) })
}

/// Settles the letters of the side columns, and of words within other cells, from the whole file.
fn settled_sides(table: &Table, map: &ColumnMap, layout: &Layout) -> (SideLetters, CellSides) {
    let columns: Vec<usize> =
        layout.side.into_iter().chain(layout.visits.iter().filter_map(|s| s.side)).collect();
    let mut seen = BTreeSet::new();
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
    let letters = SideLetters::settle(&seen.iter().copied().collect::<Vec<_>>(), &spoken);
    // Letters of headings, which are settled already.
    let of_heading =
        |column: &crate::Column| column.side.is_some().then(|| sides::letters_in(&column.header));
    seen.extend(map.columns.iter().filter_map(of_heading).flatten());
    let mut used: Vec<char> = Vec::new();
    let done = layout.visits.iter().flat_map(|visit| &visit.done).map(|&(_, column)| column);
    let foot = layout.visits.iter().flat_map(|visit| &visit.foot);
    let totals = foot.filter(|(_, meaning, _)| meaning.is_sum()).map(|&(_, _, column)| column);
    for column in done.chain(totals) {
        used.extend(table.rows().flat_map(|row| sides::letters_in(table.cell(row, column).trimmed())));
        used.sort_unstable();
        used.dedup();
    }
    let seen: Vec<char> = seen.into_iter().collect();
    (letters, CellSides::settle(&seen, &used, spoken).with_explained(explained_sides(map)))
}

/// What the user stated about single words for a foot.
fn explained_sides(map: &ColumnMap) -> BTreeMap<String, Option<Sides>> {
    let feet = map.side_words.iter().map(|(word, &sides)| (word.clone(), Some(sides)));
    let none = map.answers.iter().filter(|(_, answer)| *answer == NO_FOOT);
    let none = none.filter_map(|(id, _)| Some((fold(id.strip_prefix("side: ")?), None)));
    none.chain(feet).filter(|(word, _)| !word.is_empty() && !word.contains(' ')).collect()
}
