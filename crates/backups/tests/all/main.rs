//! Tests of the file of a backup, on real files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod file;
mod pieces;
mod rule;
