//! Heel-cord tenotomy done on one foot.

use crate::{Side, bounds::DORSIFLEXION};
use crate::field::{KindSpec, field, line, long, within};

choice! {
    /// How the child was kept free of pain.
    Anaesthesia {
        /// Local or topical.
        Local = "local", "local anaesthetic";
        /// Sedation with local.
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
    /// How the child was kept free of pain.
    optional anaesthesia: Option<Anaesthesia> => field("Anaesthesia");
    /// Dorsiflexion just after the cut.
    optional dorsiflexion_after_deg: Option<i16> => within("Dorsiflexion just after", &DORSIFLEXION);
    /// Anything that went wrong.
    optional complication: Option<String> => long("Anything that went wrong");
    /// Who did it, where a sheet names somebody who is not the writer.
    optional done_by: Option<String> => line("Done by (if not the writer)");
}

impl TenotomyDone {
    /// A tenotomy on a foot with nothing more recorded about it.
    #[must_use]
    pub fn on(side: Side) -> Self {
        Self::of(side)
    }
}
