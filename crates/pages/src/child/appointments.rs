//! Appointments of the child, those to come first.

use crate::words;
use course::{Appointment, AppointmentState};
use guidance::Outlook;
use maud::{Markup, html};
use record::Day;

const fn state_words(state: AppointmentState) -> &'static str {
    match state {
        AppointmentState::Expected => "expected",
        AppointmentState::Here => "came",
        AppointmentState::Seen => "seen",
        AppointmentState::Missed => "did not come",
        AppointmentState::Cancelled => "cancelled",
        AppointmentState::Ended => "ended with the child's care here",
    }
}

pub(super) fn appointments(outlook: &Outlook) -> Markup {
    let course = &outlook.course;
    let (ahead, past): (Vec<&Appointment>, Vec<&Appointment>) =
        course.appointments.iter().partition(|appointment| appointment.for_day >= course.as_of);
    html! {
        section.card aria-labelledby="appointments-head" {
            h2 id="appointments-head" { "Appointments" }
            @if ahead.is_empty() { p { "No future appointments." } }
            ul.plain { @for appointment in &ahead { (appointment_row(course.child, appointment, course.as_of)) } }
            @if !past.is_empty() {
                details {
                    summary { "Earlier (" (past.len()) ")" }
                    ul.plain { @for appointment in past.iter().rev() { (appointment_row(course.child, appointment, course.as_of)) } }
                }
            }
        }
    }
}

fn appointment_row(child: record::ChildId, appointment: &Appointment, today: Day) -> Markup {
    html! {
        li {
            a href={ "/child/" (child) "/entry/" (appointment.entry) } { (words::day_and_relative(appointment.for_day, today)) }
            @if let Some(time) = &appointment.time { ", " (time) }
            @if let Some(purpose) = appointment.purpose { ": " (purpose.words()) }
            " – " (state_words(appointment.state))
        }
    }
}
