//! What a map file says about the values of columns.

use super::{ColumnSaid, FIRST_NUMBER, Full, LEAVE_OUT, MapFile, WordSaid, is_named};
use crate::{
    Column, ColumnMap, Meaning, Table,
    cell_rules::with_unit,
    coding::ValueCoding,
    doubts::DoubtAnswers,
    guess,
    sided_scores::SidedScores,
    text::{ANY_NUMBER, fold},
    values, words,
};
use std::collections::{BTreeMap, BTreeSet};

impl MapFile {
    /// What it settles of what may be in doubt.
    pub(super) fn doubt_answers(&self, map: &ColumnMap) -> DoubtAnswers {
        let said = |column: &Column| {
            let of_column = self.raw.columns.iter().filter(|(name, _)| is_named(column, name.get_ref()));
            of_column.map(|(_, said)| said.get_ref().full()).collect::<Vec<_>>()
        };
        let text = |said: &Option<toml::Spanned<String>>| said.as_ref().map(|said| said.get_ref().clone());
        let mut out = DoubtAnswers {
            sign_coding: self.sign_coding(),
            footers: text(&self.raw.footers),
            blank_means: text(&self.raw.blank_means),
            others: self.raw.answers.clone(),
            ..DoubtAnswers::default()
        };
        for column in &map.columns {
            for full in said(column) {
                out.first_change.extend(full.first_change.map(|first| (column.index, first)));
                out.coded.extend(full.coding.map(|_| column.index));
            }
        }
        out
    }

    /// What the values of each column stand for.
    pub(super) fn rules(&self, table: &Table, said: &[ColumnSaid], map: &mut ColumnMap) {
        for index in 0..map.columns.len() {
            let full = said.iter().find(|said| said.index == index).map(|said| &said.full);
            let Some(column) = map.columns.get(index) else { continue };
            let meaning = column.meaning;
            let explained = self.explained(column, full);
            let coding = full.and_then(|full| full.coding.as_deref()).and_then(ValueCoding::from_key);
            let coding = coding.or_else(|| self.coding_for(table, map, index));
            let unit = full.and_then(|full| full.unit.as_deref());
            if unit == Some("degrees") {
                map.rules.degrees.insert(index);
            }
            if explained.is_empty() && coding.is_none() && unit.is_none() {
                continue;
            }
            let values: BTreeSet<&str> = table
                .rows()
                .map(|row| table.cell(row, index).trimmed())
                .filter(|text| !text.is_empty())
                .collect();
            for text in values {
                let meant =
                    explained.get(&fold_value(text)).cloned().or_else(|| by_form(&explained, meaning, text));
                let meant = meant.or_else(|| coding.and_then(|coding| coding.value(meaning, text)));
                let meant = meant.or_else(|| unit.and_then(|unit| with_unit(meaning, unit, text)));
                if let Some(meant) = meant {
                    map.rules.replace(index, text, meant);
                }
            }
        }
    }

    /// The coding that holds for a column because it holds for all signs, or all numbers with words.
    fn coding_for(&self, table: &Table, map: &ColumnMap, index: usize) -> Option<ValueCoding> {
        let meaning = map.columns.get(index)?.meaning?;
        let of_signs = match (self.sign_coding(), meaning) {
            (Some(coding), Meaning::Sign(_)) => Some(coding),
            (Some(coding), Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot) => {
                let coded = guess::sums::are_of_codes(table, map, index, |point| coding.point(point));
                coded.then_some(coding)
            }
            _ => None,
        };
        let numbers = self.answered("coding: numbers with words") == Some("leading number");
        of_signs.or((numbers && meaning.is_measured()).then_some(ValueCoding::LeadingNumber))
    }

