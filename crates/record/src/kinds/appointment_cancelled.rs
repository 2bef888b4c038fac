//! An appointment was cancelled beforehand.

use crate::Day;
use crate::field::{FormSpec, KindSpec, field, long};

choice! {
    /// Who cancelled it.
    CancelledBy {
        /// The family.
        Family = "family", "the family";
        /// The clinic.
        Clinic = "clinic", "the clinic";
    }
}

entry! {
    /// A cancellation; `follows` is the appointment.
    #[derive(Eq)]
    AppointmentCancelled = KindSpec::new("appointment_cancelled", "appointment cancelled")
        .form(FormSpec::new(20, "Cancel an appointment")).day_label("Cancelled on");

    /// The day of the cancelled appointment.
    required for_day: Day => field("Date of the cancelled appointment");
    /// Who cancelled it, if known.
    optional by: Option<CancelledBy> => field("Cancelled by");
    /// Why.
    optional reason: Option<String> => long("Why");
}
