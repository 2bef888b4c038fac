//! The words of a cell that says what was done, cut where it parts one thing from another.

use super::{pairs::are_both_feet, said::NotUnderstood};
use crate::{
    lists::DONE_LISTS,
    sides::{CellSides, WordSide},
    text::{COMMAS, MARKS, fold, is_of_word},
};
use record::Sides;

/// One word or mark of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    /// A word for a foot or both.
    Feet(Sides),
    /// "each": every foot that the row is about.
    Each,
    /// "and" in any language.
    And,
    /// A number; whether it is written as an ordinal number.
    Number(u16, bool),
    /// Any other word, folded.
    Word(String),
    /// A comma or semicolon.
    Comma,
    /// A plus sign, a stroke and so on, which part less than a comma.
    Mark,
    /// A dash between blanks: a mark, or a colon after a foot.
    Dash,
}

/// A word as written.
struct Written {
    folded: String,
    /// Whether it is one letter, and a capital.
    capital: bool,
    /// Whether a full stop or a degree sign follows.
    stopped: bool,
}

enum Piece {
    Word(Written),
    Sign(Token),
}

/// How a capital E between two words is read where everything is in capitals: Portuguese has "and" and
/// "esquerdo".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CapitalE {
    Foot,
    And,
}

/// Whether the cell is in capitals and has an E between two words.
pub(super) fn has_capital_e(text: &str) -> bool {
    !text.chars().any(char::is_lowercase) && text.split(' ').any(|word| word == "E")
}

/// The tokens of a cell.
pub(super) fn tokens(text: &str, sides: &CellSides, e: CapitalE) -> Result<Vec<Token>, NotUnderstood> {
    let loud = !text.chars().any(char::is_lowercase);
    let cell = CellPieces { pieces: pieces(&spelled_out(text)), capital_e_joins: loud && e == CapitalE::And };
    let mut out = Vec::with_capacity(cell.pieces.len());
    let mut at = 0;
    while let Some(piece) = cell.pieces.get(at) {
        if cell.is_pair(at, sides) {
            if cell.says_something(at, false) && cell.says_something(at + 2, true) {
                return Err(NotUnderstood::WhichFoot);
            }
            out.push(Token::Feet(Sides::Both));
            at += 3;
            continue;
        }
        out.push(match piece {
            Piece::Sign(sign) => sign.clone(),
            Piece::Word(_) if cell.is_and(at) => Token::And,
            Piece::Word(word) => token(word, sides)?,
        });
        at += 1;
    }
    Ok(out)
}

/// The words and marks of a cell, and whether a capital E between two words is "and".
struct CellPieces {
    pieces: Vec<Piece>,
    capital_e_joins: bool,
}

impl CellPieces {
    fn word(&self, at: usize) -> Option<&Written> {
        match self.pieces.get(at)? {
            Piece::Word(word) => Some(word),
            Piece::Sign(_) => None,
        }
    }

    fn is_and(&self, at: usize) -> bool {
        let Some(word) = self.word(at) else { return false };
        let between = at.checked_sub(1).is_some_and(|before| self.word(before).is_some())
            && self.word(at + 1).is_some();
        let small_e = between && word.folded == "e" && (!word.capital || self.capital_e_joins);
        small_e || DONE_LISTS.tendon.and.has(&word.folded)
    }

    /// Whether words for the two feet begin here, with a mark or "and" between them.
    fn is_pair(&self, at: usize, sides: &CellSides) -> bool {
        let joined = matches!(self.pieces.get(at + 1), Some(Piece::Sign(Token::Mark))) || self.is_and(at + 1);
        let (Some(first), Some(second)) = (self.word(at), self.word(at + 2)) else { return false };
        joined && are_both_feet(sides, &first.folded, &second.folded)
    }

    /// Whether words for something other than a foot or a number come next to a piece, up to a mark or
    /// "and". With such words on both sides, "tenotomy R / L cast" may name both feet for each, or one.
    fn says_something(&self, at: usize, after: bool) -> bool {
        let next = |at: usize| if after { at.checked_add(1) } else { at.checked_sub(1) };
        let mut place = next(at);
        while let Some(word) =
            place.and_then(|at| self.word(at)).filter(|_| !place.is_some_and(|at| self.is_and(at)))
        {
            let counts = word.folded.starts_with(|c: char| c.is_ascii_digit())
                || DONE_LISTS.number_word.has(&word.folded)
                || DONE_LISTS.duration.has(&word.folded);
            if is_act_word(&word.folded) || !(counts || DONE_LISTS.around.has(&word.folded)) {
                return true;
            }
            place = place.and_then(next);
        }
        false
    }
}

fn token(word: &Written, sides: &CellSides) -> Result<Token, NotUnderstood> {
    let digits = word.folded.bytes().take_while(u8::is_ascii_digit).count();
    let (number, ending) = word.folded.split_at(digits);
    if (1..=4).contains(&digits) && (ending.is_empty() || DONE_LISTS.ordinal_ending.has(ending)) {
        let value = number.parse().unwrap_or(u16::MAX);
        return Ok(Token::Number(value, !ending.is_empty() || word.stopped));
    }
    if let Some(number) = DONE_LISTS.ordinal.number(&word.folded) {
        return Ok(Token::Number(number, true));
    }
    if word.folded == "each" {
        return Ok(Token::Each);
    }
    match sides.of_word(&word.folded) {
        WordSide::Feet(feet) => Ok(Token::Feet(feet)),
        WordSide::Doubtful => Err(NotUnderstood::Foot(word.folded.clone())),
        WordSide::Other => Ok(Token::Word(word.folded.clone())),
    }
}

