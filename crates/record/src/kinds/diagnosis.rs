//! Diagnosis: what kind of clubfoot, one foot.

use crate::Side;
use crate::field::{FormSpec, KindSpec, field, line};

choice! {
    /// Where the clubfoot comes from.
    Nature {
        /// No other condition found.
        Idiopathic = "idiopathic", "idiopathic";
        /// Part of a syndrome.
        Syndromic = "syndromic", "syndromic";
        /// From a condition of nerve or muscle.
        Neurogenic = "neurogenic", "neurogenic";
        /// Lies turned in but corrects fully by hand.
        Positional = "positional", "positional";
        /// Looked at and found not to be a clubfoot.
        NotClubfoot = "not_clubfoot", "not a clubfoot";
    }
}

entry! {
    /// What was found of one foot. A later diagnosis of the same foot replaces an earlier one.
    #[derive(Eq)]
    Diagnosis = KindSpec::new("diagnosis", "diagnosis").form(FormSpec::new(80, "Diagnosis of a foot"));

    /// Which foot.
    required side: Side => field("Which foot");
    /// Aetiology, where known.
    optional nature: Option<Nature> => field("Aetiology");
    /// Whether it is an atypical or complex foot; `None` when nobody has said.
    optional complex: Option<bool> => field("Atypical or complex foot");
    /// Treatment before this clinic, in words.
    optional earlier_treatment: Option<String> => line("Treatment before this clinic");
}
