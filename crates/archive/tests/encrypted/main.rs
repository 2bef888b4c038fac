//! The tests of the archive once more, on encrypted files, and those about the key itself.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../all/access_log.rs"]
mod access_log;
#[path = "../all/accounts.rs"]
mod accounts;
#[path = "../all/backup.rs"]
mod backup;
#[path = "../all/cache.rs"]
mod cache;
#[path = "../all/chain.rs"]
mod chain;
#[path = "../all/common.rs"]
mod common;
#[path = "../all/concurrency.rs"]
mod concurrency;
#[path = "../all/damage.rs"]
mod damage;
#[path = "../all/devices.rs"]
mod devices;
#[path = "../all/durability.rs"]
mod durability;
#[path = "../all/erasure.rs"]
mod erasure;
#[path = "../all/first_start.rs"]
mod first_start;
#[path = "../all/generation.rs"]
mod generation;
#[path = "../all/imports.rs"]
mod imports;
mod keys;
#[path = "../all/log.rs"]
mod log;
#[path = "../all/marks.rs"]
mod marks;
#[path = "../all/media_index.rs"]
mod media_index;
#[path = "../all/pictures.rs"]
mod pictures;
#[path = "../all/practice.rs"]
mod practice;
#[path = "../all/salvage.rs"]
mod salvage;
#[path = "../all/search.rs"]
mod search;
#[path = "../all/second_factors.rs"]
mod second_factors;
#[path = "../all/summaries.rs"]
mod summaries;
#[path = "../all/videos.rs"]
mod videos;
#[path = "../all/witness.rs"]
mod witness;
#[path = "../all/worklist.rs"]
mod worklist;

/// The key of the records in these tests.
fn key() -> Option<archive::DatabaseKey> {
    Some(archive::DatabaseKey::new(&[0x3e; 32]))
}
