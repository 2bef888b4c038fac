//! The outlook: a course with its next steps and calls for attention.

use crate::brace::{SettingDoubt, settings_check};
use crate::{Action, Attention, FootStatus, NextStep, Protocol, Scope, StepText, Urgency, attention, step};
use course::{Course, WearKind, WearSpan};
use record::{AppointmentAttended, Body, Day, DayRange, Note, Side};
use std::borrow::Cow;

/// Age from which a child is scored at walking age, months: treated children walk alone at 14 to 17 months on
/// average (Hughes 2019: 15, SD 4.0, and 14, SD 1.75; Pavone 2022: 16.8, SD 3.5).
pub const WALKING_AGE_MONTHS: i32 = 14;

/// A child's course with its guidance under a protocol.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The course; its questions include those that need the protocol.
    pub course: Course,
    /// Readiness and correction of each affected foot, in the order of `course.feet`.
    pub feet: Vec<FootStatus>,
    /// Next steps: one per affected foot in the order of `course.feet`, then the child's own.
    pub steps: Vec<NextStep>,
    /// Every call for attention, those that will apply later included; soonest first.
    pub attention: Vec<Attention>,
}

impl Outlook {
    /// The outlook of a course under a protocol.
    #[must_use]
    pub fn of(mut course: Course, protocol: &Protocol) -> Self {
        let doubts = settings_check(&course, protocol);
        course.ask(doubts.iter().map(SettingDoubt::question).collect());
        let (feet, steps) = step::steps(&course, protocol);
        let attention = attention::find_all(&course, &feet, &doubts, protocol);
        Self { course, feet, steps, attention }
    }

    /// The step that leads on a day: urgent ones first, then the soonest, the child's own before a foot's if they
    /// are due together. `None` if nothing is due, so that a worklist stays empty.
    #[must_use]
    pub fn lead_on(&self, day: Day) -> Option<Cow<'_, NextStep>> {
        let child = self.child_step_on(day);
        let feet = self.steps.iter().filter(|step| step.scope != Scope::Child).map(Cow::Borrowed);
        let due = feet.chain(child).filter(|step| step.window.is_some());
        due.min_by_key(|step| (step.place(), step.scope != Scope::Child))
    }

    /// The most urgent call for the same day or this week that applies on a day; of several, the one that has
    /// applied longest.
    #[must_use]
    pub fn worst_call_on(&self, day: Day) -> Option<&Attention> {
        let applies = |call: &&Attention| call.is_listed(day) && call.urgency.within_days().is_some();
        self.attention.iter().filter(applies).min_by_key(|call| (call.urgency, call.from))
    }

    /// The next step of the child on a day. A call for the same day or this week sets its days, and its words if
    /// the step itself would come later.
    #[must_use]
    pub fn child_step_on(&self, day: Day) -> Option<Cow<'_, NextStep>> {
        let step = self.child_step()?;
        Some(match self.worst_call_on(day) {
            Some(call) => brought_forward(step, call),
            None => Cow::Borrowed(step),
        })
    }

    /// Every step, with the child's own as it is on a day.
    #[must_use]
    pub fn steps_on(&self, day: Day) -> Vec<NextStep> {
        let feet = self.steps.iter().filter(|step| step.scope != Scope::Child).cloned();
        feet.chain(self.child_step_on(day).map(Cow::into_owned)).collect()
    }

    /// What a visit would write if the steps that are due were done at it, so that the day after it can be
    /// proposed before anything is filled in. Nothing of this is ever saved.
    #[must_use]
    pub fn if_done(&self, on: Day) -> Vec<Body> {
        let due = |step: &&NextStep| step.window.is_some_and(|window| window.from <= on);
        let mut bodies: Vec<Body> =
            self.steps.iter().filter(due).flat_map(NextStep::recorded_when_done).collect();
        bodies.push(AppointmentAttended::default().into());
        // An attendance by itself is no visit: the one assumed is written up.
        bodies.push(Note { text: "Visit".to_owned() }.into());
        bodies
    }

    /// The first day of the wear that a family can report at a visit: that of the last visit before it, of the
    /// end of the last report if that is later, or of the brace. `None` out of the brace.
    #[must_use]
    pub fn wear_to_report_since(&self, visit: Day) -> Option<Day> {
        let course = &self.course;
        let spell = course.brace_now().filter(|spell| spell.from < visit)?;
        let seen = course.seen_on.iter().rfind(|day| **day < visit).copied();
        let reported = |span: &&WearSpan| span.kind == WearKind::Reported && span.to <= visit;
        let reported = course.wear.iter().filter(reported).map(|span| span.to).max();
        Some([seen, reported].into_iter().flatten().fold(spell.bracing_since, Day::max))
    }

    /// Whether the child is of an age on a day at which the walking-age score is due; not where the day of
    /// birth is not known.
    #[must_use]
    pub fn is_of_walking_age(&self, day: Day) -> bool {
        self.course.age_on(day).is_some_and(|age| age.months >= WALKING_AGE_MONTHS)
    }

    /// The next step of one foot.
    #[must_use]
    pub fn foot_step(&self, side: Side) -> Option<&NextStep> {
        self.steps.iter().find(|step| step.scope == Scope::Foot(side))
    }

    /// The next step of the child, without calls for attention.
    #[must_use]
    pub fn child_step(&self) -> Option<&NextStep> {
        self.steps.iter().find(|step| step.scope == Scope::Child)
    }
}

/// The child's step with the days of a call for the same day or this week. A step that is due by then anyway
/// keeps its words; a later one says why it is brought forward. The call's reasons come first.
fn brought_forward<'a>(step: &'a NextStep, call: &Attention) -> Cow<'a, NextStep> {
    let Some(days) = call.urgency.within_days() else { return Cow::Borrowed(step) };
    let last = call.from + days;
    if step.action == Action::SeeUrgently || step.window.is_some_and(|window| window.to <= last) {
        return Cow::Borrowed(step);
    }
    let step = step.clone();
    // These steps already contain the message of the call.
    let settles =
        matches!(step.action, Action::CheckRecord | Action::LookAgain | Action::AssessAfterTenotomy);
    let text = call.text.clone();
    let mut step = match (call.urgency, step.action) {
        (Urgency::ThisWeek, _) if settles => step,
        (Urgency::Today, _) => step.saying(StepText::CallToday(text)),
        (_, Action::Nothing) => step.saying(StepText::Call(text)),
        _ => {
            let later = Box::new(step.text.clone());
            step.saying(StepText::BroughtForward(later, text))
        }
    };
    if call.urgency == Urgency::Today {
        step.action = Action::SeeUrgently;
    }
    step.window = Some(DayRange::new(call.from, last));
    step.because.splice(0..0, call.because.iter().cloned());
    Cow::Owned(step)
}
