//! Before the first cast: the first visit, or the wait until a premature baby reaches term.

use super::{Action, NextStep, Scope, StepText, caution, view::View, within};
use crate::{Protocol, Reason, source, words::score_words};
use course::{Course, Phase};
use record::{Day, DayRange, EntryId};

/// When treatment begins.
pub(crate) struct Start {
    window: DayRange,
    reason: Reason,
    wait: bool,
    no_birth_day: bool,
}

fn start(course: &Course, protocol: &Protocol) -> Option<Start> {
    let referred = course.known_since().or_else(|| course.seen_on.first().copied())?;
    let entry = course.reopened.map(|(_, entry)| entry).or(course.registered);
    let Some(born) = course.about.born else {
        let fact = format!("Known here since {}; the day of birth is not known.", referred.words());
        let rule = format!(
            "See the child {}: treatment starts in the first weeks of life, and the age is not known.",
            within(protocol.late_within_days)
        );
        let reason = Reason::new(fact, entry, rule, protocol.source("start.late_within_days"));
        let window = DayRange::new(referred, referred + i32::from(protocol.late_within_days));
        return Some(Start { window, reason, wait: false, no_birth_day: true });
    };
    let early = course.about.gestation_weeks.filter(|&weeks| {
        u16::from(weeks) < protocol.premature_before_weeks && u16::from(weeks) < protocol.term_weeks
    });
    Some(match early {
        Some(weeks) => premature(entry, protocol, born, weeks, referred),
        None => at_term(entry, protocol, born, referred),
    })
}

fn premature(entry: Option<EntryId>, protocol: &Protocol, born: Day, weeks: u8, referred: Day) -> Start {
    let term = born + (i32::from(protocol.term_weeks) - i32::from(weeks)) * 7;
    let span = protocol.start_window_days;
    let width = i32::from(span.high) - i32::from(span.low);
    let from = term.max(referred);
    let fact = format!(
        "Born on {} at {weeks} weeks: {} weeks are reached on {}.",
        born.words(),
        protocol.term_weeks,
        term.words()
    );
    let rule =
        "A premature baby waits until term; the window after that is as long as that of a baby born at term.";
    let reason = Reason::new(fact, entry, rule, protocol.source("start.term_weeks"));
    let window = DayRange::new(from, (term + width).max(from + i32::from(protocol.late_within_days)));
    Start { window, reason, wait: referred < term, no_birth_day: false }
}

fn at_term(entry: Option<EntryId>, protocol: &Protocol, born: Day, referred: Day) -> Start {
    let span = protocol.start_window_days;
    let from = (born + i32::from(span.low)).max(referred);
    let to = (born + i32::from(span.high)).max(from + i32::from(protocol.late_within_days));
    let fact = format!("Born on {}, known here since {}.", born.words(), referred.words());
    let late = referred > born + i32::from(span.high);
    let reason = if late {
        let rule = format!(
            "Treatment usually starts at {span} days of age; a child who comes later is seen {}.",
            within(protocol.late_within_days)
        );
        Reason::new(fact, entry, rule, protocol.source("start.late_within_days"))
    } else {
        let rule = format!("Treatment starts at {span} days of age.");
        Reason::new(fact, entry, rule, protocol.source("start.window_days"))
    };
    Start { window: DayRange::new(from, to), reason, wait: false, no_birth_day: false }
}

/// The first visit for a foot that was not cast yet.
pub(crate) fn of_foot(view: &View<'_>) -> NextStep {
    let mut step = build(view.course, view.protocol, view.scope());
    if caution::positional(view) {
        step = step.saying(StepText::Positional);
        let rule = "A foot that corrects fully by hand usually needs no cast.";
        let reason = Reason::new("Diagnosis: positional.", None, rule, source::COMMON);
        step.because.insert(0, reason);
        return step;
    }
    if let Some(scored) = view.measured.scored {
        let fact = score_words(&scored.pirani, scored.on);
        let rule = "The foot was scored, but no cast is recorded.";
        step.because.push(Reason::new(fact, scored.entry, rule, source::COMMON));
    }
    step.cautions(caution::kind_of_foot(view)).cautions(caution::late_start(view))
}

/// Whether the foot was treated before; otherwise its first visit is still to come.
fn treated(view: &View<'_>) -> bool {
    view.foot.phase != Phase::Referred || view.foot.is_treated() || !view.course.braces.is_empty()
}

/// Care was opened again after it had ended, and the child has not been seen since: the plan from before the
/// end no longer counts, the child is seen first.
pub(crate) fn again(view: &View<'_>) -> Option<NextStep> {
    let (day, entry) = view.course.reopened_unseen().filter(|_| treated(view))?;
    let days = view.protocol.late_within_days;
    let fact = match view.course.last_seen() {
        Some(seen) => format!("Referred again on {}; last seen on {}.", day.words(), seen.words()),
        None => format!("Referred again on {}; not seen yet.", day.words()),
    };
    let rule = format!(
        "A child who is referred again is seen {}; the plan from before the end no longer counts.",
        within(days)
    );
    let reason = Reason::new(fact, Some(entry), rule, view.protocol.source("start.late_within_days"));
    let window = DayRange::new(day, day + i32::from(days));
    let text = StepText::SeeAgain;
    let step = NextStep::of(view.scope(), Action::FirstVisit, text, Some(window), reason);
    Some(step.cautions(caution::kind_of_foot(view)))
}

/// The first visit of a child.
pub(crate) fn build(course: &Course, protocol: &Protocol, scope: Scope) -> NextStep {
    let Some(start) = start(course, protocol) else {
        let rule = "Record the referral: its day decides when the visit is due.";
        let reason = Reason::new("No referral or registration is recorded.", None, rule, source::COMMON);
        return NextStep::of(scope, Action::FirstVisit, StepText::FirstVisit, None, reason);
    };
    let (action, text) = if start.wait {
        (Action::WaitForTerm, StepText::WaitForTerm(start.window.from))
    } else {
        (Action::FirstVisit, StepText::FirstVisitAndCast)
    };
    let step = NextStep::of(scope, action, text, Some(start.window), start.reason);
    let step = step.cautions(course.screening.is_none().then_some(caution::FIRST_LOOK));
    step.cautions(start.no_birth_day.then_some(caution::NO_BIRTH_DAY))
}
