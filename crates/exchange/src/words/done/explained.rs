//! What the user stated about the words of what was done: of whole cells, of cells that differ by their numbers
//! only, and of single things that come among others in a cell.

use super::{phrases::phrase, spoken::is_act_word, tenotomy};
use crate::{
    lists::{DONE_LISTS, SIDE_LISTS},
    sides::{CellSides, WordSide},
    text::{ANY_NUMBER, fold, fold_marked, form_of, is_of_word, latin_digits, numbers_as},
};
use std::{borrow::Cow, collections::BTreeMap};

/// The answer that keeps the words of a cell and takes nothing as done.
pub(crate) const NOTE: &str = "note";
/// The answer that passes over words which say nothing of what was done.
pub(crate) const NOTHING: &str = "nothing";

/// What was said of the words of a file.
#[derive(Debug, Clone, Default)]
pub(crate) struct ExplainedWords {
    /// Whole cells, folded with their marks, and the plain words for them.
    cells: BTreeMap<String, String>,
    /// Forms of cells with any number.
    forms: BTreeMap<String, String>,
    /// Things that are not known otherwise, as their words, the longest first, and the plain words for them.
    things: Vec<(Vec<String>, String)>,
}

impl ExplainedWords {
    /// Sorts what a map file says.
    pub(crate) fn of(explained: &BTreeMap<String, String>, sides: &CellSides) -> Self {
        let mut out = Self::default();
        for (words, plain) in explained {
            if words.contains(ANY_NUMBER) {
                out.forms.insert(form_of(words), plain.clone());
                continue;
            }
            let words = fold_marked(words);
            let single: Vec<String> = words.split(' ').map(str::to_owned).collect();
            if single.iter().all(|word| is_open(word, sides)) {
                out.things.push((single, plain.clone()));
            }
            out.cells.insert(words, plain.clone());
        }
        out.things.sort_by_key(|(words, _)| std::cmp::Reverse(words.len()));
        out
    }

    /// The plain words for a whole cell.
    pub(crate) fn of_cell(&self, text: &str) -> Option<Cow<'_, str>> {
        if let Some(plain) = self.cells.get(&fold_marked(text)) {
            return Some(Cow::Borrowed(plain));
        }
        let plain = self.forms.get(&form_of(text)).filter(|_| !self.forms.is_empty())?;
        Some(Cow::Owned(with_numbers_of(plain, text)))
    }

    /// Whether the whole cell is explained.
    pub(crate) fn explains(&self, text: &str) -> bool {
        self.of_cell(text).is_some()
    }

    /// The cell with each thing that is explained in plain words.
    pub(crate) fn in_cell<'t>(&self, text: &'t str) -> Cow<'t, str> {
        let mut out = Cow::Borrowed(text);
        for (words, plain) in self.things.iter().filter(|(_, plain)| plain != NOTE) {
            let plain = if plain == NOTHING { "" } else { plain };
            if let Some(changed) = replaced(&out, words, plain) {
                out = Cow::Owned(changed);
            }
        }
        out
    }

    /// Whether the cell, or a thing in it, is kept as a note.
    pub(crate) fn is_note(&self, text: &str) -> bool {
        let no_act = |plain: &str| matches!(plain, NOTE | NOTHING);
        let of_thing =
            |(words, plain): &(Vec<String>, String)| plain == NOTE && replaced(text, words, "").is_some();
        self.of_cell(text).is_some_and(|plain| no_act(&plain)) || self.things.iter().any(of_thing)
    }
}

/// A word that no list explains, or a short form of the tendon: what a person says of it holds within other
/// cells as well.
fn is_open(word: &str, sides: &CellSides) -> bool {
    if tenotomy::short_form(word).is_some() {
        return true;
    }
    let lists = &*DONE_LISTS;
    let known = [
        &lists.cast,
        &lists.tenotomy,
        &lists.brace,
        &lists.fitted,
        &lists.review,
        &lists.around,
        &lists.night,
        &lists.duration,
        &lists.hours,
        &lists.number_word,
        &lists.doubt,
        &SIDE_LISTS.around,
    ];
    super::is_name(word)
        && !known.iter().any(|list| list.has(word))
        && !is_act_word(word)
        && !tenotomy::is_known(word)
        && phrase(word).is_none()
        && sides.of_word(word) == WordSide::Other
}

/// Folded words, next to each other, as a text writes them.
pub(crate) fn as_written<'t>(text: &'t str, words: &str) -> Option<&'t str> {
    let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
    let (from, to) = find(text, &words, 0)?;
    text.get(from..to)
}

