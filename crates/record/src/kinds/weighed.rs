//! The weight of the child on a day.

use crate::bounds::WEIGHT;
use crate::field::{FormSpec, KindSpec, long, within};

entry! {
    /// The child was weighed on the entry's day. The weight at birth is a field of the registration; it says how
    /// a child began and is never used for a dose.
    #[derive(Eq)]
    Weighed = KindSpec::new("weighed", "child weighed").since(8)
        .form(FormSpec::new(60, "Weight")).day_label("Weighed on").visit("Weight").list("Weight");

    /// Body weight, in grams.
    required weight_g: u16 => within("Weight", &WEIGHT)
        .hint("In grams: 5.2 kg is 5200. The weight at birth belongs to the details of the child.")
        .columns(&["weight g", "weight in g", "weight grams", "body weight g"]);
    /// Anything else, such as what the child wore on the scales.
    optional note: Option<String> => long("About this weight (a cast weighs too: say if one was on)")
        .columns(&["weight note", "note on weight"]);
}

impl Weighed {
    /// A weight with nothing else recorded, in grams.
    #[must_use]
    pub fn grams(weight_g: u16) -> Self {
        Self::of(weight_g)
    }
}
