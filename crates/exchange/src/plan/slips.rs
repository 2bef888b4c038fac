//! The number of one child in a row with the name and the date of birth of another. Such a row is refused; a
//! person can say that the number is a slip, where name and birth lead to one child of this file.

use super::{
    Planner,
    children::{Found, Slot, describe},
};
use crate::{
    FileQuestion, Remark,
    names::NameKey,
    questions::QuestionTopic,
    reader::{RowRead, Who},
};

/// Questions of this kind at most: with more of them the numbers of the file are not to be trusted.
const MOST_SLIPS: usize = 3;

impl Planner<'_, '_> {
    /// The child of a row whose number is that of another: by an answer, else the refusal with its question.
    pub(super) fn despite_number(
        &mut self,
        read: &mut RowRead,
        refusal: Remark,
    ) -> Result<Found, Box<Remark>> {
        let number = read.who.number.clone().unwrap_or_default();
        let Some(slot) = self.namesake(&read.who) else { return Err(Box::new(refusal)) };
        let own = self.children.registration(slot).clone();
        let id = format!("number: {number}, {}", own.full_name());
        match self.reader.map.answers.get(&id).map(String::as_str) {
            Some("name") => {
                read.who.number = own.numbers.first().cloned();
                return Ok(Found { slot: Some(slot), question: None });
            }
            Some(_) => return Err(Box::new(refusal)),
            None => {}
        }
        if !self.slips.contains(&id) && self.slips.len() >= MOST_SLIPS {
            return Err(Box::new(refusal));
        }
        self.slips.insert(id.clone());
        let who = describe(&own);
        let own_number = own.numbers.first().map_or("", String::as_str);
        let text = format!(
            "The number {number} of another child comes with the name and date of birth of {who}, whose number is {own_number}. Is the number a slip?"
        );
        let question = FileQuestion::new(&QuestionTopic::Other(id), text)
            .choice("name", format!("yes: the visit is of {who}"))
            .choice("refuse", "not certain: refuse it");
        Err(Box::new(Remark { question: Some(Box::new(question)), ..refusal }))
    }

    /// The only child of this file with the name and the date of birth of a row.
    fn namesake(&self, who: &Who) -> Option<Slot> {
        let born = who.born?;
        let same = self.children.by_name.get(&NameKey::of(&who.family, &who.given))?;
        let of_birth = |slot: &&Slot| self.children.born(**slot) == Some(born);
        let mut found = same.iter().filter(of_birth);
        let slot = *found.next()?;
        (found.next().is_none() && !self.children.registration(slot).numbers.is_empty()).then_some(slot)
    }
}
