//! Questions about the side or the sense of a treatment that somebody has answered.
//!
//! Whoever confirms such an entry leaves a note that follows it. The note answers every question of that
//! kind that rests on the entry; a withdrawn note answers nothing. What a note says is not read.

use crate::Question;
use crate::events::Event;
use record::{Body, EntryId};

/// Leaves out the questions that were answered.
pub(crate) fn leave_out(open: &mut Vec<Question>, confirmed: &[EntryId]) {
    if confirmed.is_empty() {
        return;
    }
    open.retain(|question| {
        let rests = |entry: &EntryId| confirmed.contains(entry);
        !(question.kind.asks_confirmation() && question.entries.iter().any(rests))
    });
}

/// The entries that somebody confirmed.
pub(crate) fn entries(events: &[Event<'_>]) -> Vec<EntryId> {
    events.iter().filter_map(confirms).collect()
}

/// The entry that a note confirms.
fn confirms(event: &Event<'_>) -> Option<EntryId> {
    matches!(event.body, Body::Note(_)).then_some(event.entry.follows).flatten()
}
