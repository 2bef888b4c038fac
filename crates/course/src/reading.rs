//! Which entries stand: corrections and withdrawals settled, nothing thrown away.

use record::{Body, Day, Entry, EntryId};

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It stands as written.
    Stands,
    /// It stands with the contents of the correction named, the last one written.
    Corrected {
        /// The correction that holds.
        by: EntryId,
    },
    /// It does not stand.
    Withdrawn {
        /// The withdrawal.
        by: EntryId,
    },
    /// It is itself a correction or withdrawal of the entry named.
    Amends {
        /// The entry amended.
        entry: EntryId,
    },
}

/// One entry with what became of it.
#[derive(Debug, Clone, Copy)]
pub struct Line<'a> {
    /// The entry as written.
    pub entry: &'a Entry,
    /// The contents that hold: the entry's own, or those of its correction.
    pub body: &'a Body,
    /// The clinical day that holds.
    pub on: Day,
    /// What became of it.
    pub fate: Fate,
}

/// The entries of one child as known on a day, in clinical order.
#[derive(Debug, Clone)]
pub struct Reading<'a> {
    /// Every entry whose own day is not after the day asked for, by clinical day, then by the instant
    /// of writing, then by id.
    pub lines: Vec<Line<'a>>,
}

impl<'a> Reading<'a> {
    /// Settles the entries of one child as known on a day.
    #[must_use]
    pub fn of(entries: &'a [Entry], as_of: Day) -> Self {
        // The full settling is written next; until then every entry stands.
        let lines = entries.iter().filter(|entry| entry.on <= as_of);
        Self {
            lines: lines
                .map(|entry| Line { entry, body: &entry.body, on: entry.on, fate: Fate::Stands })
                .collect(),
        }
    }
}
