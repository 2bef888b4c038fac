//! What the exchange promises, told as tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod common;
mod harbour;
