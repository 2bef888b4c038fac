//! Days as a language writes them, by the rules of CLDR.

use icu_calendar::{
    Date, Iso,
    cal::{Ethiopian, EthiopianEraStyle},
};
use icu_datetime::{DateTimeFormatter, DateTimeFormatterPreferences, fieldsets};
use icu_locale_core::Locale;
use record::Day;

/// "Tuesday 4 March 2025".
pub(crate) fn long(locale: &str, day: Day) -> String {
    written(locale, day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::YMDE::long()).ok()?;
        Some(formatter.format(date).to_string())
    })
}

/// "Tue 4".
pub(crate) fn short(locale: &str, day: Day) -> String {
    written(locale, day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::DE::medium()).ok()?;
        Some(formatter.format(date).to_string())
    })
}

/// "Tuesday".
pub(crate) fn weekday(locale: &str, day: Day) -> String {
    written(locale, day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::E::long()).ok()?;
        Some(formatter.format(date).to_string())
    })
}

/// "4 March 2025".
pub(crate) fn without_weekday(locale: &str, day: Day) -> String {
    written(locale, day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::YMD::long()).ok()?;
        Some(formatter.format(date).to_string())
    })
}

/// "4 March".
pub(crate) fn without_year(locale: &str, day: Day) -> String {
    written(locale, day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::MD::long()).ok()?;
        Some(formatter.format(date).to_string())
    })
}

/// The day in the Ethiopian calendar, in Amharic, without its weekday.
pub(crate) fn ethiopian(day: Day) -> String {
    written("am-u-ca-ethiopic", day, |preferences, date| {
        let formatter = DateTimeFormatter::try_new(preferences, fieldsets::YMD::long()).ok()?;
        let date = date.to_calendar(Ethiopian::new_with_era_style(EthiopianEraStyle::AmeteMihret));
        Some(formatter.format(&date).to_string())
    })
}

/// The time by the clock of Swahili, "saa 3:30 asubuhi" for 09:30. `None` for what is no time.
pub(crate) fn swahili_time(written: &str) -> Option<String> {
    let (hour, minute) = clock(written)?;
    let part = match hour {
        5..=11 => "asubuhi",
        12..=15 => "mchana",
        16..=18 => "jioni",
        _ => "usiku",
    };
    Some(format!("saa {}:{minute:02} {part}", from_six(hour)))
}

/// The time by the clock of Amharic, "ከጠዋቱ 3:30" for 09:30. `None` for what is no time.
pub(crate) fn amharic_time(written: &str) -> Option<String> {
    let (hour, minute) = clock(written)?;
    let part = match hour {
        6..=11 => "ከጠዋቱ",
        12..=17 => "ከቀኑ",
        18..=23 => "ከምሽቱ",
        _ => "ከሌሊቱ",
    };
    Some(format!("{part} {}:{minute:02}", from_six(hour)))
}

/// Hours counted from six in the morning or evening, 1 to 12.
const fn from_six(hour: u32) -> u32 {
    match (hour + 6) % 12 {
        0 => 12,
        hour => hour,
    }
}

/// Hour and minute of "09:30", "9.30" or "9:30".
fn clock(written: &str) -> Option<(u32, u32)> {
    let (hour, minute) = written.trim().split_once([':', '.'])?;
    let (hour, minute): (u32, u32) = (hour.parse().ok()?, minute.parse().ok()?);
    (hour < 24 && minute < 60).then_some((hour, minute))
}

/// A day that cannot be written by those rules is written with its numbers, which are the same everywhere.
fn written(
    locale: &str,
    day: Day,
    write: impl Fn(DateTimeFormatterPreferences, &Date<Iso>) -> Option<String>,
) -> String {
    let plain = day.date();
    let (month, of_month) = (plain.month().unsigned_abs(), plain.day().unsigned_abs());
    let date = Date::try_new_iso(plain.year().into(), month, of_month).ok();
    let locale = locale.parse::<Locale>().ok();
    let written = locale.zip(date).and_then(|(locale, date)| write(locale.into(), &date));
    written.unwrap_or_else(|| day.to_string())
}
