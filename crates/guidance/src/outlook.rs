//! The outlook: a course with its next steps and calls for attention.

use crate::{Attention, NextStep, Protocol, Scope, attention, step};
use course::Course;
use record::Side;

/// A child's course with what follows from it under a protocol.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The course it rests on.
    pub course: Course,
    /// What the score and movement of each affected foot say, in the order of `course.feet`.
    pub feet: Vec<FootStatus>,
    /// Next steps: one per affected foot in the order of `course.feet`, then the child's own.
    pub steps: Vec<NextStep>,
    /// Every call for attention, those that will apply later included; soonest first.
    pub attention: Vec<Attention>,
}

/// Where a foot stands by the protocol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootStatus {
    /// Which foot.
    pub side: Side,
    /// Ready for tenotomy by the clinic's rule; `None` where something needed was not measured.
    pub ready_for_tenotomy: Option<bool>,
    /// Corrected: may go into the brace without a tenotomy; `None` where not measured.
    pub corrected: Option<bool>,
}

impl Outlook {
    /// The outlook of a course under a protocol.
    #[must_use]
    pub fn of(course: Course, protocol: &Protocol) -> Self {
        let (feet, steps) = step::steps(&course, protocol);
        let attention = attention::find_all(&course, &feet, protocol);
        Self { course, feet, steps, attention }
    }

    /// The step that leads: urgent ones first, then the soonest, the child's own before a foot's where
    /// they fall together. `None` where nothing is due, so that a worklist stays silent.
    #[must_use]
    pub fn lead(&self) -> Option<&NextStep> {
        let due = self.steps.iter().filter(|step| step.window.is_some());
        due.min_by_key(|step| (step.place(), step.scope != Scope::Child))
    }

    /// The next step of one foot.
    #[must_use]
    pub fn foot_step(&self, side: Side) -> Option<&NextStep> {
        self.steps.iter().find(|step| step.scope == Scope::Foot(side))
    }

    /// The next step of the child.
    #[must_use]
    pub fn child_step(&self) -> Option<&NextStep> {
        self.steps.iter().find(|step| step.scope == Scope::Child)
    }
}
