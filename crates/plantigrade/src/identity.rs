//! Who a child is, as every page shows it: a twin with the name of the other, wherever it is shown.

use crate::app::App;
use clinic::NamedTwin;
use course::Course;
use pages::parts::{Twin, Who, name_words};
use record::ChildId;

/// In place of the names of twins whose records cannot be read.
const UNREADABLE: &str = "a child whose record cannot be read now";

impl App {
    /// The identity of a child, with its twins by name.
    #[must_use]
    pub fn who(&self, course: &Course) -> Who {
        let twins: Vec<ChildId> = course.twin_links().map(|link| link.other).collect();
        self.with_twins(Who::of(course), &twins)
    }

    /// An identity with the twins among these children by name. Where a record cannot be read, that there is a
    /// twin is still shown.
    #[must_use]
    pub fn with_twins(&self, who: Who, others: &[ChildId]) -> Who {
        if others.is_empty() {
            return who;
        }
        let twins = match self.records.named_twins(who.id, others, self.clock.today()) {
            Ok(named) => named.into_iter().map(twin).collect(),
            Err(error) => {
                tracing::error!("the names of twins cannot be read: {error}");
                let unreadable = |id: &ChildId| Twin { id: *id, name: UNREADABLE.to_owned(), order: None };
                others.iter().map(unreadable).collect()
            }
        };
        Who { twins, ..who }
    }
}

fn twin(named: NamedTwin) -> Twin {
    Twin { id: named.child, name: name_words(&named.name, &named.numbers), order: named.order }
}
