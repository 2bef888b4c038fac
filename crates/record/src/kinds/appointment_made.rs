//! An appointment was made.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, field, time};

choice! {
    /// What an appointment is for.
    Purpose {
        /// First visit.
        First = "first", "first visit";
        /// Change of cast.
        Cast = "cast", "cast";
        /// Tenotomy.
        Tenotomy = "tenotomy", "tenotomy";
        /// Last cast off and brace fitted.
        BraceFitting = "brace_fitting", "cast off and brace fitting";
        /// Review in the brace.
        BraceReview = "brace_review", "brace review";
        /// Any other review.
        Review = "review", "review";
        /// Anything else.
        Other = "other", "other";
    }
}

entry! {
    with hooks;
    /// An appointment; the entry's day is the day on which it was made.
    #[derive(Eq)]
    AppointmentMade = KindSpec::new("appointment_made", "appointment made")
        .form(FormSpec::new(10, "Make an appointment")).day_label("Made on");

    /// The day on which the child is expected.
    required for_day: Day => field("Expected on");
    /// Time of day, any text, "09:30".
    optional time: Option<String> => time("Time");
    /// Its purpose.
    optional purpose: Option<Purpose> => field("Purpose");
}

impl KindHooks for AppointmentMade {
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        if self.for_day < on {
            findings.push(Finding::ask("for_day", "The appointment lies before the day on which it was made."));
        }
    }
}
