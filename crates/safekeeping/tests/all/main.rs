//! Every way to unlock, and that nothing else unlocks.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod codes;
mod keys;
mod outside;
