//! An entry with doubt about its side or sense: settle it before anything is advised for the foot.

use super::{Action, NextStep, StepText, caution, view::View};
use crate::{Reason, source};
use record::DayRange;

/// Check the record, if the course has an open question about the side or the sense of the latest entries of
/// this foot.
pub(crate) fn step(view: &View<'_>) -> Option<NextStep> {
    let question = view.course.in_doubt(view.foot.side)?;
    let days = i32::from(view.protocol.check_within_days);
    let window = DayRange::new(question.on, question.on + days);
    let rule = "Nothing is advised for this foot until the entry is confirmed, corrected or withdrawn.";
    let reason = Reason::new(question.text.clone(), question.entries.last().copied(), rule, source::COMMON);
    let text = StepText::CheckRecord;
    let step = NextStep::of(view.scope(), Action::CheckRecord, text, Some(window), reason);
    Some(step.cautions(held(view)).cautions(caution::kind_of_foot(view)))
}

/// The caution that a cast or brace that is on stays on meanwhile.
pub(crate) fn held(view: &View<'_>) -> Option<caution::Words> {
    let braced = view.course.brace_now().is_some();
    (braced || view.foot.cast_on().is_some()).then_some(caution::HOLD_MEANWHILE)
}
