//! Proposals for the next appointment, from the protocol's window and the days of the clinic.

use crate::ClinicDays;
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

/// Proposes days after `on` for the leading step: the clinic days of its window or, if there are none, the nearest
/// clinic day, rather before the window than after it. A tenotomy is proposed for the day for which it is booked,
/// whether or not the clinic is held on that weekday. A day on which the clinic is closed is never proposed.
#[must_use]
pub fn proposed_days(outlook: &Outlook, on: Day, clinic: &ClinicDays) -> Vec<ProposedDay> {
    let Some(step) = outlook.lead_on(on) else { return Vec::new() };
    let Some(window) = step.window else { return Vec::new() };
    let span = format!("{} is due from {} to {}", step.words, window.from.words(), window.to.words());
    let closed = (0..=window.to - window.from).any(|n| clinic.is_closed(window.from + n));
    let nearest = if closed { "the clinic is closed then, and this clinic day" } else { "this clinic day" };
    let proposal = |day: Day| {
        let why = if window.contains(day) { span.clone() } else { format!("{span}; {nearest} is nearest") };
        ProposedDay { day, purpose: step.action.purpose(), why }
    };
    let booked_day = step.action == Action::KeepTenotomy && window.from == window.to && window.from > on;
    let held = |day: Day| if booked_day { !clinic.is_closed(day) } else { clinic.is_held(day) };
    clinic_days(window, on, held).into_iter().map(proposal).collect()
}

/// Days looked through for the first clinic day after a window: a clinic may be closed for weeks.
const AHEAD_DAYS: i32 = 60;
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

fn clinic_days(window: DayRange, on: Day, is_held: impl Fn(Day) -> bool) -> Vec<Day> {
    let after = on + 1;
    let held = |day: &Day| *day >= after && is_held(*day);
    let within: Vec<Day> =
        (0..=window.to - window.from).map(|n| window.from + n).filter(held).take(PROPOSED).collect();
    if !within.is_empty() {
        return within;
    }
    let before = (1..=7).map(|n| window.from - n).find(held);
    let next = || (0..AHEAD_DAYS).map(|n| after.max(window.from) + n).find(held);
    before.or_else(next).into_iter().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use caseload::{Closure, Setting};
    use record::Weekday;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn days(window: DayRange, on: Day, weekdays: &[Weekday]) -> Vec<String> {
        let clinic = ClinicDays::on(weekdays);
        clinic_days(window, on, |day| clinic.is_held(day)).iter().map(Day::to_string).collect()
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

    #[test]
    fn a_closed_day_is_never_a_clinic_day_and_the_search_goes_beyond_a_long_closure() {
        let on = day("2024-07-30");
        let closed = |from: &str, to: &str| {
            let closure = Closure { from: day(from), to: Some(day(to)), why: "painting".into() };
            let setting = Setting { closures: vec![closure], ..Setting::default() };
            let clinic = ClinicDays { setting: Some(setting), ..ClinicDays::on(&[Weekday::Tuesday]) };
            let window = DayRange { from: on + 5, to: on + 9 };
            let days = clinic_days(window, on, |day| clinic.is_held(day));
            days.iter().map(Day::to_string).collect::<Vec<_>>()
        };
        // Tuesday 6 August is closed, and so is Tuesday 13 August: the next is a fortnight later.
        assert_eq!(closed("2024-08-07", "2024-08-12"), ["2024-08-06"], "both ends are open");
        assert_eq!(closed("2024-08-06", "2024-08-06"), ["2024-08-13"]);
        assert_eq!(closed("2024-08-01", "2024-08-13"), ["2024-08-20"]);
    }
}
