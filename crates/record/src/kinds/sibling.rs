//! A brother, sister or twin whose record is in the clinic.

use crate::{ChildId, Day, Finding};
use crate::field::{KindHooks, KindSpec, field};

choice! {
    /// How two children are related.
    SiblingRelation {
        /// Born together: twins, triplets and more.
        Twin = "twin", "twin";
        /// Brother or sister.
        Sibling = "sibling", "brother or sister";
        /// One parent in common.
        Half = "half", "half-brother or half-sister";
    }
}

choice! {
    /// The order in which children of one pregnancy were born.
    BirthOrder {
        /// First.
        First = "1", "born first";
        /// Second.
        Second = "2", "born second";
        /// Third.
        Third = "3", "born third";
        /// Fourth.
        Fourth = "4", "born fourth";
    }
}

entry! {
    with hooks;
    /// A link to the record of a brother, sister or twin. The other child has such an entry too; the link holds
    /// while both do.
    #[derive(Eq)]
    Sibling = KindSpec::new("sibling", "brother or sister").since(7).day_label("Recorded on");

    /// The other child.
    required other: ChildId => field("The other child");
    /// How they are related.
    required relation: SiblingRelation => field("Relation");
    /// The birth order of this child, of twins.
    optional birth_order: Option<BirthOrder> => field("Birth order of this child");
}

impl KindHooks for Sibling {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.birth_order.is_some() && self.relation != SiblingRelation::Twin {
            let text = "A birth order is recorded for twins only.";
            findings.push(Finding::refuse("birth_order", text));
        }
    }

    fn sentence(&self) -> Option<String> {
        let link = format!("linked to the record of a {}", self.relation.words());
        Some(match (self.relation, self.birth_order) {
            (SiblingRelation::Twin, Some(order)) => format!("{link}; this child was {}", order.words()),
            (SiblingRelation::Twin, None) => format!("{link}; birth order not recorded"),
            _ => link,
        })
    }
}
