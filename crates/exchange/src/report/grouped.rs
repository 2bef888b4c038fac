//! The remarks on rows that an answer for the whole file settles, as questions.

use super::{ImportReason, Remark};
use crate::{
    ChangedVisits, Column, DateOrder, Meaning,
    map_file::{
        FIRST_NUMBER, LEAVE_OUT,
        rules::{takes_forms, value_topic},
    },
    questions::{AnswerChoice, FileQuestion, QuestionTopic, ROWS_NAMED, TOGETHER, fold_word},
    text::{ANY_NUMBER, latin_digits},
    values::{self, Read},
};
use std::collections::{BTreeMap, BTreeSet};

/// Most questions of one file. Beyond them the rarest are put together.
const MOST_QUESTIONS: usize = 12;
/// Values named in the text of a question about several.
const VALUES_NAMED: usize = 5;

/// Questions grouped from the remarks on rows: those that an answer for the whole file settles.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct GroupedQuestions {
    by_topic: BTreeMap<QuestionTopic, GroupedQuestion>,
}

/// A question with the columns that it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
struct GroupedQuestion {
    question: FileQuestion,
    columns: BTreeSet<String>,
    /// The last cell counted, which may be remarked on for each of two feet.
    last: Option<(usize, Option<String>)>,
}

impl GroupedQuestions {
    /// Counts a remark on a row where an answer about its value would settle it.
    pub(crate) fn note(&mut self, row: usize, remark: &Remark, columns: &[Column]) {
        let named = |column: &&Column| Some(column.name()) == remark.column.as_deref();
        let meaning = columns.iter().find(named).and_then(|column| column.meaning);
        let own = remark.question.as_deref().cloned();
        let Some(question) = own.or_else(|| question_of(remark, meaning)) else { return };
        let topic = QuestionTopic::of_id(&question.id);
        let new = GroupedQuestion { question, columns: BTreeSet::new(), last: None };
        let of_topic = self.by_topic.entry(topic).or_insert(new);
        let cell = Some((row, remark.column.clone()));
        if of_topic.last != cell {
            of_topic.question.count_row(row);
            of_topic.last = cell;
        }
        of_topic.columns.extend(remark.column.clone());
    }

    /// These questions together with those about columns, the gravest and largest first.
    pub(crate) fn together(self, others: impl Iterator<Item = FileQuestion>) -> Vec<FileQuestion> {
        let grouped = self.by_topic.into_iter().filter(|(topic, of)| is_of_file(topic, &of.question));
        let grouped = grouped.map(|(_, GroupedQuestion { question, columns, .. })| FileQuestion {
            column: (!columns.is_empty()).then(|| columns.into_iter().collect::<Vec<_>>().join(", ")),
            ..question
        });
        let mut all: Vec<FileQuestion> = others.chain(grouped).collect();
        all.sort_by_key(|question| (!question.blocks, std::cmp::Reverse(question.count)));
        rarest_together(all)
    }
}

/// A kind of question of which there may be as many as a file has different words: how its ids begin, and the
/// answer that may be given to all of them at once.
struct ManyOfAKind {
    prefix: &'static str,
    text: &'static str,
    choices: &'static [(&'static str, &'static str)],
}

const MANY: [ManyOfAKind; 3] = [
    ManyOfAKind {
        prefix: "done: ",
        text: "are not known as something that was done. Are these words kept as notes?",
        choices: &[("note", "yes: keep the words as notes, and record nothing that was done")],
    },
    ManyOfAKind {
        prefix: "piece: ",
        text: "come with something that was done, and are not understood. Are these cells kept as notes?",
        choices: &[
            ("note", "yes: keep each whole cell as a note"),
            ("nothing", "no, these words say nothing of what was done: read the rest of each cell"),
        ],
    },
    ManyOfAKind {
        prefix: "value: ",
        text: "are no values that can be read here. Are they left out?",
        choices: &[("missing", "nothing was measured"), (LEAVE_OUT, "values that are to be left out")],
    },
];

/// Puts the rarest questions of a kind together where there are too many.
fn rarest_together(mut all: Vec<FileQuestion>) -> Vec<FileQuestion> {
    if all.len() <= MOST_QUESTIONS {
        return all;
    }
    let kind = |question: &FileQuestion| MANY.iter().position(|kind| question.id.starts_with(kind.prefix));
    let may_join = |question: &FileQuestion| {
        kind(question).is_some() && !question.blocks && !question.id.contains(TOGETHER)
    };
    let fixed = all.iter().filter(|question| !may_join(question)).count();
    let mut left = MOST_QUESTIONS.saturating_sub(fixed + MANY.len());
    let mut rare: Vec<Vec<FileQuestion>> = MANY.iter().map(|_| Vec::new()).collect();
    let mut kept = Vec::with_capacity(MOST_QUESTIONS);
    for question in all.drain(..) {
        match kind(&question).filter(|_| may_join(&question)).and_then(|kind| rare.get_mut(kind)) {
            Some(rare) if left == 0 => rare.push(question),
            Some(_) => {
                left -= 1;
                kept.push(question);
            }
            None => kept.push(question),
        }
    }
    kept.extend(MANY.iter().zip(rare).filter_map(|(kind, rare)| joined(kind, rare)));
    kept
}

