//! A child not seen for so long that it counts as lost to follow-up.
//!
//! # What it finds
//! A child not seen for 3 weeks in casting, 4 weeks around the tenotomy, or 6 months in bracing, by the
//! published definition; if two feet differ, by the shorter period. A visit on the last day still counts, so
//! it applies from the day after. Also a child declared lost by the clinic, from that day.
//!
//! The definition comes from clinics that review more often than twice a year. If the protocol plans the next
//! visit only after that time, a family that keeps to the plan is not called lost: the call waits until the
//! planned visit and its days of grace have passed, and names both days. This concerns later reviews (from the
//! third birthday with its days of grace, yearly from the fourth), the longer cast of an older child after a
//! tenotomy, and casts that a clinic plans further apart. If the plan is shorter than the definition, the
//! definition counts, and the rule on overdue reviews calls earlier. A visit booked by the last one, for a later
//! day, is waited for in the same way, with the days by which it may be late.
//!
//! # Why it matters
//! In one clinic 155 of 965 children were lost over six years, 88 % of them in bracing. Each was treated at
//! some cost, and a relapse can undo the correction.
//!
//! # When it stays silent
//! While the planned visit is not yet late, and in the brace until the day of a coming appointment;
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
    CallText, Protocol, Reason,
    call_text::{AwaitedVisit, LossSpan, LossText, LossWait, VisitCallText},
    loss::{FollowedUntil, allowed_until, is_at_later_reviews},
    source,
};
use course::{LossStage, Phase, Standing};
use record::{Day, EntryId};

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
    let text = CallText::OnLostList {
        call: Box::new(call.text.clone()),
        tried: routine.tried.len(),
        next: routine.next,
        from: routine.next_from,
    };
    let lost = Attention { place: CallPlace::Lost, from: since, text, ..call.clone() };
    found.extend(call.before(since));
    found.push(lost);
}

/// The call of a child declared lost, and the day from which the protocol counts it as lost, if it does.
fn declared(ground: &Ground<'_>, day: Day) -> (Attention, Option<Day>) {
    let text = CallText::Visit(VisitCallText::DeclaredLost(day));
    let rule = "Try again: a child who is seen again continues treatment where it stopped.";
    let fact = format!("declared lost on {}", day.words());
    let mut call = RULE.call(None, day, text, Reason::new(fact, None, rule, source::COMMON));
    call.because.extend(attempts(ground));
    (call, lost_from(ground))
}

/// The first day after the protocol's time without a visit, by the phase before the declaration.
fn lost_from(ground: &Ground<'_>) -> Option<Day> {
    allowed_until(ground.course, ground.protocol).map(|last| last + 1)
}

fn by_definition(ground: &Ground<'_>) -> Option<(Attention, Option<Day>)> {
    let followed = FollowedUntil::of(ground.course, ground.protocol)?;
    let (key, span, urgency) = defined_by(ground.protocol, followed.stage);
    let rule = format!("No visit within {}: lost to follow-up by the published definition.", span.words());
    let fact = format!("last seen on {}", followed.seen.words());
    let mut because = vec![Reason::new(fact, None, rule, ground.protocol.source(key))];
    because.extend(followed.awaited.map(awaited));
    because.extend(followed.planned.map(|until| within_plan(ground, &followed, until)));
    because.extend(attempts(ground));
    let from = followed.last() + 1;
    let call = RULE.call(None, from, text(&followed, span), because);
    Some((Attention { urgency, ..call }, Some(from)))
}

fn text(followed: &FollowedUntil, span: LossSpan) -> CallText {
    let planned = || followed.planned.map(|last| LossWait::Planned(awaited_visit(followed), last));
    let waits_for = followed.awaited.map(|(booked, _)| LossWait::Appointment(booked)).or_else(planned);
    let loss = LossText { seen: followed.seen, span, ended: followed.defined, waits_for };
    CallText::Visit(VisitCallText::CountsAsLost(loss))
}

/// The visit for which the call waits.
const fn awaited_visit(followed: &FollowedUntil) -> AwaitedVisit {
    match (followed.booked, followed.phase) {
        (Some(_), _) => AwaitedVisit::Booked,
        (None, Phase::TenotomyCast) => AwaitedVisit::EndOfTenotomyCast,
        (None, Phase::InCorrection | Phase::WaitingForTenotomy) => AwaitedVisit::NextCast,
        (None, _) => AwaitedVisit::Review,
    }
}

fn awaited((booked, entry): (Day, EntryId)) -> Reason {
    let fact = format!("expected on {}", booked.words());
    let rule = "A family with a coming appointment does not count as lost before it.";
    Reason::new(fact, entry, rule, source::COMMON)
}

/// A family within the interval that the clinic planned is not lost.
fn within_plan(ground: &Ground<'_>, followed: &FollowedUntil, until: Day) -> Reason {
    let until = until.words();
    if let Some(booked) = followed.booked {
        let fact = format!("next visit booked for {}, in time until {until}", booked.words());
        let rule = "A family with a visit booked ahead is not lost: the call waits for it.";
        return Reason::new(fact, None, rule, source::COMMON);
    }
    let what = match followed.stage {
        LossStage::Bracing => "next review",
        LossStage::Casting | LossStage::Tenotomy => awaited_visit(followed).words(),
    };
    let fact = format!("{what} planned for {}, in time until {until}", followed.due.words());
    let rule = "A family that keeps to the planned interval is not lost: the call waits until it has passed.";
    Reason::new(fact, None, rule, planned_by(ground, followed))
}

/// The source of the planned interval.
fn planned_by(ground: &Ground<'_>, followed: &FollowedUntil) -> &'static str {
    let (protocol, course) = (ground.protocol, ground.course);
    let born = course.about.born;
    match followed.phase {
        Phase::TenotomyCast => {
            let done = course.feet.iter().flat_map(|foot| &foot.tenotomies).map(|cut| cut.on).max();
            protocol.source(protocol.tenotomy_cast_key(done.unwrap_or(followed.seen), born))
        }
        Phase::InCorrection | Phase::WaitingForTenotomy => protocol.source("casting.interval_range_days"),
        _ if is_at_later_reviews(course, protocol) => {
            protocol.review_source(protocol.review_months(followed.seen, born))
        }
        _ => protocol.source("bracing.early_reviews_weeks"),
    }
}

/// The setting of a stage, its span, and how urgent the call is.
const fn defined_by(protocol: &Protocol, stage: LossStage) -> (&'static str, LossSpan, Urgency) {
    match stage {
        LossStage::Casting => {
            let span = LossSpan::Casting(protocol.lost_casting_days);
            ("contact.lost_casting_days", span, Urgency::ThisWeek)
        }
        LossStage::Tenotomy => {
            let span = LossSpan::Tenotomy(protocol.lost_tenotomy_days);
            ("contact.lost_tenotomy_days", span, Urgency::ThisWeek)
        }
        LossStage::Bracing => {
            let span = LossSpan::Bracing(protocol.lost_bracing_months);
            ("contact.lost_bracing_months", span, Urgency::Soon)
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
