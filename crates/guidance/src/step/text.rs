//! What a step says, as data: the words follow from it, and whoever shows a step in another language translates it.

use crate::{
    CallText,
    words::{lower_first, weeks},
};
use record::{Day, ProblemKind, Purpose, Side};
use std::borrow::Cow;

/// A cast by its number within an episode.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CastNumber {
    /// Its number, from 1.
    pub number: u16,
    /// The episode, where it is a later one than the first.
    pub later_episode: Option<u8>,
}

/// What has to be measured before the next decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StillToMeasure {
    /// Some of the six signs.
    RestOfScore,
    /// All six signs.
    Score,
    /// Dorsiflexion and abduction.
    Movement,
    /// Dorsiflexion.
    Dorsiflexion,
    /// Abduction.
    Abduction,
}

/// What else an early review in the brace decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EarlyReviewAsks {
    /// Nothing besides.
    Nothing,
    /// The change to nights and naps.
    NightsAndNaps,
    /// To go on full time, because the brace was worn too little.
    WornTooLittle,
}

/// What a step says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepText {
    /// The first visit of a child about whom nothing is recorded.
    FirstVisit,
    /// The first visit with score and first cast.
    FirstVisitAndCast,
    /// To wait until a premature baby reaches term, on this day.
    WaitForTerm(Day),
    /// A foot called positional.
    Positional,
    /// A child who is referred again.
    SeeAgain,
    /// The next cast, and what has to be measured before it.
    Cast(CastNumber, Option<StillToMeasure>),
    /// A cast that holds the foot until its tenotomy.
    CastUntilTenotomy(CastNumber),
    /// The next cast with a review of the plan.
    CastAndReviewPlan(CastNumber),
    /// A problem for which a child in a cast is seen the same day.
    SeeTheSameDay(ProblemKind),
    /// A visit was missed with a cast on.
    MissedInCast,
    /// No cast is recorded since the tenotomy.
    CastAfterTenotomy,
    /// The tenotomy is to be booked; `second` after an earlier one.
    BookTenotomy {
        /// Whether it is not the first.
        second: bool,
    },
    /// The tenotomy is booked for a day.
    TenotomyBooked {
        /// Whether it is not the first.
        second: bool,
        /// The day.
        on: Day,
    },
    /// The tenotomy is booked without a day.
    TenotomyWithoutDay {
        /// Whether it is not the first.
        second: bool,
    },
    /// Corrected without tenotomy.
    BraceWithoutTenotomy,
    /// The cast after the tenotomy comes off.
    CastOffAndBrace,
    /// The cast after the tenotomy came off too soon.
    CastOffTooSoon,
    /// Out of the cast without a brace.
    BraceOutOfCast,
    /// Dorsiflexion after the tenotomy is less than expected.
    AssessAfterTenotomy,
    /// The foot is held until this other one can be braced.
    HoldFor {
        /// The other foot.
        other: Side,
        /// Whether the cast that is on is the one after the tenotomy.
        after_tenotomy: bool,
    },
    /// The foot is watched while this other one is cast again.
    WatchWhile(Side),
    /// An early review, in weeks after the fitting.
    EarlyReview(u16, EarlyReviewAsks),
    /// A review in the brace.
    BraceReview,
    /// A review in the brace that was worn too little for nights.
    BraceReviewWornTooLittle,
    /// A review in the brace after the planned end.
    BraceReviewAndDecide,
    /// The change to nights and naps.
    NightsAndNaps,
    /// The planned end of bracing, from a day on.
    EndOfBracing(Day),
    /// Bracing was stopped early.
    ResumeBracing,
    /// A review after bracing.
    ReviewAfterBracing,
    /// A review after surgery.
    ReviewAfterSurgery,
    /// A relapse.
    Relapse,
    /// The side of an entry is in doubt.
    CheckRecord,
    /// Findings contradict each other.
    LookAgain,
    /// Nothing is due.
    Nothing,
    /// Nothing: discharged.
    Discharged,
    /// Nothing here: with another clinic.
    Transferred,
    /// Nothing is planned: declared lost.
    DeclaredLost,
    /// Nothing: no foot on record as a clubfoot.
    NoFoot,
    /// An appointment is to be made, for who does not see treatment.
    ToBook(Purpose),
    /// A step of one foot, said of the child.
    OfFoot(Side, Box<StepText>),
    /// The same step of both feet.
    BothFeet(Box<StepText>),
    /// A step of each foot.
    EachFoot([(Side, Box<StepText>); 2]),
    /// A call for the same day.
    CallToday(CallText),
    /// A call.
    Call(CallText),
    /// A step that a call brings forward.
    BroughtForward(Box<StepText>, CallText),
}

