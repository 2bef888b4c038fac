//! Who a child is, as every page shows it: a twin with the name of the other, wherever it is shown, and a child whose
//! record is closed to the reader by its number alone.

use crate::{app::App, restricted::closed_now};
use clinic::{ArchiveError, Hit, NamedTwin};
use course::Course;
use pages::parts::{RESTRICTED_NAME, Twin, Who, name_words};
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
    /// twin is still shown. Of a closed record only the number is left.
    #[must_use]
    pub fn with_twins(&self, who: Who, others: &[ChildId]) -> Who {
        if self.is_closed(who.id) {
            return Who::restricted(who.id, who.numbers);
        }
        if others.is_empty() {
            return who;
        }
        let twins = match self.records.named_twins(who.id, others, self.clock.today()) {
            Ok(named) => named.into_iter().map(|named| self.twin(named)).collect(),
            Err(error) => {
                tracing::error!("the names of twins cannot be read: {error}");
                let unreadable = |id: &ChildId| Twin { id: *id, name: UNREADABLE.to_owned(), order: None };
                others.iter().map(unreadable).collect()
            }
        };
        Who { twins, ..who }
    }

    fn twin(&self, named: NamedTwin) -> Twin {
        let name = if self.is_closed(named.child) {
            RESTRICTED_NAME.to_owned()
        } else {
            name_words(&named.name, &named.numbers)
        };
        Twin { id: named.child, name, order: named.order }
    }

    /// Whether a record is closed to whoever is being answered.
    #[must_use]
    pub fn is_closed(&self, child: ChildId) -> bool {
        match closed_now() {
            Some(closed) => closed.has(child),
            None => self.restricted.people(child).is_some(),
        }
    }

    /// Finds children as the reader may: a closed record only by its whole number, because any other hit would tell
    /// whose it is. As [`clinic::ClinicRecords::search`] otherwise.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn search(&self, text: &str, limit: usize) -> Result<Vec<Hit>, ArchiveError> {
        let mut hits = self.records.search(text, limit)?;
        if hits.iter().any(|hit| self.is_closed(hit.summary.child)) {
            let numbered = self.records.by_number(text)?;
            hits.retain(|hit| !self.is_closed(hit.summary.child) || numbered.contains(&hit.summary.child));
        }
        Ok(hits)
    }
}
