//! Tests of the crate `caseload`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod common;
mod learned;
mod published;
mod theory;
mod twin;
