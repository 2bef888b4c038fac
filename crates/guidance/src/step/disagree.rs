//! Findings of one foot that contradict each other: examine the foot again before continuing.

use super::{Action, NextStep, StepText, casting, caution, doubt, view::View};
use crate::Urgency;
use course::Phase;
use record::{Day, DayRange};

/// Examine the foot again, if its findings disagree and a decision depends on them.
pub(crate) fn step(view: &View<'_>) -> Option<NextStep> {
    let deciding = view.foot.phase == Phase::Referred || view.foot.phase.is_in_casts();
    let (first, rest) = view.disagree.split_first().filter(|_| deciding)?;
    let text = StepText::LookAgain;
    let mut step =
        NextStep::of(view.scope(), Action::LookAgain, text, Some(window(view)), first.because.clone());
    step.because.extend(rest.iter().map(|found| found.because.clone()));
    Some(step.cautions(meanwhile(view)).cautions(caution::kind_of_foot(view)))
}

/// Before the next cast; if one was applied since, at its change, within the week of the call.
fn window(view: &View<'_>) -> DayRange {
    let on = view.measured.on.unwrap_or(Day::FIRST);
    match view.foot.cast_on().filter(|cast| cast.on >= on) {
        Some(cast) if view.foot.phase == Phase::InCorrection => {
            let change = view.change_window(cast);
            let week = on + Urgency::ThisWeek.within_days().unwrap_or(0);
            DayRange::new(change.from, change.to.min(week).max(change.from))
        }
        Some(_) | None => DayRange::new(on, on + i32::from(view.protocol.check_within_days)),
    }
}

/// The foot stays held, and no further force is used, until it was examined again.
fn meanwhile(view: &View<'_>) -> Vec<caution::Words> {
    let mut words = vec![doubt::held(view).unwrap_or_else(|| {
        "Meanwhile hold the foot in a cast, in the position it reaches without force.".into()
    })];
    if view.foot.phase == Phase::InCorrection && view.last_cast().is_some() {
        let (window, _) = casting::due(view);
        words.push(
            format!(
                "The cast is changed as planned, between {} and {}.",
                window.from.words(),
                window.to.words()
            )
            .into(),
        );
    }
    words.push("Examine the side and the sole of the foot, and take a lateral X-ray if in doubt (common practice, no source).".into());
    words
}
