//! A child not seen for so long that it counts as lost to follow-up.
//!
//! # What it finds
//! A child not seen for 3 weeks in casting, 4 weeks around the tenotomy, or 6 months in bracing, by the
//! published definition; if two feet differ, by the shorter period. A visit on the last day still counts, so
//! it applies from the day after. Also a child declared lost by the clinic, from that day.
//!
//! The definition comes from clinics that review more often than twice a year. If the protocol plans the next
//! later review only after those 6 months (from the third birthday with its days of grace, or yearly from the
//! fourth), a family that keeps to the plan is not called lost: the call waits until the planned review and
//! its days of grace have passed, and names both days. If the plan is shorter than the definition, the
//! the definition, the definition counts and the rule on overdue reviews has spoken before. A visit booked by
//! the last one, for a later day, is waited for in the same way, with the days by which it may be late.
//!
//! # Why it matters
//! In one clinic 155 of 965 children were lost over six years, 88 % of them in bracing. Each was treated at
//! some cost, and a relapse can undo the correction.
//!
//! # When it stays silent
//! While the next later review in the brace is not yet overdue, and until the day of a coming appointment;
//! before the first visit and, after care was opened again, before the first visit since; after bracing and
//! after surgery, for which nothing is published (overdue reviews have their own rule), and without any visit
//! on record. Reaching the family by telephone does not count as a visit; the attempts since are listed. Once
//! an attempt since the last visit is recorded and the last attempt did not reach the family, the call is on
//! the lost list, with the next way to try and the day from which to try it.
//!
//! # Example
//! A child in casting was last seen on 3 May 2024. Three weeks end on 24 May; the call applies from 25
//! May 2024 (3 + 21 + 1). A child of four in the brace at night was last seen on 3 May 2024. Six months
//! end on 3 November, but the yearly review is due on 3 May 2025 and may be 28 days late, until 31 May:
//! the call applies from 1 June 2025.
//!
//! # Source
//! J Foot Ankle Surg 2021, causes of dropout, S1067-2516(21)00458-0 (read).

use super::lost_routine::{LostRoutine, tried_since};
use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{
    Protocol, Reason,
    loss::{FollowedUntil, first_limit},
    source,
};
use course::{FootCourse, LossStage, Phase, Standing};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "contact-lost",
    words: "lost to follow-up",
    urgency: Urgency::Soon,
    when_lost: true,
    find: Finder::Several(add_calls),
};

/// The number of attempts shown, the latest first; the child's page has them all.
const MOST_ATTEMPTS: usize = 8;

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let call = match ground.course.standing {
        Standing::Lost(day) => Some(declared(ground, day)),
        _ => by_definition(ground),
    };
    let Some((call, lost_from)) = call else { return };
    // Without an attempt, the family is still to be contacted from the list.
    let routine = lost_from.and_then(|lost_from| LostRoutine::of(ground.course, ground.protocol, lost_from));
    let Some(routine) = routine else { return found.push(call) };
    let since = routine.since.max(call.from);
    let text = format!("{} Tried {}. {}", call.text, times(routine.tried.len()), routine.next_words());
    let lost = Attention { place: CallPlace::Lost, from: since, text, ..call.clone() };
    found.extend(call.before(since));
    found.push(lost);
}

fn times(number: usize) -> String {
    if number == 1 { "once".to_owned() } else { format!("{number} times") }
}

/// The call of a child declared lost, and the day from which the protocol counts it as lost, if it does.
fn declared(ground: &Ground<'_>, day: Day) -> (Attention, Option<Day>) {
    let text = format!("Declared lost to follow-up on {}.", day.words());
    let rule = "Try again: a child who is seen again continues treatment where it stopped.";
    let fact = format!("declared lost on {}", day.words());
    let mut call = RULE.call(None, day, text, Reason::new(fact, None, rule, source::COMMON));
    call.because.extend(attempts(ground));
    (call, lost_from(ground))
}

