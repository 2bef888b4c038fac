//! Screening: hips, spine, nerve and muscle.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long};

choice! {
    /// What a look found.
    Screened {
        /// Nothing wrong found.
        Normal = "normal", "normal";
        /// Something found; see the note.
        Abnormal = "abnormal", "abnormal";
        /// Asked for, result awaited.
        Awaited = "awaited", "result awaited";
    }
}

entry! {
    with hooks;
    /// What was looked at; `None` for what was not.
    #[derive(Default, Eq)]
    Screening = KindSpec::new("screening", "screening").form(FormSpec::new(90, "Screening: hips, spine, nerve and muscle"));

    /// Hips.
    optional hips: Option<Screened> => field("Hips");
    /// Spine.
    optional spine: Option<Screened> => field("Spine");
    /// Nerve and muscle, great-toe dorsiflexion among it.
    optional nerve_and_muscle: Option<Screened> => field("Nerve and muscle");
    /// What was found, in words.
    optional note: Option<String> => long("What was found");
}

impl KindHooks for Screening {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if *self == Self::default() {
            // An empty screening would count as a screening done.
            findings.push(Finding::refuse("hips", "Nothing was looked at."));
        }
    }
}
