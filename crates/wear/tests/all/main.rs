//! Tests of the crate `wear`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod adherence;
mod heat;
mod reading;
mod story;
mod wear_bench;
mod wear_heat;