    /// A coding for a sex or a side says what the column means, too.
    pub(super) fn coded_words(&self, said: &[ColumnSaid], map: &mut ColumnMap) {
        for said in said.iter().filter(|said| said.meaning.is_none()) {
            let coding = said.full.coding.as_deref().and_then(ValueCoding::from_key);
            let meaning = match coding {
                Some(ValueCoding::OneRight | ValueCoding::OneLeft) => Meaning::Side,
                Some(ValueCoding::OneMale | ValueCoding::OneFemale) => Meaning::Sex,
                _ => continue,
            };
            if let Some(column) = map.columns.get_mut(said.index) {
                let readings = words::readings(&column.header);
                let read = readings.iter().find(|reading| reading.sense.meaning == meaning);
                let visit = said.visit.or(read.and_then(|reading| reading.visit));
                (column.meaning, column.visit) = (Some(meaning), visit.filter(|_| meaning == Meaning::Side));
                "the map file says what its numbers stand for".clone_into(&mut column.reason);
            }
        }
    }

    /// The values of a column that this map explains, and what each means.
    fn explained(&self, column: &Column, full: Option<&Full>) -> BTreeMap<String, String> {
        let mut out = BTreeMap::new();
        let missing = self.raw.missing.words.iter().filter(|_| may_be_missing(column.meaning));
        let own = full.into_iter().flat_map(|full| &full.missing);
        out.extend(missing.chain(own).map(|word| (fold_value(word), String::new())));
        for (key, said) in &self.raw.words {
            match said {
                WordSaid::Word(meant) if column.meaning.is_some_and(Meaning::is_of_foot) => {
                    out.insert(fold_value(key.get_ref()), value_of(meant));
                }
                WordSaid::OfColumn(words) if is_named(column, key.get_ref()) => {
                    out.extend(words.iter().map(|(word, meant)| (fold_value(word), value_of(meant))));
                }
                _ => {}
            }
        }
        out
    }
}

/// What was said of values of the same form with whatever numbers. Two scores in a cell, and a score with its foot,
/// are read as such.
fn by_form(explained: &BTreeMap<String, String>, meaning: Option<Meaning>, text: &str) -> Option<String> {
    let text = crate::text::latin_digits(text);
    let meaning = meaning?;
    let scores =
        values::has_two_scores(&text) || values::is_half_a_pair(&text) || SidedScores::is_written(&text);
    if (meaning.is_sum() && scores) || !takes_forms(meaning) {
        return None;
    }
    let meant = explained.get(&value_topic(meaning, &values::form(&text)?))?;
    if meant == FIRST_NUMBER { values::first_number(&text).map(str::to_owned) } else { Some(meant.clone()) }
}

/// Whether values of a column are asked about by their form: not those of dates.
pub(crate) fn takes_forms(meaning: Meaning) -> bool {
    meaning.is_measured() || meaning == Meaning::CastNumber
}

/// What a question about values of a form is about: "3/6" is one thing as the number of a cast and another as a
/// score.
pub(crate) fn value_topic(meaning: Meaning, form: &str) -> String {
    if meaning == Meaning::CastNumber { format!("cast {form}") } else { form.to_owned() }
}

/// Values compare without case and accents; their marks count, since 0.5 is not 5.
fn fold_value(text: &str) -> String {
    let text = crate::text::latin_digits(text);
    let marked = |c: char| c.is_ascii_digit() || ANY_NUMBER.contains(c);
    if text.chars().any(marked) { text.trim().to_lowercase() } else { fold(&text) }
}

/// The cell that stands for a word of a map file.
fn value_of(meant: &str) -> String {
    if matches!(meant, "missing" | "not affected" | LEAVE_OUT) { String::new() } else { meant.to_owned() }
}

/// Columns in which a word for "missing" is looked for: not those that name the child.
fn may_be_missing(meaning: Option<Meaning>) -> bool {
    use Meaning as M;
    let names = matches!(meaning, Some(M::Number | M::Name | M::FamilyName | M::GivenName | M::Remarks));
    meaning.is_some() && !names
}
