//! Heel-cord tenotomy booked for one foot.

use crate::{Day, Side};
use crate::field::{FormSpec, KindSpec, field, line};

entry! {
    /// A tenotomy booked.
    #[derive(Eq)]
    TenotomyBooked = KindSpec::new("tenotomy_booked", "tenotomy booked").form(FormSpec::new(110, "Book a tenotomy"));

    /// Which foot.
    required side: Side => field("Which foot");
    /// The day for which it is booked, if fixed.
    optional planned_on: Option<Day> => field("Booked for").hint("Leave empty if no day is fixed yet.");
    /// Where it will be done.
    optional place: Option<String> => line("Where it will be done");
}