impl StepText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> Cow<'static, str> {
        self.fixed().map_or_else(|| self.with_values().into(), Cow::Borrowed)
    }

    /// The words of what has no values.
    const fn fixed(&self) -> Option<&'static str> {
        Some(match self {
            Self::FirstVisit => "First visit",
            Self::FirstVisitAndCast => "First visit, score and cast 1",
            Self::Positional => "Examine the foot again: positional, it corrects by hand",
            Self::SeeAgain => "See the child again: examine and score the foot, and make a new plan",
            Self::MissedInCast => "See the child at once: visit missed with a cast on",
            Self::CastAfterTenotomy => "Today: record the cast after the tenotomy, or cast the foot",
            Self::BraceWithoutTenotomy => {
                "Corrected without tenotomy: remove the cast and fit the brace the same day"
            }
            Self::CastOffAndBrace => "Remove the cast and fit the brace the same day",
            Self::CastOffTooSoon => "See the child at once: out of the tenotomy cast too soon",
            Self::BraceOutOfCast => "Fit the brace: out of the cast without a brace",
            Self::AssessAfterTenotomy => {
                "Assess today: incomplete tenotomy, or stiffness that more casts may stretch?"
            }
            Self::BraceReview => "Brace review",
            Self::BraceReviewWornTooLittle => "Brace review; continue full time: worn too little so far",
            Self::BraceReviewAndDecide => "Brace review, and decide whether to continue bracing",
            Self::NightsAndNaps => "Change to nights and naps",
            Self::ResumeBracing => "Resume bracing: it was stopped early",
            Self::ReviewAfterBracing => "Review after bracing",
            Self::ReviewAfterSurgery => "Review after surgery",
            Self::Relapse => "Relapse: assess and begin casting again",
            Self::CheckRecord => "Check the record first: the side of an entry is in doubt",
            Self::LookAgain => {
                "Examine the foot again before continuing: these findings contradict each other; a rocker-bottom foot is one possible reason"
            }
            Self::Nothing => "Nothing",
            Self::Discharged => "Nothing: discharged",
            Self::Transferred => "Nothing here: passed to another clinic",
            Self::DeclaredLost => "Nothing is planned: declared lost to follow-up",
            Self::NoFoot => "Nothing: no foot on record as a clubfoot",
            Self::ToBook(Purpose::Other) => "appointment",
            Self::ToBook(purpose) => purpose.words(),
            _ => return None,
        })
    }

    fn with_values(&self) -> String {
        match self {
            Self::WaitForTerm(from) => {
                format!("Wait until term, then first visit and cast 1 from {}", from.words())
            }
            Self::Cast(cast, None) => cast.words(),
            Self::Cast(cast, Some(first)) => format!("{}; first {}", cast.words(), first.words()),
            Self::CastUntilTenotomy(cast) => {
                format!("{}, to hold the foot until the tenotomy", cast.words())
            }
            Self::CastAndReviewPlan(cast) => {
                format!("{}, and review the plan: progress has stalled", cast.words())
            }
            Self::SeeTheSameDay(problem) => format!("See the child the same day: {}", problem.words()),
            Self::BookTenotomy { second } => format!("{}: book it or do it", tenotomy(*second)),
            Self::TenotomyBooked { second, on } => {
                format!("{} as booked for {}", tenotomy(*second), on.words())
            }
            Self::TenotomyWithoutDay { second } => format!("{}: choose a date", tenotomy(*second)),
            Self::HoldFor { other, after_tenotomy } => {
                let what = if *after_tenotomy {
                    "Change the tenotomy cast for a holding cast"
                } else {
                    "Change the holding cast"
                };
                format!("{what}: the brace waits for the {} foot", other.word())
            }
            Self::WatchWhile(other) => {
                let other = other.word();
                format!("Monitor this foot while the {other} foot is cast again; then brace both feet")
            }
            Self::EarlyReview(week, asks) => format!("Brace review at {}{}", weeks(*week), asks.words()),
            Self::EndOfBracing(day) => format!("End of bracing: review and decide from {}", day.words()),
            Self::OfFoot(side, step) => of_foot(*side, step),
            Self::BothFeet(step) => format!("Both feet: {}", lower_first(&step.words())),
            Self::EachFoot([(one, first), (other, second)]) => {
                format!("{}. {}", of_foot(*one, first), of_foot(*other, second))
            }
            Self::CallToday(call) => format!("Today: {}", call.words()),
            Self::Call(call) => call.words(),
            Self::BroughtForward(step, call) => {
                format!("{}, brought forward: {}", step.words(), call.words())
            }
            other => other.fixed().unwrap_or_default().to_owned(),
        }
    }
}

fn of_foot(side: Side, step: &StepText) -> String {
    format!("{} foot: {}", side.title(), lower_first(&step.words()))
}

const fn tenotomy(second: bool) -> &'static str {
    if second { "Second tenotomy" } else { "Tenotomy" }
}

impl CastNumber {
    /// "Cast 5", with the episode if it is a later one.
    #[must_use]
    pub fn words(self) -> String {
        match self.later_episode {
            None => format!("Cast {}", self.number),
            Some(episode) => format!("Cast {} of episode {episode}", self.number),
        }
    }
}

impl StillToMeasure {
    /// "score the six signs".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RestOfScore => "complete the score",
            Self::Score => "score the six signs",
            Self::Movement => "measure dorsiflexion and abduction",
            Self::Dorsiflexion => "measure dorsiflexion",
            Self::Abduction => "measure abduction",
        }
    }
}

impl EarlyReviewAsks {
    const fn words(self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::NightsAndNaps => ", and change to nights and naps",
            Self::WornTooLittle => "; continue full time: worn too little so far",
        }
    }
}