/// The first day after the protocol's time without a visit, by the phase before the declaration.
fn lost_from(ground: &Ground<'_>) -> Option<Day> {
    let phase = |foot: &FootCourse| {
        let mut before = foot.phases.iter().rev().filter(|spell| spell.phase != Phase::LostToFollowUp);
        before.next().map(|spell| spell.phase)
    };
    first_limit(ground.course, ground.protocol, phase).map(|(last, _)| last + 1)
}

fn by_definition(ground: &Ground<'_>) -> Option<(Attention, Option<Day>)> {
    let followed = FollowedUntil::of(ground.course, ground.protocol)?;
    let FollowedUntil { seen, defined, planned, booked, awaited, .. } = followed;
    let (key, span, urgency) = defined_by(ground.protocol, followed.stage);
    let day = seen.words();
    let last = planned.unwrap_or(defined);
    let text = match planned {
        _ if let Some((booked, _)) = awaited => format!(
            "Last seen on {day}: counts as lost to follow-up if the child does not attend on {}; the {span} ended on {}.",
            booked.words(),
            defined.words()
        ),
        None => format!("Last seen on {day}: counts as lost to follow-up after {} ({span}).", last.words()),
        Some(_) => format!(
            "Last seen on {day}: counts as lost to follow-up after {}, the last day for the {}; the published {span} ended on {}.",
            last.words(),
            if booked.is_some() { "booked visit" } else { "planned review" },
            defined.words()
        ),
    };
    let rule = format!("No visit within {span}: lost to follow-up by the published definition.");
    let reason = Reason::new(format!("last seen on {day}"), None, rule, ground.protocol.source(key));
    let from = followed.last() + 1;
    let mut call = RULE.call(None, from, text, reason);
    call.urgency = urgency;
    call.because.extend(awaited.map(|(booked, entry)| {
        let fact = format!("expected on {}", booked.words());
        Reason::new(
            fact,
            entry,
            "A family with a coming appointment does not count as lost before it.",
            source::COMMON,
        )
    }));
    call.because.extend(planned.map(|until| within_plan(ground, seen, booked, until)));
    call.because.extend(attempts(ground));
    Some((call, Some(from)))
}

/// A family within the interval that the clinic planned is not lost.
fn within_plan(ground: &Ground<'_>, seen: Day, booked: Option<Day>, until: Day) -> Reason {
    let (protocol, born) = (ground.protocol, ground.course.about.born);
    if let Some(booked) = booked {
        let fact = format!("next visit booked for {}, in time until {}", booked.words(), until.words());
        let rule = "A family with a visit booked ahead is not lost: the call waits for it.";
        return Reason::new(fact, None, rule, source::COMMON);
    }
    let due = protocol.review_due(seen, born, true);
    let fact = format!("next review planned for {}, in time until {}", due.words(), until.words());
    let rule = "A family that keeps to the planned interval is not lost: the call waits until it has passed.";
    Reason::new(fact, None, rule, protocol.review_source(protocol.review_months(seen, born)))
}

/// The setting of a stage, its span in words, and how urgent the call is.
fn defined_by(protocol: &Protocol, stage: LossStage) -> (&'static str, String, Urgency) {
    let days = |key, days: u16, words| (key, format!("{days} days {words}"), Urgency::ThisWeek);
    match stage {
        LossStage::Casting => days("contact.lost_casting_days", protocol.lost_casting_days, "in casting"),
        LossStage::Tenotomy => {
            days("contact.lost_tenotomy_days", protocol.lost_tenotomy_days, "around the tenotomy")
        }
        LossStage::Bracing => {
            let months = protocol.lost_bracing_months;
            ("contact.lost_bracing_months", format!("{months} months in bracing"), Urgency::Soon)
        }
    }
}

/// Every attempt since the child was last seen, the latest first.
fn attempts<'a>(ground: &'a Ground<'_>) -> impl Iterator<Item = Reason> + 'a {
    let since = tried_since(ground.course).rev();
    since.take(MOST_ATTEMPTS).map(|contact| {
        let outcome = if contact.reached { "reached" } else { "not reached" };
        let fact = format!("{} on {}: family {outcome}", contact.way.words(), contact.on.words());
        let rule = "Only a visit counts; the attempts are shown so that none is repeated.";
        Reason::new(fact, contact.entry, rule, source::COMMON)
    })
}
