//! A map file: what a person says about the columns of a sheet. It settles what a guess leaves open.

use crate::{
    Column, ColumnMap, DateOrder, Meaning, Table, guess,
    text::{column_index, fold},
};
use record::{Side, Sides};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;
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

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    sheet: Option<String>,
    header_row: Option<Spanned<i64>>,
    date_order: Option<Spanned<String>>,
    #[serde(default)]
    columns: BTreeMap<Spanned<String>, Spanned<Said>>,
    #[serde(default)]
    sides: BTreeMap<Spanned<String>, Vec<String>>,
    #[serde(default)]
    done: BTreeMap<String, Spanned<String>>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(untagged)]
enum Said {
    Meaning(String),
    Full(Full),
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Full {
    meaning: String,
    side: Option<String>,
    visit: Option<u16>,
}

/// A map file as read, before it meets a sheet.
///
/// ```toml
/// sheet = "Visits"            # a sheet of a workbook
/// header_row = 3              # the row of the headings, the first row being 1
/// date_order = "day first"    # or "month first", "year first"
///
/// [columns]                   # a heading, or the letter of a column
/// "Hosp No" = "number"
/// C = "visit_date"
/// "PC D" = { meaning = "posterior_crease", side = "right" }
/// "Date 2" = { meaning = "visit_date", visit = 2 }
///
/// [sides]                     # words of this file
/// right = ["Q1"]
/// left = ["Q2"]
///
/// [done]                      # a word of this file = a plain English one
/// "Zug" = "cast"
/// ```
#[derive(Debug, Clone)]
pub struct MapFile {
    raw: Raw,
    lines: Lines,
}

#[derive(Debug, Clone)]
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        Self(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at).collect())
    }

    fn at(&self, offset: usize) -> usize {
        self.0.partition_point(|&end| end < offset) + 1
    }
}

impl MapFile {
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

    /// The header row it names, the first row being 1.
    #[must_use]
    pub fn header_row(&self) -> Option<usize> {
        self.raw.header_row.as_ref().and_then(|row| usize::try_from(*row.get_ref()).ok())
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
            if !crate::words::done::is_known(plain.get_ref()) {
                let text = format!(
                    "“{}” is not known as something done; try cast, tenotomy and cast, brace fitted 23h, review, missed.",
                    plain.get_ref()
                );
                return Err(self.error(plain, text));
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

    fn said(&self, said: &Spanned<Said>) -> Result<(Meaning, Option<Side>, Option<u16>), MapError> {
        let (meaning, side, visit) = match said.get_ref() {
            Said::Meaning(meaning) => (meaning, None, None),
            Said::Full(full) => (&full.meaning, full.side.as_deref(), full.visit),
        };
        let Some(known) = Meaning::from_key(meaning) else {
            let near = Meaning::all().map(Meaning::key).min_by_key(|key| strsim::osa_distance(key, meaning));
            let text = format!(
                "“{meaning}” is no meaning of a column; did you mean “{}”?",
                near.unwrap_or_default()
            );
            return Err(self.error(said, text));
        };
        let side = match side.map(sides) {
            None => None,
            Some(Some(Sides::Right)) => Some(Side::Right),
            Some(Some(Sides::Left)) => Some(Side::Left),
            _ => return Err(self.error(said, "the side of a column is right or left.".to_owned())),
        };
        Ok((known, side, visit))
    }

    /// The columns of a sheet as this file settles them; what it does not name is guessed.
    ///
    /// # Errors
    /// With the line, when it names a column that the sheet does not have.
    pub fn apply(&self, table: &Table) -> Result<ColumnMap, MapError> {
        let mut map = guess(table);
        let mut settled = Vec::new();
        for (name, said) in &self.raw.columns {
            let index = self.find(name, table)?;
            let (meaning, side, visit) = self.said(said)?;
            let column = &mut map.columns[index];
            column.meaning = Some(meaning);
            (column.side, column.visit, column.confidence) = (side, visit, 100);
            "the map file says so".clone_into(&mut column.reason);
            settled.push((index, meaning, side, visit));
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
        map.done_words
            .extend(self.raw.done.iter().map(|(word, plain)| (fold(word), plain.get_ref().clone())));
        map.sheet.clone_from(&self.raw.sheet);
        map.header_row = self.header_row();
        Ok(map)
    }

    fn find(&self, name: &Spanned<String>, table: &Table) -> Result<usize, MapError> {
        let wanted = fold(name.get_ref());
        let same: Vec<usize> = (0..table.headers.len())
            .filter(|&at| fold(&table.headers[at]) == wanted && !wanted.is_empty())
            .collect();
        match same[..] {
            [index] => Ok(index),
            [] => column_index(name.get_ref())
                .filter(|&index| index < table.headers.len())
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

impl ColumnMap {
    /// The map as a map file, which a person can mend and use again.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
        let mut out = String::new();
        if let Some(sheet) = &self.sheet {
            let _ = writeln!(out, "sheet = {}", quoted(sheet));
        }
        if let Some(row) = self.header_row {
            let _ = writeln!(out, "header_row = {row}");
        }
        if let Some(order) = self.date_order {
            let _ = writeln!(out, "date_order = {}", quoted(order.words()));
        }
        out.push_str("\n[columns]\n");
        for column in &self.columns {
            let unique =
                self.columns.iter().filter(|other| fold(&other.header) == fold(&column.header)).count() == 1;
            let plain = unique && !fold(&column.header).is_empty() && !column.header.contains('\n');
            let name = if plain { quoted(&column.header) } else { column.letter.clone() };
            let Some(meaning) = column.meaning else {
                let _ = writeln!(out, "# {name} = \"ignore\"  # not understood: {}", column.reason);
                continue;
            };
            let mut more = column.side.map(|side| format!(", side = \"{side}\"")).unwrap_or_default();
            more.push_str(&column.visit.map(|visit| format!(", visit = {visit}")).unwrap_or_default());
            let key = meaning.key();
            let _ = if more.is_empty() {
                writeln!(out, "{name} = \"{key}\"")
            } else {
                writeln!(out, "{name} = {{ meaning = \"{key}\"{more} }}")
            };
        }
        self.words_to_toml(&mut out);
        out
    }

    fn words_to_toml(&self, out: &mut String) {
        let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
        if !self.side_words.is_empty() {
            out.push_str("\n[sides]\n");
            for (key, side) in [("right", Sides::Right), ("left", Sides::Left), ("both", Sides::Both)] {
                let words: Vec<String> = self
                    .side_words
                    .iter()
                    .filter(|(_, of)| **of == side)
                    .map(|(word, _)| quoted(word))
                    .collect();
                if !words.is_empty() {
                    let _ = writeln!(out, "{key} = [{}]", words.join(", "));
                }
            }
        }
        if !self.done_words.is_empty() {
            out.push_str("\n[done]\n");
            for (word, plain) in &self.done_words {
                let _ = writeln!(out, "{} = {}", quoted(word), quoted(plain));
            }
        }
    }
}
