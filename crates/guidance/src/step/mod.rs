//! The next step of a foot or a child: what to do, within which days, and why.
//!
//! One file per group of situations: `referral`, `casting`, `tenotomy`, `bracing`, `relapse`,
//! `surgery`, `urgent`, `ended`; `correction` chooses between `casting` and `tenotomy`; `doubt`, `disagree` and
//! `after_cut` stop the advice if the record or the findings (`contradiction`) contradict each other; `bilateral` makes the brace wait for both feet, and `child` derives the step
//! of the child as a whole. [`readiness`] contains the published rules for the tenotomy.
//!
//! Nothing here depends on the requested day: windows are calendar days, counted from entries.

pub(crate) mod after_cut;
mod bilateral;
mod bracing;
mod casting;
mod caution;
mod child;
mod contradiction;
mod correction;
pub(crate) mod disagree;
mod done;
mod doubt;
mod end_point;
mod ended;
mod measured;
pub mod readiness;
mod referral;
mod relapse;
mod surgery;
mod tenotomy;
mod text;
mod urgent;
mod view;

pub use caution::by_gravity;
pub(crate) use caution::{LEAST_GESTATION_WEEKS, anaesthetic as anaesthetic_watch};
pub use done::{to_book, without_echo};
pub use text::{CastNumber, EarlyReviewAsks, StepText, StillToMeasure};

use crate::{FootStatus, Protocol, Reason};
use contradiction::FoundContradiction;
use course::{Course, FootCourse, Phase};
use record::{Day, DayRange, Side};
use std::borrow::Cow;
use view::View;

/// The subject of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scope {
    /// One foot.
    Foot(Side),
    /// The child: brace, reviews, contact.
    Child,
}

/// The action of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Action {
    /// See the child for the first time and begin casting.
    FirstVisit,
    /// Wait until the corrected age of term, then begin.
    WaitForTerm,
    /// Apply the next cast.
    NextCast,
    /// Change the cast and review the plan: progress has stalled.
    ReviewSlowProgress,
    /// See the child at once: a cast is on past its window or a visit was missed with a cast on.
    SeeUrgently,
    /// Book or do the heel-cord tenotomy.
    Tenotomy,
    /// The tenotomy is already booked: keep the booking.
    KeepTenotomy,
    /// Take off the tenotomy cast and fit the brace the same day.
    CastOffAndBrace,
    /// Corrected without tenotomy: fit the brace.
    FitBrace,
    /// Corrected; hold in a cast or splint until the other foot is ready for the brace.
    HoldForOtherFoot,
    /// Review in the brace, one of the early ones.
    EarlyBraceReview,
    /// Change from full time to nights and naps.
    ChangeToNightTime,
    /// Review in the brace, later years.
    BraceReview,
    /// Decide on the end of bracing.
    EndBracing,
    /// Review after bracing, until discharge.
    ReviewAfterBracing,
    /// A relapse: assess and begin casting again.
    TreatRelapse,
    /// Review after other surgery.
    ReviewAfterSurgery,
    /// Settle an entry with doubt about its side or sense.
    CheckRecord,
    /// Examine the foot again: its findings contradict each other.
    LookAgain,
    /// Dorsiflexion is insufficient after the tenotomy: find out why before continuing.
    AssessAfterTenotomy,
    /// Nothing to do: transferred, died, discharged.
    Nothing,
}

impl Action {
    /// Every action.
    pub const ALL: &[Self] = &[
        Self::FirstVisit,
        Self::WaitForTerm,
        Self::NextCast,
        Self::ReviewSlowProgress,
        Self::SeeUrgently,
        Self::Tenotomy,
        Self::KeepTenotomy,
        Self::CastOffAndBrace,
        Self::FitBrace,
        Self::HoldForOtherFoot,
        Self::EarlyBraceReview,
        Self::ChangeToNightTime,
        Self::BraceReview,
        Self::EndBracing,
        Self::ReviewAfterBracing,
        Self::TreatRelapse,
        Self::ReviewAfterSurgery,
        Self::CheckRecord,
        Self::LookAgain,
        Self::AssessAfterTenotomy,
        Self::Nothing,
    ];

    /// 0 where the child has to be seen at once, else 1: the order of steps in a list.
    #[must_use]
    pub fn rank(self) -> u8 {
        u8::from(self != Self::SeeUrgently)
    }

    /// A key for files and filters.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::FirstVisit => "first-visit",
            Self::WaitForTerm => "wait-for-term",
            Self::NextCast => "next-cast",
            Self::ReviewSlowProgress => "review-slow-progress",
            Self::SeeUrgently => "see-urgently",
            Self::Tenotomy => "tenotomy",
            Self::KeepTenotomy => "keep-tenotomy",
            Self::CastOffAndBrace => "cast-off-and-brace",
            Self::FitBrace => "fit-brace",
            Self::HoldForOtherFoot => "hold-for-other-foot",
            Self::EarlyBraceReview => "early-brace-review",
            Self::ChangeToNightTime => "change-to-night-time",
            Self::BraceReview => "brace-review",
            Self::EndBracing => "end-bracing",
            Self::ReviewAfterBracing => "review-after-bracing",
            Self::TreatRelapse => "treat-relapse",
            Self::ReviewAfterSurgery => "review-after-surgery",
            Self::CheckRecord => "check-record",
            Self::LookAgain => "look-again",
            Self::AssessAfterTenotomy => "assess-after-tenotomy",
            Self::Nothing => "nothing",
        }
    }
}

