//! An appointment at which the child was not seen.
//!
//! # What it finds
//! An appointment that passes with nothing recorded, from the day after it; or one marked as missed, from its
//! own day. Of several, the one marked as missed, otherwise the earliest.
//!
//! # Why it matters
//! Most children who are lost are lost after one missed visit that was not followed up. With a cast on it is
//! urgent: the cast becomes tight.
//!
//! # When it stays silent
//! When the child was seen on that day or later, when the appointment was cancelled, when a later one was
//! made after it passed, and, for one marked as missed, when the family was reached or another is expected;
//! with a cast on, that is not enough. If there is no appointment at all, the rule on no next appointment
//! applies.
//!
//! # Example
//! The child is expected on 3 May 2024. If nothing more is recorded the call applies from 4 May 2024. If it
//! is marked as missed it applies from 3 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::VisitCallText, source};
use course::{Appointment, AppointmentState, Phase};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "missed-appointment",
    words: "missed appointment",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let appointment = ground.absence()?;
    let (on, purpose) = (appointment.for_day, appointment.purpose);
    let (from, text) = if appointment.state == AppointmentState::Missed {
        let next = ground.expected_after(on).map(|next| next.for_day);
        (on, VisitCallText::Missed { on, purpose, next })
    } else {
        (on + 1, VisitCallText::Passed { on, purpose })
    };
    let urgency = urgency(ground);
    let rule = match urgency {
        Urgency::Today => "A missed visit with a cast on: contact the family the same day.",
        _ => "A missed visit: contact the family and book another appointment.",
    };
    let fact = fact(appointment, from);
    let reason = Reason::new(fact, appointment.entry, rule, source::COMMON);
    Some(Attention { urgency, ..RULE.call(None, from, CallText::Visit(text), reason) })
}

fn fact(appointment: &Appointment, from: Day) -> String {
    let what = if from == appointment.for_day { "marked as missed" } else { "no entry on that day or since" };
    format!("appointment for {}: {what}", appointment.for_day.words())
}

fn urgency(ground: &Ground<'_>) -> Urgency {
    if ground.any_cast_on() {
        return Urgency::Today;
    }
    let early = |phase| !matches!(phase, Phase::NightTimeBracing | Phase::AfterBracing | Phase::AfterSurgery);
    if ground.course.feet.iter().any(|foot| early(foot.phase)) { Urgency::ThisWeek } else { Urgency::Soon }
}
