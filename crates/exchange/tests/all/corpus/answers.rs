//! A person of the clinic who answers what the import asks.

use super::files::{InventedFile, TrueAnswer};
use crate::common::import_table;
use exchange::{FileQuestion, MapFile, Nothing, Plan};
use std::collections::BTreeSet;

/// Rounds of questions and answers; an answer may lead to another question.
const ROUNDS: usize = 6;

/// An import with the answers of the clinic.
pub struct Answered {
    pub plan: Plan,
    /// Questions that were answered.
    pub answers: usize,
    /// Questions asked of the file as it came.
    pub asked_first: usize,
    /// Different questions asked, those that an answer led to as well.
    pub asked: usize,
    /// Questions that nobody of the clinic had an answer to, and answers that were not taken.
    pub left: Vec<String>,
}

/// Imports a file, answers the questions and imports it again until nothing more is asked.
///
/// # Errors
/// When the map of the answers is not understood.
pub fn import_with_answers(file: &InventedFile) -> Result<Answered, String> {
    let mut map = MapFile::new();
    let mut answers = 0;
    let mut asked_first = None;
    let mut asked_ids = BTreeSet::new();
    loop {
        let table = super::table(file, Some(&map));
        map.apply(&table).map_err(|error| error.to_string())?;
        let plan = import_table(&table, Some(&map.to_toml()), &Nothing);
        asked_first.get_or_insert(plan.report.questions.len());
        asked_ids.extend(plan.report.questions.iter().map(|question| question.id.clone()));
        let mut left = Vec::new();
        let mut taken = 0;
        for question in &plan.report.questions {
            match answer(question, &file.answers).map(|choice| map.answer(&question.id, &choice)) {
                Some(Ok(())) => taken += 1,
                Some(Err(error)) => left.push(format!("{}: {error}", question.id)),
                None => left.push(asked(question)),
            }
        }
        answers += taken;
        if taken == 0 || answers > ROUNDS * 12 {
            let (asked_first, asked) = (asked_first.unwrap_or_default(), asked_ids.len());
            return Ok(Answered { plan, answers, asked_first, asked, left });
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
