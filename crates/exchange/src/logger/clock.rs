//! From the clock on the wall to seconds that truly elapsed, and the days laid over them.

use super::moment::Moment;
use super::{LoggerDay, LoggerError};
use jiff::tz::TimeZone;
use record::Day;

/// The zone in which local times are read.
#[derive(Debug, Clone, Default)]
pub enum Zone {
    /// None: local times are taken as written.
    #[default]
    AsWritten,
    /// A zone with its changes of the clock.
    Named(TimeZone),
}

impl Zone {
    /// From its name, `Europe/Berlin`.
    ///
    /// # Errors
    /// [`LoggerError::Zone`].
    pub fn named(name: &str) -> Result<Self, LoggerError> {
        TimeZone::get(name.trim()).map(Self::Named).map_err(|_| LoggerError::Zone(name.trim().to_owned()))
    }
}

/// Seconds since 1970 and rows, as they come.
#[derive(Debug)]
pub(super) struct Clock {
    zone: Zone,
    /// Last wall-clock and elapsed second.
    last: Option<(i64, i64)>,
    /// What was added to the wall clock for a change of it, where no zone is named.
    added_s: i64,
    /// Changes taken as such: wall-clock second of the first row after it, row, seconds added from then.
    pub(super) changes: Vec<(i64, usize, i64)>,
    /// How far ahead of UTC the days are, where times carry an offset and no zone is named.
    ahead_s: Option<i64>,
    /// Rows whose local time does not exist in the zone.
    pub(super) skipped: Vec<usize>,
    /// Whether UTC moments were met.
    pub(super) absolute: bool,
}

const HOUR: i64 = 3600;

impl Clock {
    pub(super) fn new(zone: Zone) -> Self {
        let (changes, skipped) = (Vec::new(), Vec::new());
        Self { zone, last: None, added_s: 0, changes, ahead_s: None, skipped, absolute: false }
    }

    /// The elapsed second of a moment.
    pub(super) fn elapsed(&mut self, moment: Moment, row: usize) -> i64 {
        let wall = moment.clock_s;
        let elapsed = match (moment.offset_s, &self.zone) {
            (Some(offset), _) => {
                self.absolute = true;
                self.ahead_s.get_or_insert(offset);
                wall - offset
            }
            (None, Zone::Named(zone)) => {
                let zone = zone.clone();
                self.in_zone(&zone, wall, row)
            }
            (None, Zone::AsWritten) => {
                self.changed(wall, row);
                wall + self.added_s
            }
        };
        self.last = Some((wall, elapsed));
        elapsed
    }

    fn in_zone(&mut self, zone: &TimeZone, wall: i64, row: usize) -> i64 {
        let Some(local) = civil(wall) else { return wall };
        let choice = zone.to_ambiguous_timestamp(local);
        if choice.is_ambiguous() {
            let early = choice.earlier().map_or(wall, |at| at.as_second());
            let late = choice.later().map_or(wall, |at| at.as_second());
            if early == late {
                return early;
            }
            // An hour that comes twice: the second time once the first has been gone through. An hour
            // that does not exist: the logger's clock did not change.
            let gap = zone.to_ambiguous_timestamp(local).offset();
            if matches!(gap, jiff::tz::AmbiguousOffset::Gap { .. }) {
                self.skipped.push(row);
                return late.max(early);
            }
            return match self.last {
                Some((_, last)) if early <= last => late,
                _ => early,
            };
        }
        choice.compatible().map_or(wall, |at| at.as_second())
    }

    /// Whether the wall clock was put back by an hour since the last row. Only by night, on a Sunday of the
    /// months in which clocks are changed. A clock put on leaves an hour without rows, as any gap does.
    fn changed(&mut self, wall: i64, row: usize) {
        let Some((last, _)) = self.last else { return };
        let step = wall - last;
        let hour = last.rem_euclid(86_400) / HOUR;
        let day = Day::from_number(i32::try_from(last.div_euclid(86_400)).unwrap_or(0));
        let (_, month, _) = day.parts();
        let by_night = hour < 4 && matches!(month, 3 | 4 | 9 | 10 | 11) && day.weekday_from_monday() == 6;
        if by_night && (-HOUR..0).contains(&step) && self.added_s <= 0 {
            self.added_s += HOUR;
            self.changes.push((wall, row, self.added_s));
        }
    }

    /// A local midnight in elapsed seconds.
    fn midnight(&self, day: Day) -> i64 {
        let wall = i64::from(day.number()) * 86_400;
        match (&self.zone, self.ahead_s) {
            (Zone::Named(zone), _) => {
                let local = civil(wall).map(|local| zone.to_ambiguous_timestamp(local).compatible());
                local.and_then(Result::ok).map_or(wall, |at| at.as_second())
            }
            (Zone::AsWritten, Some(ahead)) => wall - ahead,
            (Zone::AsWritten, None) => {
                let added = self.changes.iter().rfind(|change| change.0 < wall).map_or(0, |change| change.2);
                wall + added
            }
        }
    }

    fn day_of(&self, at_s: i64) -> Day {
        let wall = match (&self.zone, self.ahead_s) {
            (Zone::Named(zone), _) => {
                let ahead = jiff::Timestamp::from_second(at_s).map_or(0, |at| zone.to_offset(at).seconds());
                at_s + i64::from(ahead)
            }
            (Zone::AsWritten, Some(ahead)) => at_s + ahead,
            (Zone::AsWritten, None) => {
                let added = self.changes.iter().rfind(|change| change.0 + change.2 <= at_s);
                at_s - added.map_or(0, |change| change.2)
            }
        };
        Day::from_number(i32::try_from(wall.div_euclid(86_400)).unwrap_or(0))
    }

    /// Every day from one second to another.
    pub(super) fn days(&self, first_s: i64, last_s: i64) -> Vec<LoggerDay> {
        let (first, last) = (self.day_of(first_s), self.day_of(last_s));
        let days = (first.number()..=last.number()).map(Day::from_number);
        days.map(|day| LoggerDay { day, from_s: self.midnight(day), until_s: self.midnight(day + 1) })
            .collect()
    }

    /// What was done about the clock, in sentences.
    pub(super) fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self
            .changes
            .iter()
            .map(|(wall, row, _)| {
                let day = Day::from_number(i32::try_from(wall.div_euclid(86_400)).unwrap_or(0));
                format!(
                    "At row {row}, in the night of {}, an hour comes twice. It was taken for the change of \
                     the clock in autumn, so that day has 25 hours. Name the time zone to be sure.",
                    day.words()
                )
            })
            .collect();
        if let Some(row) = self.skipped.first() {
            notes.push(format!(
                "{} rows from row {row} on carry a time that the change of the clock in spring leaves out: the \
                 logger's own clock was not changed. They were taken as one hour later.",
                self.skipped.len()
            ));
        }
        if self.absolute && matches!(self.zone, Zone::AsWritten) {
            let hours = self.ahead_s.unwrap_or(0) as f64 / 3600.0;
            notes.push(if hours == 0.0 {
                "The times are in UTC, and days were cut at midnight UTC. Name the time zone to have days cut at \
                 the family's midnight."
                    .to_owned()
            } else {
                format!("Days were cut at the midnight of the first row's clock, {hours:+} hours from UTC.")
            });
        }
        notes
    }
}

fn civil(wall: i64) -> Option<jiff::civil::DateTime> {
    jiff::Timestamp::from_second(wall).ok().map(|at| jiff::tz::Offset::UTC.to_datetime(at))
}
