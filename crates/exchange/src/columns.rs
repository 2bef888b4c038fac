//! The columns of a sheet and what each was taken to mean.

use crate::{
    ChangedVisits, DateOrder, FileQuestion, Meaning,
    cell_rules::CellRules,
    table::Table,
    text::{column_letter, fold, numbers_as},
};
use record::{Side, Sides};
use serde::{Serialize, Serializer};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

/// One column: its heading, what it means, and why that is believed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Column {
    /// Counted from 0.
    #[serde(skip)]
    pub index: usize,
    /// As a spreadsheet program names it, A, B, … AA.
    pub letter: String,
    /// Whether a map file can name it by its letter, which is not the heading of another column.
    #[serde(skip)]
    pub(crate) letter_is_free: bool,
    /// The heading as written in the file.
    pub header: String,
    /// What it means; `None` where it was not understood, and then nothing of it is kept.
    #[serde(serialize_with = "key")]
    pub meaning: Option<Meaning>,
    /// The foot, where the column is about one foot.
    pub side: Option<Side>,
    /// The visit, where one row holds several.
    pub visit: Option<u16>,
    /// 0 to 100; 100 where a map file says so.
    pub confidence: u8,
    /// One short sentence.
    pub reason: String,
}

/// A row that is no visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PassedRow {
    /// The headings again.
    Heading,
    /// Looks like a sum or footer; not settled.
    Footer,
    /// A sum or footer by what a map file says.
    LeftOut,
    /// All its cells are merged with those of a row above it.
    Merged,
}

fn key<S: Serializer>(meaning: &Option<Meaning>, serializer: S) -> Result<S::Ok, S::Error> {
    match meaning {
        Some(meaning) => serializer.serialize_str(&meaning.key()),
        None => serializer.serialize_none(),
    }
}

impl Column {
    /// The heading, or the letter where there is none.
    pub(crate) fn name(&self) -> &str {
        if self.header.is_empty() { &self.letter } else { &self.header }
    }

    /// The name that it shares with the like columns of other visits, "Side {n}"; its own where its heading
    /// holds no visit number.
    pub(crate) fn name_of_any_visit(&self) -> String {
        let number = self.visit.map(|visit| visit.to_string());
        let is_visit = |digits: &str| number.as_deref() == Some(digits.trim_start_matches('0'));
        let named =
            numbers_as(self.name(), |digits| if is_visit(digits) { "{n}" } else { digits }.to_owned());
        if named.matches("{n}").count() == 1 { named } else { self.name().to_owned() }
    }

    /// "right posterior crease, visit 2".
    #[must_use]
    pub fn words(&self) -> String {
        let Some(meaning) = self.meaning else { return "not understood, not imported".to_owned() };
        let side = self.side.map(|side| format!("{side} ")).unwrap_or_default();
        let visit = self.visit.map(|visit| format!(", visit {visit}")).unwrap_or_default();
        format!("{side}{}{visit}", meaning.words())
    }
}

/// What every column means, and how cells are to be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ColumnMap {
    /// The columns in the order of the sheet.
    pub columns: Vec<Column>,
    /// The order of day and month, where a person or a heading has settled it.
    pub date_order: Option<DateOrder>,
    /// Where the order above comes from, for the report.
    pub date_order_from: Option<String>,
    /// Words of this file for a side, in addition to those known.
    pub side_words: BTreeMap<String, Sides>,
    /// Words of this file for what was done: the word as written, and the plain English word meant.
    pub done_words: BTreeMap<String, String>,
    /// Languages of the headings, likeliest first.
    pub languages: Vec<&'static str>,
    /// What to do with rows that give other values than the record.
    pub changed_visits: ChangedVisits,
    /// The sheet, where a map file names it.
    pub sheet: Option<String>,
    /// The header row, where a map file names it.
    pub header_row: Option<usize>,
    /// Columns whose meaning a person has settled.
    pub(crate) settled: BTreeSet<usize>,
    /// Answers to questions that have no place of their own in a map file.
    pub(crate) answers: BTreeMap<String, String>,
    /// How cells are to be read, apart from what their columns mean.
    pub(crate) rules: CellRules,
    /// Whether a column repeats the state so far, where a map file says it.
    pub(crate) first_change: BTreeMap<usize, bool>,
    /// Rows that are no visit.
    pub(crate) passed: BTreeMap<usize, PassedRow>,
    /// Columns that hold facts and are in doubt, and why: their cells are asked about, and not used.
    pub(crate) in_doubt: BTreeMap<usize, String>,
    /// Rows with a mark for "the same as above" that is not settled.
    pub(crate) marked_as_above: BTreeSet<usize>,
    /// Cells merged over several rows, if nobody stated whether they hold for each.
    pub(crate) merged: BTreeSet<(usize, usize)>,
    /// What is to be asked about the columns.
    pub(crate) questions: Vec<FileQuestion>,
}

impl ColumnMap {
    /// The first column of a meaning.
    #[must_use]
    pub fn find(&self, meaning: Meaning) -> Option<&Column> {
        self.columns.iter().find(|column| column.meaning == Some(meaning))
    }

    /// Columns that were not understood.
    pub fn unknown(&self) -> impl Iterator<Item = &Column> {
        self.columns.iter().filter(|column| column.meaning.is_none() && !column.header.is_empty())
    }

    /// One meaning, one column: of two, the surer is believed; of two measurements equally sure, neither.
    pub(crate) fn settle_doubles(&mut self) {
        let mut by_claim: HashMap<_, Vec<usize>> = HashMap::new();
        for column in &self.columns {
            if let Some(meaning) = column.meaning.filter(|&meaning| !may_repeat(meaning)) {
                by_claim.entry((meaning, column.side, column.visit)).or_default().push(column.index);
            }
        }
        for (claim, mut indices) in by_claim.into_iter().filter(|(_, indices)| indices.len() > 1) {
            let confidence =
                |map: &Self, index: usize| map.columns.get(index).map_or(0, |column| column.confidence);
            indices.sort_by_key(|&index| (std::cmp::Reverse(confidence(self, index)), index));
            let [first, second, ..] = indices[..] else { continue };
            let tied = confidence(self, second) == confidence(self, first);
            let neither = tied && claim.0.is_of_foot();
            for &index in indices.iter().skip(usize::from(!neither)) {
                let Some(column) = self.columns.get_mut(index) else { continue };
                column.meaning = None;
                column.confidence = 0;
                column.reason = if neither {
                    format!("several columns say {} and nothing says which foot each is of", claim.0.words())
                } else {
                    format!("another column says {}", claim.0.words())
                };
            }
        }
    }

    pub(crate) fn blank(table: &Table) -> Self {
        let headings: HashSet<String> = table.headers.iter().map(|header| fold(header)).collect();
        let columns = table.headers.iter().enumerate().map(|(index, header)| Column {
            index,
            letter: column_letter(index),
            letter_is_free: !headings.contains(&fold(&column_letter(index))),
            header: header.clone(),
            meaning: None,
            side: None,
            visit: None,
            confidence: 0,
            reason: "no word of this heading is known".to_owned(),
        });
        Self { columns: columns.collect(), ..Self::default() }
    }
}

const fn may_repeat(meaning: Meaning) -> bool {
    matches!(meaning, Meaning::Remarks | Meaning::Ignore | Meaning::Why | Meaning::Carer)
}
