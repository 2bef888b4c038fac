//! Two scores of one foot by two people, made blind at one visit: which second score belongs to which first
//! score, and why some belong to none.
//!
//! The rules:
//! - A second score is paired with the assessment it names; if it names none, with the only assessment of
//!   its foot on its day that somebody else made.
//! - Both must be about the same child, foot and clinical day, by two different people, and both must be
//!   effective; otherwise there is no pair, and [`NoPair`] gives the reason.
//! - The scores count as they were recorded when the later of the two was saved. A correction made
//!   afterwards was made with both scores visible, so it does not change the pair; [`ScorePair::amended`]
//!   reports it. A correction that moves either to another foot or day dissolves the pair.
//!
//! The course ignores all of this: a second score changes no phase and no next step.

use crate::{CorrectedLog, Line};
use record::{Assessment, Body, Day, Dimeglio, Entry, EntryId, Kind, Pirani, SecondScore, Side, UserId};

/// Who scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rater<'a> {
    /// The person who recorded the entry.
    Writer(UserId),
    /// A name on a paper sheet.
    Named(&'a str),
}

/// One of the two scores, as it was when the later one was saved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairedScore<'a> {
    /// The entry.
    pub entry: EntryId,
    /// Who scored.
    pub rater: Rater<'a>,
    /// The six signs.
    pub pirani: Pirani,
    /// Items of the Dimeglio score.
    pub dimeglio: Dimeglio,
}

/// A foot scored by two people at one visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScorePair<'a> {
    /// Which foot.
    pub side: Side,
    /// The day.
    pub on: Day,
    /// The first and the second score.
    pub scores: [PairedScore<'a>; 2],
    /// Whether either was corrected after both were recorded.
    pub amended: bool,
}

/// Why a second score has no first score.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NoPair {
    /// The entry it names does not exist.
    Unknown,
    /// The entry it names is about another child.
    OtherChild,
    /// The entry it names is not a score of a foot.
    NoScore,
    /// It names no entry, and nobody else scored that foot that day, or there is more than one such score.
    NotTheOnlyOne,
    /// The entry it names was withdrawn.
    Withdrawn,
    /// The first score is of the other foot.
    OtherFoot(Side),
    /// The first score is of another day.
    OtherDay(Day),
    /// The same person made both scores.
    SamePerson,
}

impl NoPair {
    /// As a sentence.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Unknown => "The first score that this one belongs to is not in the record.".to_owned(),
            Self::OtherChild => "The first score belongs to another child. Nothing was saved: check which child you are examining.".to_owned(),
            Self::NoScore => "The entry named as the first score is not a score of a foot.".to_owned(),
            Self::NotTheOnlyOne => "There is no single score of this foot by another person on that day to compare it with.".to_owned(),
            Self::Withdrawn => "The first score was withdrawn, so there is nothing to compare a second score with.".to_owned(),
            Self::OtherFoot(first) => format!("The first score is of the {first} foot and this one of the {}. Nothing was saved: check which foot you are examining.", first.other()),
            Self::OtherDay(first) => format!("The first score was made on {}. A second score must be made at the same visit: the foot changes from visit to visit.", first.words()),
            Self::SamePerson => "The same person made the first score. Two scores by one person do not show whether two people agree.".to_owned(),
        }
    }
}

/// Who made a score: the name in it, otherwise the person who recorded it.
#[must_use]
pub fn rater<'a>(line: &Line<'a>) -> Rater<'a> {
    let named = match line.body {
        Body::Assessment(body) => body.scored_by.as_deref(),
        Body::SecondScore(body) => body.scored_by.as_deref(),
        _ => None,
    };
    let named = named.map(str::trim).filter(|name| !name.is_empty());
    named.map_or(Rater::Writer(line.entry.by), Rater::Named)
}

/// Whether an assessment includes a score, not movement alone.
fn has_score(body: &Assessment) -> bool {
    !body.pirani.is_empty() || !body.dimeglio.is_empty()
}

