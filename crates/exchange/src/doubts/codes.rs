//! Numbers that stand for something else: signs written 0, 1 and 2, a sex written 1 and 2, a side written
//! 1, 2 and 3, a number with words after it.

use super::DoubtAnswers;
use crate::{
    Column, ColumnMap, FileQuestion, Meaning, Table,
    coding::leading_number,
    questions::QuestionTopic,
    text::{is_numbered_like, numbers_as},
    values::{self, Read},
    words,
};
use std::collections::BTreeMap;

/// What the six signs hold, over all their columns.
#[derive(Default)]
struct SignValues {
    filled: usize,
    zeros: usize,
    halves: usize,
    twos: usize,
    threes: usize,
    above: usize,
}

impl SignValues {
    fn add(&mut self, text: &str) {
        let Read::Value(value) = values::number(text) else { return };
        self.filled += 1;
        match value {
            0.0 => self.zeros += 1,
            0.5 => self.halves += 1,
            2.0 => self.twos += 1,
            3.0 => self.threes += 1,
            value if value > 3.0 && value.fract() == 0.0 => self.above += 1,
            _ => {}
        }
    }

    /// Whether other numbers than 0, 0.5 and 1 may be a habit here and no slip. Where there is no half
    /// anywhere, each 1 may be a code too, so that a single 2 is enough to ask.
    const fn is_coded(&self) -> bool {
        let odd = self.twos + self.threes;
        let habit = odd >= 2 && odd * 10 >= self.filled && self.halves * 20 < self.filled;
        habit || (odd >= 1 && self.halves == 0)
    }
}

/// Asks what the numbers mean where the six signs are coded. Until then no sign is read, nor a sum that may
/// be one of codes.
pub(super) fn signs(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let topic = QuestionTopic::Coding("signs".to_owned());
    let is_sign = |column: &&Column| matches!(column.meaning, Some(Meaning::Sign(_)));
    let signs: Vec<usize> = map
        .columns
        .iter()
        .filter(is_sign)
        .filter(|c| !said.coded.contains(&c.index))
        .map(|c| c.index)
        .collect();
    let mut found = SignValues::default();
    for row in table.rows() {
        signs.iter().for_each(|&at| found.add(map.rules.cell(table, row, at).trimmed()));
    }
    if said.sign_coding.is_some() || !found.is_coded() {
        return;
    }
    let sums = map.columns.iter().filter(|column| {
        matches!(column.meaning, Some(Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot))
    });
    let doubtful: Vec<usize> = signs.iter().copied().chain(sums.map(|column| column.index)).collect();
    let why = "The signs of this file are numbers other than 0, 0.5 and 1; none is read until their meaning is settled.";
    map.in_doubt.extend(doubtful.iter().map(|&at| (at, why.to_owned())));
    if said.answered(&topic.to_string()) == Some("leave out") {
        return;
    }
    let names: Vec<&str> = signs.iter().filter_map(|&at| map.columns.get(at)).map(Column::name).collect();
    let numbers = if found.threes > 0 { "0 to 3" } else { "0, 1 and 2" };
    let text = format!("The signs are written {numbers}. Does 0 stand for 0, 1 for 0.5 and 2 for 1?");
    let mut question = FileQuestion::new(&topic, text).about(names.join(", "), None).blocking();
    if found.threes == 0 && found.above == 0 {
        question = question.choice("0/1/2", "0 stands for 0, 1 for 0.5, 2 for 1");
    } else if found.zeros == 0 && found.above == 0 {
        question.text =
            "The signs are written 1, 2 and 3. Does 1 stand for 0, 2 for 0.5 and 3 for 1?".to_owned();
        question = question.choice("1/2/3", "1 stands for 0, 2 for 0.5, 3 for 1");
    }
    question = question
        .choice("as written", "as written: 0, 0.5 and 1 are read, other numbers are refused")
        .choice("leave out", "leave the signs out");
    for row in table.rows() {
        if signs.iter().any(|&at| !values::is_nothing(table.cell(row, at).trimmed())) {
            question.count_row(table.row_number(row));
        }
    }
    map.questions.push(question);
}

