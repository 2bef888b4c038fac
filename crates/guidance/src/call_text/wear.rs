//! What calls about hours in the brace say.

use course::WearKind;
use record::Day;

/// What a call about hours in the brace says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WearCallText {
    /// Not worn for several days in a row.
    NotWorn {
        /// The number of days.
        days: i32,
        /// The first day.
        from: Day,
        /// The last day.
        to: Day,
        /// Whose account.
        how: WearKind,
    },
    /// Hours have fallen.
    Fell {
        /// Whose account.
        how: WearKind,
        /// Hours a day before.
        before: RoundedNumber,
        /// Hours a day since.
        after: RoundedNumber,
        /// The Monday of the first week after the fall.
        week: Day,
    },
    /// Hours are low.
    Low {
        /// Whose account.
        how: WearKind,
        /// Hours a day.
        hours: RoundedNumber,
        /// Prescribed hours a day.
        prescribed: RoundedNumber,
        /// The share of the prescribed hours, per cent.
        percent: RoundedNumber,
        /// The first day.
        from: Day,
        /// The last day.
        to: Day,
    },
    /// Logged hours are far below those reported.
    BelowReported {
        /// The number of days for which both are known.
        days: usize,
        /// Reported hours a day.
        reported: RoundedNumber,
        /// Logged hours a day.
        logged: RoundedNumber,
        /// How many times as many are reported; `None` if nothing is logged.
        times: Option<RoundedNumber>,
    },
    /// No hours are recorded for long.
    NotRecorded {
        /// Whether the day is the last with known hours; otherwise the first in the brace.
        known: bool,
        /// The day.
        day: Day,
    },
}

/// A number that is said rounded. Two are equal if they are the same to one decimal.
#[derive(Debug, Clone, Copy)]
pub struct RoundedNumber(pub f64);

impl RoundedNumber {
    /// To one decimal, "11.9".
    #[must_use]
    pub fn tenths(self) -> String {
        format!("{:.1}", self.0)
    }

    /// Without decimals, "42".
    #[must_use]
    pub fn whole(self) -> String {
        format!("{:.0}", self.0)
    }
}

impl PartialEq for RoundedNumber {
    fn eq(&self, other: &Self) -> bool {
        self.tenths() == other.tenths()
    }
}

impl Eq for RoundedNumber {}

impl WearCallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::NotWorn { days, from, to, how } => format!(
                "Not worn on {days} days in a row, {} to {}, {}.",
                from.words(),
                to.words(),
                how_words(how)
            ),
            Self::Fell { how, before, after, week } => format!(
                "Wear {} fell from {} to {} hours a day in the week of {}.",
                how_words(how),
                before.tenths(),
                after.tenths(),
                week.words()
            ),
            Self::Low { how, hours, prescribed, percent, from, to } => format!(
                "Wear {} is low: {} of {} hours a day prescribed ({} %), {} to {}.",
                how_words(how),
                hours.tenths(),
                prescribed.tenths(),
                percent.whole(),
                from.words(),
                to.words()
            ),
            Self::BelowReported { days, reported, logged, times } => {
                let times = match times {
                    Some(times) => format!("{} times as many", times.tenths()),
                    None => "nothing logged".to_owned(),
                };
                format!(
                    "On {days} days the family reported {} hours a day and the logger found {}: {times}.",
                    reported.tenths(),
                    logged.tenths()
                )
            }
            Self::NotRecorded { known, day } => {
                format!("No hours of wear are recorded: {} {}.", known_words(known), day.words())
            }
        }
    }
}

/// "reported by the family" or "logged".
pub(crate) const fn how_words(how: WearKind) -> &'static str {
    match how {
        WearKind::Reported => "reported by the family",
        WearKind::Logged => "logged",
    }
}

/// "hours of wear known until" or "in the brace since", before a day.
pub(crate) const fn known_words(known: bool) -> &'static str {
    if known { "hours of wear known until" } else { "in the brace since" }
}
