//! A relapse: a few casts again, a second tenotomy if dorsiflexion stays short, a tendon transfer to be
//! considered in the older child.

use super::{Action, NextStep, StepText, caution, view::View, within};
use crate::{Reason, source};
use course::RelapseSeen;
use record::{Day, DayRange};

/// Assess and begin casting again.
pub(crate) fn treat(view: &View<'_>, relapse: &RelapseSeen) -> NextStep {
    let grade = relapse.grade.map_or(String::new(), |grade| format!(", grade {}", grade.words()));
    let fact = format!("Relapse noted on {}{grade}.", relapse.on.words());
    let rule = "Two or three casts again, then the brace; a second tenotomy if dorsiflexion stays short.";
    let days = view.protocol.relapse_cast_within_days;
    let window = DayRange::new(relapse.on, relapse.on + i32::from(days));
    let reason = Reason::new(fact, relapse.entry, rule, source::HANDBOOK);
    let soon = Reason::new(
        "No cast has been recorded since.",
        None,
        format!("Casts begin again {}.", within(days)),
        view.protocol.source("relapse.cast_within_days"),
    );
    NextStep::of(view.scope(), Action::TreatRelapse, StepText::Relapse, Some(window), reason)
        .because(soon)
        .because(graded(view))
        .cautions(["Ask how the brace was worn, and whether its size and settings are right, before anything else (common practice, no source).".into()])
        .cautions(transfer(view, window.from))
        .cautions(criteria(view, window.from))
        .cautions(caution::kind_of_foot(view))
}

/// The first day of the last run of bracing before the relapse.
fn braced_since(view: &View<'_>) -> Option<Day> {
    view.course.braces.last().map(|spell| spell.bracing_since)
}

/// The grade that follows from the findings, in addition to the recorded one.
fn graded(view: &View<'_>) -> Option<Reason> {
    let seen = crate::relapse::RelapseFindings::of(view.foot, braced_since(view)?, view.protocol);
    seen.grade().map(|found| found.reason())
}

/// The arguments for and against a tendon transfer, once it is considered.
fn criteria(view: &View<'_>, on: Day) -> Option<caution::Words> {
    let months = view.born()?.months_to(on);
    let old = months >= i32::from(view.protocol.transfer_from_months);
    let since = braced_since(view).filter(|_| old)?;
    let criteria = crate::relapse::transfer_criteria(view.foot, since, Some(months), view.protocol);
    Some(
        format!(
            "Criteria for a transfer, as far as recorded: {} (age: {}; ossified cuneiform: Opel 2014, 10.4236/ojo.2014.43010; the others from memory).",
            criteria.join("; "),
            view.protocol.source("relapse.transfer_until_months")
        )
        .into(),
    )
}

/// The reason why a later episode of casts is short.
pub(crate) fn reason(view: &View<'_>) -> Option<Reason> {
    let relapse = view.foot.relapses.iter().rev().find(|relapse| relapse.episode == view.foot.episode)?;
    let fact = format!("Relapse noted on {}.", relapse.on.words());
    let rule = "Two or three casts, then the brace again; a second tenotomy if dorsiflexion stays short.";
    Some(Reason::new(fact, relapse.entry, rule, source::HANDBOOK))
}

/// The reason to review the plan: more casts than a relapse should need.
pub(crate) fn stalled(view: &View<'_>) -> Option<Reason> {
    let cast = view
        .last_cast()
        .filter(|cast| view.foot.episode > 1 && cast.number >= view.protocol.relapse_casts)?;
    let fact =
        format!("Cast {} of episode {} was applied on {}.", cast.number, view.foot.episode, cast.on.words());
    let rule = "Two or three casts should correct a relapse: if the foot is still short after them, review the plan (second tenotomy, surgery).";
    Some(Reason::new(fact, cast.entry, rule, source::HANDBOOK))
}

/// Cautions for a later episode.
pub(crate) fn cautions(view: &View<'_>, on: Day) -> Option<caution::Words> {
    if view.foot.episode > 1 { transfer(view, on) } else { None }
}

/// "2.5 years", "32 months".
fn years(months: u16) -> String {
    if months.is_multiple_of(6) {
        format!("{} years", f64::from(months) / 12.0)
    } else {
        format!("{months} months")
    }
}

/// A tendon transfer is considered from two and a half years, or from the clinic's own age.
fn transfer(view: &View<'_>, on: Day) -> Option<caution::Words> {
    let Some(born) = view.born() else { return Some(caution::NO_BIRTH_DAY) };
    let from = view.protocol.transfer_from_months;
    (born.months_to(on) >= i32::from(from)).then(|| {
        format!(
            "From {}, if the foot supinates in swing and corrects by hand: consider a tibialis anterior tendon transfer after the casts ({}; Opel 2014, 10.4236/ojo.2014.43010; that it corrects by hand: from memory).",
            years(from),
            view.protocol.source("relapse.transfer_from_months")
        )
        .into()
    })
}
