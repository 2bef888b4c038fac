//! The child came.

use crate::field::{KindSpec, time};

entry! {
    /// The child came on the entry's day; `follows` is the appointment, if there was one.
    #[derive(Default, Eq)]
    AppointmentAttended = KindSpec::new("appointment_attended", "appointment attended");

    /// Time of arrival, any text, "09:42".
    optional time: Option<String> => time("Time of arrival").most_chars(20);
}
