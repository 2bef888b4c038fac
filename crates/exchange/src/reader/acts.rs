//! What the columns for acts say: done, brace, attended.

use super::{Reader, RowRead, Sitting};
use crate::{
    Reason,
    text::fold,
    values::{self, Read},
    words::done::{self, Act, Said},
};
use record::Side;

impl Reader<'_> {
    /// What the columns for acts say, for the whole sitting or for one foot.
    pub(super) fn said(&self, sitting: &mut Sitting<'_>, out: &mut RowRead) {
        let row = sitting.row;
        for &(side, column) in &sitting.columns.done {
            let text = self.text(row, Some(column));
            if text.is_empty() {
                continue;
            }
            let said = self.words(text);
            match said {
                Said::Acts(acts) if self.sides_agree(text, side, &sitting.named) => {
                    sitting.acts.extend(acts.into_iter().map(|act| (side, act)));
                }
                Said::Acts(_) => {
                    let text = "The words name a foot of their own; they are kept as a note and nothing is taken as done.";
                    out.questions.push(self.remark(
                        Reason::UnknownWord,
                        column,
                        self.cell(row, column),
                        text,
                    ));
                    sitting.noted.push(column);
                }
                Said::Unknown => {
                    let text =
                        "These words are not known; they are kept as a note and nothing is taken as done.";
                    out.questions.push(self.remark(
                        Reason::UnknownWord,
                        column,
                        self.cell(row, column),
                        text,
                    ));
                    sitting.noted.push(column);
                }
            }
        }
        if let Some(column) = sitting.columns.brace {
            self.brace(row, column, sitting, out);
        }
        if let Some(column) = sitting.columns.attended {
            self.attended(row, column, sitting, out);
        }
        sitting.missed |= sitting.acts.iter().any(|(_, act)| *act == Act::Missed);
        sitting.acts.retain(|(_, act)| *act != Act::Missed);
    }

    fn words(&self, text: &str) -> Said {
        if let Some(said) = self.read_before.borrow().get(text) {
            return said.clone();
        }
        let said = match self.map.done_words.get(&fold(text)) {
            Some(plain) => done::read(plain),
            None => done::read(text),
        };
        let mut before = self.read_before.borrow_mut();
        if before.len() < 10_000 {
            before.insert(text.to_owned(), said.clone());
        }
        said
    }

    /// Whether the side words within an act's words fit the feet of the row.
    fn sides_agree(&self, text: &str, side: Option<Side>, named: &[Side]) -> bool {
        let (right, left) = done::sides_named(text);
        if !right && !left {
            return true;
        }
        let meant: Vec<Side> = side.map_or_else(|| named.to_vec(), |side| vec![side]);
        !meant.is_empty() && meant.contains(&Side::Right) == right && meant.contains(&Side::Left) == left
    }

    /// A column that asks for a brace with yes or no.
    fn brace(&self, row: usize, column: usize, sitting: &mut Sitting<'_>, out: &mut RowRead) {
        let named = sitting.acts.iter().any(|(_, act)| matches!(act, Act::Brace { .. }));
        match values::yes_no(self.text(row, Some(column))) {
            Read::Value(true) if !named => {
                sitting.acts.push((None, Act::Brace { fitted: false, regime: None, hours: None }));
            }
            Read::Unreadable => {
                let why = "This does not say whether there is a brace; it is kept as a note.";
                out.questions.push(self.remark(Reason::UnknownWord, column, self.cell(row, column), why));
                sitting.noted.push(column);
            }
            _ => {}
        }
    }

    fn attended(&self, row: usize, column: usize, sitting: &mut Sitting<'_>, out: &mut RowRead) {
        let text = self.text(row, Some(column));
        match values::yes_no(text) {
            Read::Nothing => {}
            // A heading "DNA" asks the opposite of "Attended".
            Read::Value(yes) => {
                let dna =
                    matches!(fold(&self.column_name(column)).as_str(), "dna" | "missed" | "did not attend");
                sitting.missed |= yes == dna;
                sitting.came |= yes != dna;
            }
            Read::Unreadable => match done::read(text) {
                Said::Acts(acts) if acts == [Act::Missed] => sitting.missed = true,
                Said::Acts(acts) if acts == [Act::Review] => sitting.came = true,
                _ if fold(text) == "attended" || fold(text) == "came" => sitting.came = true,
                _ => {
                    let why = "This does not say whether the child came; it is kept as a note.";
                    out.questions.push(self.remark(Reason::UnknownWord, column, self.cell(row, column), why));
                    sitting.noted.push(column);
                }
            },
        }
    }
}
