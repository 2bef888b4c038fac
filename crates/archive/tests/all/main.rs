//! Tests of the archive, on real files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod access_log;
mod accounts;
mod backup;
mod cache;
mod chain;
mod common;
mod concurrency;
mod damage;
mod devices;
mod durability;
mod erasure;
mod first_start;
mod generation;
mod imports;
mod log;
mod marks;
mod media_index;
mod pictures;
mod practice;
mod restored;
mod salvage;
mod search;
mod second_factors;
mod summaries;
mod upgrade;
mod videos;
mod witness;
mod worklist;

/// The key of the records in these tests; the same tests run with one in `tests/encrypted`.
fn key() -> Option<archive::DatabaseKey> {
    None
}
