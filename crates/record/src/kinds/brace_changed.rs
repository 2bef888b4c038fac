//! The brace or its hours changed, or bracing stopped.

use super::{Brace, Regime};
use crate::bounds::WEAR_HOURS;
use crate::field::{KindSpec, field, long, within};

choice! {
    /// What changed.
    BraceChange {
        /// The hours or the regime.
        Hours = "hours", "hours changed";
        /// Larger boots or a longer bar.
        Size = "size", "new size";
        /// Angles on the bar.
        Settings = "settings", "settings changed";
        /// Repaired, or replaced by the same.
        Repaired = "repaired", "repaired";
        /// Bracing stopped, for any reason.
        Stopped = "stopped", "bracing stopped";
        /// Bracing taken up again.
        Resumed = "resumed", "bracing taken up again";
    }
}

entry! {
    /// A change of the brace.
    #[derive(Eq)]
    BraceChanged = KindSpec::new("brace_changed", "brace changed");

    /// What changed.
    required change: BraceChange => field("What changed");
    /// The brace after the change, if it changed.
    optional brace: Option<Brace> => field("");
    /// How it is to be worn from now on, if that changed.
    optional regime: Option<Regime> => field("Wearing schedule");
    /// Hours per day prescribed from now on, if that changed.
    optional hours_prescribed: Option<u8> => within("Hours a day prescribed", &WEAR_HOURS);
    /// Why.
    optional note: Option<String> => long("Why");
}
