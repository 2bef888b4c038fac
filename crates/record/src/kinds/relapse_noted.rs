//! A relapse of one foot.

use crate::Side;
use crate::field::{FormSpec, KindSpec, field, long};

choice! {
    /// Grade after Bhaskar & Patni 2013, Indian J Orthop 47:370, 10.4103/0019-5413.114921.
    RelapseGrade {
        /// Dorsiflexion falls from 15° to neutral; flexible.
        Ia = "IA", "IA: dorsiflexion lost to neutral, flexible";
        /// Dynamic forefoot adduction or supination; flexible.
        Ib = "IB", "IB: dynamic adduction or supination, flexible";
        /// Rigid equinus.
        Iia = "IIA", "IIA: rigid equinus";
        /// Rigid adduction of forefoot or midfoot.
        Iib = "IIB", "IIB: rigid adduction";
        /// Two or more fixed deformities.
        Iii = "III", "III: two or more fixed deformities";
    }
}

entry! {
    /// A relapse as judged by a clinician.
    #[derive(Eq)]
    RelapseNoted = KindSpec::new("relapse_noted", "relapse noted").form(FormSpec::new(120, "Record a relapse"));

    /// Which foot.
    required side: Side => field("Which foot");
    /// Its grade, if given.
    optional grade: Option<RelapseGrade> => field("Grade").hint("After Bhaskar and Patni 2013.");
    /// What was seen.
    optional note: Option<String> => long("What was seen");
}
