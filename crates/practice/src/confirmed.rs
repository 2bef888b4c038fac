//! Which levels a clinic has confirmed: somebody compared their words and numbers with a named source.
//!
//! A confirmation is of the words and numbers that were shown ([`SignGeometry::statement`]). When a later version of
//! the table says something else, the level counts as from memory again.

use crate::geometry::SignGeometry;
use record::{HalfPoint, Sign};
use std::collections::BTreeMap;

/// The confirmation of a level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LevelConfirmed {
    /// The source with which it was compared.
    pub source: String,
    /// The name of the lead who confirmed it.
    pub by: String,
    /// When, in words.
    pub when: String,
}

/// Where the words and numbers of a level come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelStanding<'a> {
    /// From memory: nobody has confirmed them.
    FromMemory,
    /// Confirmed with a source.
    Confirmed(&'a LevelConfirmed),
    /// Others were confirmed: the table has changed since.
    ChangedSince(&'a LevelConfirmed),
}

/// The levels that a clinic has confirmed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ConfirmedLevels(BTreeMap<(Sign, HalfPoint), (LevelConfirmed, bool)>);

impl ConfirmedLevels {
    /// How many levels there are.
    pub const ALL: usize = Sign::ALL.len() * HalfPoint::ALL.len();

    /// Adds a confirmation; `statement` is what was confirmed.
    pub fn add(&mut self, sign: Sign, level: HalfPoint, confirmed: LevelConfirmed, statement: &str) {
        let is_current = SignGeometry::of(sign).statement(level) == statement;
        self.0.insert((sign, level), (confirmed, is_current));
    }

    /// Where the words and numbers of a level come from.
    #[must_use]
    pub fn standing(&self, sign: Sign, level: HalfPoint) -> LevelStanding<'_> {
        match self.0.get(&(sign, level)) {
            None => LevelStanding::FromMemory,
            Some((confirmed, true)) => LevelStanding::Confirmed(confirmed),
            Some((confirmed, false)) => LevelStanding::ChangedSince(confirmed),
        }
    }

    /// How many levels are confirmed as they are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.values().filter(|(_, is_current)| *is_current).count()
    }

    /// Whether all levels of a sign are confirmed as they are.
    #[must_use]
    pub fn has_all_of(&self, sign: Sign) -> bool {
        let confirmed = |level| matches!(self.standing(sign, level), LevelStanding::Confirmed(_));
        HalfPoint::ALL.into_iter().all(confirmed)
    }
}
