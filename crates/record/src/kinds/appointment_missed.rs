//! The child was expected and did not come.

use crate::field::{KindSpec, long};

entry! {
    /// Expected on the entry's day and not come; `follows` names the appointment where known.
    #[derive(Default, Eq)]
    AppointmentMissed = KindSpec::new("appointment_missed", "appointment missed");

    /// Why, where known.
    optional reason: Option<String> => long("Why, where known");
}
