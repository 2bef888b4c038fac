//! Referral: the child was sent to the clinic.

use crate::field::{FormSpec, KindSpec, line, long};

entry! {
    /// The referral; its day is the day it was received.
    #[derive(Default, Eq)]
    Referral = KindSpec::new("referral", "referral").form(FormSpec::new(100, "Referral")).day_label("Received on");

    /// Who referred the child.
    optional from: Option<String> => line("Who referred the child");
    /// Reason for referral.
    optional reason: Option<String> => long("Reason for referral");
}
