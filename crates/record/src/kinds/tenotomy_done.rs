//! Heel-cord tenotomy done on one foot.

use crate::{Side, bounds::DORSIFLEXION};
use crate::field::{KindSpec, field, line, long, within};

choice! {
    /// Anaesthesia.
    Anaesthesia {
        /// Local or topical.
        Local = "local", "local anaesthetic";
        /// Sedation with local anaesthetic.
        Sedation = "sedation", "sedation";
        /// General.
        General = "general", "general anaesthetic";
    }
}

entry! {
    /// A tenotomy done. The cast that follows is an entry of its own.
    #[derive(Eq)]
    TenotomyDone = KindSpec::new("tenotomy_done", "tenotomy done");

    /// Which foot.
    required side: Side => field("Which foot");
    /// Anaesthesia.
    optional anaesthesia: Option<Anaesthesia> => field("Anaesthesia");
    /// Dorsiflexion just after the tenotomy.
    optional dorsiflexion_after_deg: Option<i16> => within("Dorsiflexion just after", &DORSIFLEXION);
    /// Complications, in words.
    optional complication: Option<String> => long("Anything that went wrong");
    /// Who did it, if it was not the writer.
    optional done_by: Option<String> => line("Done by (if not the writer)");
}

impl TenotomyDone {
    /// A tenotomy on a foot with nothing else recorded.
    #[must_use]
    pub fn on(side: Side) -> Self {
        Self::of(side)
    }
}
