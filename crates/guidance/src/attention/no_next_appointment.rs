//! A child under treatment with no next appointment.
//!
//! # What it finds
//! A child for whom no appointment is expected after the day last seen (or, if never seen, the day of
//! referral; or, if not seen since, the day of a new referral after care had ended). It applies from the day
//! after; if one was made and cancelled, not before it was made; if the family was reached after a missed one,
//! from the day after that.
//!
//! # Why it matters
//! A child without a next appointment is missing from every list that is based on appointments.
//!
//! # When it stays silent
//! When an appointment is expected (also one that passes: then the rule on missed appointments applies), when
//! an appointment was missed and that rule applies, when the child is here and not yet seen (on that day
//! only), and when neither a visit nor a referral is known.
//!
//! # Example
//! A child is seen on 3 May 2024 and leaves without an appointment. The call applies from 4 May 2024, so that
//! a visit still being recorded is not flagged.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{UnbookedSince, VisitCallText},
    source,
};
use course::{Appointment, AppointmentState};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "no-next-appointment",
    words: "no next appointment",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let base = since(ground)?;
    let since = base.day();
    let course = ground.course;
    if ground.absence().is_some() || course.appointments.iter().any(|one| comes(ground, one, since)) {
        return None;
    }
    let cancelled = cancelled(ground, since);
    let from = first_day(ground, since, cancelled);
    let text = VisitCallText::NoneBooked { since: base, cancelled: cancelled.map(|one| one.for_day) };
    let fact = format!("{}, no appointment expected after it", base.words());
    let entry = cancelled.map(|one| one.entry).or(ground.course.registered);
    let reason =
        Reason::new(fact, entry, "Every child under treatment has a next appointment.", source::COMMON);
    Some(Attention { urgency: urgency(ground), ..RULE.call(None, from, CallText::Visit(text), reason) })
}

/// The first day of the call: after the last visit, after the family was reached, and not before the appointment
/// that was cancelled had been made.
fn first_day(ground: &Ground<'_>, since: Day, cancelled: Option<&Appointment>) -> Day {
    let made = cancelled.and_then(|one| one.made_on);
    let reached = reached(ground, since).map(|day| day + 1);
    // While the child is here the visit may still be recorded.
    let attended = ground.course.only_attended_on.last().map(|&day| day + 1);
    [made, reached, attended].into_iter().flatten().fold(since + 1, Day::max)
}

/// The day from which an appointment is missing, and what happened on it.
fn since(ground: &Ground<'_>) -> Option<UnbookedSince> {
    let course = ground.course;
    if let Some((day, _)) = course.reopened_unseen() {
        return Some(UnbookedSince::ReferredAgain(day));
    }
    let referred = || course.referred_on.map(UnbookedSince::Referred);
    course.last_seen().map(UnbookedSince::LastSeen).or_else(referred)
}

fn comes(ground: &Ground<'_>, one: &Appointment, since: Day) -> bool {
    match one.state {
        AppointmentState::Expected => one.for_day > since,
        AppointmentState::Here => one.for_day >= since && ground.seen_from(one.for_day),
        AppointmentState::Seen
        | AppointmentState::Missed
        | AppointmentState::Cancelled
        | AppointmentState::Ended => false,
    }
}

fn cancelled<'a>(ground: &Ground<'a>, since: Day) -> Option<&'a Appointment> {
    let is_cancelled = |one: &&Appointment| one.state == AppointmentState::Cancelled && one.for_day > since;
    ground.course.appointments.iter().rfind(is_cancelled)
}

/// The last day since on which the family was reached after a missed appointment.
fn reached(ground: &Ground<'_>, since: Day) -> Option<Day> {
    let mut appointments = ground.course.appointments.iter();
    let missed = appointments.rfind(|one| one.state == AppointmentState::Missed && one.for_day > since)?;
    let contacts =
        ground.course.contacts.iter().filter(|contact| contact.reached && contact.on >= missed.for_day);
    contacts.map(|contact| contact.on).max()
}

fn urgency(ground: &Ground<'_>) -> Urgency {
    let casting = ground.course.feet.iter().any(|foot| foot.phase.is_in_casts());
    if casting { Urgency::ThisWeek } else { Urgency::Soon }
}
