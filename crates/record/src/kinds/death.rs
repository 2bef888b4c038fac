//! The child died.

use crate::field::{FormSpec, KindSpec, long};

entry! {
    /// The child died on the entry's day.
    #[derive(Default, Eq)]
    Death = KindSpec::new("death", "death").day_label("Day of death")
        .form(FormSpec::new(180, "Death").warning(
            "From that day no next step and no call for attention is shown. Make sure that this is the right child.",
        ));

    /// Cause, if known.
    optional cause: Option<String> => long("Cause, if known");
}
