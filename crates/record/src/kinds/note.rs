//! Free text.

use crate::{Day, Finding};
use crate::field::{FormSpec, KindHooks, KindSpec, long};

entry! {
    with hooks;
    /// Free text about the child.
    #[derive(Eq)]
    Note = KindSpec::new("note", "note").form(FormSpec::new(50, "Write a note")).day_label("Date");

    /// The text.
    required text: String => long("Note");
}

impl KindHooks for Note {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.text.trim().is_empty() {
            findings.push(Finding::refuse("text", "The note is empty."));
        }
    }

    fn sentence(&self) -> Option<String> {
        Some(self.text.clone())
    }
}
