//! What was done, read from a cell in any of the ten languages in Latin letters. A cell is believed only when every word
//! of it is known; a word that denies, plans or doubts makes the whole cell unknown.

mod phrases;
pub(crate) mod tenotomy;

use crate::{lists::DONE_LISTS, sides::named_within, text::fold};
use phrases::phrase;
use record::{CastMaterial, CastPurpose, ProblemKind, Procedure, Regime, RemovalReason};
use tenotomy::TendonWords;

/// One thing a cell says was done.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Act {
    Cast(Option<CastMaterial>, Option<CastPurpose>),
    CastOff(RemovalReason),
    Tenotomy,
    /// A tenotomy with no cast after it on the same day.
    TenotomyOnly,
    TenotomyBooked,
    /// Brace: whether the cell says it was fitted, the regime and hours it names.
    Brace {
        fitted: bool,
        regime: Option<Regime>,
        hours: Option<u8>,
    },
    BraceStopped,
    NewSize,
    Review,
    Missed,
    Relapse,
    Discharged(bool),
    Transferred,
    Died,
    Lost,
    Surgery(Procedure),
    Problem(ProblemKind),
}

/// What a cell says: acts, or that it is not understood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Said {
    Acts(Vec<Act>),
    Unknown,
}

/// What one part of a cell says, and the feet it names.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SaidPart {
    /// Whether it names the right and the left foot.
    pub(crate) named: (bool, bool),
    /// What was done.
    pub(crate) acts: Vec<Act>,
}

impl SaidPart {
    /// Whether it names a foot and nothing that was done.
    pub(crate) const fn is_bare(&self) -> bool {
        self.acts.is_empty() && (self.named.0 || self.named.1)
    }
}

/// Reads one cell.
pub(crate) fn read(text: &str) -> Said {
    match parts(text) {
        Some(parts) => Said::Acts(parts.into_iter().flat_map(|part| part.acts).collect()),
        None => Said::Unknown,
    }
}

/// The parts of a cell, each with the feet that it names: "R tenotomy, L cast" has two. `None` where
/// anything in the cell is not understood.
pub(crate) fn parts(text: &str) -> Option<Vec<SaidPart>> {
    if text.chars().nth(200).is_some() || text.contains('?') {
        return None;
    }
    let marks = [',', '+', ';', '&', '\n', '/'];
    let whole = fold(text);
    let one = |acts| Some(vec![SaidPart { named: named_within(text), acts }]);
    // A phrase is one thing, and marks between its words make several of it: "tenotomy, cast" is not the
    // cast after a tenotomy.
    let marked = text.contains(marks) && tenotomy::is_mentioned(text);
    if let Some(act) = phrase(&whole).filter(|_| !marked) {
        return one(vec![act.clone()]);
    }
    if let Some(act) = of_record(&whole) {
        return one(vec![act]);
    }
    // "left tenotomy / right cast": a stroke parts what each foot had done, "R/L" and "23/24" it does not.
    let apart = |parts: &Vec<SaidPart>| {
        parts.iter().all(|part| matches!(part.named, (true, false) | (false, true)) && !part.acts.is_empty())
    };
    joined(text, &marks[..5])
        .or_else(|| joined(text, &marks).filter(apart))
        .or_else(|| match words(&whole)? {
            (acts, TendonWords::Plain) if !acts.is_empty() => one(acts),
            (mut acts, TendonWords::Cut) => {
                acts.insert(0, Act::Tenotomy);
                one(acts)
            }
            _ => None,
        })
        .or_else(|| joined(text, &marks))
}

/// The record's own words, as an export writes them.
fn of_record(whole: &str) -> Option<Act> {
    if let Some(why) = whole.strip_prefix("cast off ") {
        let found = RemovalReason::ALL.iter().find(|reason| fold(reason.words()) == why);
        return found.map(|&reason| Act::CastOff(reason));
    }
    if let Some(what) = whole.strip_prefix("problem ") {
        let found = ProblemKind::ALL.iter().find(|kind| fold(kind.words()) == what);
        return found.map(|&kind| Act::Problem(kind));
    }
    let found = Procedure::ALL.iter().find(|procedure| fold(procedure.words()) == whole);
    found.map(|&procedure| Act::Surgery(procedure))
}

/// "cast off, brace fitted": known phrases and known words joined by commas or plus signs. "TA" beside a
/// cast is its tenotomy.
fn joined(text: &str, marks: &[char]) -> Option<Vec<SaidPart>> {
    let pieces: Vec<&str> = text.split(marks).collect();
    if !(2..=5).contains(&pieces.len()) {
        return None;
    }
    let (mut parts, mut short) = (Vec::new(), Vec::new());
    for piece in pieces {
        let whole = fold(piece);
        let named = named_within(piece);
        let acts = match phrase(&whole).cloned().or_else(|| of_record(&whole)) {
            Some(act) => vec![act],
            None => match words(&whole)? {
                (acts, TendonWords::Plain) => acts,
                (mut acts, TendonWords::Cut) => {
                    acts.insert(0, Act::Tenotomy);
                    acts
                }
                (_, TendonWords::Short) => {
                    short.push(parts.len());
                    vec![Act::Tenotomy]
                }
                (_, TendonWords::Unclear) => return None,
            },
        };
        parts.push(SaidPart { named, acts });
    }
    let has = |wanted: &dyn Fn(&Act) -> bool| parts.iter().flat_map(|part| &part.acts).any(wanted);
    let lone = has(&|act| matches!(act, Act::Missed | Act::Died | Act::Lost));
    let unclear = !short.is_empty() && !has(&|act| matches!(act, Act::Cast(..)));
    if lone || unclear || !has(&|_| true) {
        return None;
    }
    // "R & L tenotomy", "tenotomy R, L": the foot belongs to the only part beside it. In the middle it
    // stays a part without anything done, and whoever asks which foot is meant cannot tell.
    let last = parts.len() - 1;
    if let Some(at) = [0, last].into_iter().find(|&at| parts[at].is_bare()) {
        let (right, left) = parts.remove(at).named;
        let beside = &mut parts[at.saturating_sub(1)].named;
        *beside = (beside.0 || right, beside.1 || left);
    }
    Some(parts)
}

