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
        /// To correct the foot by one step.
        Correction = "correction", "correction";
        /// To hold the foot after a tenotomy.
        AfterTenotomy = "after_tenotomy", "after tenotomy";
        /// To hold a corrected foot while it waits for the other foot, the tenotomy or the brace.
        Holding = "holding", "holding";
    }
}

entry! {
    /// A cast applied to one foot.
    #[derive(Eq)]
    CastApplied = KindSpec::new("cast_applied", "cast applied");

    /// Which foot.
    required side: Side => field("Which foot");
    /// Its purpose; `None` if not recorded. Then `course` infers it from the other entries of that day.
    optional purpose: Option<CastPurpose> => field("Purpose");
    /// Its number as recorded by the clinic; `course` counts independently.
    optional number: Option<u8> => within("Cast number", &CAST_NUMBER);
    /// Material.
    optional material: Option<CastMaterial> => field("Material");
    /// Abduction in which the foot was held.
    optional abduction_deg: Option<i16> => within("Held in abduction", &ABDUCTION);
    /// Dorsiflexion in which the foot was held.
    optional dorsiflexion_deg: Option<i16> => within("Held in dorsiflexion", &DORSIFLEXION);
    /// Who applied it, if it was not the writer.
    optional cast_by: Option<String> => line("Cast by (if not the writer)");
}

impl CastApplied {
    /// A cast on a foot with nothing else recorded.
    #[must_use]
    pub fn on(side: Side) -> Self {
        Self::of(side)
    }
}
