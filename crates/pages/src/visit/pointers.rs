//! The answers that the next steps suggest. They are marked on the form and never selected.

use guidance::{Action, Outlook, Scope};
use record::Side;

/// The next steps, from which the suggested answers follow.
#[derive(Debug, Clone)]
pub(super) struct Pointers {
    steps: Vec<(Scope, Action)>,
}

impl Pointers {
    pub(super) fn of(outlook: &Outlook) -> Self {
        Self { steps: outlook.steps.iter().map(|step| (step.scope, step.action)).collect() }
    }

    fn foot(&self, side: Side, actions: &[Action]) -> bool {
        self.steps.iter().any(|(scope, action)| *scope == Scope::Foot(side) && actions.contains(action))
    }

    fn any(&self, actions: &[Action]) -> bool {
        self.steps.iter().any(|(_, action)| actions.contains(action))
    }

    /// Whether a step implies that the cast is removed as planned.
    pub(super) fn cast_off(&self, side: Side) -> bool {
        self.foot(
            side,
            &[
                Action::NextCast,
                Action::ReviewSlowProgress,
                Action::Tenotomy,
                Action::KeepTenotomy,
                Action::CastOffAndBrace,
            ],
        )
    }

    /// Whether a step suggests this answer about a tenotomy.
    pub(super) fn tenotomy(&self, side: Side, answer: &str) -> bool {
        match answer {
            "done" => self.foot(side, &[Action::Tenotomy, Action::KeepTenotomy]),
            "book" => self.foot(side, &[Action::Tenotomy]),
            _ => false,
        }
    }

    /// Whether a step suggests this answer about a new cast.
    pub(super) fn cast(&self, side: Side, answer: &str) -> bool {
        match answer {
            "correction" => self.foot(
                side,
                &[Action::FirstVisit, Action::NextCast, Action::ReviewSlowProgress, Action::TreatRelapse],
            ),
            "after_tenotomy" => self.foot(side, &[Action::KeepTenotomy]),
            "holding" => self.foot(side, &[Action::HoldForOtherFoot]),
            _ => false,
        }
    }

    /// Whether a step suggests this answer about the brace.
    pub(super) fn brace(&self, answer: &str) -> bool {
        match answer {
            "fitted" => self.any(&[Action::CastOffAndBrace, Action::FitBrace]),
            "hours" => self.any(&[Action::ChangeToNightTime]),
            "stopped" => self.any(&[Action::EndBracing]),
            _ => false,
        }
    }

    /// Whether a step suggests this way of wearing the brace.
    pub(super) fn regime(&self, answer: &str) -> bool {
        match answer {
            "full_time" => self.any(&[Action::CastOffAndBrace, Action::FitBrace]),
            "night_time" => self.any(&[Action::ChangeToNightTime]),
            _ => false,
        }
    }

    /// Whether a step concerns the brace; if so, the section on the brace is open.
    pub(super) fn about_brace(&self) -> bool {
        self.any(&[
            Action::CastOffAndBrace,
            Action::FitBrace,
            Action::EarlyBraceReview,
            Action::ChangeToNightTime,
            Action::BraceReview,
            Action::EndBracing,
        ])
    }
}
