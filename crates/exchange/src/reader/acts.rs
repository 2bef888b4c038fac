//! What the columns for acts say: done, brace, attended.

use super::{Reader, RowRead, Sitting, needs_foot};
use crate::{
    ImportReason,
    sides::named_within,
    text::fold,
    values::{self, Read},
    words::done::{self, Act, Said, SaidPart},
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
            match self.words(text) {
                Said::Acts(acts) => match self.by_foot(text, side, sitting, acts) {
                    Some(acts) => sitting.acts.extend(acts),
                    None => {
                        let why = "The words name a foot of their own, or leave open which foot each thing was done to; they are kept as a note and nothing is taken as done.";
                        out.questions.push(self.remark(
                            ImportReason::UnknownWord,
                            column,
                            self.cell(row, column),
                            why,
                        ));
                        sitting.noted.push(column);
                    }
                },
                Said::Unknown if self.is_note(text) => sitting.noted.push(column),
                Said::Unknown => {
                    let why = if done::tenotomy::may_be_meant(text) {
                        "A tenotomy may be meant, and the words do not say so for certain; they are kept as a note and nothing is taken as done. A map file can say what they mean."
                    } else {
                        "These words are not known; they are kept as a note and nothing is taken as done."
                    };
                    out.questions.push(self.remark(
                        ImportReason::UnknownWord,
                        column,
                        self.cell(row, column),
                        why,
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

    /// Whether the map file says that the words are no act.
    fn is_note(&self, text: &str) -> bool {
        self.map.done_words.get(&fold(text)).is_some_and(|plain| plain == "note")
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

    /// What was done to which foot: as the words of each part say, else as the column or the row does;
    /// `None` where that is in doubt.
    fn by_foot(
        &self,
        text: &str,
        side: Option<Side>,
        sitting: &Sitting<'_>,
        acts: Vec<Act>,
    ) -> Option<Vec<(Option<Side>, Act)>> {
        let (right, left) = named_within(text);
        if !right && !left {
            return Some(acts.into_iter().map(|act| (side, act)).collect());
        }
        let mut meant: Vec<Side> = side.map_or_else(|| sitting.named.clone(), |side| vec![side]);
        let row_names = !meant.is_empty();
        if !row_names {
            meant = self.written(sitting);
            // A letter that is right in one language and left in another is not believed alone.
            if done::names_by_letter(text) {
                return None;
            }
        }
        let agree = meant.contains(&Side::Right) == right && meant.contains(&Side::Left) == left;
        let within =
            !row_names && (meant.contains(&Side::Right) || !right) && (meant.contains(&Side::Left) || !left);
        if meant.is_empty() || !(agree || within) {
            return None;
        }
        let explained = self.map.done_words.contains_key(&fold(text));
        match done::parts(text).filter(|_| !explained) {
            Some(parts) => apart(parts, &meant, row_names),
            // Words that a map file explains: one foot, or both alike.
            None => agree.then(|| acts.into_iter().map(|act| (side, act)).collect()),
        }
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
                out.questions.push(self.remark(
                    ImportReason::UnknownWord,
                    column,
                    self.cell(row, column),
                    why,
                ));
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
                    out.questions.push(self.remark(
                        ImportReason::UnknownWord,
                        column,
                        self.cell(row, column),
                        why,
                    ));
                    sitting.noted.push(column);
                }
            },
        }
    }
}

/// The acts of each part for the feet it names; `None` where one that needs a foot does not name it and
/// more than one could be meant.
fn apart(parts: Vec<SaidPart>, meant: &[Side], row_names: bool) -> Option<Vec<(Option<Side>, Act)>> {
    let apart =
        parts.iter().any(|part| matches!(part.named, (true, false) | (false, true))) && meant.len() > 1;
    if parts.iter().any(SaidPart::is_bare) {
        return None;
    }
    let mut out = Vec::new();
    for SaidPart { named, acts } in parts {
        let of = |side: Side| if side == Side::Right { named.0 } else { named.1 };
        let sides: Vec<Side> = Side::BOTH.into_iter().filter(|&side| of(side)).collect();
        for act in acts {
            match (&sides[..], needs_foot(&act)) {
                (_, false) => out.push((None, act)),
                ([], true) if apart || !row_names => return None,
                ([], true) => out.extend(meant.iter().map(|&side| (Some(side), act.clone()))),
                (sides, true) => out.extend(sides.iter().map(|&side| (Some(side), act.clone()))),
            }
        }
    }
    Some(out)
}
