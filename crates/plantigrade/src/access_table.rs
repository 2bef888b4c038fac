//! The access log in words, as CSV and as JSON: what the page, the files and the command have in common.

use crate::{app::App, clock, results_table::line};
use clinic::{
    AccessAct, AccessFilter, AccessOutcome, AccessRow, Accounts, ArchiveError, ClinicRecords, Summary,
};
use pages::access_log::{CHILD, DEVICE, FROM, NOBODY, PERSON, REFUSED, RESTRICTED, TO};
use pages::fields::Filled;
use record::{ChildId, Day, UserId};
use serde::Serialize;
use std::collections::HashMap;

/// Rows of one file at most; more are to be asked for by days.
pub const MOST_ROWS: usize = 200_000;
/// The most children that a text in the filter may mean.
const MOST_CHILDREN: usize = 100;

/// The head of the CSV.
const HEAD: [&str; 11] = [
    "row",
    "at",
    "person_id",
    "person",
    "device",
    "child_id",
    "child_number",
    "act",
    "what",
    "outcome",
    "note",
];

/// A row of the files. A child is named by id and number: a file may be passed on.
#[derive(Debug, Clone, Serialize)]
pub struct AccessRowOut {
    /// Its number.
    pub row: i64,
    /// When, in UTC.
    pub at: String,
    /// Who; `null` for a command run without a sign-in.
    pub person_id: Option<UserId>,
    /// Their name.
    pub person: Option<String>,
    /// On which device.
    pub device: String,
    /// Which child; `null` for a list.
    pub child_id: Option<ChildId>,
    /// Its number; `null` where it has none, or none any more.
    pub child_number: Option<String>,
    /// "look", "send" or "command".
    pub act: &'static str,
    /// The page, in the words of the routes, or the command.
    pub what: String,
    /// What came of it.
    pub outcome: &'static str,
    /// The right that was lacking, or the reason.
    pub note: String,
}

/// The names that rows need, each looked up once.
#[derive(Default)]
pub struct RowNames {
    people: HashMap<UserId, String>,
    numbers: HashMap<ChildId, Option<String>>,
}

impl RowNames {
    /// The name of a person.
    fn person(&mut self, accounts: &Accounts, person: UserId) -> String {
        let look_up = || {
            let found = accounts.account(person).ok().flatten();
            found.map_or_else(|| "somebody without an account here".to_owned(), |found| found.display_name)
        };
        self.people.entry(person).or_insert_with(look_up).clone()
    }

    fn number(&mut self, records: &ClinicRecords, child: ChildId) -> Option<String> {
        let look_up = || {
            let summary: Option<Summary> = records.summary_of(child).ok().flatten();
            summary.and_then(|summary| summary.numbers.into_iter().next())
        };
        self.numbers.entry(child).or_insert_with(look_up).clone()
    }

    /// A row as the files have it.
    pub fn row(&mut self, records: &ClinicRecords, row: AccessRow) -> AccessRowOut {
        let AccessRow { number, event } = row;
        AccessRowOut {
            row: number,
            at: event.at.to_string(),
            person_id: event.person,
            person: event.person.map(|person| self.person(&records.accounts(), person)),
            device: event.device,
            child_id: event.child,
            child_number: event.child.and_then(|child| self.number(records, child)),
            act: event.act.key(),
            what: event.what,
            outcome: event.outcome.key(),
            note: event.note,
        }
    }
}

/// Rows as CSV. A text that a spreadsheet program could take for a formula begins with an apostrophe.
#[must_use]
pub fn csv(rows: &[AccessRowOut]) -> String {
    let mut text = line(&HEAD.map(str::to_owned));
    for row in rows {
        let id = |id: Option<String>| id.unwrap_or_default();
        let cells = [
            row.row.to_string(),
            row.at.clone(),
            id(row.person_id.map(|id| id.to_string())),
            row.person.clone().unwrap_or_default(),
            row.device.clone(),
            id(row.child_id.map(|id| id.to_string())),
            row.child_number.clone().unwrap_or_default(),
            row.act.to_owned(),
            row.what.clone(),
            row.outcome.to_owned(),
            row.note.clone(),
        ];
        text.push_str(&line(&cells));
    }
    text
}

