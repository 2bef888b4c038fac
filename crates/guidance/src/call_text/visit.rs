//! What calls about visits, and about a family that does not come, say.

use crate::words::weeks;
use record::{Day, Purpose};

/// What a call about visits says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitCallText {
    /// The child attended on this day, and nothing else is recorded.
    Attended(Day),
    /// The child did not attend.
    Missed {
        /// The day.
        on: Day,
        /// What the appointment was for.
        purpose: Option<Purpose>,
        /// The next appointment.
        next: Option<Day>,
    },
    /// An appointment passed, and nothing is recorded.
    Passed {
        /// The day.
        on: Day,
        /// What it was for.
        purpose: Option<Purpose>,
    },
    /// No appointment is booked.
    NoneBooked {
        /// What happened last.
        since: UnbookedSince,
        /// The day of an appointment that was cancelled.
        cancelled: Option<Day>,
    },
    /// An early review in the brace is overdue.
    EarlyReviewOverdue {
        /// Weeks after the fitting.
        week: u16,
        /// The day on which it was due.
        due: Day,
    },
    /// A later review is overdue.
    ReviewOverdue {
        /// The day of the last visit.
        seen: Day,
        /// The day on which it was due.
        due: Day,
    },
    /// A referred child was never seen.
    NeverSeen {
        /// Whether the usual time to start treatment has passed.
        late: bool,
        /// The day of the referral.
        referred: Day,
        /// The day of birth.
        born: Option<Day>,
    },
    /// The clinic declared the child lost on this day.
    DeclaredLost(Day),
    /// The child counts as lost by the time without a visit.
    CountsAsLost(LossText),
}

/// Since when no appointment is booked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnbookedSince {
    /// Since the last visit.
    LastSeen(Day),
    /// Since the referral of a child who was never seen.
    Referred(Day),
    /// Since care was opened again.
    ReferredAgain(Day),
}

/// Why a child counts as lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LossText {
    /// The day of the last visit.
    pub seen: Day,
    /// The time without a visit.
    pub span: LossSpan,
    /// Its last day.
    pub ended: Day,
    /// The visit for which the call waits, if that is later.
    pub waits_for: Option<LossWait>,
}

/// The time without a visit after which a child counts as lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossSpan {
    /// Days in casting.
    Casting(u16),
    /// Days around the tenotomy.
    Tenotomy(u16),
    /// Months in bracing.
    Bracing(u16),
}

/// The visit for which a call waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossWait {
    /// An appointment on a day.
    Appointment(Day),
    /// A planned visit, until its last day in time.
    Planned(AwaitedVisit, Day),
}

/// A visit that is planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AwaitedVisit {
    /// It is booked.
    Booked,
    /// The tenotomy cast comes off.
    EndOfTenotomyCast,
    /// The next cast.
    NextCast,
    /// A review.
    Review,
}

impl VisitCallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::Attended(on) => {
                format!("The child attended on {}; nothing else about the visit is recorded.", on.words())
            }
            Self::Missed { on, purpose, next } => {
                let next = match next {
                    Some(next) => format!("the next is {}", next.words()),
                    None => "no other appointment is booked".to_owned(),
                };
                format!("The child did not attend on {} ({}); {next}.", on.words(), purpose_words(purpose))
            }
            Self::Passed { on, purpose } => format!(
                "The child was expected on {} ({}); nothing is recorded.",
                on.words(),
                purpose_words(purpose)
            ),
            Self::NoneBooked { since, cancelled: Some(day) } => format!(
                "{}; the appointment for {} was cancelled and no other is booked.",
                since.words(),
                day.words()
            ),
            Self::NoneBooked { since, cancelled: None } => {
                format!("{}; no next appointment is booked.", since.words())
            }
            Self::EarlyReviewOverdue { week, due } => format!(
                "Brace review at {} was due on {}; the child has not been seen.",
                weeks(week),
                due.words()
            ),
            Self::ReviewOverdue { seen, due } => {
                format!("Last seen on {}; the review due on {} is overdue.", seen.words(), due.words())
            }
            Self::NeverSeen { late, referred, born } => format!(
                "{}. Referred on {}, {}; not seen yet.",
                start_words(late),
                referred.words(),
                born_words(born)
            ),
            Self::DeclaredLost(on) => format!("Declared lost to follow-up on {}.", on.words()),
            Self::CountsAsLost(loss) => loss.words(),
        }
    }
}

fn purpose_words(purpose: Option<Purpose>) -> &'static str {
    purpose.map_or("appointment", Purpose::words)
}

const fn start_words(late: bool) -> &'static str {
    if late { "The usual time to start treatment has passed" } else { "Treatment usually starts at this age" }
}

/// "born on 3 May 2024", "day of birth not recorded".
pub(crate) fn born_words(born: Option<Day>) -> String {
    match born {
        Some(born) => format!("born on {}", born.words()),
        None => "day of birth not recorded".to_owned(),
    }
}

impl UnbookedSince {
    /// In English, without a full stop.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::LastSeen(day) => format!("Last seen on {}", day.words()),
            Self::Referred(day) => format!("Referred on {}, not yet seen", day.words()),
            Self::ReferredAgain(day) => format!("Referred again on {}, not seen since", day.words()),
        }
    }

    /// The day.
    #[must_use]
    pub const fn day(self) -> Day {
        match self {
            Self::LastSeen(day) | Self::Referred(day) | Self::ReferredAgain(day) => day,
        }
    }
}

impl LossText {
    fn words(self) -> String {
        let (seen, span, ended) = (self.seen.words(), self.span.words(), self.ended.words());
        match self.waits_for {
            Some(LossWait::Appointment(day)) => format!(
                "Last seen on {seen}: counts as lost to follow-up if the child does not attend on {}; the {span} ended on {ended}.",
                day.words()
            ),
            Some(LossWait::Planned(visit, last)) => format!(
                "Last seen on {seen}: counts as lost to follow-up after {}, the last day for the {}; the published {span} ended on {ended}.",
                last.words(),
                visit.words()
            ),
            None => {
                format!("Last seen on {seen}: counts as lost to follow-up after {ended} ({span}).")
            }
        }
    }
}

impl LossSpan {
    /// "21 days in casting".
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Casting(days) => format!("{days} days in casting"),
            Self::Tenotomy(days) => format!("{days} days around the tenotomy"),
            Self::Bracing(months) => format!("{months} months in bracing"),
        }
    }
}

impl AwaitedVisit {
    /// In English, after "the".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Booked => "booked visit",
            Self::EndOfTenotomyCast => "end of the tenotomy cast",
            Self::NextCast => "next cast",
            Self::Review => "planned review",
        }
    }
}
