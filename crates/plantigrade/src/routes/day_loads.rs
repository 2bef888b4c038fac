//! The days to which an appointment can be given: what is booked on each, its places, and whether the clinic is
//! closed.

use crate::{app::App, web::Fail};
use clinic::{ClinicDays, proposed_days};
use guidance::Outlook;
use pages::{
    DayLoad, DayPlaces,
    fields::{CLOSED_SEEN, Filled},
};
use record::{Day, Purpose};

/// Days offered.
const OFFERED: usize = 6;
/// Days looked through for clinic days.
const AHEAD_DAYS: i32 = 60;

/// The days on which the next step of a child falls due, and the next clinic days after a day; each with what is
/// booked for an appointment of this purpose.
///
/// # Errors
/// When the records cannot be read.
pub fn day_loads(
    app: &App,
    outlook: &Outlook,
    after: Day,
    purpose: Option<Purpose>,
) -> Result<Vec<DayLoad>, Fail> {
    let clinic = app.clinic_days();
    let due: Vec<Day> =
        proposed_days(outlook, after, &clinic).into_iter().map(|proposed| proposed.day).collect();
    let next = (1..=AHEAD_DAYS).map(|n| after + n).filter(|day| clinic.is_held(*day));
    let mut days = due.clone();
    for day in next {
        if days.len() >= OFFERED {
            break;
        }
        if !days.contains(&day) {
            days.push(day);
        }
    }
    days.sort_unstable();
    let load =
        |day: Day| Ok(DayLoad { day, places: places(app, &clinic, day, purpose)?, due: due.contains(&day) });
    days.into_iter().map(load).collect()
}

/// What is booked on a day beside the places that an appointment of this purpose takes.
///
/// # Errors
/// When the records cannot be read.
pub fn places(app: &App, clinic: &ClinicDays, day: Day, purpose: Option<Purpose>) -> Result<DayPlaces, Fail> {
    let room = app.records.room(clinic, day, purpose)?;
    Ok(DayPlaces {
        booked: room.bookings.booked,
        without_purpose: room.bookings.without_purpose,
        places: room.places.map(|(service, places)| (service.places(), places)),
        closed: room.closed,
    })
}

/// A sentence about a day on which the clinic is closed; `None` on any other.
#[must_use]
pub fn closed_words(app: &App, day: Day) -> Option<String> {
    let closed = app.clinic_days().closure_words(day)?;
    Some(format!("On {} the clinic is {closed}.", pages::words::weekday(day)))
}

/// The form with the question whether an appointment is meant for a day on which the clinic is closed. Asked
/// once: the same day, sent again, is saved.
#[must_use]
pub fn ask_if_closed(app: &App, day: Option<Day>, field: &str, filled: &Filled) -> Option<Filled> {
    let day = day.filter(|day| filled.value(CLOSED_SEEN) != day.to_string())?;
    let text = format!("{} Choose another day, or save again if this one is meant.", closed_words(app, day)?);
    Some(filled.clone().with(CLOSED_SEEN, day.to_string()).wrong(field, text))
}
