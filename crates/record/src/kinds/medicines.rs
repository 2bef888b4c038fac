//! Medicines that the child takes: none, or which. Without an entry it is not known whether it takes any.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long};

choice! {
    /// Whether the child takes medicines.
    MedicineAnswer {
        /// Somebody asked, and it takes none.
        None = "none", "none";
        /// They are named in the entry.
        Named = "named", "named";
    }
}

entry! {
    with hooks;
    /// What was answered to the question about medicines. A later answer replaces an earlier one.
    #[derive(Eq)]
    Medicines = KindSpec::new("medicines", "medicines").since(8)
        .form(FormSpec::new(114, "Medicines")).day_label("Asked on").list("Medicines");

    /// None, or named.
    required answer: MedicineAnswer => field("Medicines that the child takes")
        .columns(&["medicines", "medications", "current medicines"]);
    /// Which, with the dose if known.
    optional which: Option<String> => long("Which, with the dose if known")
        .columns(&["medicines named", "medicine names", "medication names"]);
    /// Whether one of them can cause methaemoglobinaemia; `None` if nobody looked.
    optional methaemoglobin: Option<bool> => field("Can one of them cause methaemoglobinaemia?")
        .hint("Look each one up in your formulary. It matters for creams with prilocaine. Leave open if nobody has looked.")
        .columns(&["medicine causes methaemoglobinaemia"]);
}

impl KindHooks for Medicines {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        let named = self.which.as_deref().is_some_and(|text| !text.trim().is_empty());
        match (self.answer, named) {
            (MedicineAnswer::Named, false) => {
                findings.push(Finding::refuse("which", "Which medicines is missing."));
            }
            (MedicineAnswer::None, true) => {
                let text = "“None” and a medicine that is named contradict each other.";
                findings.push(Finding::refuse("which", text));
            }
            _ => {}
        }
        if self.answer == MedicineAnswer::None && self.methaemoglobin == Some(true) {
            let text = "“None” and a medicine that can cause methaemoglobinaemia contradict each other.";
            findings.push(Finding::refuse("methaemoglobin", text));
        }
    }

    fn sentence(&self) -> Option<String> {
        let what = match (self.answer, self.which.as_deref().map(str::trim)) {
            (MedicineAnswer::Named, Some(which)) => format!("medicines: {which}"),
            (MedicineAnswer::Named, None) => "medicines: named, but not which".to_owned(),
            (MedicineAnswer::None, _) => "medicines: none".to_owned(),
        };
        Some(match self.methaemoglobin {
            Some(true) => format!("{what} (can cause methaemoglobinaemia)"),
            Some(false) if self.answer == MedicineAnswer::Named => {
                format!("{what} (cannot cause methaemoglobinaemia, as looked up)")
            }
            _ => what,
        })
    }
}
