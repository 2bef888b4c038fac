//! A short run of each kind, and that a fault would be found.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod detection;
mod short_runs;
