//! A twin, and the page that links two records.

use super::{Invented, frame, in_casts, just_registered, today};
use maud::Markup;
use pages::{
    DayPlaces, FamilyView, Here, SiblingView, SiblingsView, TogetherView,
    fields::Filled,
    parts::{Twin, Who},
};
use record::{BirthOrder, Body, Carer, ChildId, EntryId, Purpose, SiblingRelation};
use uuid::Uuid;

/// Who belongs to the child of a page.
#[derive(Clone, Copy)]
pub enum WithFamily {
    Nobody,
    Twin,
}

/// Bilal, born second; his mother's number is recorded with him.
fn bilal() -> Who {
    Who {
        id: ChildId::new(Uuid::from_u128(4134)),
        name: "Bilal Okello".into(),
        numbers: vec!["4134".into()],
        birth_order: Some(BirthOrder::Second),
        ..just_registered().who()
    }
}

/// A child whose own record has nobody to call.
pub fn without_carers() -> Invented {
    let mut child = just_registered();
    for entry in &mut child.entries {
        if let Body::Registration(about) = &mut entry.body {
            about.carers.clear();
        }
    }
    child
}

impl WithFamily {
    pub fn twins(self) -> Vec<Twin> {
        match self {
            Self::Nobody => Vec::new(),
            Self::Twin => {
                vec![Twin { id: bilal().id, name: bilal().name, order: Some(BirthOrder::Second) }]
            }
        }
    }

    pub fn view(self) -> FamilyView {
        let Self::Twin = self else { return FamilyView::default() };
        let mother = Carer {
            name: "Grace Okello".into(),
            relation: Some("mother".into()),
            phone: Some("+999 70 900 123".into()),
            language: None,
        };
        let entry = EntryId::new(Uuid::from_u128(31));
        let (relation, carers) = (SiblingRelation::Twin, vec![mother]);
        FamilyView {
            siblings: vec![SiblingView { who: bilal(), relation, entry, carers }],
            together: vec![TogetherView {
                who: bilal(),
                day: today() + 7,
                purposes: [Purpose::First, Purpose::First],
                expected: [false, true],
                places: [3, 3].map(|booked| DayPlaces { booked, ..DayPlaces::default() }),
            }],
        }
    }
}

/// The page on brothers and sisters: with search results, or with a child chosen and a fault in the form.
pub fn page(given: &str, chosen: bool) -> Markup {
    let child = in_casts(given).who();
    let filled = Filled::default();
    let filled = if chosen { filled.wrong("relation", "Choose how the two are related.") } else { filled };
    let view = SiblingsView {
        who: child,
        linked: vec![(bilal(), SiblingRelation::Half, EntryId::new(Uuid::from_u128(32)))],
        query: "okello".into(),
        is_over: false,
        found: if chosen { Vec::new() } else { vec![(bilal(), "found because: name “okello”".into())] },
        chosen: chosen.then(bilal),
        filled,
        once: "once".into(),
    };
    pages::siblings(&frame(Here::Child), &view)
}
