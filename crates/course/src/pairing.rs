//! Two scores of one foot by two people, made blind at one visit: which second score belongs to which
//! first, and why some belong to none.
//!
//! The rules:
//! - A second score is paired with the assessment it names; where it names none, with the only one of
//!   its foot on its day that somebody else made.
//! - Same child, same foot, same clinical day, two different people, and both stand; otherwise there is
//!   no pair, and [`NoPair`] says why.
//! - What counts is what each had written when the later of the two was saved. A correction made
//!   afterwards was made with both scores in view, so it does not change the pair; [`BlindPair::amended`]
//!   tells of it. A correction that moves either to another foot or day takes the pair away.
//!
//! The course reads none of this: a second score changes no phase and no next step.

use crate::{Fate, Line, Reading};
use record::{Assessment, Body, Day, Dimeglio, Entry, EntryId, Kind, Pirani, SecondScore, Side, UserId};

/// Who scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rater<'a> {
    /// Whoever wrote the entry.
    Writer(UserId),
    /// A name on a sheet.
    Named(&'a str),
}

/// One of the two scores, as it was when the later one was saved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairScore<'a> {
    /// The entry.
    pub entry: EntryId,
    /// Who scored.
    pub rater: Rater<'a>,
    /// The six signs.
    pub pirani: Pirani,
    /// Dimeglio's items.
    pub dimeglio: Dimeglio,
}

/// A foot scored by two people at one visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlindPair<'a> {
    /// Which foot.
    pub side: Side,
    /// The day.
    pub on: Day,
    /// The first score and the second.
    pub scores: [PairScore<'a>; 2],
    /// Whether either was corrected after both were written.
    pub amended: bool,
}

/// Why a second score belongs to no first one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NoPair {
    /// The entry it names is not there.
    Unknown,
    /// The entry it names is about another child.
    OtherChild,
    /// The entry it names is no score of a foot.
    NoScore,
    /// It names no entry, and none of that foot, or more than one, was scored that day.
    NotTheOnlyOne,
    /// The entry it names was withdrawn.
    Withdrawn,
    /// The first score is of the other foot.
    OtherFoot(Side),
    /// The first score is of another day.
    OtherDay(Day),
    /// One and the same person.
    SamePerson,
}

impl NoPair {
    /// In a sentence.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Unknown => "The first score that this one belongs to is not in the record.".to_owned(),
            Self::OtherChild => "The first score belongs to another child. Nothing is saved: look whose foot is before you.".to_owned(),
            Self::NoScore => "The entry named as the first score is no score of a foot.".to_owned(),
            Self::NotTheOnlyOne => "There is no single score of this foot by somebody else on that day to lay it beside.".to_owned(),
            Self::Withdrawn => "The first score was withdrawn, so there is nothing to lay a second one beside.".to_owned(),
            Self::OtherFoot(first) => format!("The first score is of the {first} foot and this one of the {}. Nothing is saved: look which foot is before you.", first.other()),
            Self::OtherDay(first) => format!("The first score is of {}. A second one is of the same visit: on another day it is another foot.", first.words()),
            Self::SamePerson => "The same person made the first score. Two scores by one person do not show whether two people agree.".to_owned(),
        }
    }
}

/// Who made a score: a name in it, else its writer.
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

/// Whether an assessment holds a score and not movement alone.
fn has_score(body: &Assessment) -> bool {
    !body.pirani.is_empty() || !body.dimeglio.is_empty()
}

const fn stands(line: &Line<'_>) -> bool {
    matches!(line.fate, Fate::Stands | Fate::Corrected { .. })
}

/// Every second score that stands, as known on a day, with its pair or the reason why there is none, in
/// clinical order. `entries` are those of one child.
#[must_use]
pub fn pairs<'a>(entries: &'a [Entry], as_of: Day) -> Vec<(EntryId, Result<BlindPair<'a>, NoPair>)> {
    // Most children have none, and reading a log costs more than looking for the kind.
    if !entries.iter().any(|entry| entry.kind() == Kind::SecondScore) {
        return Vec::new();
    }
    let reading = Reading::of(entries, as_of);
    let second = |line: &&Line<'a>| line.entry.kind() == Kind::SecondScore && stands(line);
    reading
        .lines
        .iter()
        .filter(second)
        .map(|line| (line.entry.id, pair_of(entries, &reading, line, as_of)))
        .collect()
}

/// The pair of one second score.
fn pair_of<'a>(
    entries: &'a [Entry],
    reading: &Reading<'a>,
    second: &Line<'a>,
    as_of: Day,
) -> Result<BlindPair<'a>, NoPair> {
    let Body::SecondScore(body) = second.body else { return Err(NoPair::NoScore) };
    let first = match body.first {
        Some(id) => reading.line(id).ok_or(NoPair::Unknown)?,
        None => only_one(reading, second, body)?,
    };
    if !stands(first) {
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
    // A side put right before both were written is in both readings; one put right since is judged above.
    let score = |line: &Line<'a>, pirani, dimeglio| PairScore {
        entry: line.entry.id,
        rater: rater(line),
        pirani,
        dimeglio,
    };
    let amended = (one.pirani, one.dimeglio) != (seen.pirani, seen.dimeglio)
        || (two.pirani, two.dimeglio) != (body.pirani, body.dimeglio);
    let scores = [score(first, one.pirani, one.dimeglio), score(second, two.pirani, two.dimeglio)];
    Ok(BlindPair { side: body.side, on: second.on, scores, amended })
}

/// What an entry said when the later of the two was saved.
fn as_first_written<'a>(
    entries: &'a [Entry],
    first: &Line<'a>,
    second: &Line<'a>,
    line: &Line<'a>,
    as_of: Day,
) -> &'a Body {
    // Within one second the order of ids is that of writing.
    let written = |entry: &Entry| (entry.at, entry.id);
    let saved = written(first.entry).max(written(second.entry));
    // The last correction written by then that nobody had withdrawn.
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

/// The only assessment of that foot on that day by somebody else.
fn only_one<'a, 'b>(
    reading: &'b Reading<'a>,
    second: &Line<'a>,
    body: &SecondScore,
) -> Result<&'b Line<'a>, NoPair> {
    let mut found = reading.lines.iter().filter(|line| {
        stands(line)
            && line.on == second.on
            && rater(line) != rater(second)
            && matches!(line.body, Body::Assessment(seen) if seen.side == body.side && has_score(seen))
    });
    match (found.next(), found.next()) {
        (Some(only), None) => Ok(only),
        _ => Err(NoPair::NotTheOnlyOne),
    }
}
