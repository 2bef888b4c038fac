//! Treatment ended.

use crate::field::{FormSpec, KindSpec, field, long};

choice! {
    /// Why.
    DischargeReason {
        /// Treatment completed.
        Completed = "completed", "treatment completed";
        /// Examined; no treatment needed.
        NotNeeded = "not_needed", "no treatment needed";
        /// The family declined treatment.
        Declined = "declined", "family declined treatment";
        /// Anything else.
        Other = "other", "another reason";
    }
}

entry! {
    /// The child was discharged. A later referral or registration opens the record again.
    #[derive(Eq)]
    Discharge = KindSpec::new("discharge", "discharge")
        .form(FormSpec::new(160, "Discharge").warning(super::CARE_ENDS));

    /// Why.
    required reason: DischargeReason => field("Why");
    /// In words.
    optional note: Option<String> => long("In words");
}
