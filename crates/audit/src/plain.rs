//! The main figure of a measure as one plain sentence, for people who read no statistics.

use crate::definition::{Measure, MeasureKind};

impl Measure {
    /// The sentence for a value in words ("22 days", "76 %") and its label ("median", "at 2 years"); `None` for a
    /// median time of a curve, which the sentences do not describe.
    #[must_use]
    pub fn plain(self, value: &str, label: &str) -> Option<String> {
        let is_curve = matches!(self.definition().kind, MeasureKind::FreeOf | MeasureKind::Incidence);
        if is_curve && !label.starts_with("at ") {
            return None;
        }
        Some(match self {
            Self::WaitFirstCast => {
                format!("Half of the children waited {value} or less from referral to the first cast.")
            }
            Self::AgeFirstCast => {
                format!("Half of the children were {value} old or younger at the first cast.")
            }
            Self::Casts => format!("Half of the feet needed {value} casts or fewer."),
            Self::DaysCasting => format!("Half of the feet were in casts for {value} or less."),
            Self::Tenotomy => format!("{value} of the feet had a tenotomy."),
            Self::WaitTenotomy => format!("Half of the tenotomies were done within {value} of booking."),
            Self::WaitBrace => format!("Half of the feet had the brace within {value} of the tenotomy."),
            Self::Correction => {
                format!("{value} of the feet that began casts had reached the brace {label}.")
            }
            Self::CastProblems => format!("{value} problems for every 100 casts."),
            Self::BraceTolerance => format!("{value} of the children still tolerated the brace {label}."),
            Self::DropOut => format!("{value} of the children had stopped coming {label}."),
            Self::DropOutPublished => {
                format!("{value} of the children would count as drop-outs in a published series {label}.")
            }
            Self::RelapseFree => {
                format!("{value} of the feet had not relapsed {label} after the brace was fitted.")
            }
            Self::RelapseFreeAge => format!("{value} of the braced feet had not relapsed {label}."),
            Self::Relapse => {
                format!("{value} of the feet had a recorded relapse {label}, while they were still followed.")
            }
            Self::SecondTenotomy => format!("{value} of the feet had needed a second tenotomy {label}."),
            Self::TendonTransfer => format!("{value} of the feet had had a tendon transfer {label}."),
            Self::MajorSurgery => {
                format!("{value} of the feet had had a posterior or larger release {label}.")
            }
            Self::WearLogged => format!("Loggers recorded {value} of wear a day in {label} of bracing."),
            Self::WearReported => format!("Families reported {value} of wear a day in {label} of bracing."),
            Self::Missing => format!("{value} of the fields expected by now are recorded."),
        })
    }
}
