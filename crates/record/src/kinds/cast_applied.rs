//! Cast applied to one foot.

use crate::{Side, bounds::{ABDUCTION, CAST_NUMBER, DORSIFLEXION}};
use crate::field::{KindSpec, field, line, within};

choice! {
    /// What a cast is made of.
    CastMaterial {
        /// Plaster of Paris.
        Plaster = "plaster", "plaster";
        /// Semirigid synthetic.
        Semirigid = "semirigid", "semirigid";
        /// Anything else.
        Other = "other", "other material";
    }
}

choice! {
    /// What a cast is for.
    CastPurpose {
        /// To correct the foot by a step.
        Correction = "correction", "correction";
        /// To hold the foot after a tenotomy.
        AfterTenotomy = "after_tenotomy", "after tenotomy";
        /// To hold a corrected foot, while the other catches up or the tenotomy or brace is awaited.
        Holding = "holding", "holding";
    }
}

entry! {
    /// A cast put on one foot.
    #[derive(Eq)]
    CastApplied = KindSpec::new("cast_applied", "cast applied");

    /// Which foot.
    required side: Side => field("Which foot");
    /// What for; `None` where a sheet does not say, then `course` reads it from what happened that day.
    optional purpose: Option<CastPurpose> => field("Purpose");
    /// Its number as the clinic counted, where written; `course` counts for itself.
    optional number: Option<u8> => within("Cast number", &CAST_NUMBER);
    /// Material.
    optional material: Option<CastMaterial> => field("Material");
    /// Abduction in which the foot was held.
    optional abduction_deg: Option<i16> => within("Held in abduction", &ABDUCTION);
    /// Dorsiflexion in which the foot was held.
    optional dorsiflexion_deg: Option<i16> => within("Held in dorsiflexion", &DORSIFLEXION);
    /// Who cast, where a sheet names somebody who is not the writer.
    optional cast_by: Option<String> => line("Cast by (if not the writer)");
}

impl CastApplied {
    /// A cast on a foot with nothing more recorded about it.
    #[must_use]
    pub fn on(side: Side) -> Self {
        Self::of(side)
    }
}
