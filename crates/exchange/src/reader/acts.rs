//! What the columns for acts say: done, brace, attended.

use super::{Reader, RowRead, RowVisit, needs_foot};
use crate::{
    ImportReason, Remark, dates,
    text::fold,
    values::{self, Read},
    words::done::{self, Act, NotUnderstood, SaidPart, SaidParts},
};
use record::Side;
use std::{borrow::Cow, rc::Rc};

/// A cell as read: every way to read it, or why there is none.
pub(super) type CellRead = Rc<Result<Vec<SaidParts>, NotUnderstood>>;

/// Acts with the foot of each; without one they were done to every foot of the visit.
type FootActs = Vec<(Option<Side>, Act)>;

/// Why the foot of an act is not certain.
enum FootDoubt {
    /// More than one could be meant.
    Open,
    /// The words name a foot that the row does not.
    Contradicts,
}

impl Reader<'_> {
    /// What the columns for acts say, for the whole visit or for one foot.
    pub(super) fn said(&self, visit: &mut RowVisit<'_>, out: &mut RowRead) {
        let row = visit.row;
        for &(side, column) in &visit.columns.done {
            let text = self.text(row, Some(column));
            if text.is_empty() {
                continue;
            }
            let words = self.without_explained(self.without_own_date(text, visit));
            match self.foot_acts(&words, side, visit) {
                Ok(acts) => visit.acts.extend(acts),
                Err(_) if self.explained_words.is_note(text) => visit.noted.push(column),
                Err(why) => {
                    out.questions.extend(self.not_understood((row, column), text, &words, &why));
                    visit.noted.push(column);
                }
            }
        }
        if let Some(column) = visit.columns.brace {
            self.brace(row, column, visit, out);
        }
        if let Some(column) = visit.columns.attended {
            self.attended(row, column, visit, out);
        }
        visit.missed |= visit.acts.iter().any(|(_, act)| *act == Act::Missed);
        visit.acts.retain(|(_, act)| *act != Act::Missed);
    }

    /// The remark on a cell that is not understood, with the question that would settle it; none where a
    /// person has said that it is a note. `words` are those of the cell that are not explained.
    fn not_understood(
        &self,
        (row, column): (usize, usize),
        text: &str,
        words: &str,
        why: &NotUnderstood,
    ) -> Option<Remark> {
        let unknown = matches!(why, NotUnderstood::Words(_) | NotUnderstood::Thing(_));
        let tenotomy =
            if unknown && done::tenotomy::may_be_meant(text) { ", and a tenotomy may be meant" } else { "" };
        let sentence = format!(
            "{}{tenotomy}; the words are kept as a note and nothing is taken as done. A map file can say what they mean.",
            why.words()
        );
        let remark = self.remark(ImportReason::UnknownWord, column, self.cell(row, column), sentence);
        let piece = || done::piece_in_doubt(words, &self.cell_sides);
        Some(match why {
            NotUnderstood::WhichFoot => self.ask_which_foot(text, remark),
            NotUnderstood::Foot(word) => self.ask_about_foot_word(word, column, remark),
            NotUnderstood::Thing(thing) => self.ask_about_thing(thing, column, remark),
            NotUnderstood::Tendon if let Some(short) = done::tenotomy::short_form(words) => {
                self.ask_about_thing(short, column, remark)
            }
            _ => match piece() {
                Some(piece) if self.piece_makes_note(&piece) => return None,
                Some(piece) => self.ask_about_piece(&piece, column, remark),
                None => self.ask_about_cell(text, remark),
            },
        })
    }

    /// The words without the day of the visit, which says nothing more.
    fn without_own_date<'t>(&self, text: &'t str, visit: &RowVisit<'_>) -> Cow<'t, str> {
        let own = |date: &&str| self.day_in_words(date) == Some(visit.day);
        match dates::dates_in(text).into_iter().find(own) {
            Some(_) if self.explained_words.explains(text) => Cow::Borrowed(text),
            Some(date) => Cow::Owned(text.replace(date, " ")),
            None => Cow::Borrowed(text),
        }
    }

    pub(super) fn readings(&self, text: &str) -> CellRead {
        if let Some(read) = self.read_before.borrow().get(text) {
            return Rc::clone(read);
        }
        let plain = self.explained_words.of_cell(text).unwrap_or_else(|| self.explained_words.in_cell(text));
        let read = Rc::new(done::readings(&plain, &self.cell_sides));
        let mut before = self.read_before.borrow_mut();
        if before.len() < 10_000 {
            before.insert(text.to_owned(), Rc::clone(&read));
        }
        read
    }

    /// What was done to which foot. Where a cell can be read in two ways, only one of them may agree with
    /// the feet of the row.
    fn foot_acts(
        &self,
        text: &str,
        side: Option<Side>,
        visit: &RowVisit<'_>,
    ) -> Result<FootActs, NotUnderstood> {
        let read = self.readings(text);
        let readings = read.as_ref().as_ref().map_err(Clone::clone)?;
        let explained = self.explained_words.explains(text);
        let named = readings.iter().flatten().any(|part| part.named != (false, false));
        let mut found: Vec<FootActs> = Vec::new();
        for parts in readings {
            let mut parts = parts.clone();
            if explained && !named {
                // What a map file says of the words, the words themselves say of the foot.
                let feet = self.cell_sides.named_within(text);
                parts.iter_mut().for_each(|part| part.named = feet);
            }
            match self.by_foot(parts, side, visit, explained) {
                Ok(acts) if found.contains(&acts) => {}
                Ok(acts) => found.push(acts),
                Err(FootDoubt::Open) => return Err(NotUnderstood::WhichFoot),
                Err(FootDoubt::Contradicts) => {}
            }
        }
        match (found.pop(), found.is_empty()) {
            (Some(acts), true) => Ok(acts),
            _ => Err(NotUnderstood::WhichFoot),
        }
    }

    /// What was done to which foot: as the words of each part say, else as the column or the row does.
    fn by_foot(
        &self,
        parts: SaidParts,
        side: Option<Side>,
        visit: &RowVisit<'_>,
        explained: bool,
    ) -> Result<FootActs, FootDoubt> {
        let right = parts.iter().any(|part| part.named.0);
        let left = parts.iter().any(|part| part.named.1);
        let mut meant: Vec<Side> = side.map_or_else(|| visit.named.clone(), |side| vec![side]);
        let row_names = !meant.is_empty();
        if !row_names {
            meant = self.written(visit);
        }
        if !right && !left {
            let every = parts.iter().all(|part| part.every);
            let acts: FootActs =
                parts.into_iter().flat_map(|part| part.acts).map(|act| (side, act)).collect();
            let which = !row_names && meant.len() > 1 && !self.spares_one(visit);
            let in_doubt = which && !every && acts.iter().any(|(_, act)| is_of_one_foot(act));
            return if !in_doubt && one_number(&acts) { Ok(acts) } else { Err(FootDoubt::Open) };
        }
        if meant.is_empty() {
            meant = Side::BOTH
                .into_iter()
                .filter(|&side| if side == Side::Right { right } else { left })
                .collect();
        }
        if (right && !meant.contains(&Side::Right)) || (left && !meant.contains(&Side::Left)) {
            return Err(FootDoubt::Contradicts);
        }
        let agree = meant.contains(&Side::Right) == right && meant.contains(&Side::Left) == left;
        let tenotomy = parts.iter().flat_map(|part| &part.acts).any(|act| *act == Act::Tenotomy);
        // A tenotomy of one foot says nothing of the cast on the other.
        if row_names && !agree && tenotomy && !explained {
            return Err(FootDoubt::Open);
        }
        apart(parts, &meant, row_names).filter(one_number).ok_or(FootDoubt::Open)
    }

    /// Whether one of the two feet scored is never treated.
    fn spares_one(&self, visit: &RowVisit<'_>) -> bool {
        !self.untreated.is_empty() && {
            let key = self.key(visit.row);
            Side::BOTH.into_iter().any(|side| self.untreated.contains(&(key.clone(), side)))
        }
    }

    /// A column that asks for a brace with yes or no.
    fn brace(&self, row: usize, column: usize, visit: &mut RowVisit<'_>, out: &mut RowRead) {
        let named = visit.acts.iter().any(|(_, act)| matches!(act, Act::Brace { .. }));
        match values::yes_no(self.text(row, Some(column))) {
            Read::Value(true) if !named => {
                visit.acts.push((None, Act::Brace { fitted: false, regime: None, hours: None }));
            }
            Read::Unreadable => {
                let why = "This does not say whether there is a brace; it is kept as a note.";
                out.questions.push(self.remark(
                    ImportReason::UnknownWord,
                    column,
                    self.cell(row, column),
                    why,
                ));
                visit.noted.push(column);
            }
            _ => {}
        }
    }

    fn attended(&self, row: usize, column: usize, visit: &mut RowVisit<'_>, out: &mut RowRead) {
        let text = self.text(row, Some(column));
        match values::yes_no(text) {
            Read::Nothing => {}
            // A heading "DNA" asks the opposite of "Attended".
            Read::Value(yes) => {
                let dna =
                    matches!(fold(&self.column_name(column)).as_str(), "dna" | "missed" | "did not attend");
                visit.missed |= yes == dna;
                visit.came |= yes != dna;
            }
            Read::Unreadable => match done::acts_in(text) {
                Ok(acts) if acts == [Act::Missed] => visit.missed = true,
                Ok(acts) if acts == [Act::Review] => visit.came = true,
                _ if fold(text) == "attended" || fold(text) == "came" => visit.came = true,
                _ => {
                    let why = "This does not say whether the child came; it is kept as a note.";
                    out.questions.push(self.remark(
                        ImportReason::UnknownWord,
                        column,
                        self.cell(row, column),
                        why,
                    ));
                    visit.noted.push(column);
                }
            },
        }
    }
}

