//! A child who attended, with nothing recorded.
//!
//! # What it finds
//! A day on which the child attended and nothing else is recorded, with no visit since. It applies from
//! the day after.
//!
//! # Why it matters
//! The findings and treatment of the visit are missing: a cast changed, a brace checked, a sore heel. Every
//! other rule continues as if the child had not been seen, because the findings are not known.
//!
//! # When it stays silent
//! On the day itself, while the visit may still be recorded; once anything is recorded for that day, or
//! the child was seen on a later one.
//!
//! # Example
//! The child is marked as arrived on 3 May 2024 and nothing else is recorded. The call applies from 4 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::VisitCallText, source};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "attended-unrecorded",
    words: "came, nothing recorded",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let &day = ground.course.only_attended_on.last()?;
    if ground.seen_from(day) {
        return None;
    }
    let text = CallText::Visit(VisitCallText::Attended(day));
    let entry = ground.course.appointments.iter().find(|made| made.for_day == day).map(|made| made.entry);
    let rule = "Record the findings and the treatment: until then every review and cast counts as still due.";
    let fact = format!("attended on {}, no other entry of that day", day.words());
    let reason = Reason::new(fact, entry, rule, source::COMMON);
    let urgency = if ground.any_cast_on() { Urgency::ThisWeek } else { RULE.urgency };
    Some(Attention { urgency, ..RULE.call(None, day + 1, text, reason) })
}
