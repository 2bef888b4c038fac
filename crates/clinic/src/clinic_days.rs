//! On which days the clinic is held, and what places it has on them.

use crate::ClinicRecords;
use archive::ArchiveError;
use caseload::{Closure, Service, Setting};
use record::{Day, Purpose, Weekday};

/// The clinic's weekdays, the days on which it is closed, and its capacity setting if it saved one.
#[derive(Debug, Clone, Default)]
pub struct ClinicDays {
    /// The weekdays on which the clinic is held. Without any, it is held on every day.
    pub weekdays: Vec<Weekday>,
    /// The days on which it is closed, as they are saved with the clinic's settings.
    pub closures: Vec<Closure>,
    /// Places by weekday, with the same closures. Never the built-in example.
    pub setting: Option<Setting>,
}

impl ClinicDays {
    /// These weekdays without any closure.
    #[must_use]
    pub fn on(weekdays: &[Weekday]) -> Self {
        Self { weekdays: weekdays.to_vec(), ..Self::default() }
    }

    /// The closure in which a day lies.
    #[must_use]
    pub fn closure(&self, day: Day) -> Option<&Closure> {
        let of_setting = || self.setting.as_ref()?.closure_on(day);
        self.closures.iter().find(|closure| closure.contains(day)).or_else(of_setting)
    }

    /// Whether the clinic is held on a day: one of its weekdays, and not closed.
    #[must_use]
    pub fn is_held(&self, day: Day) -> bool {
        (self.weekdays.is_empty() || self.weekdays.contains(&day.weekday())) && !self.is_closed(day)
    }

    /// Whether the clinic is closed on a day.
    #[must_use]
    pub fn is_closed(&self, day: Day) -> bool {
        self.closure_words(day).is_some()
    }

    /// "closed: Eid" on a day in a closure, "closed" where no reason is written down; `None` on any other day.
    #[must_use]
    pub fn closure_words(&self, day: Day) -> Option<String> {
        let why = self.closure(day)?.why.trim();
        Some(if why.is_empty() { "closed".to_owned() } else { format!("closed: {why}") })
    }

    /// The places of a service on a day, or of all together; `None` where the clinic saved none.
    #[must_use]
    pub fn places(&self, day: Day, service: Option<Service>) -> Option<u32> {
        let setting = self.setting.as_ref()?;
        if self.is_closed(day) {
            return Some(0);
        }
        let all = || Service::ALL.into_iter().map(|service| setting.places_on(service, day)).sum();
        Some(service.map_or_else(all, |service| setting.places_on(service, day)))
    }
}

/// How many appointments a day has already.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct DayBookings {
    /// Those that take a place of the service asked about; every appointment where no service was named.
    pub booked: usize,
    /// Those without a purpose, which may take one.
    pub without_purpose: usize,
}

/// What a day offers for an appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayRoom {
    /// The places that the appointment would take, and how many the day has; `None` where it takes none or the
    /// clinic saved none.
    pub places: Option<(Service, u32)>,
    /// What is booked: of these places or, without any, every appointment.
    pub bookings: DayBookings,
    /// "closed: Eid", on a day on which the clinic is closed.
    pub closed: Option<String>,
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
    /// What a day offers for an appointment of a purpose.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn room(
        &self,
        days: &ClinicDays,
        day: Day,
        purpose: Option<Purpose>,
    ) -> Result<DayRoom, ArchiveError> {
        let service = purpose.and_then(service_for);
        let places = service.and_then(|service| Some((service, days.places(day, Some(service))?)));
        let bookings = self.bookings(day, places.map(|(service, _)| service))?;
        Ok(DayRoom { places, bookings, closed: days.closure_words(day) })
    }

    /// The appointments of a day that take a place of a service, cancelled ones left out.
    fn bookings(&self, day: Day, service: Option<Service>) -> Result<DayBookings, ArchiveError> {
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
