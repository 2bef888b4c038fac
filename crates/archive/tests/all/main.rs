//! Tests of the archive, on real files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod common;
mod log;
