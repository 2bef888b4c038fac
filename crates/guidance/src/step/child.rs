//! The next step of the child as a whole: one visit serves both feet, one bar holds both.

use super::{Action, NextStep, Scope, StepText, bracing, ended, referral, view::View};
use crate::{Protocol, Reason, source};
use course::Course;
use record::DayRange;
use std::borrow::Cow;

/// The child's own step, derived from the steps of the feet.
pub(crate) fn step(course: &Course, protocol: &Protocol, views: &[View<'_>], feet: &[NextStep]) -> NextStep {
    let entry = views.first().and_then(View::phase_entry);
    if let Some(step) = ended::of_course(course, Scope::Child, entry) {
        return step;
    }
    let Some(lead) = feet.iter().min_by_key(|step| step.place()) else { return no_foot(course, protocol) };
    let in_brace = views.iter().all(|view| view.foot.phase.is_in_brace());
    let of_brace =
        [Action::EarlyBraceReview, Action::ChangeToNightTime, Action::BraceReview, Action::EndBracing];
    if in_brace && of_brace.contains(&lead.action) {
        return bracing::of_child(course, protocol, Scope::Child);
    }
    from_feet(lead, feet)
}

/// No foot is on record as a clubfoot.
fn no_foot(course: &Course, protocol: &Protocol) -> NextStep {
    let Some(seen) = course.last_seen() else { return referral::build(course, protocol, Scope::Child) };
    let fact = format!("Seen on {}; no foot is on record as a clubfoot.", seen.words());
    let rule = "Record the diagnosis of each foot, or discharge the child.";
    let reason = Reason::new(fact, None, rule, source::COMMON);
    NextStep::of(Scope::Child, Action::Nothing, StepText::NoFoot, None, reason)
}

/// The soonest step of the feet, reworded for the child; one visit serves both if possible.
fn from_feet(lead: &NextStep, feet: &[NextStep]) -> NextStep {
    let step = NextStep { scope: Scope::Child, ..lead.clone() };
    let text = || Box::new(lead.text.clone());
    let Some(other) = feet.iter().find(|step| step.scope != lead.scope) else {
        return match lead.scope {
            Scope::Foot(side) => step.saying(StepText::OfFoot(side, text())),
            Scope::Child => step,
        };
    };
    let mut step = match (lead.scope, other.scope) {
        _ if other.text == lead.text && other.action == lead.action => {
            step.saying(StepText::BothFeet(text()))
        }
        (Scope::Foot(one), Scope::Foot(two)) => {
            step.saying(StepText::EachFoot([(one, text()), (two, Box::new(other.text.clone()))]))
        }
        _ => step,
    };
    step.window = one_visit(lead.window, other.window);
    let (of_lead, of_other) = (side_title(lead), side_title(other));
    step.because
        .iter_mut()
        .chain(&mut step.otherwise)
        .for_each(|reason| name_side(&mut reason.fact, of_lead));
    step.cautions.iter_mut().for_each(|words| name_side(words, of_lead));
    step.because.extend(other.because.first().cloned().map(|mut reason| {
        name_side(&mut reason.fact, of_other);
        reason
    }));
    for words in &other.cautions {
        let mut words = words.clone();
        name_side(&mut words, of_other);
        if !step.cautions.contains(&words) {
            step.cautions.push(words);
        }
    }
    step
}

fn side_title(step: &NextStep) -> &'static str {
    match step.scope {
        Scope::Foot(side) => side.title(),
        Scope::Child => "",
    }
}

/// Names the foot concerned when two feet are combined. A fixed text applies to every foot alike and stays as
/// it is, and so does a text that already names its foot.
fn name_side(words: &mut Cow<'static, str>, side: &str) {
    let named = ["Right ", "Left "].iter().any(|title| words.starts_with(title));
    if let Cow::Owned(text) = words
        && !named
    {
        text.insert_str(0, ": ");
        text.insert_str(0, side);
    }
}

/// The days that suit both feet, if there are any; otherwise those of the leading step.
fn one_visit(lead: Option<DayRange>, other: Option<DayRange>) -> Option<DayRange> {
    let (Some(lead), Some(other)) = (lead, other) else { return lead };
    let (from, to) = (lead.from.max(other.from), lead.to.min(other.to));
    Some(if from <= to { DayRange::new(from, to) } else { lead })
}
