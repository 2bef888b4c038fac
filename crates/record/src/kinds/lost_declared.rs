//! The clinic declared the child lost to follow-up.

use crate::field::{FormSpec, KindSpec, long};

entry! {
    /// The clinic declared the child lost to follow-up on the entry's day.
    #[derive(Default, Eq)]
    LostDeclared = KindSpec::new("lost_declared", "lost to follow-up declared")
        .form(FormSpec::new(170, "Declare lost to follow-up").warning(
            "From that day the child counts as lost to follow-up, until seen again.",
        ));

    /// What was tried.
    optional reason: Option<String> => long("What was tried");
}