/// Whether a cell names a foot by a letter that means another foot in another language.
pub(crate) fn names_by_letter(text: &str) -> bool {
    fold(text).split(' ').any(|word| matches!(word, "d" | "i" | "g"))
}

/// Whether the whole cell is understood.
pub(crate) fn is_known(text: &str) -> bool {
    matches!(read(text), Said::Acts(_))
}

/// The acts that the words of a text name, none where they are all words around, and what they leave open
/// about the tendon; `None` where one of them is not known.
fn words(whole: &str) -> Option<(Vec<Act>, TendonWords)> {
    let words: Vec<&str> = whole.split(' ').filter(|word| !word.is_empty()).collect();
    let (mut cast, mut tenotomy, mut brace, mut fitted, mut review) = (false, false, false, false, false);
    let lists = &*DONE_LISTS;
    for (at, word) in words.iter().enumerate() {
        let number = number_with_unit(word);
        if is_no(&words, at) || lists.doubt.has(word) {
            return None;
        }
        let known = [
            (&mut tenotomy, &lists.tenotomy),
            (&mut brace, &lists.brace),
            (&mut fitted, &lists.fitted),
            (&mut review, &lists.review),
            (&mut cast, &lists.cast),
        ];
        let mut found = number || lists.around.has(word) || lists.night.has(word) || tenotomy::is_known(word);
        for (flag, list) in known {
            let here = list.has(word);
            *flag |= here;
            found |= here;
        }
        if !found {
            return None;
        }
    }
    let tendon = tenotomy::of_words(&words, tenotomy, cast);
    Some((acts(whole, cast, tenotomy, brace, fitted, review), tendon))
}

fn acts(whole: &str, cast: bool, tenotomy: bool, brace: bool, fitted: bool, review: bool) -> Vec<Act> {
    let mut out = Vec::new();
    let (regime, hours) = regime(whole);
    if tenotomy {
        out.push(Act::Tenotomy);
    }
    if cast {
        let pop = whole.split(' ').any(|word| word == "pop") || whole.contains("plaster of paris");
        out.push(Act::Cast(pop.then_some(CastMaterial::Plaster), None));
    }
    match (brace, fitted, review) {
        (true, _, true) if !fitted => out.push(Act::Review),
        (true, ..) => out.push(Act::Brace { fitted, regime, hours }),
        (false, _, true) => out.push(Act::Review),
        (false, ..) => {}
    }
    if !brace && !cast && !tenotomy && regime.is_some() {
        out.push(Act::Brace { fitted: false, regime, hours });
    }
    out
}

/// "no cast" denies; "cast no 4" counts.
fn is_no(words: &[&str], at: usize) -> bool {
    let counts = |word: &&str| word.bytes().all(|b| b.is_ascii_digit());
    words[at] == "no" && !words.get(at + 1).is_some_and(counts)
}

/// "3", "23h", "23hrs", "2nd".
fn number_with_unit(word: &str) -> bool {
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    let unit = &word[digits..];
    digits > 0 && digits <= 4 && (unit.is_empty() || DONE_LISTS.number_ending.has(unit))
}

/// The regime and hours a text names: "23h", "23/24", "12 hrs", "nights and naps", "full time".
pub(crate) fn regime(folded: &str) -> (Option<Regime>, Option<u8>) {
    let words: Vec<&str> = folded.split(' ').collect();
    let hours_word = |word: &str| DONE_LISTS.hours.has(word);
    let mut hours = None;
    for (at, word) in words.iter().enumerate() {
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        let Ok(value) = word[..digits].parse::<u8>() else { continue };
        let unit = &word[digits..];
        let next = words.get(at + 1).copied().unwrap_or("");
        let said = hours_word(unit) || (unit.is_empty() && (hours_word(next) || next == "24"));
        if said && (1..=24).contains(&value) && hours.is_none() {
            hours = Some(value);
        }
    }
    let night = words.iter().any(|word| DONE_LISTS.night.has(word));
    let full = DONE_LISTS.full_time.words().any(|phrase| folded.contains(phrase));
    (of_hours(hours, night, full), hours)
}

/// 18 hours and more is full time, 16 and less is nights (common practice, no source); between the two
/// and where words and hours disagree nothing is taken.
fn of_hours(hours: Option<u8>, night: bool, full: bool) -> Option<Regime> {
    let by_hours = match hours {
        Some(18..) => Some(Regime::FullTime),
        Some(..=16) => Some(Regime::NightTime),
        _ => None,
    };
    let by_words = match (night, full) {
        (true, false) => Some(Regime::NightTime),
        (false, true) => Some(Regime::FullTime),
        _ => None,
    };
    match (by_hours, by_words) {
        (Some(a), Some(b)) if a != b => None,
        (a, b) => a.or(b),
    }
}
