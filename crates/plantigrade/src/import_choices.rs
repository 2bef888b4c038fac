//! What a person chose about a file on the page, and how the form says it.

use exchange::{Column, ColumnMap, DateOrder, FileQuestion, MapError, MapFile, Meaning};
use pages::fields::Filled;
use record::Side;
use std::collections::BTreeMap;

/// What was chosen about a file, to be laid over the map it began with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ImportChoices {
    columns: BTreeMap<usize, ColumnChoice>,
    answers: BTreeMap<String, String>,
    /// Chosen, and possibly chosen to be left to the dates themselves.
    date_order: Option<Option<DateOrder>>,
    header_row: Option<usize>,
    sheet: Option<String>,
}

/// What was chosen about one column.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct ColumnChoice {
    /// How a map names the column.
    name: String,
    meaning: Option<(Meaning, Option<Side>, Option<u16>)>,
    coding: Option<String>,
    unit: Option<String>,
    first_change: Option<bool>,
}

impl ImportChoices {
    /// Whether nothing was chosen.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The answer chosen to a question.
    #[must_use]
    pub fn answer(&self, id: &str) -> Option<&str> {
        self.answers.get(id).map(String::as_str)
    }

    /// A map with these choices.
    ///
    /// # Errors
    /// When an answer is none that its question can have.
    pub fn over(&self, base: &MapFile) -> Result<MapFile, MapError> {
        let mut map = base.clone();
        if let Some(sheet) = &self.sheet {
            map.set_sheet(Some(sheet));
        }
        if let Some(row) = self.header_row {
            map.set_header_row(Some(row));
        }
        if let Some(order) = self.date_order {
            map.set_date_order(order);
        }
        for (id, key) in &self.answers {
            map.answer(id, key)?;
        }
        for choice in self.columns.values() {
            choice.settle(&mut map)?;
        }
        Ok(map)
    }

    /// The choices that a form adds to these. A field that says what the page already shows changes nothing.
    ///
    /// # Errors
    /// One sentence, when a field says what no menu offers, or a column cannot be named.
    pub fn with(&self, filled: &Filled, shown: &ShownFile<'_>) -> Result<Self, String> {
        let mut all = self.clone();
        let differs = |name: &str, now: &str| {
            filled.values.get(name).map(|text| text.trim()).filter(|text| *text != now).map(str::to_owned)
        };
        if let Some(sheet) = differs(SHEET, shown.sheet) {
            // Another sheet has other columns and other words.
            return Ok(Self { sheet: Some(sheet), ..Self::default() });
        }
        if let Some(row) = differs(HEADER_ROW, &shown.header_row.to_string()) {
            let row = row.parse().map_err(|_| not_offered(&row))?;
            return Ok(Self { header_row: Some(row), sheet: self.sheet.clone(), ..Self::default() });
        }
        for (name, value) in &filled.values {
            let Some(id) = name.strip_prefix(ANSWER) else { continue };
            if value.is_empty() {
                all.answers.remove(id);
                continue;
            }
            let asked = shown.asked.iter().find(|question| question.id == id);
            if !asked.is_some_and(|question| question.choices.iter().any(|choice| choice.key == *value)) {
                return Err(not_offered(value));
            }
            all.answers.insert(id.to_owned(), value.clone());
        }
        for column in &shown.map.columns {
            all.take_column(column, filled, shown)?;
        }
        Ok(all)
    }

    fn take_column(&mut self, column: &Column, filled: &Filled, shown: &ShownFile<'_>) -> Result<(), String> {
        let index = column.index;
        let said = |what: &str| filled.values.get(&format!("{what}-{index}")).map(|text| text.trim());
        if let Some(words) = said(ORDER) {
            let order = if words.is_empty() { None } else { Some(order_of(words)?) };
            if order != shown.map.date_order {
                self.date_order = Some(order);
            }
        }
        let now = ColumnSettings::of(column, shown.file);
        let wanted = now.changed(&said)?;
        if wanted == now {
            return Ok(());
        }
        let name = shown.map.name_of(index).ok_or_else(|| {
            format!("Column {} has no heading of its own: give it one in the sheet first.", column.letter)
        })?;
        let choice = self.columns.entry(index).or_default();
        choice.name = name;
        if (now.meaning, now.side, now.visit) != (wanted.meaning, wanted.side, wanted.visit) {
            choice.meaning = wanted.meaning.map(|meaning| (meaning, wanted.side, wanted.visit));
        }
        let newly = |now: Option<String>, wanted: Option<String>| if now == wanted { None } else { wanted };
        choice.coding = newly(now.coding, wanted.coding).or(choice.coding.take());
        choice.unit = newly(now.unit, wanted.unit).or(choice.unit.take());
        if now.first_change != wanted.first_change {
            choice.first_change = wanted.first_change;
        }
        Ok(())
    }
}

