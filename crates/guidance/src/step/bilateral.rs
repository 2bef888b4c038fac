//! Two feet, one bar: the brace waits for both feet, and the foot that is ready first is held in a cast.

use super::{Action, NextStep, StepText, caution, tenotomy, view::View};
use crate::{Reason, source, words::lower_first};
use course::Phase;
use record::{CastPurpose, DayRange};

/// Makes the foot that is ready for the brace wait for the other one.
pub(crate) fn settle(views: &[View<'_>], steps: &mut [NextStep]) {
    let ([right, left], [a, b]) = (views, steps) else { return };
    match (ready(right, a), ready(left, b)) {
        (Some(of_right), Some(of_left)) => together((right, a, of_right), (left, b, of_left)),
        (Some(_), None) if behind(left, b) => hold(right, a, left, b),
        (None, Some(_)) if behind(right, a) => hold(left, b, right, a),
        _ => after_brace((right, a), (left, b)),
    }
}

/// The days on which a foot still in casts may be braced.
fn ready(view: &View<'_>, step: &NextStep) -> Option<DayRange> {
    let due = matches!(step.action, Action::FitBrace | Action::CastOffAndBrace);
    if view.foot.phase.is_in_casts() && due { tenotomy::brace_days(view, step) } else { None }
}

/// Whether a foot still needs casts or a tenotomy. A foot whose entries are in doubt delays nothing: it may be
/// the wrong one.
fn behind(view: &View<'_>, step: &NextStep) -> bool {
    if step.action == Action::CheckRecord {
        return false;
    }
    let casting =
        matches!(view.foot.phase, Phase::Referred | Phase::InCorrection | Phase::WaitingForTenotomy);
    casting || matches!(step.action, Action::TreatRelapse)
}

type Ready<'a, 'b> = (&'a View<'b>, &'a mut NextStep, DayRange);

/// Both are ready: on the days that suit both, or on those of the later foot, with the earlier one held until
/// then.
fn together((right, a, of_right): Ready<'_, '_>, (left, b, of_left): Ready<'_, '_>) {
    let (from, to) = (of_right.from.max(of_left.from), of_right.to.min(of_left.to));
    if from > to {
        if of_right.to < of_left.from {
            hold(right, a, left, b)
        } else {
            hold(left, b, right, a)
        }
        return;
    }
    let window = DayRange::new(from, to);
    for (step, other) in [(a, left), (b, right)] {
        if step.window != Some(window) {
            let fact = format!("The {} foot goes into the brace as well.", other.foot.side.word());
            let rule = "One bar holds both feet: these days suit both.";
            step.because.push(Reason::new(fact, other.phase_entry(), rule, source::COMMON));
        }
        step.window = Some(window);
    }
}

/// The foot that is ready first is held until the other can be braced.
fn hold(view: &View<'_>, step: &mut NextStep, other: &View<'_>, others: &NextStep) {
    let side = other.foot.side;
    let in_tenotomy_cast = view.foot.phase == Phase::TenotomyCast;
    let change =
        if in_tenotomy_cast { step.window } else { view.foot.cast_on().map(|cast| view.change_window(cast)) };
    let fact = format!("{} foot: {}.", side.title(), lower_first(&others.words));
    let entry = others.because.first().and_then(|reason| reason.entry);
    let rule = format!(
        "One bar holds both feet: the brace waits for the {} foot, and the {} foot is held in a cast until then.",
        side.word(),
        view.foot.side.word()
    );
    // The other reasons are about the brace on the day the cast comes off, which is not now.
    step.because.truncate(1);
    step.because.insert(0, Reason::new(fact, entry, rule, source::COMMON));
    step.action = Action::HoldForOtherFoot;
    let first = view.foot.phase == Phase::TenotomyCast
        && view.foot.cast_on().is_some_and(|cast| cast.purpose == CastPurpose::AfterTenotomy);
    step.text = StepText::HoldFor { other: side, after_tenotomy: first };
    step.words = step.text.words();
    step.window = change.or(step.window);
    step.cautions = vec![caution::CAST_CARE];
    step.cautions.extend(caution::kind_of_foot(view));
}

/// One foot is cast again after bracing and the other is not: the brace waits for both.
fn after_brace(right: (&View<'_>, &mut NextStep), left: (&View<'_>, &mut NextStep)) {
    let out = |view: &View<'_>| {
        let braced = [Phase::FullTimeBracing, Phase::NightTimeBracing, Phase::AfterBracing];
        braced.contains(&view.foot.phase) && view.course.brace_now().is_none()
    };
    match (out(right.0), out(left.0)) {
        (true, false) if behind(left.0, left.1) || left.0.foot.phase == Phase::TenotomyCast => {
            without_brace(right.0, right.1, left.0, left.1);
        }
        (false, true) if behind(right.0, right.1) || right.0.foot.phase == Phase::TenotomyCast => {
            without_brace(left.0, left.1, right.0, right.1);
        }
        _ => {}
    }
}

fn without_brace(view: &View<'_>, step: &mut NextStep, other: &View<'_>, others: &NextStep) {
    if matches!(step.action, Action::TreatRelapse | Action::SeeUrgently | Action::Nothing) {
        return;
    }
    let side = other.foot.side.word();
    let fact = format!("{} foot: {}.", other.foot.side.title(), lower_first(&others.words));
    let entry = others.because.first().and_then(|reason| reason.entry);
    let rule = format!(
        "While the {side} foot is cast again no bar can be worn: examine this foot at every cast, and brace both feet afterwards."
    );
    let text = StepText::WatchWhile(other.foot.side);
    let reason = Reason::new(fact, entry, rule, source::COMMON);
    *step = NextStep::of(view.scope(), Action::HoldForOtherFoot, text, others.window, reason);
}
