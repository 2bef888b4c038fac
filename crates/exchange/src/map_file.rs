//! A map file: what a person says about the columns of a sheet. It settles what a guess leaves open.

pub(crate) mod rules;
mod settle;
mod told;
mod write;

pub use told::MapContents;

use crate::{
    ChangedVisits, Column, ColumnMap, DateOrder, Meaning, Table,
    calendars::{self, CALENDAR, OtherCalendar},
    cell_rules::UNITS,
    coding::ValueCoding,
    doubts, guess,
    questions::OTHER_SHEETS,
    table::SheetChoice,
    text::{ANY_NUMBER, column_index, fold, fold_marked, form_of, is_numbered_like, name_words, number_in},
    values::{self, Read},
    words::done::explained::{NOTE, NOTHING},
};
use record::{Side, Sides};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// A map file that cannot be used, with the line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line} of the map file: {text}")]
pub struct MapError {
    /// The line, the first being 1.
    pub line: usize,
    /// One sentence.
    pub text: String,
}

#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Raw {
    sheet: Option<String>,
    sheets: Option<Spanned<SheetsSaid>>,
    header_row: Option<Spanned<i64>>,
    date_order: Option<Spanned<String>>,
    layout: Option<Spanned<String>>,
    blank_means: Option<Spanned<String>>,
    footers: Option<Spanned<String>>,
    sign_coding: Option<Spanned<String>>,
    columns: BTreeMap<Spanned<String>, Spanned<Said>>,
    sides: BTreeMap<Spanned<String>, Vec<String>>,
    done: BTreeMap<String, Spanned<String>>,
    missing: MissingSaid,
    words: BTreeMap<Spanned<String>, WordSaid>,
    answers: BTreeMap<String, String>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
enum SheetsSaid {
    All(String),
    Named(Vec<String>),
}

#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct MissingSaid {
    words: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
enum WordSaid {
    /// For every column.
    Word(String),
    /// For the cells of one column.
    OfColumn(BTreeMap<String, String>),
}

#[derive(Debug, Clone, Deserialize)]
#[serde(untagged)]
enum Said {
    Meaning(String),
    Full(Full),
}

#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Full {
    /// Without it the meaning is guessed.
    meaning: Option<String>,
    side: Option<String>,
    visit: Option<u16>,
    coding: Option<String>,
    unit: Option<String>,
    missing: Vec<String>,
    first_change: Option<bool>,
}

impl PartialEq for Said {
    /// A meaning alone can be written in two ways.
    fn eq(&self, other: &Self) -> bool {
        self.full() == other.full()
    }
}

impl Said {
    fn full(&self) -> Full {
        match self {
            Self::Meaning(meaning) => Full { meaning: Some(meaning.clone()), ..Full::default() },
            Self::Full(full) => full.clone(),
        }
    }
}

/// What a person says about the sheets of a clinic: read from a map file, or made step by step from answers
/// on a page, and written as a map file again.
///
/// ```
/// let map = exchange::MapFile::from_toml(r#"
/// sheets = ["May", "June"]    # sheets with like headings; "all" for every one
/// header_row = 3              # the last row of the headings, the first row being 1
/// date_order = "day first"    # or "month first", "year first"
/// layout = "long"             # each row is one measurement; "wide": each row is a visit
/// blank_means = "as above"    # a row without a child continues the row above it; or "refuse"
/// footers = "leave out"       # rows that look like a sum or footer; or "read"
/// sign_coding = "0/1/2"       # the six signs are written 0, 1, 2 for 0, 0.5, 1; or "as written"
///
/// [columns]                   # a heading, or the letter of a column
/// "Hosp No" = "number"
/// C = "visit_date"
/// "PC D" = { meaning = "posterior_crease", side = "right", missing = ["99"] }
/// "Date {n}" = { meaning = "visit_date" }                  # Date 1, Date 2 …: the visit is the number
/// "Pirani {n} R" = { meaning = "total", side = "right" }
/// "Length" = { meaning = "foot_length", unit = "cm" }      # mm, cm, g, kg, degrees or points
/// "Sex" = { coding = "1 male 2 female" }                   # without a meaning it is guessed
/// "Tenotomy done" = { first_change = true }                # repeats the state so far
///
/// [missing]                   # words for "nothing was measured"
/// words = ["99", "n/a"]
///
/// [sides]                     # words of this file
/// right = ["Q1"]
/// left = ["Q2"]
///
/// [done]                      # a word of this file = a plain English one
/// "Zug" = "cast"
///
/// [words]                     # a value in any column that is measured = what it means
/// "sain" = "not affected"
///
/// [words."Severity"]          # values of one column
/// "leve" = "0.5"
///
/// [answers]                   # the id of a question = the answer chosen
/// "unused: scores" = "leave out"
/// "#).unwrap();
/// assert_eq!(map.header_row(), Some(3));
/// assert_eq!(exchange::MapFile::from_toml(&map.to_toml()).unwrap(), map);
/// ```
#[derive(Debug, Clone, Default)]
pub struct MapFile {
    raw: Raw,
    lines: Lines,
}

