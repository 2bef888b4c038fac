//! An appointment called off beforehand.

use crate::Day;
use crate::field::{FormSpec, KindSpec, field, long};

choice! {
    /// Who called it off.
    CancelledBy {
        /// The family.
        Family = "family", "the family";
        /// The clinic.
        Clinic = "clinic", "the clinic";
    }
}

entry! {
    /// Called off; `follows` names the appointment.
    #[derive(Eq)]
    AppointmentCancelled = KindSpec::new("appointment_cancelled", "appointment cancelled")
        .form(FormSpec::new(20, "Cancel an appointment")).day_label("Cancelled on");

    /// The day the child would have been expected.
    required for_day: Day => field("Date of the cancelled appointment");
    /// Who called it off, where known.
    optional by: Option<CancelledBy> => field("Cancelled by");
    /// Why.
    optional reason: Option<String> => long("Why");
}
