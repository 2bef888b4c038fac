//! Tests of the published figures.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod figures;
