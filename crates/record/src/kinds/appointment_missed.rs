//! The child was expected and did not come.

use crate::field::{KindSpec, long};

entry! {
    /// The child was expected on the entry's day and did not come; `follows` is the appointment, if known.
    #[derive(Default, Eq)]
    AppointmentMissed = KindSpec::new("appointment_missed", "appointment missed");

    /// Why, if known.
    optional reason: Option<String> => long("Reason, if known");
}
