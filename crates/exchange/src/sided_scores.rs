//! Scores that name their foot in the cell: "R 4.5 L 3", "4.5 (R)".

use crate::sides::{self, CellSides, WordSide};
use record::{Side, Sides};

/// The scores of the right and the left foot, as written; empty for a foot that the cell does not name.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct SidedScores<'t> {
    right: &'t str,
    left: &'t str,
}

impl<'t> SidedScores<'t> {
    pub(crate) const fn of(self, side: Side) -> &'t str {
        match side {
            Side::Right => self.right,
            Side::Left => self.left,
        }
    }

    /// Reads a cell in which each number has one foot before it, or each has one behind it, and nothing else
    /// is written. `None` for any other cell, and where a word for a foot is in doubt.
    pub(crate) fn read(text: &'t str, sides: &CellSides) -> Option<Self> {
        Self::with(text, |word| match sides.of_word(word) {
            WordSide::Feet(Sides::Right) => Some(Side::Right),
            WordSide::Feet(Sides::Left) => Some(Side::Left),
            _ => None,
        })
    }

    /// The first word of such a cell that may be a foot, where nothing settles which.
    pub(crate) fn word_in_doubt(text: &str, sides: &CellSides) -> Option<String> {
        let words = runs(text).filter(|_| Self::is_written(text))?;
        let words = words.into_iter().filter(|run| !is_number(run)).map(str::to_lowercase);
        words.into_iter().find(|word| sides.of_word(word) == WordSide::Doubtful)
    }

    /// Whether a cell is written so, in any of the languages.
    pub(crate) fn is_written(text: &str) -> bool {
        SidedScores::with(text, sides::of_either_letter).is_some()
    }

    fn with(text: &'t str, side_of: impl Fn(&str) -> Option<Side>) -> Option<Self> {
        let runs = runs(text)?;
        if runs.is_empty() || runs.len() > 4 {
            return None;
        }
        let number_first = is_number(runs.first()?);
        let mut out = Self::default();
        for pair in runs.chunks(2) {
            let [first, second] = *pair else { return None };
            let (number, word) = if number_first { (first, second) } else { (second, first) };
            if !is_number(number) || is_number(word) {
                return None;
            }
            let foot = match side_of(&word.to_lowercase())? {
                Side::Right => &mut out.right,
                Side::Left => &mut out.left,
            };
            if !std::mem::replace(foot, number).is_empty() {
                return None;
            }
        }
        Some(out)
    }
}

fn is_number(run: &str) -> bool {
    run.starts_with(|c: char| c.is_ascii_digit())
}

/// The words and numbers of a text; `None` where it holds a sign that says more than blanks and brackets do.
fn runs(text: &str) -> Option<Vec<&str>> {
    let mut out: Vec<&str> = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = if c.is_ascii_digit() {
            rest.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(rest.len())
        } else if c.is_alphabetic() {
            rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len())
        } else if c.is_whitespace() || matches!(c, '(' | ')' | ':' | ';' | '/' | ',' | '.' | '=') {
            rest = rest.get(c.len_utf8()..)?;
            continue;
        } else {
            return None;
        };
        let (run, after) = rest.split_at_checked(length)?;
        out.push(run.trim_end_matches(['.', ',']));
        rest = after;
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_number_has_one_foot() {
        let read = |text| SidedScores::read(text, &CellSides::default()).map(|read| (read.right, read.left));
        for (text, expected) in [
            ("R 4.5 L 3", ("4.5", "3")),
            ("L 3, R 4,5", ("4,5", "3")),
            ("R4.5/L3", ("4.5", "3")),
            ("4.5 (R)", ("4.5", "")),
            ("Rt: 4.5; Lt: 3.", ("4.5", "3")),
            ("3 left", ("", "3")),
        ] {
            assert_eq!(read(text), Some(expected), "{text}");
        }
        for text in [
            "",
            "4.5",
            "R",
            "R 4.5 L",
            "R 4.5 R 3",
            "R 4/6",
            "R 4-5",
            "R 2+3",
            "4.5 both",
            "R 4.5 3 L",
            "R 4 L 3 R 2",
            "4 d",
            "4 bad",
            "-4 R",
            "R 4?",
            "R 4 L -",
            "R L 4 3",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
