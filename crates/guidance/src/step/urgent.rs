//! A cast that needs attention at once: a visit missed with a cast on, a cast slipped, toes of a bad colour.

use super::{Action, NextStep, StepText, caution, view::View, within};
use crate::{Reason, source};
use course::{AppointmentState, CastWorn, ProblemSeen};
use record::{Day, DayRange, ProblemKind};

/// See the child at once, if a cast that is on makes it urgent.
pub(crate) fn step(view: &View<'_>) -> Option<NextStep> {
    let cast = view.foot.cast_on()?;
    problem(view, cast).or_else(|| missed(view, cast))
}

/// Problems that cannot wait while a cast is on.
const fn cannot_wait(what: ProblemKind) -> bool {
    use ProblemKind as P;
    matches!(
        what,
        P::CastSlipped
            | P::ToesNotSeen
            | P::ToesColour
            | P::Swelling
            | P::Bleeding
            | P::Fever
            | P::Crying
            | P::SkinBroken
            | P::Blister
    )
}

/// Problems that are found when a cast is changed, and were there before the new one was applied.
const fn found_at_change(what: ProblemKind) -> bool {
    matches!(what, ProblemKind::SkinBroken | ProblemKind::Blister)
}

fn about(view: &View<'_>, cast: &CastWorn, problem: &ProblemSeen) -> bool {
    problem.side.is_none_or(|side| side == view.foot.side)
        && problem.settled_on.is_none()
        && cannot_wait(problem.what)
        && (problem.on > cast.on || problem.on == cast.on && !found_at_change(problem.what))
}

fn problem(view: &View<'_>, cast: &CastWorn) -> Option<NextStep> {
    let problem = view.course.problems.iter().rev().find(|problem| about(view, cast, problem))?;
    let fact = format!(
        "{} on {}, with the cast of {} on.",
        sentence(problem.what.words()),
        problem.on.words(),
        cast.on.words()
    );
    let rule = match problem.what {
        ProblemKind::CastSlipped | ProblemKind::ToesNotSeen => {
            "A slipped cast causes pressure: remove it the same day, examine the skin, cast again."
        }
        _ => {
            "Examine the toes and the skin the same day; if that does not resolve the problem, remove the cast."
        }
    };
    let from = match problem.what {
        ProblemKind::Bleeding | ProblemKind::Fever | ProblemKind::SkinBroken | ProblemKind::Blister => {
            source::COMMON
        }
        _ => source::LEAFLETS,
    };
    let reason = Reason::new(fact, problem.entry, rule, from);
    let text = StepText::SeeTheSameDay(problem.what);
    let window = Some(DayRange::on(problem.on));
    let step = NextStep::of(view.scope(), Action::SeeUrgently, text, window, reason);
    Some(step.cautions([caution::CAST_CARE]))
}

fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The last visit missed since the cast was applied, if the child has not been seen since.
fn missed(view: &View<'_>, cast: &CastWorn) -> Option<NextStep> {
    let since: Day = view.course.last_seen().map_or(cast.on, |seen| seen.max(cast.on));
    let mut missed =
        view.course.appointments.iter().filter(|appointment| {
            appointment.state == AppointmentState::Missed && appointment.for_day > since
        });
    let appointment = missed.next_back()?;
    let day = appointment.for_day;
    let fact = format!("Expected on {} and not seen, with the cast of {} on.", day.words(), cast.on.words());
    let days = view.protocol.missed_within_days;
    let rule = format!(
        "A cast left on too long can harm skin and toes: see the child {}, or have the cast removed near home.",
        within(days)
    );
    let window = DayRange::new(day + 1, day + i32::from(days));
    let source = view.protocol.source("casting.missed_within_days");
    let reason = Reason::new(fact, appointment.entry, rule, source);
    let text = StepText::MissedInCast;
    let step = NextStep::of(view.scope(), Action::SeeUrgently, text, Some(window), reason);
    Some(step.cautions([caution::CAST_CARE]))
}
