//! Videos that the tests put together byte by byte, with everything that a telephone adds.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod bombs;
mod fuzzed;
mod kept;
mod refused;
mod truncated;
mod world;
