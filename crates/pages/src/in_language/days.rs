//! Days, windows and ages.

use super::PageLanguage;
use crate::words::{SpanUnit, span_said};
use course::AgeSaid;
use maud::{Markup, html};
use messages::Sentence;
use record::{Day, DayRange};

impl PageLanguage {
    /// "Tuesday 14 May 2024".
    #[must_use]
    pub fn weekday(self, day: Day) -> String {
        self.language().day(day)
    }

    /// "14 May 2024".
    #[must_use]
    pub fn date(self, day: Day) -> String {
        self.language().date(day)
    }

    /// "14 May 2024" in a machine-readable `time` element.
    #[must_use]
    pub fn time_element(self, day: Day) -> Markup {
        html! { time datetime=(day) { (self.date(day)) } }
    }

    /// A number of days: days up to four weeks, then weeks, then months.
    #[must_use]
    pub fn span(self, days: i32) -> String {
        let (n, unit) = span_said(days);
        self.counted(
            match unit {
                SpanUnit::Days => "count-days",
                SpanUnit::Weeks => "count-weeks",
                SpanUnit::Months => "count-months",
            },
            n,
        )
    }

    /// "today", "tomorrow", "in 12 days", "12 days ago".
    #[must_use]
    pub fn relative(self, day: Day, today: Day) -> String {
        let spanned = |id, days| self.text(&Sentence::new(id).with("span", self.span(days).as_str()));
        match day - today {
            0 => self.named("relative-today"),
            1 => self.named("relative-tomorrow"),
            -1 => self.named("relative-yesterday"),
            days if days > 0 => spanned("relative-in", days),
            days => spanned("relative-ago", days),
        }
    }

    /// "21 May 2024", "21–28 May 2024", "28 May – 4 June 2024".
    #[must_use]
    pub fn range(self, range: DayRange) -> String {
        let ((y0, m0, d0), (y1, m1, _)) = (range.from.parts(), range.to.parts());
        let to = self.date(range.to);
        if range.from == range.to {
            return to;
        }
        let (id, from) = match (y0 == y1, m0 == m1) {
            (true, true) => ("range-in-month", d0.to_string()),
            (true, false) => ("range", self.language().day_of_year(range.from)),
            (false, _) => ("range", self.date(range.from)),
        };
        self.text(&Sentence::new(id).with("from", from.as_str()).with("to", to.as_str()))
    }

    /// The state of a window as of today: "due now", "opens in 7 days", "12 days past".
    #[must_use]
    pub fn window_state(self, window: DayRange, today: Day) -> String {
        let spanned = |id, days| self.text(&Sentence::new(id).with("span", self.span(days).as_str()));
        if today < window.from {
            let when = self.relative(window.from, today);
            return self.text(&Sentence::new("window-opens").with("when", when.as_str()));
        }
        match today - window.to {
            days @ 1.. => spanned("window-past", days),
            0 => self.named("window-today"),
            days if window.from == today => spanned("window-from-today", days),
            days => spanned("window-now", days),
        }
    }

    /// A window with its state as of today.
    #[must_use]
    pub fn window(self, of: DayRange, today: Day) -> Markup {
        html! { span.window { (self.range(of)) } " " span.rel { "(" (self.window_state(of, today)) ")" } }
    }

    /// "9 days", "7 weeks", "14 months", "3 years 2 months".
    #[must_use]
    pub fn age(self, age: AgeSaid) -> String {
        let (years, months) = match age {
            AgeSaid::Unborn => return self.named("age-unborn"),
            AgeSaid::Days(n) => return self.counted("count-days", n.into()),
            AgeSaid::Weeks(n) => return self.counted("count-weeks", n.into()),
            AgeSaid::Months(n) => return self.counted("count-months", n.into()),
            AgeSaid::Years(n) => return self.counted("count-years", n.into()),
            AgeSaid::YearsAndMonths(years, months) => (years, months),
        };
        let years = self.counted("count-years", years.into());
        let months = self.counted("count-months", months.into());
        self.text(
            &Sentence::new("age-years-months").with("years", years.as_str()).with("months", months.as_str()),
        )
    }
}
