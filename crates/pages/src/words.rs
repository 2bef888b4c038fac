//! Days, windows and ages in words.
//!
//! Intervals up to today are calculated here for display only; the date itself is always shown with them.

use crate::ink::Drawn;
use maud::{Markup, Render, html};
use record::{Day, DayRange};

/// "1 day", "3 days".
#[must_use]
pub fn count(n: i64, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The unit in which a number of days is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpanUnit {
    /// Days.
    Days,
    /// Weeks.
    Weeks,
    /// Months.
    Months,
}

/// A number of days as it is said: in days up to four weeks, then in weeks, then in months.
#[must_use]
pub fn span_said(days: i32) -> (i64, SpanUnit) {
    match i64::from(days.abs()) {
        days @ 0..28 => (days, SpanUnit::Days),
        days @ 28..183 => (days / 7, SpanUnit::Weeks),
        // 30.44 days is the mean month, rounded; a rough figure next to the date itself.
        days => ((days * 100 + 1522) / 3044, SpanUnit::Months),
    }
}

/// A number of days in words.
#[must_use]
pub fn span(days: i32) -> String {
    match span_said(days) {
        (n, SpanUnit::Days) => count(n, "day", "days"),
        (n, SpanUnit::Weeks) => count(n, "week", "weeks"),
        (n, SpanUnit::Months) => count(n, "month", "months"),
    }
}

/// "today", "tomorrow", "in 12 days", "12 days ago".
#[must_use]
pub fn relative(day: Day, today: Day) -> String {
    match day - today {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days if days > 0 => format!("in {}", span(days)),
        days => format!("{} ago", span(days)),
    }
}

/// "14 May 2024" in a machine-readable `time` element.
#[must_use]
pub fn day(day: Day) -> impl Render {
    Drawn(move |ink| ink.day(day).done())
}

/// "14 May 2024, 12 days ago".
#[must_use]
pub fn day_and_relative(on: Day, today: Day) -> impl Render {
    Drawn(move |ink| {
        ink.day(on).tag("<span class=\"rel\">, ").text(&relative(on, today)).tag("</span>");
    })
}

/// "Tuesday 14 May 2024".
#[must_use]
pub fn weekday(day: Day) -> String {
    format!("{} {}", day.weekday_word(), day.words())
}

/// "21 May 2024", "21–28 May 2024", "28 May – 4 June 2024".
#[must_use]
pub fn range(range: DayRange) -> String {
    let ((y0, m0, d0), (y1, m1, _)) = (range.from.parts(), range.to.parts());
    let to = range.to.words();
    if range.from == range.to {
        return to;
    }
    if (y0, m0) == (y1, m1) {
        return format!("{d0}–{to}");
    }
    let from = range.from.words();
    let from = if y0 == y1 { from.rsplit_once(' ').map_or(from.as_str(), |(day, _)| day) } else { &from };
    format!("{from} – {to}")
}

/// The state of a window as of today: "due now", "opens in 7 days", "12 days past".
#[must_use]
pub fn window_state(window: DayRange, today: Day) -> String {
    if today < window.from {
        return format!("opens {}", relative(window.from, today));
    }
    match today - window.to {
        1.. => format!("{} past", span(today - window.to)),
        0 => "due today".to_owned(),
        days if window.from == today => format!("due from today, {} left", span(days)),
        days => format!("due now, {} left", span(days)),
    }
}

/// A window with its state as of today.
#[must_use]
pub fn window(of: DayRange, today: Day) -> Markup {
    html! { span.window { (range(of)) } " " span.rel { "(" (window_state(of, today)) ")" } }
}

/// The text with its first letter capitalised.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let Some(first) = chars.next() else { return String::new() };
    let mut capital = String::with_capacity(text.len() + 2);
    capital.extend(first.to_uppercase());
    capital.push_str(chars.as_str());
    capital
}

/// "a, b and c".
#[must_use]
pub fn join(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// "+15°", "−5°", "0°": degrees with a true minus sign.
#[must_use]
pub fn degrees(deg: i16) -> String {
    if deg < 0 { format!("−{}°", deg.unsigned_abs()) } else { format!("{deg}°") }
}
