//! The basis of results: the day, what was known on it, and the intervals of the clinic's protocol.

use audit::{KnownBy, ResultsBasis};
use guidance::Protocol;
use record::Day;
use std::sync::Arc;

/// The basis of results under a protocol, as known on a day.
#[must_use]
pub fn results_basis(protocol: &Protocol, as_of: Day, known_by: KnownBy) -> ResultsBasis {
    ResultsBasis { as_of, known_by, plan: Arc::new(protocol.planned_intervals()) }
}
