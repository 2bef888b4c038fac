//! A person of the clinic who answers what the import asks.

use super::files::TrueAnswer;
use crate::common::import_table;
use exchange::{FileQuestion, MapFile, Nothing, Plan, Table};

/// Rounds of questions and answers; an answer may lead to another question.
const ROUNDS: usize = 6;

/// An import with the answers of the clinic.
pub struct Answered {
    pub plan: Plan,
    /// Questions that were answered.
    pub answers: usize,
    /// Questions that nobody of the clinic had an answer to, and answers that were not taken.
    pub left: Vec<String>,
}

/// Imports a table, answers the questions and imports it again until nothing more is asked.
///
/// # Errors
/// When the map of the answers is not understood.
pub fn import_with_answers(table: &Table, known: &[TrueAnswer]) -> Result<Answered, String> {
    let mut map = MapFile::new();
    let mut answers = 0;
    loop {
        map.apply(table).map_err(|error| error.to_string())?;
        let plan = import_table(table, Some(&map.to_toml()), &Nothing);
        let mut left = Vec::new();
        let mut taken = 0;
        for question in &plan.report.questions {
            match answer(question, known).map(|choice| map.answer(&question.id, &choice)) {
                Some(Ok(())) => taken += 1,
                Some(Err(error)) => left.push(format!("{}: {error}", question.id)),
                None => left.push(asked(question)),
            }
        }
        answers += taken;
        if taken == 0 || answers > ROUNDS * 12 {
            return Ok(Answered { plan, answers, left });
        }
    }
}

/// A question in one line.
fn asked(question: &FileQuestion) -> String {
    let choices: Vec<String> =
        question.choices.iter().map(|choice| format!("{} = {}", choice.key, choice.words)).collect();
    format!("{}: {} [{}]", question.id, question.text, choices.join("; "))
}

/// The key of the choice that the clinic would make.
fn answer(question: &FileQuestion, known: &[TrueAnswer]) -> Option<String> {
    let column = question.column.clone().unwrap_or_default();
    let value = question.value.clone().unwrap_or_default().to_lowercase();
    let fits = |answer: &&TrueAnswer| {
        let named = column.contains(answer.column) || question.id.starts_with(answer.column);
        named && (answer.value.is_empty() || value == answer.value.to_lowercase())
    };
    known.iter().filter(fits).find_map(|answer| {
        let choices = || question.choices.iter();
        let exact = choices().find(|choice| choice.key == answer.choice || choice.words == answer.choice);
        exact.map(|found| found.key.clone())
    })
}
