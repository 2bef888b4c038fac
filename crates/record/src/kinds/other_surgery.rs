//! Surgery other than a heel-cord tenotomy.

use crate::Side;
use crate::field::{FormSpec, KindSpec, field, long};

choice! {
    /// What was done.
    Procedure {
        /// Tibialis anterior tendon transfer.
        TendonTransfer = "tendon_transfer", "tibialis anterior tendon transfer";
        /// Posterior release.
        PosteriorRelease = "posterior_release", "posterior release";
        /// Posteromedial release.
        PosteromedialRelease = "posteromedial_release", "posteromedial release";
        /// Open lengthening of the heel cord.
        TendonLengthening = "tendon_lengthening", "heel-cord lengthening";
        /// Anything else.
        Other = "other", "other surgery";
    }
}

entry! {
    /// Surgery on one foot.
    #[derive(Eq)]
    OtherSurgery = KindSpec::new("other_surgery", "other surgery").form(FormSpec::new(130, "Other surgery"));

    /// Which foot.
    required side: Side => field("Which foot");
    /// What was done.
    required procedure: Procedure => field("What was done");
    /// In words.
    optional note: Option<String> => long("In words");
}
