//! Signs of relapse in a corrected foot: part of an assessment.

use crate::field::field;

choice! {
    /// A deformity looked for in a corrected foot.
    Deformity {
        /// Looked for and absent.
        Absent = "absent", "not there";
        /// Present, correctable by hand.
        Flexible = "flexible", "there, corrects by hand";
        /// Present, not correctable by hand.
        Fixed = "fixed", "there, fixed";
    }
}

choice! {
    /// Power of the evertor muscles.
    Evertors {
        /// The foot is turned out against resistance, or briskly when the sole is stroked.
        Strong = "strong", "strong";
        /// They work and are weak.
        Weak = "weak", "weak";
        /// They do not work.
        None = "none", "not working";
    }
}

group! {
    /// The signs that were looked for. A sign that was not looked for is `None`, never [`Deformity::Absent`].
    #[derive(Copy, Default, Eq)]
    RelapseSigns;

    /// The heel cord is short: the foot does not come up to 10° (flexible), or not to neutral (fixed).
    optional equinus: Option<Deformity> => field("equinus")
        .hint("Corrects by hand: up to neutral and not to 10°. Fixed: not to neutral.");
    /// The heel turns in.
    optional heel_varus: Option<Deformity> => field("heel turned in");
    /// The forefoot turns in.
    optional adductus: Option<Deformity> => field("forefoot turned in");
    /// The arch is high.
    optional cavus: Option<Deformity> => field("high arch");
    /// The forefoot supinates in swing and the outer border touches first.
    optional dynamic_supination: Option<bool> => field("forefoot supinates in swing")
        .hint("The outer border touches the ground first.");
    /// The heel leaves the ground early.
    optional early_heel_rise: Option<bool> => field("heel rises early");
    /// Power of the evertors.
    optional evertors: Option<Evertors> => field("evertor muscles");
    /// The lateral cuneiform is ossified, on a radiograph.
    optional lateral_cuneiform_ossified: Option<bool> => field("lateral cuneiform ossified").hint("On a radiograph.");
}

impl RelapseSigns {
    /// Whether nothing was looked for.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The signs that are present, each in words.
    pub(super) fn there(&self) -> impl Iterator<Item = String> {
        let deformities = [
            ("equinus", self.equinus),
            ("heel turned in", self.heel_varus),
            ("forefoot turned in", self.adductus),
            ("high arch", self.cavus),
        ];
        let there = deformities.into_iter().filter_map(|(name, seen)| match seen? {
            Deformity::Absent => None,
            Deformity::Flexible => Some(format!("{name}, corrects by hand")),
            Deformity::Fixed => Some(format!("{name}, fixed")),
        });
        let signs = [
            ("supination in swing", self.dynamic_supination == Some(true)),
            ("early heel rise", self.early_heel_rise == Some(true)),
            ("evertors weak", matches!(self.evertors, Some(Evertors::Weak | Evertors::None))),
        ];
        there.chain(signs.into_iter().filter(|sign| sign.1).map(|sign| sign.0.to_owned()))
    }
}
