//! Transfer of care to another clinic.

use crate::bounds::NOTE_CHARS;
use crate::field::{FormSpec, KindSpec, line};

entry! {
    /// Care was transferred to another clinic on the entry's day.
    #[derive(Default, Eq)]
    Transfer = KindSpec::new("transfer", "transfer")
        .form(FormSpec::new(150, "Transfer to another clinic").warning(super::CARE_ENDS));

    /// Where to.
    optional to: Option<String> => line("To which clinic").most_chars(NOTE_CHARS);
}
