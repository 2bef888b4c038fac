//! Entries whose order does not make sense.
//!
//! A tenotomy before the first cast (with no earlier treatment recorded); a cast "after tenotomy" in an
//! episode without one; a brace on a foot cast the same day; bracing begun while a tenotomy was booked; a
//! change of brace while none is worn; a correction that moves an entry to a day after the correction was
//! made.

use super::question;
use crate::events::Event;
use crate::{CorrectedLog, Course, Fate, FootCourse, Phase, Question, QuestionKind};
use record::{EntryId, Side};

const KIND: QuestionKind = QuestionKind::OutOfOrder;

/// A cast recorded as after tenotomy, without a tenotomy.
pub(crate) fn no_tenotomy(side: Side, event: &Event<'_>) -> Question {
    let text = format!(
        "The {side} foot's cast of {} is recorded as after tenotomy; no tenotomy is recorded in this episode.",
        event.on.words()
    );
    question(KIND, side, event.on, text, vec![event.id()])
}

/// A brace change or stop while no brace is worn.
pub(crate) fn no_brace(event: &Event<'_>) -> Question {
    let text = format!(
        "A change of the brace is recorded for {}, but according to the entries no brace was worn then.",
        event.on.words()
    );
    question(KIND, None, event.on, text, vec![event.id()])
}

/// A brace and a cast on one day.
pub(crate) fn brace_on_cast(side: Side, cast: EntryId, event: &Event<'_>) -> Question {
    let text = format!(
        "A brace and a cast of the {side} foot are both recorded for {}; the cast is assumed to be off.",
        event.on.words()
    );
    question(KIND, side, event.on, text, vec![cast, event.id()])
}

pub(super) fn ask(open: &mut Vec<Question>, course: &Course, log: &CorrectedLog<'_>) {
    for foot in &course.feet {
        open.extend(early_tenotomy(foot));
        open.extend(braced_while_booked(foot));
    }
    open.extend(moved_ahead(log));
}

fn early_tenotomy(foot: &FootCourse) -> Option<Question> {
    let cut = foot.tenotomies.first()?;
    let cast_before = foot.casts.first().is_some_and(|cast| cast.on <= cut.on);
    if cast_before || foot.earlier_treatment.is_some() {
        return None;
    }
    let (side, day) = (foot.side, cut.on.words());
    let text = format!("The tenotomy of the {side} foot on {day} comes before its first cast.");
    Some(question(KIND, side, cut.on, text, vec![cut.entry]))
}

fn braced_while_booked(foot: &FootCourse) -> Option<Question> {
    let plan = foot.tenotomy_plan?;
    let bracing = |phase| matches!(phase, Phase::FullTimeBracing | Phase::NightTimeBracing);
    let mut pairs = foot.phases.windows(2).filter_map(|pair| match pair {
        [one, next] if one.phase == Phase::WaitingForTenotomy && bracing(next.phase) => Some(next),
        _ => None,
    });
    let braced = pairs.find(|spell| spell.from > plan.booked_on)?;
    let text = format!(
        "Bracing began on {} while a tenotomy of the {} foot was booked and not done.",
        braced.from.words(),
        foot.side
    );
    let entries = std::iter::once(plan.entry).chain(braced.entry).collect();
    Some(question(KIND, foot.side, braced.from, text, entries))
}

/// Corrections that move an entry to a day after their own.
fn moved_ahead(log: &CorrectedLog<'_>) -> impl Iterator<Item = Question> {
    log.lines.iter().filter(|line| line.on > line.entry.on).filter_map(|line| {
        let Fate::Corrected { by } = line.fate else { return None };
        let correction = log.line(by)?;
        let text = format!(
            "A correction of {} moves an entry to {}, which was still in the future.",
            correction.on.words(),
            line.on.words()
        );
        let entries = vec![line.entry.id, by];
        (line.on > correction.on).then(|| question(KIND, line.body.side(), correction.on, text, entries))
    })
}
