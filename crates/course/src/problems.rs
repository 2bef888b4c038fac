//! Problems, and when each was settled.
//!
//! - A later entry marked as settled settles the problem it follows (`follows`) or, if it follows none,
//!   every open problem of that kind and foot.
//! - An entry with advice, or with whether it helped, that follows a problem of the same kind belongs to
//!   that problem and is not a new one. Whether something helped applies to the advice it names, otherwise
//!   to the last advice.
//! - A problem of the cast (slipped, toes not seen or of a bad colour, swelling) is also settled by the
//!   next removal or cast of that foot, or by a brace. On the same day it is settled only by an entry
//!   recorded with it or after it: an evening call about the cast applied in the morning stays open.
//! - A cast problem that names no foot is settled when every foot that had been cast by then has been
//!   attended to.

use crate::events::Event;
use crate::walk::Settles;
use crate::{AdviceSeen, ProblemSeen};
use record::{Body, Day, Problem, ProblemKind, Side, Timestamp};

/// A problem and the time at which it was recorded.
struct Open {
    problem: ProblemSeen,
    at: Timestamp,
}

const fn is_of_the_cast(what: ProblemKind) -> bool {
    matches!(
        what,
        ProblemKind::CastSlipped | ProblemKind::ToesNotSeen | ProblemKind::ToesColour | ProblemKind::Swelling
    )
}

/// The problems in order. `first_cast`: the first day on which each foot was cast.
pub(crate) fn build(
    events: &[Event<'_>],
    settles: &[Settles],
    first_cast: [Option<Day>; 2],
) -> Vec<ProblemSeen> {
    let mut open: Vec<Open> = Vec::new();
    for event in events {
        match event.body {
            Body::Problem(body) if is_follow_up(&open, event, body) => answer(&mut open, event, body),
            Body::Problem(body) if body.settled => settle(&mut open, event, body),
            Body::Problem(body) => open.push(Open {
                problem: ProblemSeen {
                    entry: event.id(),
                    on: event.on,
                    side: body.side,
                    what: body.what,
                    note: body.note.clone(),
                    advice: advice(event, body).into_iter().collect(),
                    settled_on: None,
                },
                at: event.entry.at,
            }),
            _ => {}
        }
    }
    for Open { problem, at } in &mut open {
        if is_of_the_cast(problem.what) {
            let settled = attended_to(problem, *at, settles, first_cast);
            problem.settled_on = [problem.settled_on, settled].into_iter().flatten().min();
        }
    }
    open.into_iter().map(|open| open.problem).collect()
}

/// Whether an entry belongs to an earlier problem: advice, or whether it helped.
fn is_follow_up(open: &[Open], event: &Event<'_>, body: &Problem) -> bool {
    let has_advice = body.advised.is_some() || body.helped.is_some();
    has_advice
        && open
            .iter()
            .any(|open| Some(open.problem.entry) == event.entry.follows && open.problem.what == body.what)
}

fn advice(event: &Event<'_>, body: &Problem) -> Option<AdviceSeen> {
    let advised = body.advised.clone()?;
    let helped_on = body.helped.map(|_| event.on);
    Some(AdviceSeen { entry: event.id(), on: event.on, advised, helped: body.helped, helped_on })
}

/// Adds a follow-up entry to its problem.
fn answer(open: &mut [Open], event: &Event<'_>, body: &Problem) {
    let Some(open) = open.iter_mut().find(|open| Some(open.problem.entry) == event.entry.follows) else {
        return;
    };
    let known = &mut open.problem.advice;
    let place = match &body.advised {
        Some(advised) => known.iter().rposition(|advice| advice.advised == *advised),
        None => known.len().checked_sub(1),
    };
    match place.and_then(|place| known.get_mut(place)) {
        Some(advice) if body.helped.is_some() => {
            (advice.helped, advice.helped_on) = (body.helped, Some(event.on));
        }
        Some(_) => {}
        None => known.extend(advice(event, body)),
    }
    if body.settled {
        open.problem.settled_on.get_or_insert(event.on);
    }
}

/// Settles the problems that an entry marks as settled.
fn settle(open: &mut [Open], event: &Event<'_>, body: &Problem) {
    let follows = event.entry.follows;
    let answered = open.iter().position(|open| Some(open.problem.entry) == follows);
    let like = |open: &Open| open.problem.what == body.what && open.problem.side == body.side;
    let settled = open.iter_mut().enumerate().filter(|(i, open)| match answered {
        Some(place) => *i == place,
        None => like(open),
    });
    for (_, open) in settled {
        open.problem.settled_on.get_or_insert(event.on);
    }
}

/// The day on which the cast that a problem concerns had been attended to.
fn attended_to(
    problem: &ProblemSeen,
    at: Timestamp,
    settles: &[Settles],
    first_cast: [Option<Day>; 2],
) -> Option<Day> {
    let next = |side: Side| {
        let from = settles.partition_point(|settles| settles.on < problem.on);
        let mut later = settles[from..].iter().filter(|settles| settles.side == side);
        later.find(|settles| settles.on > problem.on || settles.at >= at).map(|settles| settles.on)
    };
    if let Some(side) = problem.side {
        return next(side);
    }
    let had_cast = |(side, first): (Side, Option<Day>)| first.filter(|&on| on <= problem.on).map(|_| side);
    let mut sides = Side::BOTH.into_iter().zip(first_cast).filter_map(had_cast).map(next);
    let first = sides.next()??;
    sides.try_fold(first, |latest, next| Some(latest.max(next?)))
}
