//! What was done, read from a cell in any of the languages of the word lists. A cell is believed only when
//! every word of it is known; a word that denies, plans or doubts makes the whole cell unknown.

pub(crate) mod explained;
mod pairs;
mod phrases;
mod said;
mod segments;
mod spoken;
pub(crate) mod tenotomy;

use crate::{
    lists::{DONE_LISTS, SIDE_LISTS, WordSet},
    sides::CellSides,
    text::{ANY_NUMBER, fold},
};
use phrases::phrase;
use record::{CastMaterial, ProblemKind, Procedure, Regime, RemovalReason};
pub(crate) use said::{Act, CastSaid, NotUnderstood, SaidPart, SaidParts};
use segments::{Segment, segments};
use spoken::{CapitalE, Token, between_marks, has_capital_e, is_marked, tokens};
use std::collections::BTreeMap;
use tenotomy::TendonWords;

/// Reads one cell for what was done, whatever the foot.
pub(crate) fn acts_in(text: &str) -> Result<Vec<Act>, NotUnderstood> {
    let parts = parts(text, &CellSides::default(), CapitalE::And)?;
    Ok(parts.into_iter().flat_map(|part| part.acts).collect())
}

/// Every way to read a cell: one, or two where a capital E is "and" or a foot.
pub(crate) fn readings(text: &str, sides: &CellSides) -> Result<Vec<SaidParts>, NotUnderstood> {
    if !has_capital_e(text) {
        return parts(text, sides, CapitalE::Foot).map(|parts| vec![parts]);
    }
    let both = [CapitalE::And, CapitalE::Foot].map(|e| parts(text, sides, e));
    match both {
        [Err(why), Err(_)] => Err(why),
        both => Ok(both.into_iter().flatten().collect()),
    }
}

/// The parts of a cell, each with the feet that it names: "R tenotomy, L cast" has two.
fn parts(text: &str, sides: &CellSides, e: CapitalE) -> Result<SaidParts, NotUnderstood> {
    if text.chars().nth(200).is_some() {
        return Err(NotUnderstood::Long);
    }
    if let Some(sign) =
        text.chars().find(|c| matches!(c, '?' | '¿' | '→' | '>' | '<' | '=' | '≠' | '✗' | '✘'))
    {
        return Err(NotUnderstood::Doubt(vec![sign.to_string()]));
    }
    // A phrase is one thing, and marks between its words make several of it: "tenotomy, cast" is not the
    // cast after a tenotomy.
    let several = is_marked(text) && tenotomy::is_mentioned(text);
    if let Some(act) = known(&fold(text)).filter(|_| !several) {
        return Ok(vec![SaidPart { acts: vec![act], ..SaidPart::default() }]);
    }
    let tokens = tokens(text, sides, e)?;
    if let Some(part) = one_phrase(&tokens).filter(|_| !several) {
        return Ok(vec![part]);
    }
    join(segments(tokens)?)
}

/// What a phrase means, or the record's own words.
fn known(text: &str) -> Option<Act> {
    phrase(text).cloned().or_else(|| of_record(text))
}

/// A cell that is one phrase and words for a foot.
fn one_phrase(tokens: &[Token]) -> Option<SaidPart> {
    let mut part = named_by(tokens);
    part.acts = vec![known(&words_of(tokens).join(" "))?];
    Some(part)
}

