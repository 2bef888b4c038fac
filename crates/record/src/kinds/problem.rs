//! A problem with skin, cast, brace or family.

use crate::Side;
use crate::field::{FormSpec, KindSpec, field, flag, line, long};

choice! {
    /// What the problem is.
    ProblemKind {
        /// The cast slipped.
        CastSlipped = "cast_slipped", "cast slipped";
        /// The toes can no longer be seen in the cast.
        ToesNotSeen = "toes_not_seen", "toes not seen";
        /// Toes dark, white or cold.
        ToesColour = "toes_colour", "toes dark, white or cold";
        /// Swelling.
        Swelling = "swelling", "swelling";
        /// Skin broken or sore.
        SkinBroken = "skin_broken", "skin sore or broken";
        /// Skin red.
        SkinRed = "skin_red", "skin red";
        /// Blister.
        Blister = "blister", "blister";
        /// Bleeding after the tenotomy.
        Bleeding = "bleeding", "bleeding";
        /// Fever or signs of infection.
        Fever = "fever", "fever or signs of infection";
        /// Crying without another cause.
        Crying = "crying", "crying without another cause";
        /// The heel slips out of the boot.
        HeelSlipsOut = "heel_slips_out", "heel slips out of the boot";
        /// Boots or bar outgrown.
        Outgrown = "outgrown", "boots or bar outgrown";
        /// Brace broken.
        BraceBroken = "brace_broken", "brace broken";
        /// The child does not tolerate the brace.
        NotTolerated = "not_tolerated", "brace not tolerated";
        /// Circumstances of the family.
        Family = "family", "family circumstances";
        /// Anything else.
        Other = "other", "another problem";
    }
}

choice! {
    /// Whether the advice helped.
    Helped {
        /// It helped.
        Yes = "helped", "it helped";
        /// In part.
        Partly = "partly", "it helped in part";
        /// It did not help.
        No = "not", "it did not help";
    }
}

entry! {
    /// A problem, or news of an earlier one (then `follows` is the earlier entry): what was advised, whether it
    /// helped, whether the problem is settled.
    #[derive(Eq)]
    Problem = KindSpec::new("problem", "problem").form(FormSpec::new(40, "Record a problem")).first(&["what"]);

    /// Which foot, if it is about one foot.
    optional side: Option<Side> => field("Which foot").hint("Leave empty if it is about the child or both feet.");
    /// The problem.
    required what: ProblemKind => field("Problem");
    /// Whether the problem is settled.
    optional settled: bool => flag("Is it settled?", &[("yes", "yes, settled")]);
    /// What was advised: the key of an advice in the list of problems, or free text. An entry has one advice, so
    /// that it is clear which advice helped; more advice is recorded in entries that follow.
    optional advised: Option<String> => line("What was advised").since(2);
    /// Whether the advice helped.
    optional helped: Option<Helped> => field("Did it help?").since(2);
    /// In words.
    optional note: Option<String> => long("In words");
}