/// The acts of each part for the feet it names; `None` where one that needs a foot does not name it and
/// more than one could be meant.
fn apart(parts: SaidParts, meant: &[Side], row_names: bool) -> Option<FootActs> {
    if parts.iter().any(SaidPart::is_bare) {
        return None;
    }
    let covers = |part: &SaidPart| {
        meant.iter().all(|&side| if side == Side::Right { part.named.0 } else { part.named.1 })
    };
    // An act without a foot belongs to every foot where one act names them all, or there is one only.
    let all = meant.len() == 1 || (parts.iter().any(covers) && (row_names || same_feet(&parts)));
    let mut out = Vec::new();
    for SaidPart { named, every, acts } in parts {
        let of = |side: Side| if side == Side::Right { named.0 } else { named.1 };
        let sides: Vec<Side> = Side::BOTH.into_iter().filter(|&side| of(side)).collect();
        for act in acts {
            match (&sides[..], needs_foot(&act)) {
                (_, false) => out.push((None, act)),
                ([], true) if all || every => out.extend(meant.iter().map(|&side| (Some(side), act.clone()))),
                ([], true) => return None,
                (sides, true) => out.extend(sides.iter().map(|&side| (Some(side), act.clone()))),
            }
        }
    }
    Some(out)
}

/// Whether the parts that name feet all name the same.
fn same_feet(parts: &[SaidPart]) -> bool {
    let mut named = parts.iter().map(|part| part.named).filter(|named| *named != (false, false));
    let first = named.next();
    named.all(|other| Some(other) == first)
}

/// Acts of which two feet seldom have the same on one day.
fn is_of_one_foot(act: &Act) -> bool {
    matches!(act, Act::Tenotomy | Act::TenotomyOnly | Act::TenotomyBooked | Act::Relapse | Act::Surgery(_))
}

/// Whether no foot has two casts of different numbers.
fn one_number(acts: &FootActs) -> bool {
    let number = |side: Side| {
        let of = acts.iter().filter(move |(of, _)| of.is_none_or(|of| of == side));
        of.filter_map(|(_, act)| if let Act::Cast(cast) = act { cast.number } else { None })
    };
    Side::BOTH.into_iter().all(|side| {
        let mut numbers = number(side);
        let first = numbers.next();
        numbers.all(|other| Some(other) == first)
    })
}
