//! The tests of the room. `docs/photographs.md` has the tables that some of them print with `--nocapture`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod angles;
mod cards;
mod files;
mod found_cards;
mod fuzzed;
mod mirrored;
mod prepared;
mod readings;
mod seen_angles;
mod seen_quality;
mod views;
mod world;
