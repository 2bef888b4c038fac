//! What is booked on the days to which an appointment can be given.

use crate::{app::App, web::Fail};
use clinic::proposed_days;
use guidance::Outlook;
use pages::DayLoad;
use record::{Day, DayRange};

/// Days offered.
const OFFERED: usize = 6;
/// Days looked through for clinic days.
const AHEAD_DAYS: i32 = 60;

/// The days on which the next step of a child falls due, and the next clinic days after a day; each with what is
/// booked.
///
/// # Errors
/// When the records cannot be read.
pub fn day_loads(app: &App, outlook: &Outlook, after: Day) -> Result<Vec<DayLoad>, Fail> {
    let clinic = app.settings().days();
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
    let (Some(first), Some(last)) = (days.first(), days.last()) else { return Ok(Vec::new()) };
    let booked = app.records.appointments_per_day(DayRange::new(*first, *last))?;
    let setting = app.capacity();
    let load = |day: Day| DayLoad {
        day,
        booked: booked.iter().find(|(on, _)| *on == day).map_or(0, |(_, booked)| *booked),
        places: setting.as_ref().map(|setting| setting.places(day.weekday())),
        due: due.contains(&day),
    };
    Ok(days.into_iter().map(load).collect())
}
