//! An attempt to contact the family.

use crate::field::{FormSpec, KindSpec, field, line, long};

choice! {
    /// How.
    ContactWay {
        /// Telephone.
        Phone = "phone", "telephone";
        /// Text message.
        Message = "message", "message";
        /// Letter.
        Letter = "letter", "letter";
        /// Visit to the home.
        HomeVisit = "home_visit", "home visit";
        /// Through somebody else.
        Through = "through", "through somebody else";
    }
}

entry! {
    /// One attempt.
    #[derive(Eq)]
    ContactAttempt = KindSpec::new("contact_attempt", "contact attempt")
        .form(FormSpec::new(30, "Contact the family")).day_label("Contact attempted on");

    /// How.
    required way: ContactWay => field("How");
    /// Whether the family was reached.
    required reached: bool => field("Was the family reached?");
    /// Whom.
    optional whom: Option<String> => line("Person contacted");
    /// The result.
    optional note: Option<String> => long("Result");
}