impl PartialEq for MapFile {
    /// Whether both say the same, wherever they say it.
    fn eq(&self, other: &Self) -> bool {
        self.raw == other.raw
    }
}

#[derive(Debug, Clone, Default)]
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        Self(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at).collect())
    }

    fn at(&self, offset: usize) -> usize {
        self.0.partition_point(|&end| end < offset) + 1
    }
}

/// What a map file says of one column.
struct ColumnSaid {
    index: usize,
    meaning: Option<Meaning>,
    side: Option<Side>,
    visit: Option<u16>,
    full: Full,
}

impl MapFile {
    /// A map that says nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Reads a map file.
    ///
    /// # Errors
    /// With the line, when it is not TOML or says something that is not known.
    pub fn from_toml(text: &str) -> Result<Self, MapError> {
        let lines = Lines::of(text);
        let raw: Raw = toml::from_str(text).map_err(|error| MapError {
            line: error.span().map_or(1, |span| lines.at(span.start)),
            text: error.message().lines().next().unwrap_or("it cannot be read").to_owned(),
        })?;
        let file = Self { raw, lines };
        file.check()?;
        Ok(file)
    }

    /// The sheet it names.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        self.raw.sheet.as_deref()
    }

    /// The sheets it chooses.
    pub(crate) fn sheet_choice(&self) -> SheetChoice<'_> {
        let said = self.raw.sheets.as_ref().map(Spanned::get_ref);
        let wanted = if let Some(SheetsSaid::Named(names)) = said { names.clone() } else { Vec::new() };
        let added = self.raw.answers.iter().filter(|(_, choice)| *choice == "bring in");
        let added = added.filter_map(|(id, _)| id.strip_prefix("sheet: ").map(str::to_owned));
        let all = matches!(said, Some(SheetsSaid::All(_)));
        let others = self.answered(OTHER_SHEETS) == Some("bring in");
        let (pick, header_row) = (self.sheet(), self.header_row());
        SheetChoice { pick, header_row, wanted, all, added: added.collect(), others }
    }

    /// The header row it names, the first row being 1.
    #[must_use]
    pub fn header_row(&self) -> Option<usize> {
        self.raw.header_row.as_ref().and_then(|row| usize::try_from(*row.get_ref()).ok())
    }

    /// The answer given to a question.
    #[must_use]
    pub fn answered(&self, id: &str) -> Option<&str> {
        self.raw.answers.get(id).map(String::as_str)
    }

    pub(crate) fn layout(&self) -> Option<&str> {
        self.raw.layout.as_ref().map(|said| said.get_ref().as_str())
    }

    pub(crate) fn sign_coding(&self) -> Option<ValueCoding> {
        self.raw.sign_coding.as_ref().and_then(|said| ValueCoding::from_key(said.get_ref()))
    }

    fn error<T>(&self, at: &Spanned<T>, text: String) -> MapError {
        MapError { line: self.lines.at(at.span().start), text }
    }

    fn check(&self) -> Result<(), MapError> {
        if let Some(row) = &self.raw.header_row
            && *row.get_ref() < 1
        {
            return Err(self.error(row, "header_row counts from 1, the first row of the sheet.".to_owned()));
        }
        self.order()?;
        if let Some(said) = &self.raw.sheets
            && let SheetsSaid::All(word) = said.get_ref()
            && word != "all"
        {
            return Err(self.error(said, format!("sheets is “{word}”; expected is a list of names, or all.")));
        }
        self.one_of(self.raw.layout.as_ref(), "layout", &["long", "wide"])?;
        self.one_of(self.raw.blank_means.as_ref(), "blank_means", &["as above", "refuse"])?;
        self.one_of(self.raw.footers.as_ref(), "footers", &["leave out", "read"])?;
        self.one_of(self.raw.sign_coding.as_ref(), "sign_coding", &["0/1/2", "1/2/3", "as written"])?;
        for said in self.raw.columns.values() {
            self.said(said)?;
        }
        for key in self.raw.sides.keys() {
            if sides(key.get_ref()).is_none() {
                return Err(self.error(
                    key,
                    format!("“{}” is no side: right, left or both is expected.", key.get_ref()),
                ));
            }
        }
        for plain in self.raw.done.values() {
            if !is_done_word(plain.get_ref()) {
                let text = format!(
                    "“{}” is not known as something done; try cast, tenotomy and cast, brace fitted 23h, review, missed.",
                    plain.get_ref()
                );
                return Err(self.error(plain, text));
            }
        }
        self.check_words()
    }

    fn one_of(&self, said: Option<&Spanned<String>>, key: &str, known: &[&str]) -> Result<(), MapError> {
        let Some(said) = said.filter(|said| !known.contains(&said.get_ref().as_str())) else { return Ok(()) };
        let text = format!("{key} is “{}”; expected is {}.", said.get_ref(), known.join(" or "));
        Err(self.error(said, text))
    }

    fn check_words(&self) -> Result<(), MapError> {
        for (key, said) in &self.raw.words {
            let meant: Vec<&String> = match said {
                WordSaid::Word(meant) => vec![meant],
                WordSaid::OfColumn(words) => words.values().collect(),
            };
            if let Some(other) = meant.into_iter().find(|meant| !is_value_word(meant)) {
                let text = format!(
                    "“{other}” is not known as a value; try missing, not affected, 0.5, yes, right, cast."
                );
                return Err(self.error(key, text));
            }
        }
        Ok(())
    }

    fn order(&self) -> Result<Option<DateOrder>, MapError> {
        let Some(said) = &self.raw.date_order else { return Ok(None) };
        let order = DateOrder::from_words(said.get_ref());
        order.map(Some).ok_or_else(|| {
            let text = format!(
                "“{}” is no order of dates: day first, month first or year first is expected.",
                said.get_ref()
            );
            self.error(said, text)
        })
    }

    fn said(&self, said: &Spanned<Said>) -> Result<(Option<Meaning>, Option<Side>, Full), MapError> {
        let full = said.get_ref().full();
        let known = full.meaning.as_ref().map(|meaning| {
            Meaning::from_key(meaning).ok_or_else(|| {
                let near =
                    Meaning::all().map(Meaning::key).min_by_key(|key| strsim::osa_distance(key, meaning));
                let text = format!(
                    "“{meaning}” is no meaning of a column; did you mean “{}”?",
                    near.unwrap_or_default()
                );
                self.error(said, text)
            })
        });
        let known = known.transpose()?;
        let side = match full.side.as_deref().map(sides) {
            None => None,
            Some(Some(Sides::Right)) => Some(Side::Right),
            Some(Some(Sides::Left)) => Some(Side::Left),
            _ => return Err(self.error(said, "the side of a column is right or left.".to_owned())),
        };
        if let Some(coding) = full.coding.as_ref().filter(|coding| ValueCoding::from_key(coding).is_none()) {
            let known: Vec<&str> = crate::coding::CODINGS.iter().map(|(key, _)| *key).collect();
            let text = format!("“{coding}” is no coding; known are {}.", known.join(", "));
            return Err(self.error(said, text));
        }
        if let Some(unit) = full.unit.as_ref().filter(|unit| !UNITS.contains(&unit.as_str())) {
            let text = format!("“{unit}” is no unit; known are {}.", UNITS.join(", "));
            return Err(self.error(said, text));
        }
        Ok((known, side, full))
    }

    /// The columns of a sheet as this file settles them; what it does not name is guessed.
    ///
    /// # Errors
    /// With the line, when it names a column that the sheet does not have.
    pub fn apply(&self, table: &Table) -> Result<ColumnMap, MapError> {
        let mut map = guess::understood(table);
        let said = self.columns_said(table)?;
        // The foot and the visit that a heading names hold where the map names none.
        let place = |said: &ColumnSaid| {
            let guessed = map.columns.get(said.index);
            let side = said.side.or_else(|| guessed.and_then(|column| column.side));
            (side, said.visit.or_else(|| guessed.and_then(|column| column.visit)))
        };
        let settled: Vec<_> = said
            .iter()
            .filter_map(|said| Some((said.index, said.meaning?, place(said).0, place(said).1)))
            .collect();
        for &(index, meaning, side, visit) in &settled {
            let Some(column) = map.columns.get_mut(index) else { continue };
            column.meaning = Some(meaning);
            (column.side, column.visit, column.confidence) = (side, visit, 100);
            "the map file says so".clone_into(&mut column.reason);
        }
        for column in &mut map.columns {
            give_way(column, &settled);
        }
        if let Some(order) = self.order()? {
            (map.date_order, map.date_order_from) = (Some(order), None);
        }
        for (key, words) in &self.raw.sides {
            let side = sides(key.get_ref());
            map.side_words.extend(words.iter().filter_map(|word| Some((fold(word), side?))));
        }
        let explained = self.raw.done.iter().map(|(word, plain)| {
            let form = word.contains(ANY_NUMBER);
            (if form { form_of(word) } else { fold_marked(word) }, plain.get_ref().clone())
        });
        map.done_words.extend(explained);
        self.coded_words(&said, &mut map);
        map.settled.extend(settled.iter().map(|&(index, ..)| index));
        map.answers.clone_from(&self.raw.answers);
        map.sheet.clone_from(&self.raw.sheet);
        map.header_row = self.header_row();
        map.changed_visits =
            self.answered("changed visits").and_then(ChangedVisits::of_key).unwrap_or_default();
        self.rules(table, &said, &mut map);
        if let Some(calendar) = self.answered(CALENDAR).and_then(OtherCalendar::of_answer) {
            calendars::convert(table, &mut map, calendar);
        }
        let settled = self.doubt_answers(&map);
        doubts::find(table, &mut map, &settled);
        Ok(map)
    }

    fn columns_said(&self, table: &Table) -> Result<Vec<ColumnSaid>, MapError> {
        let mut out = Vec::new();
        for (name, said) in &self.raw.columns {
            let (meaning, side, full) = self.said(said)?;
            for (index, numbered) in self.find(name, table)? {
                let visit = full.visit.or(numbered);
                out.push(ColumnSaid { index, meaning, side, visit, full: full.clone() });
            }
        }
        Ok(out)
    }

    /// The column to which the map gives a meaning, by its heading or letter alone.
    pub(crate) fn column_for(&self, table: &Table, meaning: Meaning) -> Option<usize> {
        let key = meaning.key();
        let mut said =
            self.raw.columns.iter().filter(|(_, said)| said.get_ref().full().meaning.as_ref() == Some(&key));
        let (name, _) = said.next()?;
        self.find(name, table).ok()?.first().map(|&(index, _)| index)
    }

    fn find(&self, name: &Spanned<String>, table: &Table) -> Result<Vec<(usize, Option<u16>)>, MapError> {
        if name.get_ref().contains("{n}") {
            return self.numbered(name, table);
        }
        if table.is_absorbed(name.get_ref()) {
            return Ok(Vec::new());
        }
        let wanted = fold(name.get_ref());
        let headers = table.headers.iter().enumerate();
        let same: Vec<usize> = headers
            .filter(|(_, header)| fold(header) == wanted && !wanted.is_empty())
            .map(|(at, _)| at)
            .collect();
        match same[..] {
            [index] => Ok(vec![(index, None)]),
            [] => column_index(name.get_ref())
                .filter(|&index| index < table.headers.len())
                .map(|index| vec![(index, None)])
                .ok_or_else(|| self.error(name, format!("the sheet has no column “{}”.", name.get_ref()))),
            _ => Err(self.error(
                name,
                format!(
                    "the sheet has {} columns “{}”: name them by their letters.",
                    same.len(),
                    name.get_ref()
                ),
            )),
        }
    }

    /// The columns whose headings are the name with a number in the place of `{n}`, and the numbers.
    fn numbered(&self, name: &Spanned<String>, table: &Table) -> Result<Vec<(usize, Option<u16>)>, MapError> {
        let wanted = name_words(name.get_ref());
        let headers = table.headers.iter().enumerate();
        let found = headers.filter_map(|(at, header)| Some((at, Some(number_in(header, &wanted)?))));
        let found: Vec<_> = found.collect();
        if found.is_empty() {
            let text = format!("the sheet has no columns numbered like “{}”.", name.get_ref());
            return Err(self.error(name, text));
        }
        Ok(found)
    }
}

