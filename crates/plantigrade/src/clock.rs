//! The only place that reads the clock.

use audit::KnownBy;
use record::{Day, Timestamp};
use uuid::{NoContext, Uuid};

/// By how many minutes a clock may go back without anybody being asked: it is set right by the network that often.
const MINUTES_BEHIND: i64 = 5;

/// Gives the day and the instant. A fixed day is for tests and demonstrations.
#[derive(Debug, Clone, Copy, Default)]
pub struct Clock {
    fixed: Option<Day>,
    is_invented: bool,
}

impl Clock {
    /// The clock of the machine, or a fixed day.
    #[must_use]
    pub const fn new(fixed: Option<Day>) -> Self {
        Self { fixed, is_invented: false }
    }

    /// The same for the invented clinic, whose entries of today have times of their own, also later ones.
    #[must_use]
    pub const fn invented(fixed: Option<Day>) -> Self {
        Self { fixed, is_invented: true }
    }

    /// Today in the machine's time zone.
    #[must_use]
    pub fn today(self) -> Day {
        self.fixed.unwrap_or_else(|| Day::from_date(jiff::ZonedDateTime::now().date()))
    }

    /// The day in UTC by the machine's clock, also on a fixed day: certificates are judged by the clocks of other
    /// devices.
    #[must_use]
    pub fn machine_day() -> Day {
        Timestamp::from_seconds(jiff::Timestamp::now().as_second()).day()
    }

    /// Seconds since 1970 by the machine's clock, also on a fixed day: one-time codes are made by the clocks of
    /// telephones.
    #[must_use]
    pub fn machine_seconds() -> i64 {
        jiff::Timestamp::now().as_second()
    }

    /// The instant in UTC. On a fixed day the time of day still runs, so that entries keep their order.
    #[must_use]
    pub fn now(self) -> Timestamp {
        let seconds = jiff::Timestamp::now().as_second();
        match self.fixed {
            Some(day) => {
                Timestamp::from_seconds(i64::from(day.number()) * 86_400 + seconds.rem_euclid(86_400))
            }
            None => Timestamp::from_seconds(seconds),
        }
    }

    /// Whether the clock shows an earlier time than when something was last written: by more than a few minutes, or,
    /// on a fixed day and in the invented clinic, an earlier day.
    #[must_use]
    pub fn is_behind(self, last: Timestamp) -> bool {
        if self.fixed.is_some() || self.is_invented {
            // The clinic's day may have begun before that of UTC.
            return self.today().max(self.now().day()) < last.day();
        }
        self.now().seconds() + MINUTES_BEHIND * 60 < last.seconds()
    }

    /// The time of day in the machine's time zone, "09:42".
    #[must_use]
    pub fn time_of_day(self) -> String {
        let now = jiff::ZonedDateTime::now();
        format!("{:02}:{:02}", now.hour(), now.minute())
    }

    /// The hour of the day in the machine's time zone.
    #[must_use]
    pub fn hour(self) -> u8 {
        u8::try_from(jiff::ZonedDateTime::now().hour()).unwrap_or(0)
    }

    /// A new id whose last 16 bits are zero, so that the ids of the entries of one form can be counted up from
    /// it and keep their order.
    #[must_use]
    pub fn id(self) -> Uuid {
        let now = jiff::Timestamp::now();
        let seconds = u64::try_from(self.now().seconds()).unwrap_or(0);
        let instant = uuid::Timestamp::from_unix(NoContext, seconds, now.subsec_nanosecond().unsigned_abs());
        Uuid::from_u128(Uuid::new_v7(instant).as_u128() & !0xffff)
    }
}

/// The instant at which a day ends in the machine's time zone.
#[must_use]
pub fn end_of(day: Day) -> Timestamp {
    let next = day + 1;
    let utc = Timestamp::from_seconds(i64::from(next.number()) * 86_400);
    let midnight = next.date().to_zoned_datetime(jiff::tz::TimeZone::system());
    midnight.map_or(utc, |at| Timestamp::from_seconds(at.timestamp().as_second()))
}

/// Which entries count for the results of a day; with `as_written` only those written by its end.
#[must_use]
pub fn known_by(as_of: Day, as_written: bool) -> KnownBy {
    if as_written { KnownBy::DayOfWriting { before: end_of(as_of) } } else { KnownBy::ClinicalDay }
}

/// An instant as the clinic's own time of day, "30 July 2024, 11:12".
#[must_use]
pub fn local_words(at: Timestamp) -> String {
    let zone = jiff::tz::TimeZone::system();
    jiff::Timestamp::from_second(at.seconds()).map_or_else(
        |_| at.to_string(),
        |instant| {
            let local = instant.to_zoned_datetime(zone);
            format!("{}, {:02}:{:02}", Day::from_date(local.date()).words(), local.hour(), local.minute())
        },
    )
}

/// A moment that somebody typed: with its time zone as "2026-03-01T13:00:00Z", in the machine's time zone as
/// "2026-03-01 14:00", or a day, which is meant to its end. `None` if it is none.
#[must_use]
pub fn moment(text: &str) -> Option<Timestamp> {
    let text = text.trim();
    if let Ok(at) = text.parse::<Timestamp>() {
        return Some(at);
    }
    if let Ok(day) = text.parse::<Day>() {
        return Some(Timestamp::from_seconds(end_of(day).seconds() - 1));
    }
    let civil: jiff::civil::DateTime = text.replacen(' ', "T", 1).parse().ok()?;
    let local = civil.to_zoned_datetime(jiff::tz::TimeZone::system()).ok()?;
    Some(Timestamp::from_seconds(local.timestamp().as_second()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_moment_is_read_as_it_is_typed() {
        let at = moment("2026-03-01T13:00:00Z").unwrap();
        assert_eq!(at.seconds(), 1_772_370_000);
        let (begin, end) = (moment("2026-03-01 00:00").unwrap(), moment("2026-03-01").unwrap());
        assert_eq!(end.seconds() - begin.seconds(), 24 * 3600 - 1);
        for none in ["", "yesterday", "2026-13-01", "14:00", "2026-03-01 25:00"] {
            assert_eq!(moment(none), None, "{none}");
        }
    }

    #[test]
    fn later_times_of_the_same_day_are_behind_in_a_real_clinic_only() {
        let (real, invented) = (Clock::new(None), Clock::invented(None));
        let in_an_hour = Timestamp::from_seconds(real.now().seconds() + 3600);
        assert!(real.is_behind(in_an_hour));
        let last_second = Timestamp::from_seconds(i64::from(invented.today().number() + 1) * 86_400 - 1);
        assert!(!invented.is_behind(last_second), "the entries of today that are still to come");
        let in_two_days = Timestamp::from_seconds(real.now().seconds() + 2 * 86_400);
        assert!(real.is_behind(in_two_days) && invented.is_behind(in_two_days));
    }
}