/// The text with these words, next to each other, replaced; `None` where they do not come in it.
fn replaced(text: &str, words: &[String], plain: &str) -> Option<String> {
    let (mut out, mut from) = (String::new(), 0);
    while let Some((start, end)) = find(text, words, from) {
        out.push_str(text.get(from..start).unwrap_or(""));
        out.push_str(plain);
        from = end;
    }
    (from > 0).then(|| out + text.get(from..).unwrap_or(""))
}

/// Where folded words come next to each other in a text from a place on.
fn find(text: &str, words: &[String], from: usize) -> Option<(usize, usize)> {
    let spans = word_spans(text);
    let blank = |pair: &[(usize, usize)]| match pair {
        [one, other] => text.get(one.1..other.0).is_some_and(|gap| gap.trim().is_empty()),
        _ => true,
    };
    let is = |(span, word): (&(usize, usize), &String)| {
        text.get(span.0..span.1).is_some_and(|written| fold(written) == *word)
    };
    let same = |part: &&[(usize, usize)]| part.iter().zip(words).all(is) && part.windows(2).all(blank);
    let later = |part: &&[(usize, usize)]| part.first().is_some_and(|first| first.0 >= from);
    let part = spans.windows(words.len().max(1)).filter(later).find(same)?;
    Some((part.first()?.0, part.last()?.1))
}

/// Where the words of a text begin and end. A number at the end of a word is a word of its own.
fn word_spans(text: &str) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    let mut kind = ' ';
    for (at, c) in text.char_indices() {
        let now = match c {
            _ if c.is_ascii_digit() => '0',
            _ if is_of_word(c) => 'a',
            _ => ' ',
        };
        match (now, out.last_mut()) {
            (' ', _) => {}
            (_, Some(last)) if now == kind => last.1 = at + c.len_utf8(),
            _ => out.push((at, at + c.len_utf8())),
        }
        kind = now;
    }
    out
}

/// Plain words with the numbers of a cell in the places that they leave for them, in their order.
fn with_numbers_of(plain: &str, text: &str) -> String {
    let mut numbers = Vec::new();
    numbers_as(&latin_digits(text), |digits| {
        numbers.push(digits.to_owned());
        String::new()
    });
    let mut numbers = numbers.into_iter();
    let mut out = String::with_capacity(plain.len());
    for c in plain.chars() {
        if c.to_string() == ANY_NUMBER {
            out.push_str(&numbers.next().unwrap_or_default());
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn explained(words: &[(&str, &str)]) -> ExplainedWords {
        let words = words.iter().map(|&(word, plain)| (word.to_owned(), plain.to_owned())).collect();
        ExplainedWords::of(&words, &CellSides::default())
    }

    #[test]
    fn a_thing_is_explained_wherever_it_comes() {
        let explained = explained(&[
            ("zug", "cast"),
            ("zug weg", "review"),
            ("TAL", "tenotomy"),
            ("off", "cast"),
            ("r", "review"),
        ]);
        for (cell, expected) in [
            ("Zug 4 R", "cast 4 R"),
            ("zug4", "cast4"),
            ("tal L + Zug", "tenotomy L + cast"),
            ("zug weg, R", "review, R"),
            ("zug, weg", "cast, weg"),
            ("zugweg", "zugweg"),
            // Words that are known, or a foot, keep their meaning among others.
            ("cast off", "cast off"),
            ("cast R", "cast R"),
        ] {
            assert_eq!(explained.in_cell(cell), expected, "{cell}");
        }
        assert_eq!(explained.of_cell("R").as_deref(), Some("review"));
    }

    #[test]
    fn cells_that_differ_by_their_numbers_share_an_answer() {
        let explained = explained(&[("tenotomy r + cast ##", "tenotomy right, cast # right")]);
        assert_eq!(
            explained.of_cell("Tenotomy R + cast #5").as_deref(),
            Some("tenotomy right, cast 5 right")
        );
        assert_eq!(explained.of_cell("Tenotomy R + cast"), None);
        assert_eq!(explained.of_cell("Tenotomy R + cast 5 6"), None);
        // With the mark in another place the cell says something else.
        assert_eq!(explained.of_cell("Tenotomy + R cast 5"), None);
    }

    #[test]
    fn a_cell_with_a_thing_that_is_kept_as_a_note_is_one() {
        let explained = explained(&[("gugu", "note"), ("bobo", "nothing")]);
        assert!(explained.is_note("cast + gugu") && explained.is_note("Bobo"));
        assert!(!explained.is_note("cast + bobo"));
        assert_eq!(explained.in_cell("cast + bobo"), "cast + ");
    }
}
