//! Questions about the side or the sense of a treatment that were answered.
//!
//! The person who confirms such an entry adds a note that follows it. The note answers every question of
//! that kind about the entry; a withdrawn note answers nothing. The text of the note is not read.

use crate::Question;
use crate::events::Event;
use record::{Body, EntryId};

/// Removes the questions that were answered.
pub(crate) fn remove_answered(open: &mut Vec<Question>, confirmed: &[EntryId]) {
    if confirmed.is_empty() {
        return;
    }
    open.retain(|question| {
        let rests = |entry: &EntryId| confirmed.contains(entry);
        !(question.kind.asks_confirmation() && question.entries.iter().any(rests))
    });
}

/// The entries that were confirmed.
pub(crate) fn entries(events: &[Event<'_>]) -> Vec<EntryId> {
    events.iter().filter_map(confirms).collect()
}

/// The entry that a note confirms.
fn confirms(event: &Event<'_>) -> Option<EntryId> {
    matches!(event.body, Body::Note(_)).then_some(event.entry.follows).flatten()
}