/// The pieces of a text between marks.
pub(super) fn between_marks(text: &str) -> Vec<&str> {
    text.split(|c| COMMAS.contains(&c) || MARKS.contains(&c)).map(str::trim).collect()
}

/// Whether a text has a mark that parts one thing from another.
pub(super) fn is_marked(text: &str) -> bool {
    text.contains(COMMAS) || text.contains(MARKS)
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut out = Vec::new();
    let chars: Vec<char> = text.chars().collect();
    let at = |index: usize| chars.get(index).copied();
    let mut raw = String::new();
    for (index, &c) in chars.iter().enumerate() {
        let before = index.checked_sub(1).and_then(at);
        // "T.A." is one word.
        let within = c == '.'
            && raw.chars().filter(|c| *c != '.').count() > 0
            && raw.split('.').all(|part| part.chars().count() <= 1)
            && raw.chars().all(|c| c.is_alphabetic() || c == '.')
            && at(index + 1).is_some_and(char::is_alphabetic)
            && !at(index + 2).is_some_and(char::is_alphanumeric);
        if is_of_word(c) || within {
            raw.push(c);
            continue;
        }
        finish(&mut raw, matches!(c, '.' | '°'), &mut out);
        let blank = |c: Option<char>| c.is_none_or(char::is_whitespace);
        if COMMAS.contains(&c) {
            out.push(Piece::Sign(Token::Comma));
        } else if MARKS.contains(&c) {
            out.push(Piece::Sign(Token::Mark));
        } else if matches!(c, '-' | '–' | '—') && blank(before) && blank(at(index + 1)) {
            out.push(Piece::Sign(Token::Dash));
        }
    }
    finish(&mut raw, false, &mut out);
    out
}

fn finish(raw: &mut String, stopped: bool, out: &mut Vec<Piece>) {
    let written = std::mem::take(raw).replace('.', "");
    let mut letters = written.chars();
    let capital = letters.next().is_some_and(char::is_uppercase) && letters.next().is_none();
    let folded = fold(&written);
    for word in folded.split(' ').filter(|word| !word.is_empty()) {
        let mut push =
            |word: &str| out.push(Piece::Word(Written { folded: word.to_owned(), capital, stopped }));
        match unglued(word) {
            Some((first, second)) => {
                push(first);
                push(second);
            }
            None => push(word),
        }
    }
}

/// "POP6", and the Arabic "and" at the beginning of a word.
fn unglued(word: &str) -> Option<(&str, &str)> {
    let letters = word.find(|c: char| c.is_ascii_digit()).filter(|&at| at > 0);
    if let Some((cast, number)) = letters.map(|at| word.split_at(at)) {
        let plain = DONE_LISTS.cast.has(cast) && number.bytes().all(|b| b.is_ascii_digit());
        return plain.then_some((cast, number));
    }
    let rest = word.strip_prefix('و')?;
    let known = DONE_LISTS.cast.has(rest) || DONE_LISTS.brace.has(rest) || DONE_LISTS.review.has(rest);
    known.then(|| (word.split_at(word.len() - rest.len()).0, rest))
}

/// "3/52" as "3 weeks", "r/v" as "review": marks that part nothing. A stroke between two other numbers
/// stays, so that "23/24" is one thing.
fn spelled_out(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('/') {
        let apart = |c: char| !c.is_alphanumeric();
        let left = before.rsplit(apart).next().unwrap_or_default();
        let right = after.split(apart).next().unwrap_or_default();
        match strokes(&left.to_lowercase(), &right.to_lowercase()) {
            Some(words) => {
                out.push_str(before.strip_suffix(left).unwrap_or(before));
                out.push_str(&words);
                rest = after.strip_prefix(right).unwrap_or(after);
            }
            None => {
                out.push_str(before);
                out.push('/');
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

/// What two words with a stroke between them are short for.
fn strokes(left: &str, right: &str) -> Option<String> {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    match (left, right) {
        (n, "52") if number(n) => Some(format!("{n} weeks")),
        (n, "12") if number(n) => Some(format!("{n} months")),
        (n, "7") if number(n) => Some(format!("{n} days")),
        (a, b) if number(a) && number(b) => Some(format!("{a} {b}")),
        ("r", "v") => Some("review".to_owned()),
        ("f", "u") => Some("followup".to_owned()),
        ("b", "l") => Some("bilateral".to_owned()),
        ("w", "") => Some("with".to_owned()),
        _ => None,
    }
}

/// Whether a folded word names something done to a foot.
pub(super) fn is_act_word(word: &str) -> bool {
    let lists = &*DONE_LISTS;
    [&lists.cast, &lists.tenotomy, &lists.review].iter().any(|list| list.has(word))
        || matches!(word, "ta" | "tal" | "قطع" | "بضع")
}
