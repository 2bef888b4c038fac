//! A referred child who has not been seen.
//!
//! # What it finds
//! A child referred or registered and never seen, in two stages. *Soon* from the day after the child has been
//! known for `start.late_within_days`, at the earliest when treatment usually starts. *This week* once the
//! usual start is over. The age of a premature baby is counted from term. If the day of birth is not known the
//! second stage follows the first at once.
//!
//! # Why it matters
//! Treatment begins in the first weeks of life. A newborn who is referred and then forgotten returns at a
//! year of age.
//!
//! # When it stays silent
//! Before those days; while an appointment is expected by the end of the usual start; once the child was
//! seen. A child referred again after care had ended has a step of its own.
//!
//! # Example
//! Born and referred on 1 April 2024. Treatment starts at 14 to 42 days: the first call applies from 15
//! April 2024 (day 14), the second from 14 May 2024 (day 43).
//!
//! # Source
//! Start at 2 to 6 weeks: British consensus, Bone Joint J 2022 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{VisitCallText, born_words},
};
use course::AppointmentState;
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "first-visit-overdue",
    words: "referred and not seen",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let course = ground.course;
    if course.last_seen().is_some() || course.reopened.is_some() {
        return;
    }
    let Some(referred) = course.referred_on else { return };
    let (first, last) = usual_start(ground, referred);
    let booked = course.appointments.iter().find(|one| {
        one.state == AppointmentState::Expected && one.for_day >= referred && one.for_day <= last
    });
    let soon = booked.map_or(first, |one| first.max(one.for_day + 1));
    let late = (last + 1).max(booked.map_or(last + 1, |one| one.for_day + 1));
    if soon < late {
        found.push(call(ground, referred, soon, false));
    }
    found.push(call(ground, referred, late, true));
}

/// The first day of the call, and the last day of the usual start of treatment.
fn usual_start(ground: &Ground<'_>, referred: Day) -> (Day, Day) {
    let protocol = ground.protocol;
    let known = referred + i32::from(protocol.late_within_days) + 1;
    let Some(born) = ground.course.about.born else { return (known, known - 1) };
    let early = ground
        .course
        .about
        .gestation_weeks
        .filter(|&weeks| u16::from(weeks) < protocol.premature_before_weeks);
    let start = early.map_or(born, |weeks| born + (i32::from(protocol.term_weeks) - i32::from(weeks)) * 7);
    let span = protocol.start_window_days;
    // A premature baby starts at term: the window is as wide as for a baby born at term.
    let (low, high) = match early {
        Some(_) => (0, i32::from(span.high) - i32::from(span.low)),
        None => (i32::from(span.low), i32::from(span.high)),
    };
    (known.max(start + low), (start + high).max(known - 1))
}

/// The call of either stage: while the usual start lasts, and `late` once it is over.
fn call(ground: &Ground<'_>, referred: Day, from: Day, late: bool) -> Attention {
    let born = ground.course.about.born;
    let urgency = if late { Urgency::ThisWeek } else { RULE.urgency };
    let text = CallText::Visit(VisitCallText::NeverSeen { late, referred, born });
    let fact = format!("referred on {}, {}, no visit recorded", referred.words(), born_words(born));
    let rule = format!(
        "Treatment starts at {} days of age: contact the family and book a visit.",
        ground.protocol.start_window_days
    );
    let source = ground.protocol.source("start.window_days");
    let reason = Reason::new(fact, ground.course.registered, rule, source);
    Attention { urgency, ..RULE.call(None, from, text, reason) }
}
