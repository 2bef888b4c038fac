//! Allergies: none known, or which. Without an entry it is not known whether there are any.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long};

choice! {
    /// Whether allergies are known.
    AllergyAnswer {
        /// Somebody asked, and none is known.
        NoneKnown = "none_known", "none known";
        /// They are named in the entry.
        Named = "named", "named";
    }
}

entry! {
    with hooks;
    /// What was answered to the question about allergies. A later answer replaces an earlier one; that none is
    /// known after one was named is asked about.
    #[derive(Eq)]
    Allergies = KindSpec::new("allergies", "allergies").since(8)
        .form(FormSpec::new(112, "Allergies")).day_label("Asked on").list("Allergies");

    /// None known, or named.
    required answer: AllergyAnswer => field("Allergies")
        .columns(&["allergies", "allergy", "known allergies"]);
    /// Which, and what happened.
    optional which: Option<String> => long("Which, and what happened")
        .columns(&["allergies named", "allergy to", "allergic to"]);
}

impl KindHooks for Allergies {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        let named = self.which.as_deref().is_some_and(|text| !text.trim().is_empty());
        match (self.answer, named) {
            (AllergyAnswer::Named, false) => {
                findings.push(Finding::refuse("which", "Which allergies is missing."));
            }
            (AllergyAnswer::NoneKnown, true) => {
                let text = "“None known” and an allergy that is named contradict each other.";
                findings.push(Finding::refuse("which", text));
            }
            _ => {}
        }
    }

    fn sentence(&self) -> Option<String> {
        Some(match (self.answer, self.which.as_deref().map(str::trim)) {
            (AllergyAnswer::Named, Some(which)) => format!("allergies: {which}"),
            (AllergyAnswer::Named, None) => "allergies: named, but not which".to_owned(),
            (AllergyAnswer::NoneKnown, _) => "allergies: none known".to_owned(),
        })
    }
}