/// A part with the feet that its tokens name, and nothing done yet.
fn named_by(tokens: &[Token]) -> SaidPart {
    let mut part = SaidPart::default();
    for token in tokens {
        match token {
            Token::Feet(feet) => part.name(feet.each()),
            Token::Each => part.every = true,
            _ => {}
        }
    }
    part
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

/// The parts that segments make. "TA" with a cast is its tenotomy.
fn join(segments: Vec<Segment>) -> Result<SaidParts, NotUnderstood> {
    let (mut parts, mut groups, mut short) = (Vec::new(), Vec::new(), false);
    for segment in segments {
        let (part, tendon) = part(&segment.tokens)?;
        short |= tendon == TendonWords::Short;
        parts.push(part);
        groups.push(segment.group);
    }
    name_groups(&mut parts, &groups);
    let has = |wanted: &dyn Fn(&Act) -> bool| parts.iter().flat_map(|part| &part.acts).any(wanted);
    if short && !has(&|act| matches!(act, Act::Cast(_))) {
        return Err(NotUnderstood::Tendon);
    }
    let alone = has(&|act| matches!(act, Act::Missed | Act::Died | Act::Lost)) && parts.len() > 1;
    if alone || !has(&|_| true) {
        return Err(NotUnderstood::Words(Vec::new()));
    }
    // "R & L tenotomy", "tenotomy R, L": the foot belongs to the only part next to it. In the middle it
    // stays a part without anything done, and whoever asks which foot is meant cannot tell.
    let last = parts.len() - 1;
    if let Some(at) = [0, last].into_iter().find(|&at| parts.get(at).is_some_and(SaidPart::is_bare)) {
        let (right, left) = parts.remove(at).named;
        if let Some(beside) = parts.get_mut(at.saturating_sub(1)) {
            beside.named = (beside.named.0 || right, beside.named.1 || left);
        }
    }
    one_brace(&mut parts);
    Ok(parts)
}

/// "R TA + POP 6, L POP 6": where each group between commas names one foot, all of the group is of it.
fn name_groups(parts: &mut [SaidPart], groups: &[usize]) {
    let mut feet: BTreeMap<usize, (bool, bool)> = BTreeMap::new();
    for (part, group) in parts.iter().zip(groups) {
        let named = feet.entry(*group).or_default();
        *named = (named.0 || part.named.0, named.1 || part.named.1);
    }
    if feet.len() < 2 || !feet.values().all(|named| named.0 != named.1) {
        return;
    }
    for (part, group) in parts.iter_mut().zip(groups) {
        if part.named == (false, false) {
            part.named = feet.get(group).copied().unwrap_or_default();
        }
    }
}

/// "FAB fitted, nights": all that a cell says of the brace is of one brace.
fn one_brace(parts: &mut [SaidPart]) {
    let mut whole: Option<Act> = None;
    for act in parts.iter().flat_map(|part| &part.acts) {
        let Act::Brace { fitted, regime, hours } = *act else { continue };
        whole = Some(match whole {
            Some(Act::Brace { fitted: f, regime: r, hours: h }) => {
                Act::Brace { fitted: f || fitted, regime: r.or(regime), hours: h.or(hours) }
            }
            _ => act.clone(),
        });
    }
    for part in parts {
        part.acts.retain(|act| !matches!(act, Act::Brace { .. }) || whole.is_some());
        if let Some(brace) = part.acts.iter_mut().find(|act| matches!(act, Act::Brace { .. }))
            && let Some(whole) = whole.take()
        {
            *brace = whole;
        }
    }
}

/// One part, and what its words leave open about the tendon.
fn part(segment: &[Token]) -> Result<(SaidPart, TendonWords), NotUnderstood> {
    let words = words_of(segment);
    let mut part = named_by(segment);
    if words.is_empty() {
        return Ok((part, TendonWords::Plain));
    }
    let whole = words.join(" ");
    if let Some(act) = known(&whole) {
        part.acts = vec![act];
        return Ok((part, TendonWords::Plain));
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let (mut acts, tendon) = acts_of(&words)?;
    match tendon {
        TendonWords::Plain => {}
        TendonWords::Cut | TendonWords::Short => acts.insert(0, Act::Tenotomy),
        TendonWords::Unclear => return Err(NotUnderstood::Tendon),
    }
    number_cast(segment, &mut acts)?;
    part.acts = acts;
    Ok((part, tendon))
}

/// The words and numbers of a part, without those for a foot.
fn words_of(tokens: &[Token]) -> Vec<String> {
    let word = |token: &Token| match token {
        Token::Word(word) => Some(word.clone()),
        Token::Number(number, _) => Some(number.to_string()),
        Token::Feet(_) | Token::Each | Token::And | Token::Comma | Token::Mark | Token::Dash => None,
    };
    tokens.iter().filter_map(word).collect()
}

/// Gives the cast of a part its number. Every number of a part with a cast or a tenotomy must be that of
/// the cast, or a length of time.
fn number_cast(segment: &[Token], acts: &mut [Act]) -> Result<(), NotUnderstood> {
    let strict = acts.iter().any(|act| matches!(act, Act::Cast(_) | Act::Tenotomy | Act::TenotomyOnly));
    if !strict {
        return Ok(());
    }
    let lists = &*DONE_LISTS;
    let has = |at: Option<usize>, list: &WordSet| match at.and_then(|at| segment.get(at)) {
        Some(Token::Word(word)) => list.has(word),
        _ => false,
    };
    let is_cast = |at: Option<usize>| has(at, &lists.cast);
    let is_foot = |at: Option<usize>| matches!(at.and_then(|at| segment.get(at)), Some(Token::Feet(_)));
    let mut number = None;
    for (at, token) in segment.iter().enumerate() {
        let Token::Number(written, ordinal) = *token else { continue };
        if has(Some(at + 1), &lists.duration) || has(Some(at + 1), &lists.hours) {
            continue;
        }
        let mut before = at.checked_sub(1);
        // "POP both 5", "cast R no 3".
        while has(before, &lists.number_word) || is_foot(before) {
            before = before.and_then(|at| at.checked_sub(1));
        }
        let counts = is_cast(before) || (ordinal && (is_cast(Some(at + 1)) || is_cast(Some(at + 2))));
        let value = u8::try_from(written).ok().filter(|value| (1..=60).contains(value));
        match value.filter(|_| counts && number.is_none()) {
            Some(value) => number = Some(value),
            None => return Err(NotUnderstood::Number(written.to_string())),
        }
    }
    for act in acts {
        if let Act::Cast(cast) = act {
            cast.number = number;
        }
    }
    Ok(())
}

/// The cell without the pieces between marks that say nothing of what was done; as it is where that leaves
/// none.
pub(crate) fn without_pieces(text: &str, says_nothing: &dyn Fn(&str) -> bool) -> Option<String> {
    let pieces = between_marks(text);
    let left: Vec<&str> = pieces.iter().copied().filter(|piece| !says_nothing(&fold(piece))).collect();
    (!left.is_empty() && left.len() < pieces.len()).then(|| left.join(", "))
}

/// The only piece between marks that is not understood, folded, where something was done by the others. None
/// where it names a foot, which the rest of the cell would lose: "tenotomy R/L planned".
pub(crate) fn piece_in_doubt(text: &str, sides: &CellSides) -> Option<String> {
    let mut found = None;
    let pieces = between_marks(text);
    for piece in &pieces {
        match parts(piece, sides, CapitalE::And) {
            Err(NotUnderstood::Words(_) | NotUnderstood::Thing(_) | NotUnderstood::Doubt(_))
                if found.is_none() =>
            {
                found = Some(fold(piece))
            }
            Err(NotUnderstood::Tendon) | Ok(_) => {}
            Err(_) => return None,
        }
    }
    let footless = |piece: &String| sides.named_within(piece) == (false, false);
    found.filter(|piece| pieces.len() > 1 && !piece.is_empty() && footless(piece))
}

/// Whether a text has a word for a cast, a tenotomy or a brace.
pub(crate) fn names_treatment(text: &str) -> bool {
    let lists = &*DONE_LISTS;
    let whole = fold(text);
    let mut words = whole.split(' ');
    words.any(|word| [&lists.cast, &lists.tenotomy, &lists.brace].iter().any(|list| list.has(word)))
        || tenotomy::is_mentioned(text)
        || phrase(&whole).is_some()
}

/// What parts say, in the plain words of a map file; what names no foot is done to `unnamed`. With
/// `any_number` the words hold for cells with other numbers as well. `None` where there are no such words for
/// one of the acts.
pub(crate) fn in_plain_words(parts: &[SaidPart], unnamed: &str, any_number: bool) -> Option<String> {
    let mut out: Vec<String> = Vec::new();
    for part in parts {
        let foot = match part.named {
            (true, true) => "both",
            (true, false) => "right",
            (false, true) => "left",
            (false, false) => unnamed,
        };
        for act in &part.acts {
            out.push(match act {
                Act::Tenotomy => format!("tenotomy {foot}"),
                Act::Cast(cast) => match cast.number {
                    Some(_) if any_number => format!("cast {ANY_NUMBER} {foot}"),
                    Some(number) => format!("cast {number} {foot}"),
                    None => format!("cast {foot}"),
                },
                Act::Relapse => format!("relapse {foot}"),
                Act::Review => "review".to_owned(),
                _ => return None,
            });
        }
    }
    Some(out.join(", "))
}

/// Whether the whole cell is understood, save which foot a letter means.
pub(crate) fn is_known(text: &str) -> bool {
    match parts(text, &CellSides::default(), CapitalE::And) {
        Ok(_) => true,
        Err(why) => matches!(why, NotUnderstood::Foot(_) | NotUnderstood::WhichFoot),
    }
}

/// The acts that words name, none where they are all words around, and what they leave open about the
/// tendon.
fn acts_of(words: &[&str]) -> Result<(Vec<Act>, TendonWords), NotUnderstood> {
    let (mut cast, mut tenotomy, mut brace, mut fitted, mut review) = (false, false, false, false, false);
    let lists = &*DONE_LISTS;
    let (mut unknown, mut doubt) = (Vec::new(), Vec::new());
    for (at, word) in words.iter().enumerate() {
        if is_no(words, at) || lists.doubt.has(word) {
            doubt.push((*word).to_owned());
            continue;
        }
        let known = [
            (&mut tenotomy, &lists.tenotomy),
            (&mut brace, &lists.brace),
            (&mut fitted, &lists.fitted),
            (&mut review, &lists.review),
            (&mut cast, &lists.cast),
        ];
        let mut found = number_with_unit(word)
            || [&lists.around, &lists.night, &lists.duration, &SIDE_LISTS.around]
                .iter()
                .any(|list| list.has(word))
            || tenotomy::is_known(word);
        for (flag, list) in known {
            let here = list.has(word);
            *flag |= here;
            found |= here;
        }
        if !found {
            unknown.push((*word).to_owned());
        }
    }
    if !doubt.is_empty() {
        return Err(NotUnderstood::Doubt(doubt));
    }
    if !unknown.is_empty() {
        let other =
            cast || tenotomy || brace || fitted || review || words.iter().any(|w| tenotomy::is_known(w));
        return Err(if other { NotUnderstood::Words(unknown) } else { one_thing(words, unknown) });
    }
    let tendon = tenotomy::of_words(words, tenotomy, cast);
    Ok((acts(&words.join(" "), cast, tenotomy, brace, fitted, review), tendon))
}

/// Most words of a thing that is asked about by itself.
const MOST_WORDS: usize = 3;

/// Unknown words next to each other are one thing, which is asked about wherever it comes.
fn one_thing(words: &[&str], unknown: Vec<String>) -> NotUnderstood {
    let together = words.windows(unknown.len()).any(|part| part.iter().eq(unknown.iter()));
    if together && unknown.len() <= MOST_WORDS && unknown.iter().all(|word| is_name(word)) {
        NotUnderstood::Thing(unknown.join(" "))
    } else {
        NotUnderstood::Words(unknown)
    }
}

/// Letters only, and more than one: a single letter may be a foot in the next cell.
fn is_name(word: &str) -> bool {
    word.chars().nth(1).is_some() && !word.chars().any(|c| c.is_ascii_digit())
}

fn acts(whole: &str, cast: bool, tenotomy: bool, brace: bool, fitted: bool, review: bool) -> Vec<Act> {
    let mut out = Vec::new();
    let (regime, hours) = regime(whole);
    if tenotomy {
        out.push(Act::Tenotomy);
    }
    if cast {
        let pop = whole.split(' ').any(|word| word == "pop") || whole.contains("plaster of paris");
        let material = pop.then_some(CastMaterial::Plaster);
        out.push(Act::Cast(CastSaid { material, ..CastSaid::default() }));
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
    words.get(at) == Some(&"no") && !words.get(at + 1).is_some_and(counts)
}

/// "3", "23h", "23hrs", "2nd".
fn number_with_unit(word: &str) -> bool {
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    let unit = word.get(digits..).unwrap_or_default();
    digits > 0 && digits <= 4 && (unit.is_empty() || DONE_LISTS.number_ending.has(unit))
}

/// The regime and hours a text names: "23h", "23/24", "12 hrs", "nights and naps", "full time".
pub(crate) fn regime(folded: &str) -> (Option<Regime>, Option<u8>) {
    let words: Vec<&str> = folded.split(' ').collect();
    let hours_word = |word: &str| DONE_LISTS.hours.has(word);
    let mut hours = None;
    for (at, word) in words.iter().enumerate() {
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        let (number, unit) = word.split_at(digits);
        let Ok(value) = number.parse::<u8>() else { continue };
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
