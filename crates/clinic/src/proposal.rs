//! Proposals for the next appointment, from the protocol's window and the weekdays of the clinic.

use crate::ClinicRecords;
use archive::ArchiveError;
use caseload::Service;
use guidance::{Action, Outlook};
use record::{Day, DayRange, Purpose, Weekday};

/// The largest number of proposed days.
const PROPOSED: usize = 3;

/// A proposed day, and the reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProposedDay {
    /// The day.
    pub day: Day,
    /// The purpose of the appointment.
    pub purpose: Purpose,
    /// The reason for the day.
    pub why: String,
}

/// Whether a day is a clinic day. Without any weekdays every day is.
#[must_use]
pub fn is_clinic_day(weekdays: &[Weekday], day: Day) -> bool {
    weekdays.is_empty() || weekdays.contains(&day.weekday())
}

/// How many appointments a day has already.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct DayBookings {
    /// Those that take a place of the service asked about; every appointment where no service was named.
    pub booked: usize,
    /// Those without a purpose, which may take one.
    pub without_purpose: usize,
}

/// The service whose places an appointment of this purpose takes; `None` for a purpose that takes no place of
/// casts, tenotomies or braces.
#[must_use]
pub const fn service_for(purpose: Purpose) -> Option<Service> {
    match purpose {
        Purpose::First | Purpose::Cast => Some(Service::Cast),
        Purpose::Tenotomy => Some(Service::Theatre),
        Purpose::BraceFitting | Purpose::BraceReview => Some(Service::Brace),
        Purpose::Review | Purpose::Other => None,
    }
}

impl ClinicRecords {
    /// The appointments of a day that take a place of a service, cancelled ones left out.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn bookings(&self, day: Day, service: Option<Service>) -> Result<DayBookings, ArchiveError> {
        let mut bookings = DayBookings::default();
        let cancelled = crate::state_key(course::AppointmentState::Cancelled);
        for (_, made) in self.archive().expected(day)?.iter().filter(|(_, made)| made.state != cancelled) {
            let purpose = Purpose::ALL.iter().find(|purpose| purpose.words() == made.purpose);
            match (service, purpose) {
                (Some(_), None) => bookings.without_purpose += 1,
                (Some(service), Some(purpose)) if service_for(*purpose) != Some(service) => {}
                _ => bookings.booked += 1,
            }
        }
        Ok(bookings)
    }
}

/// Proposes days after `on` for the leading step: the clinic days of its window or, if there are none, the nearest
/// clinic day, rather before the window than after it. A tenotomy is proposed for the day for which it is booked,
/// whether or not the clinic is held on that day.
#[must_use]
pub fn proposed_days(outlook: &Outlook, on: Day, weekdays: &[Weekday]) -> Vec<ProposedDay> {
    let Some(step) = outlook.lead_on(on) else { return Vec::new() };
    let Some(window) = step.window else { return Vec::new() };
    let span = format!("{} is due from {} to {}", step.words, window.from.words(), window.to.words());
    let proposal = |day: Day| {
        let why =
            if window.contains(day) { span.clone() } else { format!("{span}; this clinic day is nearest") };
        ProposedDay { day, purpose: step.action.purpose(), why }
    };
    let booked_day = step.action == Action::KeepTenotomy && window.from == window.to && window.from > on;
    let weekdays = if booked_day { &[] } else { weekdays };
    clinic_days(window, on, weekdays).into_iter().map(proposal).collect()
}

fn clinic_days(window: DayRange, on: Day, weekdays: &[Weekday]) -> Vec<Day> {
    let after = on + 1;
    let held = |day: &Day| *day >= after && is_clinic_day(weekdays, *day);
    let within: Vec<Day> =
        (0..=window.to - window.from).map(|n| window.from + n).filter(held).take(PROPOSED).collect();
    if !within.is_empty() {
        return within;
    }
    let before = (1..=7).map(|n| window.from - n).find(held);
    let next = || (0..7).map(|n| after.max(window.from) + n).find(held);
    before.or_else(next).into_iter().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn days(window: DayRange, on: Day, weekdays: &[Weekday]) -> Vec<String> {
        clinic_days(window, on, weekdays).iter().map(Day::to_string).collect()
    }

    // 2024-07-30 was a Tuesday; a window of 5 to 9 days after it is Sunday 4 to Thursday 8 August.
    fn propose(weekdays: &[Weekday]) -> Vec<String> {
        let on = day("2024-07-30");
        days(DayRange { from: on + 5, to: on + 9 }, on, weekdays)
    }

    #[test]
    fn the_clinic_days_of_the_window_come_first() {
        assert_eq!(propose(&[Weekday::Tuesday]), ["2024-08-06"]);
        assert_eq!(propose(&[Weekday::Monday, Weekday::Thursday]), ["2024-08-05", "2024-08-08"]);
        assert_eq!(propose(&[]), ["2024-08-04", "2024-08-05", "2024-08-06"]);
    }

    #[test]
    fn early_rather_than_late_where_the_clinic_is_not_held_within_it() {
        assert_eq!(propose(&[Weekday::Friday]), ["2024-08-02"]);
    }

    #[test]
    fn a_window_that_has_passed_gives_the_next_clinic_day() {
        let on = day("2024-07-30");
        let past = DayRange { from: on - 20, to: on - 15 };
        assert_eq!(days(past, on, &[Weekday::Friday]), ["2024-08-02"]);
        assert_eq!(days(past, on, &[]), ["2024-07-31"]);
    }
}