/// The next step of a foot or of the child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextStep {
    /// The foot or the child.
    pub scope: Scope,
    /// What to do.
    pub action: Action,
    /// What it says.
    pub text: StepText,
    /// The same in English words, with numbers if there are any: "Cast 5", "Brace review at 6 weeks".
    pub words: Cow<'static, str>,
    /// The days within which it is due, both ends included; `None` if nothing is due.
    pub window: Option<DayRange>,
    /// Why.
    pub because: Vec<Reason>,
    /// Other published rules that would lead to another step.
    pub otherwise: Vec<Reason>,
    /// Cautions.
    pub cautions: Vec<Cow<'static, str>>,
}

impl NextStep {
    /// A step of a foot with its first reason; the rest is added by the caller.
    pub(crate) fn of(
        scope: Scope,
        action: Action,
        text: StepText,
        window: Option<DayRange>,
        reason: Reason,
    ) -> Self {
        Self {
            scope,
            action,
            words: text.words(),
            text,
            window,
            because: vec![reason],
            otherwise: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// The same saying something else.
    pub(crate) fn saying(mut self, text: StepText) -> Self {
        self.words = text.words();
        self.text = text;
        self
    }

    /// With one more reason.
    pub(crate) fn because(mut self, reason: impl Into<Option<Reason>>) -> Self {
        self.because.extend(reason.into());
        self
    }

    /// With cautions.
    pub(crate) fn cautions(mut self, cautions: impl IntoIterator<Item = Cow<'static, str>>) -> Self {
        self.cautions.extend(cautions);
        self
    }

    /// The sort key: urgent steps first, then the soonest; steps without a window come last.
    pub(crate) fn place(&self) -> (bool, u8, Option<(record::Day, record::Day)>) {
        let window = self.window.map(|window| (window.from, window.to));
        (window.is_none(), self.action.rank(), window)
    }
}

/// The status and the next step of every affected foot, then the child's own step.
pub(crate) fn steps(course: &Course, protocol: &Protocol) -> (Vec<FootStatus>, Vec<NextStep>) {
    let views: Vec<View<'_>> = course.feet.iter().map(|foot| View::of(course, protocol, foot)).collect();
    let mut steps: Vec<NextStep> = views.iter().map(of_foot).collect();
    bilateral::settle(&views, &mut steps);
    let child = child::step(course, protocol, &views, &steps);
    steps.push(child);
    (views.iter().map(|view| view.status).collect(), steps)
}

/// The next step of one foot by itself, without regard to the other foot.
fn of_foot(view: &View<'_>) -> NextStep {
    if let Some(step) = ended::step(view).or_else(|| urgent::step(view)) {
        return step;
    }
    if let Some(step) = doubt::step(view).or_else(|| referral::again(view)) {
        return step;
    }
    if let Some(relapse) = view.course.untreated_relapse(view.foot) {
        return relapse::treat(view, relapse);
    }
    if let Some(step) = after_cut::cast_now(view).or_else(|| stopped(view)) {
        return step;
    }
    match view.foot.phase {
        Phase::Referred => referral::of_foot(view),
        Phase::InCorrection | Phase::WaitingForTenotomy | Phase::TenotomyCast => correction::step(view),
        Phase::FullTimeBracing | Phase::NightTimeBracing => bracing::of_foot(view),
        Phase::AfterBracing => bracing::after(view),
        Phase::AfterSurgery => surgery::step(view),
        Phase::Discharged | Phase::Transferred | Phase::LostToFollowUp | Phase::Died => ended::by_phase(view),
    }
}

/// The findings of a foot that contradict each other, and the day on which they were recorded.
pub(crate) fn disagreement(
    course: &Course,
    foot: &FootCourse,
    protocol: &Protocol,
) -> Option<(Day, Vec<FoundContradiction>)> {
    let view = View::of(course, protocol, foot);
    let on = view.measured.scored?.on;
    (!view.disagree.is_empty()).then_some((on, view.disagree))
}

/// The step if the findings themselves stop the usual one.
fn stopped(view: &View<'_>) -> Option<NextStep> {
    disagree::step(view).or_else(|| after_cut::step(view))
}

/// In words, such as "within a week", "within 10 days" or "the same day".
pub(crate) fn within(days: u16) -> Cow<'static, str> {
    match days {
        0 => "the same day".into(),
        1 => "within a day".into(),
        7 => "within a week".into(),
        days if days.is_multiple_of(7) => format!("within {} weeks", days / 7).into(),
        days => format!("within {days} days").into(),
    }
}
