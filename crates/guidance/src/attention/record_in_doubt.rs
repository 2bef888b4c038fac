//! An entry with doubt about its side, or about whether it makes sense.
//!
//! # What it finds
//! A foot whose latest entries raise a question about the side: treated although it is not on record as a
//! clubfoot or is marked as not a clubfoot, booked for a tenotomy although it already had one, cast while the
//! relapse was noted on the other foot, or looking swapped with the other foot at the last visit. It applies
//! from the day of the entry.
//!
//! # Why it matters
//! Treatment of the wrong foot is the worst error there is, and a tenotomy recorded for the wrong foot is
//! missing for the right one.
//!
//! # When it stays silent
//! When the entry is confirmed by a note that follows it, corrected or withdrawn; when a diagnosis or a score
//! puts the foot on record; when the question is about the past and later visits have answered it.
//!
//! # Example
//! The right foot is a clubfoot; on 3 May 2024 a tenotomy of the left foot is booked. The call applies
//! from 3 May 2024 until it is settled.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, source};
use course::Question;
use record::Side;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "record-in-doubt",
    words: "side of an entry in doubt",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let mut asked: Vec<&Question> = Vec::new();
    for foot in &ground.course.feet {
        let Some(question) = ground.course.in_doubt(foot.side) else { continue };
        if asked.contains(&question) {
            continue;
        }
        asked.push(question);
        found.push(call(question, question.side.map(|_| foot.side)));
    }
}

fn call(question: &Question, side: Option<Side>) -> Attention {
    let text = CallText::InDoubt(side, question.text.clone());
    let rule = "Confirm, correct or withdraw the entry before anything else is done on this foot.";
    let reason = Reason::new(question.text.clone(), question.entries.last().copied(), rule, source::COMMON);
    RULE.call(side, question.on, text, reason)
}
