//! The frame of every rule: its name, how urgent its calls are, and what it looks at.
//!
//! A rule names what it looks at with a [`Finder`] and gives the function that finds a call in it. The loop
//! over feet or problems is here, so that a rule's own file only has what is its own.

use super::{Attention, CallPlace, Ground};
use crate::{
    CallText, Reason, Urgency,
    call_text::{FindingCallText, ProblemStanding, TreatmentCallText},
};
use course::{FootCourse, ProblemSeen, Standing};
use record::{Day, Side};

/// A registered rule.
#[derive(Debug, Clone, Copy)]
pub struct AttentionRule {
    /// Its key for files and filters: the name of its file, with dashes.
    pub key: &'static str,
    /// What it finds, in a few words.
    pub words: &'static str,
    /// The usual urgency; a single call may be more or less urgent.
    pub urgency: Urgency,
    /// Whether it still applies when the clinic has declared the child lost to follow-up.
    pub when_lost: bool,
    /// What it looks at, and the function that finds its calls.
    pub find: Finder,
}

/// What a rule looks at, with the function that finds a call in it.
#[derive(Debug, Clone, Copy)]
pub enum Finder {
    /// The child: one call at most.
    Child(fn(&Ground<'_>) -> Option<Attention>),
    /// Each affected foot by itself.
    EachFoot(fn(&Ground<'_>, &FootCourse) -> Option<Attention>),
    /// Where both feet are affected, a foot compared with the other: one call at most, for the right foot if
    /// there is one.
    FootAgainstOther(fn(&Ground<'_>, &FootCourse, &FootCourse) -> Option<Attention>),
    /// Each problem that no entry has settled.
    EachOpenProblem(fn(&Ground<'_>, &ProblemSeen) -> Option<Attention>),
    /// Several of these: any number of calls.
    Several(fn(&Ground<'_>, &mut Vec<Attention>)),
}

impl AttentionRule {
    /// Whether the rule applies to a child of this standing.
    pub(super) const fn applies_to(&self, standing: Standing) -> bool {
        match standing {
            Standing::Active => true,
            Standing::Lost(_) => self.when_lost,
            Standing::Discharged(_) | Standing::Transferred(_) | Standing::Died(_) => false,
        }
    }

    /// Adds the calls that the rule finds.
    pub(super) fn add_calls(&self, ground: &Ground<'_>, found: &mut Vec<Attention>) {
        let course = ground.course;
        match self.find {
            Finder::Child(call) => found.extend(call(ground)),
            Finder::EachFoot(call) => found.extend(course.feet.iter().filter_map(|foot| call(ground, foot))),
            Finder::FootAgainstOther(call) => {
                let [right, left] = course.feet.as_slice() else { return };
                found.extend(call(ground, right, left).or_else(|| call(ground, left, right)));
            }
            Finder::EachOpenProblem(call) => {
                let open = course.problems.iter().filter(|problem| problem.settled_on.is_none());
                found.extend(open.filter_map(|problem| call(ground, problem)));
            }
            Finder::Several(add_calls) => add_calls(ground, found),
        }
    }

    /// A call by this rule, with its usual urgency and one reason or several.
    pub(super) fn call(
        &self,
        side: Option<Side>,
        from: Day,
        text: CallText,
        because: impl Into<Vec<Reason>>,
    ) -> Attention {
        let Self { key: rule, urgency, .. } = *self;
        let because = because.into();
        Attention { rule, urgency, side, from, until: None, place: CallPlace::List, text, because }
    }

    /// A call about casts or tenotomy of one foot.
    pub(super) fn call_treatment(
        &self,
        foot: &FootCourse,
        from: Day,
        text: TreatmentCallText,
        because: impl Into<Vec<Reason>>,
    ) -> Attention {
        self.call(Some(foot.side), from, CallText::Treatment(foot.side, text), because)
    }

    /// A call about findings in one foot.
    pub(super) fn call_finding(
        &self,
        foot: &FootCourse,
        from: Day,
        text: FindingCallText,
        because: impl Into<Vec<Reason>>,
    ) -> Attention {
        self.call(Some(foot.side), from, CallText::Finding(foot.side, text), because)
    }

    /// A call about a problem, from the day on which it was noted.
    pub(super) fn call_problem(
        &self,
        problem: &ProblemSeen,
        standing: ProblemStanding,
        because: Reason,
    ) -> Attention {
        let &ProblemSeen { side, what, on, .. } = problem;
        self.call(side, on, CallText::Problem { side, what, on, standing }, because)
    }
}