/// Whether a map file's name for a column is its heading, its letter where no other column has that as its
/// heading, or a name with `{n}` for the number in its heading.
fn is_named(column: &Column, name: &str) -> bool {
    let same = fold(&column.header) == fold(name) && !fold(name).is_empty();
    let numbered = || name.contains("{n}") && is_numbered_like(&column.header, name);
    same || (column.letter_is_free && column.letter == name) || numbered()
}

/// Whether a word can stand for something done; "note" keeps the words and takes nothing as done, "nothing"
/// passes over them. A mark for any number counts as a number.
pub(crate) fn is_done_word(word: &str) -> bool {
    let plain = word.replace(ANY_NUMBER, "1");
    matches!(word, NOTE | NOTHING) || crate::words::done::is_known(&plain)
}

/// The answer that leaves out a value that cannot be read.
pub(crate) const LEAVE_OUT: &str = "leave out";
/// The answer that a value is the first number in its cell.
pub(crate) const FIRST_NUMBER: &str = "the number";

fn is_value_word(word: &str) -> bool {
    matches!(word, "missing" | "not affected" | LEAVE_OUT | FIRST_NUMBER)
        || matches!(values::number(word), Read::Value(_))
        || matches!(values::yes_no(word), Read::Value(_))
        || matches!(values::sex(word), Read::Value(_))
        || sides(word).is_some()
        || is_done_word(word)
}

/// A guessed column gives way to a settled one of the same meaning.
fn give_way(column: &mut Column, settled: &[(usize, Meaning, Option<Side>, Option<u16>)]) {
    let claim = (column.meaning, column.side, column.visit);
    let taken = settled.iter().any(|&(index, meaning, side, visit)| {
        index != column.index
            && claim == (Some(meaning), side, visit)
            && !settled.iter().any(|s| s.0 == column.index)
    });
    if taken && !matches!(column.meaning, Some(Meaning::Remarks | Meaning::Ignore | Meaning::Why)) {
        (column.meaning, column.confidence) = (None, 0);
        "the map file gives this meaning to another column".clone_into(&mut column.reason);
    }
}

fn sides(word: &str) -> Option<Sides> {
    match word {
        "right" => Some(Sides::Right),
        "left" => Some(Sides::Left),
        "both" => Some(Sides::Both),
        _ => None,
    }
}
