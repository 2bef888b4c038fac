//! The clinic days, and the day for which a change is planned.

use super::{Service, Setting, Taken};
use record::Day;

/// A window of days after a cast: the target and the two ends.
#[derive(Debug, Clone, Copy)]
pub struct CastWindow {
    /// Wanted, days.
    pub target: i32,
    /// Soonest and latest in time, days.
    pub ends: [i32; 2],
}

/// Places on every day; none while the clinic is closed.
#[derive(Debug, Clone)]
pub struct ClinicCalendar {
    /// Per service, places by day from the start; some weeks beyond the horizon.
    places: [Vec<u32>; 3],
}

impl ClinicCalendar {
    /// The calendar of a setting from a day on.
    #[must_use]
    pub fn of(setting: &Setting, start: Day, days: i32) -> Self {
        let of = |service| (0..days).map(|day| setting.places_on(service, start + day)).collect();
        let places = Service::ALL.map(of);
        Self { places }
    }

    /// Places on a day; none outside.
    #[must_use]
    pub fn places(&self, service: Service, day: i32) -> u32 {
        usize::try_from(day).ok().and_then(|day| self.places[service.index()].get(day)).copied().unwrap_or(0)
    }

    /// The planned day of the step after a cast: the clinic day of the window nearest to the target, the earlier of
    /// two; the target itself if the window has no clinic day. A child planned for a day without a clinic is seen on
    /// the next clinic day.
    #[must_use]
    pub fn planned(&self, service: Service, cast_on: i32, window: CastWindow) -> i32 {
        let target = cast_on + window.target;
        let held = (cast_on + window.ends[0].max(1)..=cast_on + window.ends[1])
            .filter(|&day| self.places(service, day) > 0);
        held.min_by_key(|&day| ((day - target).abs(), day)).unwrap_or(target)
    }

    /// The day on which a holding cast is due if no place has been found by `planned`: the last cast clinic of the
    /// window after it, or the day after it if there is none.
    #[must_use]
    pub fn holding(&self, cast_on: i32, planned: i32, window: CastWindow) -> i32 {
        let held = (planned + 1..=cast_on + window.ends[1]).rev();
        held.into_iter().find(|&day| self.places(Service::Cast, day) > 0).unwrap_or(planned + 1)
    }
}

/// The places that remain when staff are missing.
#[must_use]
pub const fn left_over(places: u32, takes: Taken) -> u32 {
    match takes {
        Taken::All => 0,
        Taken::Half => places / 2,
    }
}