/// What was opened, in words: "record", "record: visit", "find", "command child".
#[must_use]
pub fn what_words(act: AccessAct, what: &str) -> String {
    if act == AccessAct::Command {
        return format!("command {what}");
    }
    let words = |path: &str| {
        let parts = path.split('/').filter(|part| !part.is_empty() && !part.starts_with('{'));
        parts.map(|part| part.replace('-', " ")).collect::<Vec<_>>().join(" ")
    };
    let page = match what.strip_prefix("/child/{id}") {
        Some(rest) if words(rest).is_empty() => "record".to_owned(),
        Some(rest) => format!("record: {}", words(rest)),
        None => words(what),
    };
    if act == AccessAct::Send { format!("{page} (form sent)") } else { page }
}

/// What came of it, in words; empty where it was opened.
#[must_use]
pub fn outcome_words(outcome: AccessOutcome, note: &str) -> String {
    match outcome {
        AccessOutcome::Opened => String::new(),
        AccessOutcome::Refused => format!("refused: may not {note}"),
        AccessOutcome::Restricted => "refused: the record is restricted".to_owned(),
        AccessOutcome::OpenedRestricted => format!("opened although restricted: {note}"),
        AccessOutcome::Changed | AccessOutcome::Gap => note.to_owned(),
    }
}

/// The children that a text in the filter means: by id, whole number or name.
///
/// # Errors
/// When the records cannot be read.
pub fn children_meant(
    records: &ClinicRecords,
    text: &str,
    search: impl Fn(&str, usize) -> Result<Vec<clinic::Hit>, ArchiveError>,
) -> Result<Vec<ChildId>, ArchiveError> {
    if let Ok(id) = text.parse() {
        return Ok(vec![id]);
    }
    let numbered = records.by_number(text)?;
    if !numbered.is_empty() {
        return Ok(numbered);
    }
    let hits = search(text, MOST_CHILDREN)?.into_iter().filter(|hit| hit.own && hit.exact);
    Ok(hits.map(|hit| hit.summary.child).collect())
}

/// The filter of a form.
///
/// # Errors
/// The form with what is wrong, or when the records cannot be read.
pub fn filter(app: &App, filled: &Filled) -> Result<Result<AccessFilter, Filled>, ArchiveError> {
    let mut wrong = filled.clone();
    let mut day = |name: &'static str| -> Option<Day> {
        let text = filled.given(name)?;
        match text.parse::<Day>() {
            Ok(day) => Some(day),
            Err(error) => {
                wrong = std::mem::take(&mut wrong).wrong(name, crate::exit::sentence(&error.to_string()));
                None
            }
        }
    };
    let (from, to) = (day(FROM), day(TO));
    let person = filled.given(PERSON);
    let found = AccessFilter {
        children: match filled.given(CHILD) {
            Some(text) => Some(children_meant(&app.records, text, |text, limit| app.search(text, limit))?),
            None => None,
        },
        person: person.and_then(|id| id.parse().ok()),
        not_signed_in: person == Some(NOBODY),
        device: filled.given(DEVICE).map(str::to_owned),
        from: from.map(|day| clock::end_of(day - 1)),
        before: to.map(clock::end_of),
        refused: filled.value(REFUSED) == "yes",
        restricted_openings: filled.value(RESTRICTED) == "yes",
    };
    if let (Some(from), Some(to)) = (from, to)
        && to < from
    {
        wrong = wrong.wrong(TO, "The last day is before the first.");
    }
    Ok(if wrong.errors.is_empty() { Ok(found) } else { Err(wrong) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_named_by_their_address() {
        assert_eq!(what_words(AccessAct::Look, "/child/{id}"), "record");
        assert_eq!(
            what_words(AccessAct::Send, "/child/{id}/entry/{entry}/correct"),
            "record: entry correct (form sent)"
        );
        assert_eq!(what_words(AccessAct::Look, "/attention/lost"), "attention lost");
        assert_eq!(what_words(AccessAct::Command, "child"), "command child");
    }
}
