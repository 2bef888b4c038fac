//! Cast removed from one foot, as planned or not.

use crate::Side;
use crate::field::{KindSpec, field, long};

choice! {
    /// Why a cast came off.
    RemovalReason {
        /// As planned.
        Planned = "planned", "as planned";
        /// It slipped.
        Slipped = "slipped", "slipped";
        /// The skin was sore under it.
        Sore = "sore", "sore skin";
        /// Swelling or discoloured toes.
        Circulation = "circulation", "swelling or toes of a bad colour";
        /// It got wet or broke.
        Damaged = "damaged", "wet or broken";
        /// The family took it off.
        ByFamily = "by_family", "taken off by the family";
        /// Anything else.
        Other = "other", "another reason";
    }
}

entry! {
    /// A cast that was removed or fell off.
    #[derive(Eq)]
    CastRemoved = KindSpec::new("cast_removed", "cast removed");

    /// Which foot.
    required side: Side => field("Which foot");
    /// Why.
    required why: RemovalReason => field("Reason for removal");
    /// What the skin looked like, or anything else.
    optional note: Option<String> => long("Skin, or anything else");
}