impl ColumnChoice {
    fn settle(&self, map: &mut MapFile) -> Result<(), MapError> {
        if let Some((meaning, side, visit)) = self.meaning {
            map.set_column(&self.name, Some(meaning), side, visit);
        }
        if let Some(coding) = &self.coding {
            map.set_coding(&self.name, coding)?;
        }
        if let Some(unit) = &self.unit {
            map.set_unit(&self.name, unit)?;
        }
        if self.first_change.is_some() {
            map.set_first_change(&self.name, self.first_change);
        }
        Ok(())
    }
}

/// Whether a column of a meaning can be about one foot.
#[must_use]
pub const fn takes_side(meaning: Meaning) -> bool {
    meaning.is_of_foot() || matches!(meaning, Meaning::Done | Meaning::Remarks)
}

/// How the field of the meaning of a column begins; the place of the column follows.
pub const MEANING: &str = "meaning";
/// How the field of its foot begins.
pub const FOOT: &str = "foot";
/// How the field of its visit begins.
pub const VISIT: &str = "visit";
/// How the field of its coding begins.
pub const CODING: &str = "coding";
/// The key of the coding of values that are no codes.
pub const AS_WRITTEN: &str = "as written";
/// How the field of its unit begins.
pub const UNIT: &str = "unit";
/// How the field begins that says whether it repeats the state so far.
pub const REPEATS: &str = "repeats";
/// How the field of the order of dates begins.
pub const ORDER: &str = "order";
/// The field of the sheet of a workbook.
pub const SHEET: &str = "sheet";
/// The field of the row of the headings.
pub const HEADER_ROW: &str = "header_row";
/// How the field of an answer begins; the id of its question follows.
pub const ANSWER: &str = "answer:";
/// How the box begins that leaves out what an open question is about.
pub const LEAVE: &str = "leave:";

/// A file as the page shows it.
pub struct ShownFile<'a> {
    /// What its columns mean.
    pub map: &'a ColumnMap,
    /// The map that settles some of that.
    pub file: &'a MapFile,
    /// The sheet read; empty where the file is no workbook.
    pub sheet: &'a str,
    /// The row of the headings, the first row being 1.
    pub header_row: usize,
    /// The questions on the page.
    pub asked: &'a [FileQuestion],
}

/// What the menus above a column say.
#[derive(Debug, Clone, PartialEq, Eq)]
struct ColumnSettings {
    meaning: Option<Meaning>,
    side: Option<Side>,
    visit: Option<u16>,
    coding: Option<String>,
    unit: Option<String>,
    first_change: Option<bool>,
}

impl ColumnSettings {
    fn of(column: &Column, file: &MapFile) -> Self {
        Self {
            meaning: column.meaning,
            side: column.side,
            visit: column.visit,
            coding: file.coding(column).map(str::to_owned),
            unit: file.unit(column).map(str::to_owned),
            first_change: file.first_change(column),
        }
    }

    /// These settings with what a form says, by the menu.
    fn changed<'a>(&self, said: &impl Fn(&str) -> Option<&'a str>) -> Result<Self, String> {
        let mut new = self.clone();
        if let Some(key) = said(MEANING).filter(|key| !key.is_empty()) {
            new.meaning = Some(Meaning::from_key(key).ok_or_else(|| not_offered(key))?);
        }
        if let Some(side) = said(FOOT) {
            new.side = side_of(side)?;
        }
        if let Some(visit) = said(VISIT) {
            new.visit =
                if visit.is_empty() { None } else { Some(visit.parse().map_err(|_| not_offered(visit))?) };
        }
        // What is said of the column below goes with its meaning.
        if new.meaning != self.meaning {
            new.side = new.side.filter(|_| new.meaning.is_some_and(takes_side));
            new.visit = new.visit.filter(|_| new.meaning.is_some_and(Meaning::is_of_visit));
            return Ok(new);
        }
        // Without a coding the menu shows that the values are as written.
        let coding = said(CODING).filter(|key| *key != self.coding.as_deref().unwrap_or(AS_WRITTEN));
        if let Some(coding) = coding {
            new.coding = Some(coding.to_owned());
        }
        if let Some(unit) = said(UNIT).filter(|key| !key.is_empty()) {
            new.unit = Some(unit.to_owned());
        }
        match said(REPEATS) {
            Some("state") => new.first_change = Some(true),
            Some("act") => new.first_change = Some(false),
            _ => {}
        }
        Ok(new)
    }
}

fn order_of(words: &str) -> Result<DateOrder, String> {
    DateOrder::from_words(words).ok_or_else(|| not_offered(words))
}

fn side_of(word: &str) -> Result<Option<Side>, String> {
    match word {
        "" => Ok(None),
        "right" => Ok(Some(Side::Right)),
        "left" => Ok(Some(Side::Left)),
        _ => Err(not_offered(word)),
    }
}

fn not_offered(what: &str) -> String {
    format!("“{what}” is not one of the choices.")
}
