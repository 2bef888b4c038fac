//! What is recorded when a step is done, and what an appointment for it is for.

use super::{Action, NextStep, Scope, StepText};
use record::{
    Body, BraceChange, BraceChanged, BraceFitted, CastApplied, CastPurpose, Purpose, Regime, TenotomyDone,
};

impl NextStep {
    /// The entries of the step once it is done; empty where it is looking, waiting or deciding.
    #[must_use]
    pub fn recorded_when_done(&self) -> Vec<Body> {
        let Scope::Foot(side) = self.scope else { return self.action.recorded_for_child() };
        let cast = |purpose| Body::from(CastApplied { purpose: Some(purpose), ..CastApplied::on(side) });
        match self.action {
            Action::FirstVisit | Action::NextCast | Action::ReviewSlowProgress | Action::TreatRelapse => {
                vec![cast(CastPurpose::Correction)]
            }
            Action::HoldForOtherFoot => vec![cast(CastPurpose::Holding)],
            Action::Tenotomy | Action::KeepTenotomy => {
                vec![TenotomyDone::on(side).into(), cast(CastPurpose::AfterTenotomy)]
            }
            other => other.recorded_for_child(),
        }
    }
}

/// The steps without the child's step where it only repeats the step of a foot in the same window.
#[must_use]
pub fn without_echo(steps: &[NextStep]) -> Vec<&NextStep> {
    let echoes = |step: &NextStep| {
        let same = |foot: &NextStep| {
            foot.scope != Scope::Child && foot.action == step.action && foot.window == step.window
        };
        step.scope == Scope::Child && steps.iter().any(same)
    };
    steps.iter().filter(|step| !echoes(step)).collect()
}

/// What is to be booked for a child and within which days, and nothing about its treatment besides: for who makes
/// appointments and sees no scores. Each purpose and window once, for both feet together.
#[must_use]
pub fn to_book(steps: &[NextStep]) -> Vec<NextStep> {
    let mut booked: Vec<NextStep> = Vec::new();
    for step in steps.iter().filter(|step| step.action != Action::Nothing && step.window.is_some()) {
        let text = StepText::ToBook(step.action.purpose());
        let plain = NextStep {
            scope: Scope::Child,
            action: step.action,
            words: text.words(),
            text,
            window: step.window,
            because: Vec::new(),
            otherwise: Vec::new(),
            cautions: Vec::new(),
        };
        if !booked.iter().any(|other| other.words == plain.words && other.window == plain.window) {
            booked.push(plain);
        }
    }
    booked
}

impl Action {
    fn recorded_for_child(self) -> Vec<Body> {
        match self {
            Self::CastOffAndBrace | Self::FitBrace => vec![BraceFitted::default().into()],
            Self::ChangeToNightTime => vec![
                BraceChanged {
                    change: BraceChange::Hours,
                    brace: None,
                    regime: Some(Regime::NightTime),
                    hours_prescribed: None,
                    note: None,
                }
                .into(),
            ],
            _ => Vec::new(),
        }
    }

    /// What an appointment for the step is for.
    #[must_use]
    pub const fn purpose(self) -> Purpose {
        match self {
            Self::FirstVisit | Self::WaitForTerm => Purpose::First,
            Self::NextCast | Self::ReviewSlowProgress | Self::TreatRelapse | Self::HoldForOtherFoot => {
                Purpose::Cast
            }
            Self::Tenotomy | Self::KeepTenotomy => Purpose::Tenotomy,
            Self::CastOffAndBrace | Self::FitBrace => Purpose::BraceFitting,
            Self::LookAgain | Self::AssessAfterTenotomy => Purpose::Review,
            Self::EarlyBraceReview | Self::ChangeToNightTime | Self::BraceReview | Self::EndBracing => {
                Purpose::BraceReview
            }
            Self::ReviewAfterBracing | Self::ReviewAfterSurgery => Purpose::Review,
            _ => Purpose::Other,
        }
    }
}
