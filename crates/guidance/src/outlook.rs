//! The outlook: a course with its next steps and calls for attention.

use crate::{Attention, NextStep, Protocol};
use course::Course;
use record::Side;

/// A child's course with what follows from it under a protocol.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The course it rests on.
    pub course: Course,
    /// What the score and movement of each affected foot say, in the order of `course.feet`.
    pub feet: Vec<FootStatus>,
    /// Next steps: one per affected foot, then the child's own. Soonest first within each scope.
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
        let _ = protocol;
        Self { course, feet: Vec::new(), steps: Vec::new(), attention: Vec::new() }
    }
}
