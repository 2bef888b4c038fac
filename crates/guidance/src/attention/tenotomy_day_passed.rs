//! A tenotomy that was booked and not done.
//!
//! # What it finds
//! A tenotomy whose booked day (or, where the booking names none, that of the appointment for it) has passed
//! without an entry that it was done, from the day after; or one booked without any day, once the time within
//! which it is due has passed since the booking.
//!
//! # Why it matters
//! The foot waits in a holding cast for a theatre list; a cancelled list is easily forgotten.
//!
//! # When it stays silent
//! When the tenotomy is done, when it is booked again for a later day, and when none is booked.
//!
//! # Example
//! The tenotomy of the left foot is booked for 3 May 2024. If nothing more is recorded the call applies
//! from 4 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "tenotomy-day-passed",
    words: "booked tenotomy not done",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let plan = foot.tenotomy_plan?;
    let (last, text) = match ground.course.tenotomy_day(&plan) {
        Some(day) => (day, TreatmentCallText::TenotomyNotDone(day)),
        None => {
            let last = plan.booked_on + i32::from(ground.protocol.tenotomy_within_days);
            (last, TreatmentCallText::TenotomyWithoutDay(plan.booked_on))
        }
    };
    let rule =
        format!("Once ready, the tenotomy is due within {} days.", ground.protocol.tenotomy_within_days);
    let fact = format!("tenotomy booked on {}", plan.booked_on.words());
    let source = ground.protocol.source("tenotomy.within_days");
    Some(RULE.call_treatment(foot, last + 1, text, Reason::new(fact, plan.entry, rule, source)))
}
