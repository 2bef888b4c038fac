//! Screening: hips, spine, nerve and muscle.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long};

choice! {
    /// Result of a screening.
    Screened {
        /// Nothing abnormal found.
        Normal = "normal", "normal";
        /// Something found; see the note.
        Abnormal = "abnormal", "abnormal";
        /// Ordered, result awaited.
        Awaited = "awaited", "result awaited";
    }
}

entry! {
    with hooks;
    /// Results; `None` for what was not examined.
    #[derive(Default, Eq)]
    Screening = KindSpec::new("screening", "screening").form(FormSpec::new(90, "Screening: hips, spine, nerve and muscle"));

    /// Hips.
    optional hips: Option<Screened> => field("Hips");
    /// Spine.
    optional spine: Option<Screened> => field("Spine");
    /// Nerve and muscle, including great-toe dorsiflexion.
    optional nerve_and_muscle: Option<Screened> => field("Nerve and muscle");
    /// Findings, in words.
    optional note: Option<String> => long("What was found");
}

impl KindHooks for Screening {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if *self == Self::default() {
            // An empty screening would count as a screening done.
            findings.push(Finding::refuse("hips", "Nothing was examined."));
        }
    }
}
