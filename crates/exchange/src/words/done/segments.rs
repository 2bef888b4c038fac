//! The words of a cell, sorted into the things it names.

use super::{
    phrases::phrase,
    said::{Act, NotUnderstood},
    spoken::{Token, is_act_word},
    words_of,
};

/// Most things that are read from one cell.
const MOST_PARTS: usize = 8;

/// The tokens of a part, and which of the groups between commas it belongs to.
pub(super) struct Segment {
    pub(super) tokens: Vec<Token>,
    pub(super) group: usize,
}

/// The parts: between marks, and on both sides of an "and" where something was done on both.
pub(super) fn segments(tokens: Vec<Token>) -> Result<Vec<Segment>, NotUnderstood> {
    let mut marked: Vec<(usize, Vec<Token>)> = vec![(0, Vec::new())];
    let mut group = 0;
    for token in tokens {
        let bare = marked.last().is_none_or(|(_, last)| !last.iter().any(|t| matches!(t, Token::Word(_))));
        match token {
            Token::Dash if bare => {}
            Token::Comma => {
                group += 1;
                marked.push((group, Vec::new()));
            }
            Token::Mark | Token::Dash => marked.push((group, Vec::new())),
            token => {
                if let Some((_, last)) = marked.last_mut() {
                    last.push(token);
                }
            }
        }
    }
    let mut out = Vec::new();
    for (group, tokens) in marked.into_iter().filter(|(_, tokens)| !tokens.is_empty()) {
        for piece in at_and(tokens) {
            out.extend(by_feet(piece)?.into_iter().map(|tokens| Segment { tokens, group }));
        }
    }
    if out.len() > MOST_PARTS { Err(NotUnderstood::Long) } else { Ok(out) }
}

/// Adds to the last of several lists.
trait ExtendLast<T> {
    fn extend_last(&mut self, item: T);
}

impl<T> ExtendLast<T> for Vec<Vec<T>> {
    fn extend_last(&mut self, item: T) {
        if let Some(last) = self.last_mut() {
            last.push(item);
        }
    }
}

/// "tenotomy R and cast L" is two things, "boots and bar" and "R and L" are one.
fn at_and(segment: Vec<Token>) -> Vec<Vec<Token>> {
    let mut out: Vec<Vec<Token>> = vec![Vec::new()];
    let mut rest = segment.into_iter();
    while let Some(token) = rest.next() {
        if token != Token::And {
            out.extend_last(token);
            continue;
        }
        let after = rest.as_slice().split(|token| *token == Token::And).next().unwrap_or_default();
        if out.last().is_some_and(|last| says_act(last)) && says_act(after) {
            out.push(Vec::new());
        }
    }
    out
}

/// Whether tokens name something done to a foot, an operation or a relapse.
fn says_act(tokens: &[Token]) -> bool {
    let named = phrase(&words_of(tokens).join(" "));
    tokens.iter().any(is_act) || matches!(named, Some(Act::Relapse | Act::Surgery(_)))
}

/// Whether a token names something done to a foot.
fn is_act(token: &Token) -> bool {
    matches!(token, Token::Word(word) if is_act_word(word))
}

/// "left tenotomy right cast" is two things, since each has its foot before it; "tenotomy R cast L" has it
/// behind. Any other order leaves open what was done to which foot.
fn by_feet(segment: Vec<Token>) -> Result<Vec<Vec<Token>>, NotUnderstood> {
    let mut order: Vec<char> = segment
        .iter()
        .filter_map(|token| match token {
            Token::Feet(_) => Some('f'),
            token if is_act(token) => Some('a'),
            _ => None,
        })
        .collect();
    order.dedup();
    let feet = order.iter().filter(|&&c| c == 'f').count();
    let acts = order.iter().filter(|&&c| c == 'a').count();
    if acts < 2 {
        return if feet < 2 { Ok(vec![segment]) } else { Err(NotUnderstood::WhichFoot) };
    }
    if feet > 1 && feet != acts {
        return Err(NotUnderstood::WhichFoot);
    }
    let feet_first = order.first() == Some(&'f');
    let mut out: Vec<Vec<Token>> = vec![Vec::new()];
    let mut last = None;
    for token in segment {
        let kind = match &token {
            Token::Feet(_) => Some('f'),
            token if is_act(token) => Some('a'),
            _ => None,
        };
        let turn = if feet_first { kind == Some('f') } else { kind == Some('a') };
        if turn && last.is_some() && last != kind {
            out.push(Vec::new());
        }
        last = kind.or(last);
        out.extend_last(token);
    }
    Ok(out)
}