/// A sex written 1 and 2, a side written 1, 2 and 3, and numbers with words after them.
pub(super) fn numbers_for_words(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let mut asked: BTreeMap<String, FileQuestion> = BTreeMap::new();
    for at in 0..map.columns.len() {
        let Some(column) = map.columns.get(at) else { continue };
        if said.coded.contains(&at) {
            continue;
        }
        let says_side = column.meaning.is_none()
            && words::readings(&column.header).iter().any(|reading| reading.sense.meaning == Meaning::Side);
        let most = match column.meaning {
            Some(Meaning::Sex) => 2,
            None | Some(Meaning::Side) if says_side || column.meaning.is_some() => 3,
            _ => continue,
        };
        let coded =
            |text: &str| matches!(values::whole(text), Read::Value(value) if (1..=most).contains(&value));
        let cells = table.rows().map(|row| (row, map.rules.cell(table, row, at).trimmed()));
        let filled: Vec<(usize, &str)> = cells.filter(|(_, text)| !values::is_nothing(text)).collect();
        let rows: Vec<usize> = filled.iter().filter(|(_, text)| coded(text)).map(|(row, _)| *row).collect();
        if rows.is_empty() || rows.len() * 10 < filled.len() * 8 {
            continue;
        }
        let name = name_with_number(map, column);
        let question = asked.entry(name.clone()).or_insert_with(|| about_column(&name, most));
        rows.iter().for_each(|&row| question.count_row(table.row_number(row)));
        if says_side {
            map.in_doubt.insert(at, "Which foot each number stands for is not settled.".to_owned());
            question.blocks = true;
        }
    }
    map.questions.extend(asked.into_values());
    leading_numbers(table, map, said);
}

/// The name of a column with `{n}` for its number, where others are numbered like it.
fn name_with_number(map: &ColumnMap, column: &Column) -> String {
    let named = numbers_as(column.name(), |_| "{n}".to_owned());
    let like = |other: &&Column| is_numbered_like(&other.header, &named);
    let several = named.matches("{n}").count() == 1 && map.columns.iter().filter(like).nth(1).is_some();
    if several { named } else { column.name().to_owned() }
}

fn about_column(name: &str, most: i32) -> FileQuestion {
    let topic = QuestionTopic::Coding(name.to_owned());
    if most == 2 {
        return FileQuestion::new(&topic, format!("“{name}” is written 1 and 2. Which is a boy?"))
            .about(name, None)
            .choice("1 male 2 female", "1 is a boy, 2 a girl")
            .choice("1 female 2 male", "1 is a girl, 2 a boy")
            .choice("as written", "neither: leave the sex out");
    }
    FileQuestion::new(&topic, format!("“{name}” is written in numbers. Which foot is 1?"))
        .about(name, None)
        .choice("1 right 2 left 3 both", "1 is right, 2 left, 3 both")
        .choice("1 left 2 right 3 both", "1 is left, 2 right, 3 both")
}

/// "0,5 - moderado": asked about once for all columns that are measured.
fn leading_numbers(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let topic = QuestionTopic::Coding("numbers with words".to_owned());
    if said.answered(&topic.to_string()).is_some() {
        return;
    }
    let mut names = Vec::new();
    let text = "Some values are a number with words after it. Is the number the value?";
    let mut question = FileQuestion::new(&topic, text);
    for column in map.columns.iter().filter(|column| column.meaning.is_some_and(Meaning::is_measured)) {
        let before = question.count;
        for row in table.rows() {
            let value = map.rules.cell(table, row, column.index).trimmed();
            let readable = matches!(values::number(value), Read::Value(_) | Read::Nothing);
            if !readable && leading_number(value).is_some() {
                question.count_row(table.row_number(row));
                question.value.get_or_insert_with(|| value.to_owned());
            }
        }
        if question.count > before {
            names.push(column.name().to_owned());
        }
    }
    if question.count > 1 {
        question.column = Some(names.join(", "));
        question = question
            .choice("leading number", "the number is the value, the words explain it")
            .choice("as written", "something else: refuse such values");
        map.questions.push(question);
    }
}
