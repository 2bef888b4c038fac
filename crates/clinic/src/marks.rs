//! The marks by which a child is found without reading logs: the loggers in its boots, and the advice given on
//! its problems. They are part of the summary, so every correction, withdrawal and erasure updates them in the
//! same transaction.

use archive::Mark;
use course::{CorrectedLog, Course, Fate};
use record::{Body, Day, Entry, Helped};
use std::collections::BTreeMap;

/// A file of a logger, by the label of its entries.
pub(crate) const FILE: &str = "logger file";
/// A logger, by its name.
pub(crate) const LOGGER: &str = "logger";
/// An advice given on a problem, with whether it helped.
pub(crate) const ADVICE: &str = "advice";
/// Separates the name of a logger from the hash of its file in a label.
const BEFORE_FILE: &str = ", file ";
/// The name of a logger without a name; several loggers may have it.
const UNNAMED: &str = "logger";
/// The largest length of a name; a longer name is cut.
const NAME_CHARS: usize = 60;
/// The key of an advice for which it is not recorded whether it helped.
const OPEN: &str = "open";

/// The label of a logger's file: the name of the logger, if it has one, and a short hash of the contents.
#[must_use]
pub fn logger_label(name: Option<&str>, contents: &str) -> String {
    format!("{}{BEFORE_FILE}{contents}", name.map_or_else(|| UNNAMED.to_owned(), cut))
}

pub(crate) fn cut(name: &str) -> String {
    name.chars().take(NAME_CHARS).collect()
}

/// The marks of a child.
pub(crate) fn of(entries: &[Entry], course: &Course) -> Vec<Mark> {
    let mut marks = loggers(entries);
    for problem in &course.problems {
        marks.extend(problem.advice.iter().map(|advice| {
            let helped = advice.helped.map_or(OPEN, Helped::key);
            let key = format!("{}/{helped}/{}", problem.what.key(), advice.advised);
            Mark { topic: ADVICE.to_owned(), key, from: advice.on, to: advice.on }
        }));
    }
    marks
}

/// The ranges of days of loggers and their files, after corrections and withdrawals.
fn loggers(entries: &[Entry]) -> Vec<Mark> {
    let logged = |body: &Body| matches!(body, Body::WearLogged(_));
    let any = |entry: &Entry| match &entry.body {
        Body::Correction(correction) => logged(&correction.body),
        body => logged(body),
    };
    if !entries.iter().any(any) {
        return Vec::new();
    }
    let reading = CorrectedLog::of(entries, Day::LAST);
    let mark = |((topic, key), days): ((&str, &str), Vec<(Day, Day)>)| {
        let (topic, key) = (topic.to_owned(), key.to_owned());
        joined(days).into_iter().map(move |(from, to)| Mark {
            topic: topic.clone(),
            key: key.clone(),
            from,
            to,
        })
    };
    logged_days(&reading).into_iter().flat_map(mark).collect()
}

/// The ranges of days by topic and key.
fn logged_days<'a>(reading: &CorrectedLog<'a>) -> BTreeMap<(&'a str, &'a str), Vec<(Day, Day)>> {
    let mut days: BTreeMap<(&str, &str), Vec<(Day, Day)>> = BTreeMap::new();
    for line in reading.lines.iter().filter(|line| !matches!(line.fate, Fate::Withdrawn { .. })) {
        let Body::WearLogged(worn) = line.body else { continue };
        let Some(label) = worn.logger.as_deref() else { continue };
        days.entry((FILE, label)).or_default().push((worn.from, worn.to));
        if let Some((name, _)) = label.rsplit_once(BEFORE_FILE).filter(|(name, _)| *name != UNNAMED) {
            days.entry((LOGGER, name)).or_default().push((worn.from, worn.to));
        }
    }
    days
}

/// Ranges of days; those that touch or overlap are joined.
fn joined(mut days: Vec<(Day, Day)>) -> Vec<(Day, Day)> {
    days.sort_unstable();
    let mut spans: Vec<(Day, Day)> = Vec::new();
    for (from, to) in days {
        match spans.last_mut() {
            Some(last) if from - last.1 <= 1 => last.1 = last.1.max(to),
            _ => spans.push((from, to)),
        }
    }
    spans
}