/// Several questions as one that has an answer for all of them.
fn joined(kind: &ManyOfAKind, mut rare: Vec<FileQuestion>) -> Option<FileQuestion> {
    if rare.len() < 2 {
        return rare.pop();
    }
    let subjects: Vec<&str> =
        rare.iter().filter_map(|question| question.id.strip_prefix(kind.prefix)).collect();
    let named: Vec<String> = rare
        .iter()
        .filter_map(|question| question.value.as_deref())
        .take(VALUES_NAMED)
        .map(|value| format!("“{value}”"))
        .collect();
    let id = format!("{}{}", kind.prefix, subjects.join(TOGETHER));
    let text = format!("{} different entries, such as {}, {}", rare.len(), named.join(", "), kind.text);
    let columns: BTreeSet<&str> = rare.iter().filter_map(|question| question.column.as_deref()).collect();
    let mut rows: Vec<usize> = rare.iter().flat_map(|question| question.rows.iter().copied()).collect();
    rows.sort_unstable();
    rows.dedup();
    rows.truncate(ROWS_NAMED);
    let question = FileQuestion {
        column: (!columns.is_empty()).then(|| columns.into_iter().collect::<Vec<_>>().join(", ")),
        count: rare.iter().map(|question| question.count).sum(),
        rows,
        ..FileQuestion::new(&QuestionTopic::of_id(&id), text)
    };
    Some(kind.choices.iter().fold(question, |question, &(key, words)| question.choice(key, words)))
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
        (ImportReason::UnknownSide, Meaning::Side) => {
            let text = format!("“{value}” does not say for certain which foot. What does it mean?");
            let sides = ["right", "left", "both"].map(|side| AnswerChoice::new(side, side));
            asked(QuestionTopic::SideWord(fold_word(value)), text, sides.to_vec())
        }
        (ImportReason::ImpossibleScore | ImportReason::UnreadableValue, meaning) if meaning.is_of_foot() => {
            let form = values::form(&latin_digits(value)).filter(|_| takes_forms(meaning));
            let any = if form.is_some() { ", with any number," } else { "" };
            let text = format!("“{value}”{any} is no value that can be read here. What does it mean?");
            let choices = value_choices(meaning, value, form.as_deref());
            let about = form.map_or_else(|| fold_word(value), |form| value_topic(meaning, &form));
            asked(QuestionTopic::Value(about), text, choices)
        }
        _ => None,
    }
}

/// What a word for something done may mean.
pub(crate) const DONE_CHOICES: [&str; 12] = [
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
    "relapse, tenotomy and cast",
    "discharged",
];

fn value_choices(meaning: Meaning, value: &str, form: Option<&str>) -> Vec<AnswerChoice> {
    let number = matches!(values::number(value), Read::Value(_));
    let mut choices = vec![
        AnswerChoice::new("missing", "nothing was measured"),
        AnswerChoice::new("not affected", "the foot is not affected"),
    ];
    let points: &[&str] = match meaning {
        _ if number || form.is_some() => &[],
        Meaning::Sign(_) => &["0", "0.5", "1"],
        Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot | Meaning::CastNumber => &["0"],
        Meaning::Tenotomy | Meaning::Complex | Meaning::DimeglioSign(_) => &["yes", "no"],
        _ => &[],
    };
    choices.extend(points.iter().map(|point| AnswerChoice::new(*point, *point)));
    choices.extend(form.and_then(|form| number_choice(meaning, form)));
    choices.push(AnswerChoice::new(LEAVE_OUT, "a value that is to be left out"));
    choices
}

/// The answer that a number within the cell is the value: the only one, or that of a cast in "3/6".
fn number_choice(meaning: Meaning, form: &str) -> Option<AnswerChoice> {
    let words = match form.matches(ANY_NUMBER).count() {
        1 => "the number in the cell is the value",
        2 if meaning == Meaning::CastNumber && form.contains('/') => "the first number is that of the cast",
        _ => return None,
    };
    Some(AnswerChoice::new(FIRST_NUMBER, words))
}
