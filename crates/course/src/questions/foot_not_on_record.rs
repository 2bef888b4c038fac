//! Treatment of a foot that is not on record as a clubfoot, or is marked as not a clubfoot.
//!
//! Treatment is a cast, a tenotomy booked or done, other surgery, or a relapse noted.
//!
//! **Marked as not a clubfoot.** The last diagnosis of the foot is "not a clubfoot", and the foot was treated
//! on that day or later.
//!
//! **Not on record.** No diagnosis calls the foot a clubfoot and no score ever showed a deformity, while
//! the other foot is on record: by a diagnosis, by a score that shows a deformity, or by treatment on an
//! earlier day. Casts on [`CASTS_ON_RECORD`] or more days put a foot on record without any of these: the
//! wrong foot is not cast for weeks.
//!
//! A diagnosis, a score, or a note that follows the entry answers the question.

use super::question;
use crate::events::{Event, treats};
use crate::feet::{FootKnown, shows_deformity};
use crate::{Question, QuestionKind};
use record::{Body, Day, EntryId, Nature, Side};

/// Number of days with a cast from which a foot counts as on record. Judgement; no source.
const CASTS_ON_RECORD: usize = 3;

pub(super) fn ask(open: &mut Vec<Question>, events: &[Event<'_>], known: &[FootKnown; 2]) {
    for (side, foot) in Side::BOTH.into_iter().zip(known) {
        let found = foot.contradiction().map(|(not, treated)| marked(side, not, treated));
        open.extend(found.or_else(|| not_on_record(side, events)));
    }
}

fn marked(side: Side, not: (Day, EntryId), treated: (Day, EntryId)) -> Question {
    let text = format!(
        "The {side} foot was found not to be a clubfoot on {}, but was treated on {}.",
        not.0.words(),
        treated.0.words()
    );
    question(QuestionKind::FootNotOnRecord, side, treated.0, text, vec![not.1, treated.1])
}

/// Whether an entry puts a foot on record as a clubfoot.
fn records(body: &Body, side: Side) -> bool {
    match body {
        Body::Diagnosis(body) => {
            body.side == side && body.nature.is_none_or(|nature| nature != Nature::NotClubfoot)
        }
        Body::Assessment(body) => body.side == side && shows_deformity(body),
        _ => false,
    }
}

fn not_on_record(side: Side, events: &[Event<'_>]) -> Option<Question> {
    let treated = || events.iter().filter(|event| treats(event.body) == Some(side));
    let first = treated().next()?;
    if events.iter().any(|event| records(event.body, side)) || cast_days(side, events) >= CASTS_ON_RECORD {
        return None;
    }
    let other = side.other();
    let there = events.iter().find(|event| {
        records(event.body, other) && event.on <= first.on
            || treats(event.body) == Some(other) && event.on < first.on
    })?;
    let last = treated().next_back().unwrap_or(first);
    let text = format!(
        "The {side} foot is not on record as a clubfoot, the {other} foot is; {} of {} is about the {side} foot: check the side.",
        named(first.body),
        first.on.words()
    );
    let entries = std::iter::once(there.id()).chain(treated().map(Event::id)).collect();
    Some(question(QuestionKind::FootNotOnRecord, side, last.on, text, entries))
}

fn cast_days(side: Side, events: &[Event<'_>]) -> usize {
    let cast = |event: &&Event<'_>| matches!(event.body, Body::CastApplied(body) if body.side == side);
    let mut days: Vec<Day> = events.iter().filter(cast).map(|event| event.on).collect();
    days.dedup();
    days.len()
}

const fn named(body: &Body) -> &'static str {
    match body {
        Body::TenotomyBooked(_) => "the tenotomy booking",
        Body::TenotomyDone(_) => "the tenotomy",
        Body::RelapseNoted(_) => "the relapse",
        Body::OtherSurgery(_) => "the surgery",
        _ => "the cast",
    }
}
