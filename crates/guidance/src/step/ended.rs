//! Transferred, died, discharged, declared lost: nothing is due.

use super::{Action, NextStep, Scope, StepText, view::View};
use crate::{Reason, source};
use course::{Course, Phase, Standing};
use record::{Day, EntryId};

/// Nothing, if the clinic no longer follows the child.
pub(crate) fn of_course(course: &Course, scope: Scope, entry: Option<EntryId>) -> Option<NextStep> {
    let (text, fact, day, rule): (_, _, Day, _) = match course.standing {
        Standing::Active => return None,
        Standing::Discharged(day) => (StepText::Discharged, "Discharged on", day, "Treatment has ended."),
        Standing::Transferred(day) => {
            (StepText::Transferred, "Passed to another clinic on", day, "That clinic decides.")
        }
        Standing::Died(day) => {
            (StepText::Nothing, "The child died on", day, "Nothing is required of the family.")
        }
        Standing::Lost(day) => (
            StepText::DeclaredLost,
            "Declared lost to follow-up on",
            day,
            "A new visit reopens the course; if the family is reached, offer one.",
        ),
    };
    let reason = Reason::new(format!("{fact} {}.", day.words()), entry, rule, source::COMMON);
    Some(NextStep::of(scope, Action::Nothing, text, None, reason))
}

/// Nothing, for one foot.
pub(crate) fn step(view: &View<'_>) -> Option<NextStep> {
    let entry = view.phase_entry().filter(|_| is_end(view.foot.phase));
    of_course(view.course, view.scope(), entry)
}

const fn is_end(phase: Phase) -> bool {
    matches!(phase, Phase::Discharged | Phase::Transferred | Phase::LostToFollowUp | Phase::Died)
}

/// Nothing, if the phase has ended but the standing of the child has not.
pub(crate) fn by_phase(view: &View<'_>) -> NextStep {
    let since = view.foot.phase_since.map_or_else(String::new, |day| format!(" since {}", day.words()));
    let fact = format!("{} foot {}{since}.", view.foot.side.title(), view.foot.phase.words());
    let reason = Reason::new(fact, view.phase_entry(), "Nothing is due for this foot.", source::COMMON);
    NextStep::of(view.scope(), Action::Nothing, StepText::Nothing, None, reason)
}
