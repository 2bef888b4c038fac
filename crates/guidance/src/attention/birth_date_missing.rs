//! No day of birth.
//!
//! # What it finds
//! A child whose day of birth is not recorded, from the day of referral or, if that is not known either,
//! of the first visit.
//!
//! # Why it matters
//! The start, the interval of reviews and the end of bracing all depend on age. The program never guesses it.
//!
//! # When it stays silent
//! In the list: the family is asked at the next visit. Once a registration gives the day of birth, and if
//! neither a referral nor a visit is recorded.
//!
//! # Example
//! A child is referred on 3 May 2024 without a day of birth. The call applies from 3 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{CallText, Reason, source};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "birth-date-missing",
    words: "no day of birth",
    urgency: Urgency::Watch,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let course = ground.course;
    if course.about.born.is_some() {
        return None;
    }
    let from = course.referred_on.or_else(|| course.seen_on.first().copied())?;
    let rule =
        "Start, reviews and the end of bracing depend on age; ask the family and correct the registration.";
    let reason = Reason::new("no day of birth recorded", course.registered, rule, source::COMMON);
    let call = RULE.call(None, from, CallText::BirthDateMissing, reason);
    Some(Attention { place: CallPlace::Visit, ..call })
}
