//! What calls about the brace say.

use super::SettingText;
use growth::Outgrown;
use record::{Day, Side};

/// What a call about the brace says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BraceCallText {
    /// The bar becomes too narrow.
    BarTooNarrow {
        /// Its length, mm.
        bar_mm: u16,
        /// When.
        window: OutgrownWindow,
    },
    /// A boot is about to be outgrown.
    BootOutgrown {
        /// Which boot.
        side: Side,
        /// Its length inside, mm.
        inner_mm: u16,
        /// When.
        window: OutgrownWindow,
    },
    /// A boot is too small.
    BootTooSmall {
        /// Which boot.
        side: Side,
        /// Its length inside, mm.
        inner_mm: u16,
        /// The length of the foot, mm.
        foot_mm: u16,
        /// The day on which the foot was measured.
        on: Day,
    },
    /// The next boots are to be ordered.
    OrderBoots {
        /// The last day for the order.
        by: Day,
        /// The boot that is outgrown first.
        side: Side,
        /// Its length inside, mm.
        inner_mm: u16,
        /// When it is outgrown.
        window: OutgrownWindow,
    },
    /// The settings are doubtful.
    Setting(SettingText),
    /// Bracing was stopped before its end.
    Stopped {
        /// The day it was stopped.
        on: Day,
        /// The planned end; `None` without a day of birth.
        planned: Option<Day>,
    },
    /// Full-time bracing ended before its weeks were over.
    FullTimeEndedEarly {
        /// The day of the change.
        on: Day,
        /// Days that it lasted.
        lasted: i32,
        /// Days that were planned.
        planned: i32,
    },
    /// The change to night-time bracing is due.
    NightTimeDue {
        /// The first day in the brace.
        since: Day,
        /// Weeks of full-time bracing.
        weeks: u16,
        /// The day on which they end.
        until: Day,
    },
    /// The end of bracing is near.
    EndDue {
        /// The day.
        on: Day,
        /// The age, years.
        years: u16,
    },
}

/// When a boot or a bar is outgrown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutgrownWindow {
    /// Already, as measured on this day.
    Already(Day),
    /// Between two days, nine in ten.
    Between {
        /// The day by which it is as likely as not.
        likely: Option<Day>,
        /// The first day of the interval.
        from: Day,
        /// The last day of the interval.
        to: Day,
    },
    /// Hardly before a day; the end of the interval is too far ahead.
    NotBefore {
        /// The day by which it is as likely as not.
        likely: Option<Day>,
        /// The first day of the interval.
        from: Day,
    },
}

impl BraceCallText {
    /// In English.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::BarTooNarrow { bar_mm, window } => {
                format!("The bar of {bar_mm} mm is too narrow: {}.", window.words())
            }
            Self::BootOutgrown { side, inner_mm, window } => boot_words(side, inner_mm, window),
            Self::BootTooSmall { side, inner_mm, foot_mm, on } => format!(
                "{} boot, {inner_mm} mm inside, is too small: the foot was {foot_mm} mm on {}.",
                side.title(),
                on.words()
            ),
            Self::OrderBoots { by, side, inner_mm, window } => {
                format!("Order the next boots by {}. {}", by.words(), boot_words(side, inner_mm, window))
            }
            Self::Setting(setting) => setting.words(),
            Self::Stopped { on, planned: Some(end) } => {
                format!("Bracing was stopped on {}; it was planned until {}.", on.words(), end.words())
            }
            Self::Stopped { on, planned: None } => format!(
                "Bracing was stopped on {}; without a day of birth it is not known whether that was early.",
                on.words()
            ),
            Self::FullTimeEndedEarly { on, lasted, planned } => format!(
                "Full-time bracing ended on {} after {lasted} of {planned} days: is this intended?",
                on.words()
            ),
            Self::NightTimeDue { since, weeks, until } => format!(
                "In the brace full time since {}: {weeks} weeks end on {}.",
                since.words(),
                until.words()
            ),
            Self::EndDue { on, years } => {
                format!("Bracing is due to end on {}, at the age of {years}.", on.words())
            }
        }
    }
}

fn boot_words(side: Side, inner_mm: u16, window: OutgrownWindow) -> String {
    format!("{} boot, {inner_mm} mm inside: {}.", side.title(), window.words())
}

impl OutgrownWindow {
    /// Of the estimated days.
    #[must_use]
    pub fn of(days: &Outgrown) -> Self {
        match days.by_95 {
            Some(last) if last == days.by_5 => Self::Already(last),
            Some(to) => Self::Between { likely: days.by_50, from: days.by_5, to },
            None => Self::NotBefore { likely: days.by_50, from: days.by_5 },
        }
    }

    /// In English, such as "most likely by 3 May 2024 (90 % interval 1 March 2024 to 9 August 2024)".
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Already(on) => format!("already outgrown on {}", on.words()),
            Self::Between { likely: Some(likely), from, to } => format!(
                "most likely by {} (90 % interval {} to {})",
                likely.words(),
                from.words(),
                to.words()
            ),
            Self::Between { likely: None, from, to } => {
                format!("90 % interval {} to {}", from.words(), to.words())
            }
            Self::NotBefore { likely: Some(likely), from } => {
                format!("most likely by {}, unlikely before {}", likely.words(), from.words())
            }
            Self::NotBefore { likely: None, from } => format!("unlikely before {}", from.words()),
        }
    }
}
