//! Spaced repetition: which sign a person is asked next, and when.
//!
//! The scheme is Leitner's boxes (S. Leitner, So lernt man lernen, 1972; from memory): what is known moves one box
//! on and is asked later, what is not known goes back to the first box. Leitner's boxes had sizes and no days; the
//! days of [`BOX_DAYS`] are our own choice. So is a set of three feet: with three levels a guess is right one time in
//! three, so one right answer shows little, and three in a row are a guess one time in 27.
//!
//! A pure function of the answers and a day.

use crate::{answer::PracticeAnswer, case::CaseKey};
use record::{Day, Sign, UserId};

/// Feet of one sign that are scored before the sign moves to another box.
pub const SET: usize = 3;
/// Days until a sign is asked again, for each box.
pub const BOX_DAYS: [i32; 5] = [1, 3, 7, 14, 30];

/// When one sign is asked again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SignSchedule {
    /// The sign.
    pub sign: Sign,
    /// The box, 1 to 5; 0 before the first set is complete.
    pub box_number: u8,
    /// From which day it is asked again; `None` before the first set is complete, and then it is asked now.
    pub due: Option<Day>,
    /// Feet scored for this sign.
    pub answered: usize,
    /// Of these, feet of a set that is not complete.
    pub in_set: usize,
}

impl SignSchedule {
    /// The schedule of a sign after a person's answers about it, in the order in which they were given.
    fn of<'a>(sign: Sign, answers: impl Iterator<Item = &'a PracticeAnswer>) -> Self {
        let mut all = Self { sign, box_number: 0, due: None, answered: 0, in_set: 0 };
        let mut is_right = true;
        for answer in answers {
            all.answered += 1;
            all.in_set += 1;
            is_right &= answer.is_right();
            if all.in_set == SET {
                all.close(answer.on, is_right);
                (all.in_set, is_right) = (0, true);
            }
        }
        all
    }

    /// A set is complete.
    fn close(&mut self, on: Day, is_right: bool) {
        let most = u8::try_from(BOX_DAYS.len()).unwrap_or(u8::MAX);
        if !is_right {
            self.box_number = 1;
        } else if self.due.is_none_or(|due| on >= due) {
            self.box_number = (self.box_number + 1).min(most);
        } else {
            // Practised before it was due: that shows nothing about remembering, so the day stays.
            return;
        }
        let days = BOX_DAYS.get(usize::from(self.box_number.saturating_sub(1))).copied().unwrap_or(1);
        self.due = Some(on.plus_days(days));
    }

    /// Whether it is asked on a day: it is due, or a set was begun.
    #[must_use]
    pub fn is_due(&self, on: Day) -> bool {
        self.in_set > 0 || self.due.is_none_or(|due| due <= on)
    }
}

/// What a person is asked, as of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PracticeSchedule {
    /// Whose.
    pub person: UserId,
    /// The day.
    pub as_of: Day,
    /// Sign by sign, in the order of [`Sign::ALL`].
    pub signs: Vec<SignSchedule>,
}

impl PracticeSchedule {
    /// From all answers, in the order in which they were saved. Those of other people and of later days are left out.
    #[must_use]
    pub fn of(answers: &[PracticeAnswer], person: UserId, as_of: Day) -> Self {
        let mut own: Vec<&PracticeAnswer> =
            answers.iter().filter(|answer| answer.person == person && answer.on <= as_of).collect();
        // The order of saving holds within a day.
        own.sort_by_key(|answer| answer.on);
        let of = |sign| SignSchedule::of(sign, own.iter().copied().filter(|answer| answer.sign == sign));
        Self { person, as_of, signs: Sign::ALL.map(of).to_vec() }
    }

    /// The sign to be asked next: one whose set was begun, then the one that has been due longest, then one that was
    /// never asked. `None` if nothing is due.
    #[must_use]
    pub fn next(&self) -> Option<&SignSchedule> {
        let due = self.signs.iter().filter(|sign| sign.is_due(self.as_of));
        due.min_by_key(|sign| (sign.in_set == 0, sign.due.is_none(), sign.due))
    }

    /// The first day on which something is due again; `None` if something is due already.
    #[must_use]
    pub fn next_day(&self) -> Option<Day> {
        if self.next().is_some() { None } else { self.signs.iter().filter_map(|sign| sign.due).min() }
    }

    /// One sign.
    #[must_use]
    pub fn sign(&self, sign: Sign) -> Option<&SignSchedule> {
        self.signs.iter().find(|one| one.sign == sign)
    }

    /// Whether a case is the one that is asked now about a sign. An answer to any other case was sent twice, or from a
    /// page that is no longer current: it does not count.
    #[must_use]
    pub fn asks(&self, sign: Sign, case: CaseKey) -> bool {
        self.case(sign) == case
    }

    /// The case that the person is asked next about a sign.
    #[must_use]
    pub fn case(&self, sign: Sign) -> CaseKey {
        CaseKey::next_for(self.person, sign, self.sign(sign).map_or(0, |one| one.answered))
    }
}
