//! Proposals for the next appointment, from the protocol's window and the days of the clinic.

use crate::ClinicRecords;
use archive::ArchiveError;
use caseload::{ClinicDays, Service};
use guidance::{Action, Outlook, Urgency};
use record::{Day, DayRange, Purpose};

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
/// whether or not the clinic is held on that day; if it is closed, the reason says so.
#[must_use]
pub fn proposed_days(outlook: &Outlook, on: Day, days: &ClinicDays) -> Vec<ProposedDay> {
    let Some(step) = outlook.lead_on(on) else { return Vec::new() };
    let Some(window) = step.window else { return Vec::new() };
    let span = format!("{} is due from {} to {}", step.words, window.from.words(), window.to.words());
    let proposal = |day: Day| {
        let why = match days.closure(day) {
            Some(closure) => format!("{span}; the clinic is closed on this day: {}", closure.reason()),
            None if window.contains(day) => span.clone(),
            None => format!("{span}; this clinic day is nearest"),
        };
        ProposedDay { day, purpose: step.action.purpose(), why }
    };
    let booked_day = step.action == Action::KeepTenotomy && window.from == window.to && window.from > on;
    let any = ClinicDays::default();
    clinic_days(window, on, if booked_day { &any } else { days }).into_iter().map(proposal).collect()
}

/// Days within which a step that is overdue is assumed to be caught up.
const CATCH_UP_DAYS: i32 = 7;

/// A day on which two children of one family can both come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedDay {
    /// The day.
    pub day: Day,
    /// The purpose for each of the two, in the order in which they were given.
    pub purposes: [Purpose; 2],
    /// Which of the two is expected on it already, in the same order.
    pub expected: [bool; 2],
}

/// The first clinic day after `on` on which the next steps of both children are due, a day on which one of them
/// is expected before any other. `None` if there is none, if one has to be seen today, or if both are expected on
/// one such day already: no child is asked to come outside its own days for the sake of the other.
#[must_use]
pub fn shared_day(both: [&Outlook; 2], on: Day, clinic: &ClinicDays) -> Option<SharedDay> {
    let [one, other] = both.map(|outlook| need(outlook, on));
    let (one, other) = (one?, other?);
    let (from, to) = (one.0.from.max(other.0.from), one.0.to.min(other.0.to));
    let days = (0..=to - from).map(|n| from + n).filter(|day| clinic.is_held(*day));
    let expected = |day: Day| both.map(|outlook| expects(outlook, day));
    let days: Vec<(Day, [bool; 2])> = days.map(|day| (day, expected(day))).collect();
    if days.iter().any(|(_, expected)| *expected == [true, true]) {
        return None;
    }
    let made = days.iter().find(|(_, expected)| expected.contains(&true));
    let &(day, expected) = made.or_else(|| days.first())?;
    Some(SharedDay { day, purposes: [one.1, other.1], expected })
}

/// The days after `on` on which the next step is due, and its purpose. A call that must be acted on within days
/// ends them sooner; it does not begin them sooner, because it may only ask for an appointment.
fn need(outlook: &Outlook, on: Day) -> Option<(DayRange, Purpose)> {
    let due = outlook.steps.iter().filter(|step| step.window.is_some());
    let step = outlook.child_step().filter(|step| step.window.is_some());
    let step = step.or_else(|| due.min_by_key(|step| step.window.map(|window| window.from)))?;
    let window = step.window?;
    let call = outlook.worst_call_on(on);
    if call.is_some_and(|call| call.urgency == Urgency::Today) {
        return None;
    }
    let last = call.and_then(|call| Some(call.from + call.urgency.within_days()?));
    let planned = if window.to <= on { on + CATCH_UP_DAYS } else { window.to };
    let (from, to) = (window.from.max(on + 1), last.map_or(planned, |last| planned.min(last)));
    (from <= to).then(|| (DayRange::new(from, to), step.action.purpose()))
}

fn expects(outlook: &Outlook, day: Day) -> bool {
    let expected =
        |made: &course::Appointment| made.for_day == day && made.state == course::AppointmentState::Expected;
    outlook.course.appointments.iter().any(expected)
}

/// Days searched for the next clinic day; a clinic may be closed for some weeks.
const SEARCHED_DAYS: i32 = 92;

fn clinic_days(window: DayRange, on: Day, clinic: &ClinicDays) -> Vec<Day> {
    let after = on + 1;
    let held = |day: &Day| *day >= after && clinic.is_held(*day);
    let within: Vec<Day> =
        (0..=window.to - window.from).map(|n| window.from + n).filter(held).take(PROPOSED).collect();
    if !within.is_empty() {
        return within;
    }
    let before = (1..=7).map(|n| window.from - n).find(held);
    let next = || (0..SEARCHED_DAYS).map(|n| after.max(window.from) + n).find(held);
    before.or_else(next).into_iter().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use record::Weekday;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn days(window: DayRange, on: Day, weekdays: &[Weekday]) -> Vec<String> {
        closed_days(window, on, weekdays, &[])
    }

    fn closed_days(window: DayRange, on: Day, weekdays: &[Weekday], closed: &[&str]) -> Vec<String> {
        let closures = closed.iter().map(|line| line.parse().unwrap()).collect();
        let clinic = ClinicDays { closures, ..ClinicDays::on(weekdays) };
        clinic_days(window, on, &clinic).iter().map(Day::to_string).collect()
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
    // The window of 4 to 8 August 2024 has one Tuesday, the 6th.
    #[test]
    fn a_closed_day_is_never_proposed() {
        let on = day("2024-07-30");
        let window = DayRange { from: on + 5, to: on + 9 };
        let closed = |closed: &[&str]| closed_days(window, on, &[Weekday::Tuesday, Weekday::Friday], closed);
        assert_eq!(closed(&[]), ["2024-08-06"]);
        assert_eq!(closed(&["2024-08-06 training"]), ["2024-08-02"], "rather before the window");
        assert_eq!(closed(&["2024-08-01 to 2024-08-30 building work"]), ["2024-09-03"]);
    }
}