/// Every effective second score, as known on a day, with its pair or the reason why there is none, in
/// clinical order. `entries` are the entries of one child.
#[must_use]
pub fn pairs<'a>(entries: &'a [Entry], as_of: Day) -> Vec<(EntryId, Result<ScorePair<'a>, NoPair>)> {
    // Most children have none, and applying corrections costs more than looking for the kind.
    if !entries.iter().any(|entry| entry.kind() == Kind::SecondScore) {
        return Vec::new();
    }
    let log = CorrectedLog::of(entries, as_of);
    let second = |line: &&Line<'a>| line.entry.kind() == Kind::SecondScore && line.fate.holds();
    log.lines.iter().filter(second).map(|line| (line.entry.id, pair_of(entries, &log, line, as_of))).collect()
}

/// The pair of one second score.
fn pair_of<'a>(
    entries: &'a [Entry],
    log: &CorrectedLog<'a>,
    second: &Line<'a>,
    as_of: Day,
) -> Result<ScorePair<'a>, NoPair> {
    let Body::SecondScore(body) = second.body else { return Err(NoPair::NoScore) };
    let first = match body.first {
        Some(id) => log.line(id).ok_or(NoPair::Unknown)?,
        None => only_one(log, second, body)?,
    };
    if !first.fate.holds() {
        return Err(NoPair::Withdrawn);
    }
    let Body::Assessment(seen) = first.body else { return Err(NoPair::NoScore) };
    if first.entry.child != second.entry.child {
        return Err(NoPair::OtherChild);
    }
    if seen.side != body.side {
        return Err(NoPair::OtherFoot(seen.side));
    }
    if first.on != second.on {
        return Err(NoPair::OtherDay(first.on));
    }
    if rater(first) == rater(second) {
        return Err(NoPair::SamePerson);
    }
    let then = |line: &Line<'a>| as_first_written(entries, first, second, line, as_of);
    let (one, two) = (then(first), then(second));
    let (Body::Assessment(one), Body::SecondScore(two)) = (one, two) else { return Err(NoPair::NoScore) };
    if !has_score(one) {
        return Err(NoPair::NoScore);
    }
    // A side corrected before both were recorded is corrected in both; a later correction was handled above.
    let score = |line: &Line<'a>, pirani, dimeglio| PairedScore {
        entry: line.entry.id,
        rater: rater(line),
        pirani,
        dimeglio,
    };
    let amended = (one.pirani, one.dimeglio) != (seen.pirani, seen.dimeglio)
        || (two.pirani, two.dimeglio) != (body.pirani, body.dimeglio);
    let scores = [score(first, one.pirani, one.dimeglio), score(second, two.pirani, two.dimeglio)];
    Ok(ScorePair { side: body.side, on: second.on, scores, amended })
}

/// The contents of an entry when the later of the two was saved.
fn as_first_written<'a>(
    entries: &'a [Entry],
    first: &Line<'a>,
    second: &Line<'a>,
    line: &Line<'a>,
    as_of: Day,
) -> &'a Body {
    // Within one second the order of ids is the order of recording.
    let written = |entry: &Entry| (entry.at, entry.id);
    let saved = written(first.entry).max(written(second.entry));
    // The last correction recorded by then and not withdrawn.
    let withdrawn = |id: EntryId| {
        entries.iter().any(|entry| {
            written(entry) <= saved && matches!(&entry.body, Body::Withdrawal(body) if body.entry == id)
        })
    };
    let corrections = entries.iter().filter(|entry| written(entry) <= saved && entry.on <= as_of);
    let last = corrections
        .filter_map(|entry| match &entry.body {
            Body::Correction(body) if body.entry == line.entry.id && !withdrawn(entry.id) => {
                Some((entry.at, entry.id, body.body.as_ref()))
            }
            _ => None,
        })
        .max_by_key(|(at, id, _)| (*at, *id));
    last.map_or(&line.entry.body, |(_, _, body)| body)
}

/// The only assessment of that foot on that day by another person.
fn only_one<'a, 'b>(
    log: &'b CorrectedLog<'a>,
    second: &Line<'a>,
    body: &SecondScore,
) -> Result<&'b Line<'a>, NoPair> {
    let mut found = log.lines.iter().filter(|line| {
        line.fate.holds()
            && line.on == second.on
            && rater(line) != rater(second)
            && matches!(line.body, Body::Assessment(seen) if seen.side == body.side && has_score(seen))
    });
    match (found.next(), found.next()) {
        (Some(only), None) => Ok(only),
        _ => Err(NoPair::NotTheOnlyOne),
    }
}
