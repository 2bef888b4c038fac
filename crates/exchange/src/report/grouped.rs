//! The remarks on rows that an answer for the whole file settles, as questions.

use super::{ImportReason, Remark};
use crate::{
    ChangedVisits, Column, DateOrder, Meaning,
    questions::{AnswerChoice, FileQuestion, QuestionTopic, fold_word},
    values::{self, Read},
};
use std::collections::{BTreeMap, BTreeSet};

/// Questions grouped from the remarks on rows: those that an answer for the whole file settles.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct GroupedQuestions {
    by_topic: BTreeMap<QuestionTopic, (FileQuestion, BTreeSet<String>)>,
}

impl GroupedQuestions {
    /// Counts a remark on a row where an answer about its value would settle it.
    pub(crate) fn note(&mut self, row: usize, remark: &Remark, columns: &[Column]) {
        let named = |column: &&Column| Some(column.name()) == remark.column.as_deref();
        let meaning = columns.iter().find(named).and_then(|column| column.meaning);
        let own = remark.question.as_deref().cloned();
        let Some(question) = own.or_else(|| question_of(remark, meaning)) else { return };
        let topic = QuestionTopic::of_id(&question.id);
        let (question, names) = self.by_topic.entry(topic).or_insert((question, BTreeSet::new()));
        question.count_row(row);
        names.extend(remark.column.clone());
    }

    /// These questions together with those about columns, the gravest and largest first.
    pub(crate) fn together(self, others: impl Iterator<Item = FileQuestion>) -> Vec<FileQuestion> {
        let grouped = self.by_topic.into_iter().filter(|(topic, (question, _))| is_of_file(topic, question));
        let grouped = grouped.map(|(_, (question, names))| FileQuestion {
            column: (!names.is_empty()).then(|| names.into_iter().collect::<Vec<_>>().join(", ")),
            ..question
        });
        let mut all: Vec<FileQuestion> = others.chain(grouped).collect();
        all.sort_by_key(|question| (!question.blocks, std::cmp::Reverse(question.count)));
        all
    }
}

/// A number outside its scale that comes once is a slip of the pen in that row, not a habit of the file.
fn is_of_file(topic: &QuestionTopic, question: &FileQuestion) -> bool {
    let QuestionTopic::Value(value) = topic else { return true };
    question.count > 1 || matches!(values::number(value), Read::Unreadable)
}

fn question_of(remark: &Remark, meaning: Option<Meaning>) -> Option<FileQuestion> {
    if remark.reason == ImportReason::AmbiguousDate {
        let text = "Day and month of these dates could be exchanged. In which order are they written?";
        let order = |of: DateOrder| AnswerChoice::new(of.words(), of.words());
        let choices = [DateOrder::DayFirst, DateOrder::MonthFirst, DateOrder::YearFirst].map(order);
        return Some(FileQuestion {
            choices: choices.to_vec(),
            ..FileQuestion::new(&QuestionTopic::DateOrder, text)
        });
    }
    if remark.reason == ImportReason::ChangedVisit {
        let text = "The record has other values for the same foot and day, which each of these rows names. Which are right?";
        let choices = ChangedVisits::ANSWERS.map(|answer| AnswerChoice::new(answer.key(), answer.words()));
        let question = FileQuestion::new(&QuestionTopic::ChangedVisits, text).blocking();
        return Some(FileQuestion { choices: choices.to_vec(), ..question });
    }
    let value = remark.value.as_deref().filter(|value| !value.is_empty() && !value.ends_with('…'))?;
    let asked = |topic: QuestionTopic, text: String, choices: Vec<AnswerChoice>| {
        let question = FileQuestion::new(&topic, text);
        Some(FileQuestion { value: Some(value.to_owned()), choices, ..question })
    };
    match (remark.reason, meaning?) {
        (ImportReason::UnknownWord, Meaning::Done) => {
            let text = format!("“{value}” is not known as something that was done. What does it mean?");
            asked(QuestionTopic::DoneWord(fold_word(value)), text, done_choices())
        }
        (ImportReason::UnknownSide, Meaning::Side) => {
            let text = format!("“{value}” does not say for certain which foot. What does it mean?");
            let sides = ["right", "left", "both"].map(|side| AnswerChoice::new(side, side));
            asked(QuestionTopic::SideWord(fold_word(value)), text, sides.to_vec())
        }
        (ImportReason::ImpossibleScore | ImportReason::UnreadableValue, meaning) if meaning.is_of_foot() => {
            let text = format!("“{value}” is no value that can be read here. What does it mean?");
            asked(QuestionTopic::Value(fold_word(value)), text, value_choices(meaning, value))
        }
        _ => None,
    }
}

fn done_choices() -> Vec<AnswerChoice> {
    let acts = [
        "cast",
        "tenotomy and cast",
        "tenotomy",
        "cast off",
        "brace fitted",
        "brace",
        "review",
        "missed",
        "relapse",
        "relapse and cast",
        "discharged",
    ];
    let note = AnswerChoice::new("note", "nothing that was done: keep the words as a note");
    acts.into_iter().map(|act| AnswerChoice::new(act, act)).chain([note]).collect()
}

fn value_choices(meaning: Meaning, value: &str) -> Vec<AnswerChoice> {
    let number = matches!(values::number(value), Read::Value(_));
    let mut choices = vec![
        AnswerChoice::new("missing", "nothing was measured"),
        AnswerChoice::new("not affected", "the foot is not affected"),
    ];
    let points: &[&str] = match meaning {
        _ if number => &[],
        Meaning::Sign(_) => &["0", "0.5", "1"],
        Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot | Meaning::CastNumber => &["0"],
        Meaning::Tenotomy | Meaning::Complex | Meaning::DimeglioSign(_) => &["yes", "no"],
        _ => &[],
    };
    choices.extend(points.iter().map(|point| AnswerChoice::new(*point, *point)));
    choices
}
