//! Tests of the forecast room.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod entries;
mod simulate;
