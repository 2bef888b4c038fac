//! Diagnosis of one foot: the kind of clubfoot.

use crate::Side;
use crate::field::{FormSpec, KindSpec, field, line};

choice! {
    /// Aetiology of the clubfoot.
    Nature {
        /// No other condition found.
        Idiopathic = "idiopathic", "idiopathic";
        /// Part of a syndrome.
        Syndromic = "syndromic", "syndromic";
        /// Caused by a condition of nerve or muscle.
        Neurogenic = "neurogenic", "neurogenic";
        /// Turned in at rest, fully correctable by hand.
        Positional = "positional", "positional";
        /// Examined and not a clubfoot.
        NotClubfoot = "not_clubfoot", "not a clubfoot";
    }
}

entry! {
    /// The diagnosis of one foot. A later diagnosis of the same foot replaces an earlier one.
    #[derive(Eq)]
    Diagnosis = KindSpec::new("diagnosis", "diagnosis").form(FormSpec::new(80, "Diagnosis of a foot"));

    /// Which foot.
    required side: Side => field("Which foot");
    /// Aetiology, if known.
    optional nature: Option<Nature> => field("Aetiology");
    /// Whether it is an atypical or complex foot; `None` if not recorded.
    optional complex: Option<bool> => field("Atypical or complex foot");
    /// Treatment before this clinic, in words.
    optional earlier_treatment: Option<String> => line("Treatment before this clinic");
}
